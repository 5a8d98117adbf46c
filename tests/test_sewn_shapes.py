"""Lengths of cloth against the sewing itself, followed in floating point from first principles.

Nothing here uses the tool's formulas: triangles are made smaller by their seams, tubes are walked
round stitch by stitch, and edges and areas must come to the quilt's.
"""

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.adapted.bought_pieces import cloths_of
from catalog.cutting.edge_pieces import CORNER_SQUARE, SIDE_SQUARE, edge_triangles
from catalog.cutting.quilt import QuiltBorder
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import sashing_pieces
from catalog.cutting.yardage.binding import bias_length, bias_rounds, binding
from catalog.cutting.yardage.bolt import Bolt
from catalog.cutting.yardage.borders import border
from catalog.pattern.patterns import load_pattern

ROOT2 = math.sqrt(2.0)
TIGHT = 1e-6
EIGHTH = 1 / 8
SEAMS = st.sampled_from([Fraction(n, 16) for n in (2, 3, 4, 6, 8)])
STRIPS = st.sampled_from([Fraction(n, 8) for n in (10, 12, 16, 18, 20, 24, 28)])


def often(*drawn):
    """Make of a check a test of some dozens of cases, and a slow one of some thousand."""

    def as_test(check):
        @pytest.mark.parametrize("cases", [80, pytest.param(4000, marks=pytest.mark.slow)])
        def test(cases):
            settings(max_examples=cases, deadline=None)(given(*drawn)(check))()

        test.__name__ = check.__name__
        return test

    return as_test


# --- bias binding ---------------------------------------------------------------------------------


def _once_round(square, seam, depth):
    """Follow a line on the bias once round the tube, from upright stitches to upright stitches.

    Two triangles, kept in one plane as they lie once the first seam is sewn: the upper has its
    right angle at (0, 0), the lower its own at (square, 0); the lower is shoved up by two seams,
    so that the stitches, at `seam` from either raw edge, meet. `depth` is the line's distance from
    the upper bias edge. Returns its length, inches, and whether there is cloth under all of it.
    """
    upper = [(0.0, 0.0), (square, 0.0), (0.0, square)]
    lower = [(x, y + 2 * seam) for x, y in ((square, -square), (square, 0.0), (0.0, 0.0))]
    sums = square - ROOT2 * depth  # x + y all along the line
    left, right, stitches = seam, square - seam, seam
    line = [(left, sums - left), (right, sums - right)]
    if line[0][1] > stitches > line[1][1]:
        line.insert(1, (sums - stitches, stitches))
    walked, sound = 0.0, True
    for (x0, y0), (x1, y1) in pairwise(line):
        cloth = upper if (y0 + y1) / 2 > stitches else lower
        sound &= all(
            _inside(cloth, x0 + t * (x1 - x0), y0 + t * (y1 - y0)) for t in (0.0, 0.5, 1.0)
        )
        walked += math.hypot(x1 - x0, y1 - y0)
    return walked, sound


def _inside(triangle, x, y):
    turns = []
    for (ax, ay), (bx, by) in zip(triangle, triangle[1:] + triangle[:1], strict=True):
        turns.append((bx - ax) * (y - ay) - (by - ay) * (x - ax))
    return all(turn >= -TIGHT for turn in turns) or all(turn <= TIGHT for turn in turns)


def _tube(square, seam, strip):
    """Return the rounds that a tube gives and the length of its strip, by walking along its edges.

    The upright edges are sewn together a strip's width displaced, so each round goes on where the
    one before ends, a strip's width further from the upper bias edge.
    """
    square, seam, strip = float(square), float(seam), float(strip)
    rounds, length = 0, 0.0
    while square > 2 * seam:
        edges = [_once_round(square, seam, depth * strip) for depth in (rounds, rounds + 1)]
        if not all(sound for _, sound in edges):
            break
        rounds, length = rounds + 1, length + min(walked for walked, _ in edges)
    return rounds, length


@often(st.integers(4, 44), STRIPS, SEAMS)
def test_the_tube_gives_what_is_promised(square, strip, seam):
    rounds, length = _tube(square, seam, strip)
    assert bias_rounds(Fraction(square), strip, seam) == rounds
    promised = float(bias_length(Fraction(square), strip, seam))
    assert length - EIGHTH - TIGHT <= promised <= length + TIGHT


@often(st.integers(10, 120), st.integers(10, 120), STRIPS, SEAMS)
def test_bias_binding_reaches_round_the_quilt(width, length, strip, seam):
    cloth = Bolt(seam=seam)
    found = binding(Fraction(width), Fraction(length), cloth, strip=strip, grain="bias")
    _, each = _tube(found.square, seam, strip)
    sewn = found.squares * each - (found.squares - 1) * float(strip)
    assert sewn + TIGHT >= 2 * (width + length) + 10
    assert sewn + TIGHT >= float(found.made) >= float(found.wanted)
    if found.squares == 1:  # a square an inch smaller would not do
        assert _tube(found.square - 1, seam, strip)[1] < found.wanted + Fraction(1, 8)


# --- borders --------------------------------------------------------------------------------------


def _mitred_strip(outer, wide, seam):
    """Return the least strip that a mitred border is cut from: its raw edge at the outside.

    The finished trapezoid's outer edge lies on y = 0 from -outer/2 to outer/2, its slants run
    inwards at 45 degrees. Every side moves out by a seam; the strip ends where the slant's raw edge
    meets the outer raw edge.
    """
    corner, inner = (outer / 2, 0.0), (outer / 2 - wide, wide)
    along = (inner[0] - corner[0], inner[1] - corner[1])
    size = math.hypot(*along)
    out = (along[1] / size, -along[0] / size)
    point = (corner[0] + seam * out[0], corner[1] + seam * out[1])
    steps = (-seam - point[1]) / along[1]
    return 2 * (point[0] + steps * along[0])


@often(
    st.integers(40, 480).map(lambda n: Fraction(n, 4)),
    st.integers(40, 480).map(lambda n: Fraction(n, 4)),
    st.integers(2, 40).map(lambda n: Fraction(n, 4)),
    SEAMS,
)
def test_mitred_borders_are_long_enough(width, length, wide, seam):
    done = border(width, length, wide, corners="mitred", seam=seam)
    sides, ends = done.pieces
    for strip, raw in ((sides.length, length), (ends.width, width)):
        outer = float(raw - 2 * seam + 2 * wide)
        needed = _mitred_strip(outer, float(wide), float(seam))
        assert needed + 1 / 4 <= float(strip) + TIGHT <= needed + 1 / 4 + EIGHTH + 2 * TIGHT


@often(
    st.integers(40, 480).map(lambda n: Fraction(n, 4)),
    st.integers(40, 480).map(lambda n: Fraction(n, 4)),
    st.integers(2, 40).map(lambda n: Fraction(n, 4)),
    SEAMS,
    st.sampled_from(["butted", "posts"]),
)
def test_borders_cover_what_they_add(width, length, wide, seam, corners):
    done = border(width, length, wide, corners=corners, seam=seam)
    shows = sum(
        (piece.width - 2 * seam) * (piece.length - 2 * seam) * piece.count for piece in done.pieces
    )
    before = (width - 2 * seam) * (length - 2 * seam)
    after = (width - 2 * seam + 2 * wide) * (length - 2 * seam + 2 * wide)
    assert before + shows == after == (done.width - 2 * seam) * (done.length - 2 * seam)


PIECED = st.builds(
    QuiltBorder,
    st.integers(4, 24).map(lambda n: Fraction(n, 4)),
    st.sampled_from(["butted", "posts"]),
    st.sampled_from(["half-square-triangle", "quarter-square-triangle", "four-patch"]),
    st.sampled_from([("plum", "rust"), ("plum", "plum"), ("background", "rust")]),
)
SQUARES_A_UNIT = {
    "half-square-triangle": Fraction(1, 2),
    "quarter-square-triangle": Fraction(1, 2),
    "four-patch": Fraction(2),
}
"""Of each of its two fabrics: two squares give two units, or four lie in one."""


@often(
    st.integers(1, 9),
    st.integers(1, 9),
    st.lists(PIECED, min_size=1, max_size=3),
    st.sampled_from([Fraction(1, 4), Fraction(3, 8)]),
)
def test_pieced_borders_fill_their_ring_and_every_unit_has_its_fabrics(rows, columns, all_, seam):
    quilt = replace(load_pattern("pinwheel").quilt, borders=tuple(all_), seam=seam)
    layout = Layout(rows, columns, Fraction(8), borders=tuple(one.width for one in all_))
    cut = Counter()
    plain = Counter()
    for cloth in cloths_of(quilt, layout, seam):
        for piece in cloth.pieces:
            name = next(n for n in range(len(all_), 0, -1) if _belongs(piece.name, n, len(all_)))
            if "square for" in piece.name:
                cut[name, cloth.cloth] += piece.count
            else:
                assert cloth.cloth == all_[name - 1].fabrics[0]
                sides = (piece.width - 2 * seam) * (piece.length - 2 * seam)
                plain[name] += piece.count * sides
    wide, long = columns * Fraction(8), rows * Fraction(8)
    for number, one in enumerate(all_, 1):
        ring = (wide + 2 * one.width) * (long + 2 * one.width) - wide * long
        units = (ring - plain[number]) / one.width**2
        assert units.denominator == 1
        for fabric, parts in Counter(one.fabrics).items():
            needed = units * parts * SQUARES_A_UNIT[one.pieced]
            assert needed <= cut[number, fabric] < needed + 1
        wide, long = wide + 2 * one.width, long + 2 * one.width


def _belongs(name, number, borders):
    called = "border" if borders == 1 else f"border {number}"
    return name.removesuffix(" post").endswith(called)


# --- on point -------------------------------------------------------------------------------------


def _sewn_leg(leg, seam):
    """Return a right triangle's short side with its seams taken: the circle inside is a seam less.

    Legs a have an inscribed circle of radius a (2 - root 2) / 2; moving all sides in by a seam
    leaves a similar triangle.
    """
    radius = leg * (2 - ROOT2) / 2
    return leg * (radius - seam) / radius


on_point = st.builds(
    lambda rows, columns, block, sashing: Layout(
        rows, columns, block, sashing=sashing, on_point=True
    ),
    st.integers(1, 9),
    st.integers(1, 9),
    st.integers(12, 80).map(lambda n: Fraction(n, 4)),
    st.one_of(st.just(Fraction(0)), st.integers(2, 24).map(lambda n: Fraction(n, 8))),
)


def _edges(layout, seam):
    """Return the finished legs of side and corner triangles, inches."""
    cut = {piece.name: piece for piece in edge_triangles(layout, seam)}
    corner = _sewn_leg(float(cut[CORNER_SQUARE].width), float(seam))
    side = 0.0
    if SIDE_SQUARE in cut:
        # Cut twice: the square's edge is the long side, root 2 times a short one.
        side = _sewn_leg(float(cut[SIDE_SQUARE].width) / ROOT2, float(seam))
    return side, corner


LARGER = 3 * EIGHTH
"""Inches that a cut may be over: the allowance and the sum are each rounded up to 1/8 (the trade's
way), and the quilt's size to a sixteenth."""


@often(on_point, SEAMS)
def test_triangles_fill_the_top_edge(layout, seam):
    side, corner = _edges(layout, seam)
    for blocks, size in ((layout.columns, layout.width), (layout.rows, layout.length)):
        edge = 2 * corner + (blocks - 1) * ROOT2 * side
        assert float(size) - 1 / 32 <= edge <= float(size) + (blocks + 1) * LARGER


@often(on_point, SEAMS)
def test_the_pieces_have_the_quilt_s_area(layout, seam):
    rows, columns = layout.rows, layout.columns
    side, corner = _edges(layout, seam)
    blocks = rows * columns + (rows - 1) * (columns - 1)
    shows = blocks * float(layout.block) ** 2
    for piece in sashing_pieces(layout, seam):
        shows += piece.count * float((piece.width - 2 * seam) * (piece.length - 2 * seam))
    edges = 2 * (rows + columns - 2) * side**2 / 2 + 4 * corner**2 / 2
    whole = float(layout.width * layout.length)
    rounding = float(layout.width + layout.length) / 32 + 1 / 1024
    assert shows + edges >= whole - rounding
    legs = 2 * (rows + columns - 2) * side + 4 * corner
    assert shows + edges <= whole + rounding + legs * LARGER
    cut = {piece.name: piece.count for piece in edge_triangles(layout, seam)}
    assert 2 * cut[CORNER_SQUARE] == 4
    assert 4 * cut.get(SIDE_SQUARE, 0) >= 2 * (rows + columns - 2)


def test_a_corner_triangle_spans_the_block_and_two_strips():
    # (8 + 2 x 2) / 1.414 + 7/8 = 9.36; see also row OP047 of trade_checks/yardage.csv.
    layout = Layout(3, 4, Fraction(8), sashing=Fraction(2), on_point=True)
    cut = {piece.name: piece.width for piece in edge_triangles(layout, Fraction(1, 4))}
    assert cut == {SIDE_SQUARE: Fraction(31, 2), CORNER_SQUARE: Fraction(75, 8)}
