"""Steps of units against first principles: what is sewn in the end is the unit's face at its size.

Nothing here uses the tool's geometry: polygons are clipped and measured by this file's own lines.
"""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.unit_cuts import sized_as_adapted
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.steps.sewing_steps import steps_of
from catalog.cutting.units.units_by_name import find_unit, usual_units
from catalog.pattern.patterns import load_pattern

NEAR = 1e-6
OTHERS = (
    "log-cabin-2-3", "courthouse-steps-4", "rails-5", "rails-strips-4", "patch-3", "patch-5",
    "patch-strips-5", "snowball-4", "one-flipped-corner-4", "two-flipped-corners-3",
    "opposite-flipped-corners-3", "pieced-sashing-2", "square-sashing-5",
)  # fmt: skip
SHAPED = [
    unit.reshaped(Fraction(*shape))
    for unit in usual_units() if unit.reshaped for shape in ((2, 3), (3, 4), (1, 1), (2, 5))
]  # fmt: skip
WAYS = [
    (unit, way) for unit in (*usual_units(), *map(find_unit, OTHERS), *SHAPED) for way in unit.ways
]
EACH_WAY = pytest.mark.parametrize(
    ("unit", "way"), WAYS, ids=[f"{way.unit}-{way.at_a_time}-{way.aspect}" for _, way in WAYS]
)
CASES = [(Fraction(6), Fraction(1, 4)), (Fraction(9), Fraction(3, 8))]


def area(outline):
    total = 0.0
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        total += x0 * y1 - x1 * y0
    return abs(total) / 2


def halved(outline, axis, at, sign):
    """What of a polygon has its x (or y) above, or below, a value."""
    kept = []
    for one, other in zip(outline, [*outline[1:], outline[0]], strict=True):
        here, there = sign * (one[axis] - at), sign * (other[axis] - at)
        if here >= 0:
            kept.append(one)
        if here * there < 0:
            share = here / (here - there)
            kept.append(tuple(a + share * (b - a) for a, b in zip(one, other, strict=True)))
    return kept


def inside(outline, left, top, right, bottom):
    for axis, at, sign in ((0, left, 1), (0, right, -1), (1, top, 1), (1, bottom, -1)):
        outline = halved(outline, axis, at, sign)
        if len(outline) < 3:
            return 0.0
    return area(outline)


def shown_of(step, seam):
    """What shows of each part once a seam all round is sewn in, square inches."""
    left, top, right, bottom = step.extent
    inner = (left + seam, top + seam, right - seam, bottom - seam)
    shown = {}
    for cloth in step.cloths:
        shown[cloth.part] = shown.get(cloth.part, 0.0) + inside(cloth.outline, *inner)
    return shown


def part_at(step, place):
    """The part of the cloth that lies uppermost at a place."""
    for cloth in reversed(step.cloths):
        corners = [*cloth.outline, cloth.outline[0]]
        turns = [
            (x1 - x0) * (place[1] - y0) - (y1 - y0) * (place[0] - x0)
            for (x0, y0), (x1, y1) in pairwise(corners)
        ]
        if all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns):
            return cloth.part
    return None


@EACH_WAY
@pytest.mark.parametrize(("finished", "seam"), CASES)
def test_the_last_step_is_the_unit_with_its_seams(unit, way, finished, seam):
    sized = size_from_finished(way, finished, seam=seam, mark=Fraction(1, 64))
    steps = steps_of(sized)
    assert steps
    if way.fills or way.measured:  # no rectangle
        return
    left, top, right, bottom = steps[-1].extent
    near = 1 / 8 if not way.trimmed else NEAR  # between the marks a patch comes out larger
    assert right - left == pytest.approx(float(sized.trim), abs=near)
    assert bottom - top == pytest.approx(float(sized.trim_height), abs=near)
    shown = shown_of(steps[-1], float(seam))
    whole = (right - left - 2 * seam) * (bottom - top - 2 * seam)
    assert sum(shown.values()) == pytest.approx(float(whole), rel=NEAR)
    for number, part in enumerate(unit.parts):
        face = sum(area([(float(x), float(y)) for x, y in one]) for one in part.polygons)
        # Pieces between the marks of a 64th are at most that wider; a cut nine patch is drawn as it
        # comes of 5 in squares.
        near = 0.05 if unit.name == "quartered-nine-patch" else 0.02
        assert shown[number] / whole == pytest.approx(face, abs=near), part.name
        for polygon in part.polygons:
            x, y = (float(sum(one) / len(polygon)) for one in zip(*polygon, strict=True))
            place = (
                left + seam + x * (right - left - 2 * seam),
                top + seam + y * (bottom - top - 2 * seam),
            )
            assert part_at(steps[-1], place) == number, (part.name, place)


@EACH_WAY
def test_every_step_is_one_sentence_with_something_to_see(unit, way):
    steps = steps_of(size_from_finished(way, Fraction(6)))
    for step in steps:
        assert step.says.endswith(".")
        assert step.says[0].isupper()
        assert step.cloths
        assert all(area(cloth.outline) > 0 for cloth in step.cloths)
        if step.action in {"mark", "sew", "cut"}:
            assert {line.kind for line in step.lines} & {step.action, "cut", "sew"}
    assert steps[0].action in {"lay", "cut", "mark"}


@EACH_WAY
def test_no_cloth_comes_from_nothing_on_the_way(unit, way):
    sized = size_from_finished(way, Fraction(6))
    if way.strips:
        return
    each = float(sized.cloth) / sized.units
    last = steps_of(sized)[-1]
    assert sum(area(cloth.outline) for cloth in last.cloths) <= each + NEAR


@pytest.mark.parametrize("name", ["pinwheel", "four-patch", "hourglass"])
def test_units_of_a_pattern_made_over_have_their_steps_too(name):
    seam = Fraction(3, 16)
    block = adapt_block(load_pattern(name).quilt, Fraction(5), seam)
    for unit in block.units:
        sized = sized_as_adapted(unit, seam)
        assert sized.cuts[0].width == unit.cuts[0].width
        left, top, right, bottom = steps_of(sized)[-1].extent
        assert (right - left, bottom - top) == pytest.approx(
            (float(unit.trim), float(unit.trim_height)), abs=1 / 8
        )


@pytest.mark.slow
@settings(max_examples=3000, deadline=None)
@given(st.sampled_from(WAYS), st.integers(8, 96), st.integers(2, 8), st.sampled_from([64, 128]))
def test_some_thousand_sizes_and_seams_are_sewn_to_their_face(unit_and_way, eighths, part, mark):
    unit, way = unit_and_way
    finished, seam = Fraction(eighths, 8) + 2, Fraction(part, 16)
    sized = size_from_finished(way, finished, seam=seam, mark=Fraction(1, mark))
    last = steps_of(sized)[-1]
    if way.fills or way.measured or unit.name == "quartered-nine-patch":
        return
    left, top, right, bottom = last.extent
    assert right - left == pytest.approx(float(sized.trim), abs=1 / 4)
    shown = shown_of(last, float(seam))
    whole = (right - left - 2 * seam) * (bottom - top - 2 * seam)
    assert sum(shown.values()) == pytest.approx(float(whole), rel=NEAR)
    for number, piece in enumerate(unit.parts):
        face = sum(area([(float(x), float(y)) for x, y in one]) for one in piece.polygons)
        # Sixteen pieces across that are each a mark too wide, in a unit of three inches.
        assert shown[number] / whole == pytest.approx(face, abs=0.08), piece.name
