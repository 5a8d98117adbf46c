"""Units against published examples (tests/trade_checks/units.csv, each row with its source)."""

import csv
import math
import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import UsageError
from catalog.lengths import EIGHTH
from catalog.units import (
    FINISHED,
    OTHER_NAMES,
    QUARTER_SEAM,
    ROOT2,
    UNITS,
    Cut,
    Surd,
    bonus_triangle,
    common_factor_cut,
    diagonal,
    easy_size,
    even_sizes,
    find_method,
    flipped_corners,
    patch,
    quartered_finished,
    reach,
    rectangle,
    row_unfinished,
    seam_of_unit,
    segments,
    size_from_finished,
    size_from_square,
    squares_from_square,
    unit_name,
)

SEAM = QUARTER_SEAM
PRINTED = Fraction(11, 1000)  # half a unit of the second decimal, and the factor 1.414
METHODS = [make() for ways in UNITS.values() for make in ways]
EACH_METHOD = pytest.mark.parametrize(
    "method", METHODS, ids=lambda method: f"{method.unit}-{method.at_a_time}"
)

# --- the table of published examples -------------------------------------------------------------


def _cut(unit, finished, at_a_time=None, piece=0, mark=EIGHTH, large=False):
    method = find_method(unit, at_a_time)
    return size_from_finished(method, finished, mark=mark, large=large).cuts[piece].width


def _sewn(unit, cut, at_a_time=None):
    return find_method(unit, at_a_time).sewn(cut, SEAM)


def _by_rule(unit, finished, piece):
    return find_method(unit).pieces[piece].width.by_rule(finished, SEAM)


def _mark(row):
    return 1 / row.get("round_to", Fraction(8))


def _goose_rectangle(row):
    cut = size_from_finished(find_method("flying-geese", 1), row["width"]).cuts[0]
    return (cut.width, cut.height)


HST, QST, GEESE = "half-square-triangle", "quarter-square-triangle", "flying-geese"
CENTRED = "square-in-a-square-triangles"
OURS = {
    "hst2.cut": lambda r: _cut(HST, r["finished"], 2),
    "hst2.cut_oversize1": lambda r: _cut(HST, r["finished"], 2, large=True),
    "hst2.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 2),
    "hst2.finished_from_cut": lambda r: _sewn(HST, r["cut"], 2) - 2 * SEAM,
    "hst4.cut": lambda r: find_method(HST, 4).main.width.at(r["unfinished"] - 2 * SEAM, SEAM),
    "hst4.cut_by_0.64": lambda r: common_factor_cut(r["unfinished"]),
    "hst4.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 4),
    "hst4.pinwheel_unfinished": lambda r: row_unfinished(_sewn(HST, r["cut"], 4), 2, SEAM),
    "hst8.cut": lambda r: _cut(HST, r["finished"], 8),
    "hst8.cut_by_2u+1": lambda r: _cut(HST, r["unfinished"] - 2 * SEAM, 8, large=True),
    "hst8.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 8),
    "hst.unfinished": lambda r: size_from_finished(find_method(HST), r["finished"]).trim,
    "hst.count": lambda r: find_method(HST, int(r["method"])).units * r["pairs"],
    "hst.pairs_needed": lambda r: math.ceil(r["units"] / find_method(HST, int(r["method"])).units),
    "hst.bonus_unfinished": lambda r: bonus_triangle(r["corner_square"], r["gap"]),
    "hststrip.unfinished_max": lambda r: _sewn(f"{HST}-strips", r["strip"]),
    "qst.cut": lambda r: _cut(QST, r["finished"]),
    "qst.cut_oversize": lambda r: _cut(QST, r["finished"], large=True),
    "qst.unfinished_from_cut": lambda r: _sewn(QST, r["cut"]),
    "qst.finished_from_cut": lambda r: _sewn(QST, r["cut"]) - 2 * SEAM,
    "qst.count": lambda r: r["squares"] / find_method(QST).main.count * find_method(QST).units,
    "geese4.large": lambda r: _cut(GEESE, r["width"], 4),
    "geese4.small": lambda r: _cut(GEESE, 2 * r["height"], 4, piece=1),
    "geese.goose": lambda r: _cut(GEESE, r["width"], 4),
    "geese1.rect": _goose_rectangle,
    "geese1.square": lambda r: _cut(GEESE, 2 * r["height"], 1, piece=1),
    "sis_flip.base": lambda r: _cut("square-in-a-square", r["finished"]),
    "sis_flip.corner": lambda r: _cut("square-in-a-square", r["finished"], piece=1),
    # The table's centre is the unit's side over root 2; its corners follow the plain 7/8 rule.
    "sis_tri.corner_square": lambda r: _by_rule(CENTRED, diagonal(r["centre_finished"]), 1),
    "sis_tri.block_finished": lambda r: find_method(CENTRED).main.width.finished_at(
        r["centre_finished"] + 2 * SEAM, SEAM
    ),
    "sis_qst.square": lambda r: _by_rule(
        "square-in-a-square-quarters", diagonal(r["centre_finished"]), 1
    ),
    "snowball.corner": lambda r: _cut("flipped-corners", r["block_finished"], piece=1),
    "snowball.base": lambda r: _cut("flipped-corners", r["block_finished"]),
    "snowball.regular_octagon_corner": lambda r: (
        find_method("octagon").pieces[1].width.at(r["block_finished"], SEAM)
    ),
    "patch.unit_finished": lambda r: (
        patch(int(r["across"])).main.width.at(r["block_finished"], SEAM) - 2 * SEAM
    ),
    "patch.cut": lambda r: _cut("square", r["finished"]),
    "patch.finished": lambda r: size_from_square(find_method("square"), r["cut"]).finished,
    "row.unfinished": lambda r: row_unfinished(r["cut"], int(r["n"]), SEAM),
    "nine_cut4.finished": lambda r: _sewn("quartered-nine-patch", r["cut"]) - 2 * SEAM,
    "nine_cut4.unfinished": lambda r: _sewn("quartered-nine-patch", r["cut"]),
    "nine_cut4.quarter_finished": lambda r: quartered_finished(r["nine_finished"], SEAM),
    "strip.blocks": lambda r: segments(r["usable"], r["block"]),
    "yield.squares": lambda r: squares_from_square(r["width"], r["size"]),
    "yield.strips": lambda r: segments(r["length"], r["size"]),
    "area.sq_in": lambda r: (
        Cut("square", int(r["n"]), "square", r["a"], r["b"], Surd.of(r["a"])).area
    ),
    "onpoint.side": lambda r: _cut("setting-triangle", r["block"], mark=_mark(r)),
    "onpoint.corner": lambda r: _cut("corner-triangle", r["block"], mark=_mark(r)),
    "onpoint.setting_square": lambda r: _cut("square", r["block"]),
    "onpoint.diagonal": lambda r: diagonal(r["block"]),
    "seam.pieced": lambda r: row_unfinished(r["cut"], int(r["n"]), SEAM),
    "seam.middle": lambda r: row_unfinished(r["cut"], 1, SEAM) - 2 * SEAM,
    "seam.error": lambda r: (
        row_unfinished(5, int(r["seams"]) + 1, SEAM)
        - row_unfinished(5, int(r["seams"]) + 1, SEAM + r["error"] / 2)
    ),
}
NOT_ASSERTED = {
    "OP034": "a sum of two given sizes: block and sashing; the triangles are those of a 5 1/2 block"
}
"""Rows of the table that no unit computes, each with the reason."""


def _rows():
    path = Path(__file__).parent / "trade_checks" / "units.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _number(text):
    return Fraction(text.strip())


def _arithmetic(note):
    return _number(re.search(r"arithmetic=([0-9.]+[0-9])", note)[1])


def _agrees(tag, ours, printed, note):
    """Compare as the row's tag asks."""
    if tag in {"rule", "geometry"}:
        return abs(ours - printed) <= PRINTED
    if tag == "disputed":  # the source errs; the arithmetic counts
        return abs(ours - _arithmetic(note)) <= PRINTED
    if tag == "trim":  # the source trims down
        return ours >= printed
    if tag == "oversize":  # the source cuts large on purpose
        return ours <= printed
    if tag == "rounded":
        return abs(ours - printed) <= EIGHTH
    raise AssertionError(f"no way to compare {tag}")


@pytest.mark.parametrize("row", _rows(), ids=lambda row: row["id"])
def test_agrees_with_the_published_example(row):
    if row["id"] in NOT_ASSERTED:
        assert row["topic"] not in OURS
        return
    given_sizes = {
        key: _number(value) for key, value in (pair.split("=") for pair in row["input"].split(";"))
    }
    ours = OURS[row["topic"]](given_sizes)
    tag = re.match(r"\[(\w+)\]", row["note"])[1]
    if " x " in row["expected"]:
        printed = tuple(map(_number, row["expected"].split(" x ")))
        assert ours == printed
    else:
        assert _agrees(tag, Surd.of(ours), _number(row["expected"]), row["note"])


def test_every_example_names_its_source():
    assert all(row["source_title"] for row in _rows())
    assert {row["source_title"] for row in _rows() if not row["source_url"]} == {"common practice"}


# --- the exact numbers ---------------------------------------------------------------------------

fractions = st.fractions(min_value=-50, max_value=50, max_denominator=64)
surds = st.builds(Surd, fractions, fractions)
steps = st.sampled_from([Fraction(1), EIGHTH, Fraction(1, 16), Fraction(5, 127)])


@given(surds, surds, surds)
def test_surds_are_a_field(x, y, z):
    assert x * (y + z) == x * y + x * z
    assert x - x == 0
    if y != 0:
        assert x / y * y == x


@given(surds, surds)
def test_surds_stand_in_the_order_of_the_numbers(x, y):
    assert (x < y) + (x == y) + (x > y) == 1
    if abs(float(x) - float(y)) > 1e-9:
        assert (x < y) == (float(x) < float(y))


def test_the_order_holds_where_floats_end():
    # Convergents of root 2, from either side (Pell numbers).
    above, below = Fraction(886731088897, 627013566048), Fraction(2140758220993, 1513744654945)
    assert float(above) == float(below) == float(ROOT2)
    assert below < ROOT2 < above


@given(surds, steps)
def test_a_mark_below_and_a_mark_above(x, step):
    low, high, near = x.down_to(step), x.up_to(step), x.nearest_to(step)
    assert low <= x <= high
    assert low % step == high % step == near % step == 0
    assert high - low == (0 if low == x else step)
    assert -step < 2 * (near - x) <= step


def test_equal_numbers_are_one_key():
    assert {Surd(Fraction(2)), Fraction(2), 2, ROOT2 * ROOT2} == {2}
    assert ROOT2 != "root 2"


# --- both ways round -----------------------------------------------------------------------------

finished_sizes = st.integers(4, 8 * 24).map(lambda eighths: Fraction(eighths, 8))
squares = st.integers(8 * 4, 8 * 20).map(lambda eighths: Fraction(eighths, 8))
seams = st.integers(12, 32).map(lambda part: Fraction(part, 64))
rulers = st.sampled_from([EIGHTH, Fraction(1, 16), Fraction(5, 127)])
methods = st.sampled_from([*METHODS, rectangle(Fraction(3, 4)), rectangle(Fraction(1, 3))])


@given(methods, finished_sizes, seams, rulers, st.booleans())
def test_what_is_cut_for_a_size_reaches_it(method, finished, seam, mark, large):
    sized = size_from_finished(method, finished, seam=seam, mark=mark, large=large)
    assert sized.finished == finished
    assert sized.spare >= 0
    assert all(cut.width >= cut.exact for cut in sized.cuts)


@given(methods, finished_sizes, seams, rulers)
def test_there_and_back_is_never_smaller(method, finished, seam, mark):
    cut = size_from_finished(method, finished, seam=seam, mark=mark).cuts[0].width
    back = size_from_square(method, cut, seam=seam, mark=mark)
    # The trim size stands on a mark of the ruler, the finished size asked for perhaps on none.
    proportion = 1 / min(method.aspect, Fraction(1))
    assert back.sewn - 2 * seam >= finished
    assert back.finished > finished - 2 * proportion * mark


@given(methods, st.integers(4, 96), rulers)
def test_there_and_back_at_the_usual_seam_is_the_same_or_larger(method, quarters, mark):
    finished = Fraction(quarters, 2)
    mark = EIGHTH if mark == Fraction(5, 127) else mark
    cut = size_from_finished(method, finished, mark=mark).cuts[0].width
    assert size_from_square(method, cut, mark=mark).finished >= finished


@given(methods, squares, seams, rulers)
def test_no_cloth_is_made_from_nothing(method, square, seam, mark):
    sized = size_from_square(method, square, seam=seam, mark=mark)
    assert 0 <= sized.waste < sized.cloth
    assert sized.shown + sized.waste < sized.cloth
    assert sized.spare >= 0
    assert sized.finished > 0
    assert sized.finished_height > 0


@given(methods, finished_sizes, seams, st.booleans())
def test_no_cloth_is_made_from_nothing_for_a_size_either(method, finished, seam, large):
    sized = size_from_finished(method, finished, seam=seam, usable=Fraction(200), large=large)
    assert 0 <= sized.waste <= sized.cloth
    assert sized.shown + sized.waste <= sized.cloth


@given(methods, finished_sizes, finished_sizes, seams)
def test_a_larger_unit_never_needs_less(method, one, other, seam):
    small, large = sorted((one, other))
    needs = [
        [cut.width for cut in size_from_finished(method, finished, seam=seam).cuts]
        for finished in (small, large)
    ]
    assert all(less <= more for less, more in zip(*needs, strict=True))


@given(methods, finished_sizes, seams, seams)
def test_a_wider_seam_never_needs_less_nor_gives_more(method, finished, one, other):
    narrow, wide = sorted((one, other))
    needs = [
        [cut.width for cut in size_from_finished(method, finished, seam=seam).cuts]
        for seam in (narrow, wide)
    ]
    assert all(less <= more for less, more in zip(*needs, strict=True))
    assert method.sewn(Fraction(20), wide) <= method.sewn(Fraction(20), narrow)


@given(methods, squares, squares, seams)
def test_a_larger_square_never_gives_less(method, one, other, seam):
    small, large = sorted((one, other))
    assert (
        size_from_square(method, small, seam=seam).finished
        <= size_from_square(method, large, seam=seam).finished
    )


@EACH_METHOD
def test_a_square_too_small_is_refused_with_one_that_will_do(method):
    with pytest.raises(UsageError, match="nothing would show") as refusal:
        size_from_square(method, Fraction(1, 4))
    enough = Fraction(sum(map(Fraction, re.search("least (.*) in", refusal.value.cure)[1].split())))
    assert size_from_square(method, enough).finished >= Fraction(1, 2) - EIGHTH


# --- unit by unit --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "at_a_time", "biased"),
    [
        # Triangles cut from a square sewn round its edge, or across sewn strips, have their raw
        # edges at 45 degrees to the threads; all others' outer edges were edges of the squares.
        (HST, 2, False),
        (HST, 4, True),
        (HST, 8, False),
        (f"{HST}-strips", 1, True),
        (QST, 2, False),
        (GEESE, 1, False),
        (GEESE, 4, False),
        (CENTRED, 1, False),
        ("square-in-a-square-quarters", 1, True),
        ("setting-triangle", 4, True),
        ("corner-triangle", 2, True),
    ],
)
def test_bias_edges_are_named_where_there_are_any(unit, at_a_time, biased):
    assert ("bias" in find_method(unit, at_a_time).bias) == biased


@pytest.mark.parametrize("at_a_time", [2, 4, 8])
def test_cut_large_there_is_more_to_trim(at_a_time):
    method = find_method(HST, at_a_time)
    tight = size_from_finished(method, Fraction(3))
    large = size_from_finished(method, Fraction(3), large=True)
    assert large.trim == tight.trim
    assert large.spare > tight.spare
    assert large.waste > tight.waste


def test_geese_four_at_a_time_cut_exactly_waste_nothing_but_the_rounding():
    fine = Fraction(1, 1_000_000)
    assert size_from_finished(find_method(GEESE, 4), Fraction(4), mark=fine).waste < 1000 * fine


def test_geese_one_at_a_time_waste_the_corners_beyond_the_seam():
    sized = size_from_finished(find_method(GEESE, 1), Fraction(4))
    # Two corners, two layers each: right triangles with short sides of 2 1/2 less root 2 / 4.
    short_side = Fraction(5, 2) - ROOT2 / 4
    assert sized.waste == 4 * (short_side * short_side / 2)


def test_geese_from_a_square_leave_a_strip_of_it():
    sized = size_from_square(find_method(GEESE, 1), Fraction(5))
    assert (sized.finished, sized.finished_height) == (Fraction(9, 2), Fraction(9, 4))
    assert sized.left_over == (5, Fraction(9, 4))


def test_an_octagon_has_eight_equal_sides():
    side = Fraction(6)
    corner = find_method("octagon").pieces[1].width.at(side, SEAM) - 2 * SEAM
    assert side - 2 * corner == diagonal(corner)


def test_corners_of_another_size_may_be_flipped():
    sized = size_from_finished(flipped_corners(FINISHED / 4), Fraction(6))
    assert [cut.width for cut in sized.cuts] == [Fraction(13, 2), 2]


def test_rectangles_from_one_square_use_it_up():
    halves = rectangle((Fraction(5, 2) - 2 * SEAM) / (5 - 2 * SEAM), 2)
    sized = size_from_square(halves, Fraction(5))
    assert (sized.trim, sized.trim_height, sized.units) == (5, Fraction(5, 2), 2)
    assert sized.waste == 0
    assert sized.left_over is None


def test_a_rectangle_lies_on_its_long_side():
    with pytest.raises(ValueError, match="at most 1"):
        rectangle(Fraction(2))


def test_strips_give_as_many_units_as_their_segments():
    assert size_from_finished(find_method("four-patch-strips"), Fraction(4)).units == 8
    assert size_from_finished(find_method("nine-patch-strips"), Fraction(6)).units == 16
    short = size_from_finished(find_method("nine-patch-strips"), Fraction(6), usable=Fraction(2))
    assert (short.units, short.waste) == (0, short.cloth)


def test_a_nine_patch_between_the_marks_has_neighbours_that_can_be_cut():
    sizes = even_sizes(find_method("nine-patch"), Fraction(4))
    assert sizes == ((Fraction(15, 4), Fraction(7, 4)), (Fraction(33, 8), Fraction(15, 8)))
    assert even_sizes(find_method("nine-patch"), Fraction(6)) == ((6, Fraction(5, 2)),)


@pytest.mark.parametrize(
    ("square", "unit", "at_a_time", "trim"),
    [
        # Common practice: from precut squares, trim to the handy size below.
        ("5/2", HST, 2, "2"),
        ("5", HST, 2, "4 1/2"),
        ("10", HST, 2, "9 1/2"),
        ("5", HST, 4, "3"),
        ("10", HST, 4, "6 1/2"),
        ("5", HST, 8, "2"),
        ("10", HST, 8, "4 1/2"),
        ("5", QST, 2, "4"),
        ("10", QST, 2, "9"),
    ],
)
def test_an_easy_size_from_a_precut_square(square, unit, at_a_time, trim):
    easy = easy_size(find_method(unit, at_a_time), Fraction(square))
    assert easy.trim == sum(map(Fraction, trim.split()))
    assert easy.cuts[0].width <= Fraction(square)


def test_no_easy_size_from_too_small_a_square():
    assert easy_size(find_method(HST), Fraction(1)) is None


# --- your own seam -------------------------------------------------------------------------------


@EACH_METHOD
@given(cut=squares, seam=seams)
def test_a_measured_unit_tells_the_seam(method, cut, seam):
    if method.main.width.seam == 2 * method.main.width.finished:
        with pytest.raises(UsageError, match="doesn't tell the seam"):
            seam_of_unit(method, cut, cut)
        return
    measured = method.sewn(cut, seam).nearest_to(Fraction(1, 10_000))
    assert abs(seam_of_unit(method, cut, measured) - seam) < Fraction(1, 500)


def test_three_strips_sewn_at_a_quarter_measure_three_and_a_half():
    # Strips of 1 1/2 in must press to 3 1/2 in (units.csv, SM001).
    nine = find_method("nine-patch")
    assert seam_of_unit(nine, Fraction(3, 2), Fraction(7, 2)) == Fraction(1, 4)


def test_a_unit_measured_larger_than_its_squares_is_a_slip():
    with pytest.raises(UsageError, match="can't measure"):
        seam_of_unit(find_method(HST), Fraction(5), Fraction(11, 2))


def test_a_wide_seam_misses_the_trim_size_and_says_what_to_cut():
    method, wanted = find_method(HST), Fraction(9, 2)
    fine = reach(method, Fraction(39, 8), [Fraction(1, 4)], wanted=wanted)
    assert (fine.trim, fine.short) == (wanted, 0)
    wide = reach(method, Fraction(39, 8), [Fraction(1, 4), Fraction(5, 16)], wanted=wanted)
    assert wide.trim == Fraction(35, 8)
    assert wide.short == wanted - (Fraction(39, 8) - ROOT2 * Fraction(5, 16))
    assert wide.cut_needed == 5
    assert reach(method, wide.cut_needed, [Fraction(5, 16)], wanted=wanted).short == 0


@given(methods, squares, st.lists(seams, min_size=1, max_size=4), rulers)
def test_every_unit_reaches_the_trim_size(method, cut, sewn_seams, mark):
    reached = reach(method, cut, sewn_seams, mark=mark)
    assert all(method.sewn(cut, seam) >= reached.trim for seam in sewn_seams)
    assert reached.sewn - reached.trim < mark
    assert reached.short == 0


def test_no_seam_is_no_answer():
    with pytest.raises(ValueError, match="expected one seam"):
        reach(find_method(HST), Fraction(5), [])


# --- names ---------------------------------------------------------------------------------------


def test_units_are_found_by_what_people_call_them():
    assert unit_name("Half Square Triangles") == HST
    assert unit_name("hourglass") == QST
    assert unit_name("nine patches") == "nine-patch"
    assert all(unit_name(other) in {*UNITS, "rectangle"} for other in OTHER_NAMES)
    assert all(make().unit == name for name, ways in UNITS.items() for make in ways)


def test_an_unknown_unit_is_refused_with_the_nearest():
    with pytest.raises(UsageError, match=r'no unit "nine-path"; did you mean nine-patch\?'):
        find_method("nine-path")
    with pytest.raises(UsageError, match="choose from square, half-square-triangle"):
        find_method("xyzzy")


def test_a_number_at_a_time_that_there_is_no_way_for_is_refused_with_the_ways():
    with pytest.raises(UsageError, match="use --at-a-time 2 or 4 or 8"):
        find_method(HST, 3)
    with pytest.raises(UsageError, match="two sizes"):
        find_method("rectangle")
