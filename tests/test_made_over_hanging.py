"""Prints with an up and a down: cut for the way they hang."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.adapted.directional_prints import hanging_words
from catalog.cutting.adapted.upright_pieces import pieces_of_cloth
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, QuiltBorder
from catalog.cutting.unit_faces import FACES
from catalog.pattern.patterns import load_pattern

PINWHEEL = load_pattern("pinwheel").quilt
GROUND = replace(PINWHEEL.kinds[1], name="ground", directional=True)


def quilt_of(block, per_block, **more):
    """A quilt with one square of the bundle and a directional ground in its block."""
    feature = replace(PINWHEEL.kinds[0], name="figure", per_block=1, match=1, size=Fraction(2))
    ground = replace(GROUND, per_block=per_block)
    return replace(
        PINWHEEL,
        **{"rows": 3, "columns": 2, "borders": (), "binding": None, **more},
        finished_block=block.across * Fraction(2),
        block=block,
        kinds=(feature, ground),
    )


def cut_of(made, cloth="ground"):
    return {(cut.width, cut.length): cut.count for cut in made.cuts if cut.cloth == cloth}


def rails(turn=0):
    """A block of 2 by 2 cells: a figure, and a rail of 2 by 1 as it lies turned."""
    units = (
        BlockUnit("F", "square", None, (Patch("figure"),)),
        BlockUnit("R", "rectangle", None, (Patch("ground"),), 2, 1),
        BlockUnit("S", "square", None, (Patch("ground"),)),
    )
    if turn % 180:
        cells = (Cell(1, 0, 0, 1, 2, turn), Cell(0, 0, 1, 1, 1), Cell(2, 1, 1, 1, 1))
    else:
        cells = (Cell(1, 0, 0, 2, 1, turn), Cell(0, 1, 0, 1, 1), Cell(2, 1, 1, 1, 1))
    return Block(2, units, cells)


def goose(turn):
    """A block of 2 by 2 cells: a goose of the ground, two figures beside it."""
    units = (
        BlockUnit("G", "flying-geese", 1, (Patch("ground"), Patch("figure")), 2, 1),
        BlockUnit("F", "square", None, (Patch("figure"),)),
    )
    if turn % 180:
        cells = (Cell(0, 0, 0, 1, 2, turn), Cell(1, 0, 1, 1, 1), Cell(1, 1, 1, 1, 1))
    else:
        cells = (Cell(0, 0, 0, 2, 1, turn), Cell(1, 1, 0, 1, 1), Cell(1, 1, 1, 1, 1))
    return Block(2, units, cells)


SQUARE = (Fraction(5, 2), Fraction(5, 2))
LYING, STANDING = (Fraction(9, 2), Fraction(5, 2)), (Fraction(5, 2), Fraction(9, 2))


def test_a_rail_is_cut_for_the_way_its_unit_and_its_block_hang():
    plain = adapt_pattern(quilt_of(rails(), 2))
    assert cut_of(plain) == {LYING: 6, SQUARE: 6}
    turned = adapt_pattern(quilt_of(rails(90), 2))
    assert cut_of(turned) == {STANDING: 6, SQUARE: 6}
    # Every other row of three is turned a quarter: 2 rows of 2 lie, 1 row of 2 stands.
    rows = adapt_pattern(quilt_of(rails(), 2, turn_rows=90))
    assert cut_of(rows) == {LYING: 4, STANDING: 2, SQUARE: 6}
    assert {cut.piece for cut in rows.cuts if cut.cloth == "ground"} == {
        "ground, lying",
        "ground, standing",
        "ground, square",
    }


@pytest.mark.parametrize(("turn", "sides"), [(0, LYING), (90, STANDING), (180, LYING)])
def test_a_goose_made_one_at_a_time_is_cut_for_the_way_it_flies(turn, sides):
    made = adapt_pattern(quilt_of(goose(turn), 1))
    assert cut_of(made) == {sides: 6}
    (cut,) = [cut for cut in made.cuts if cut.cloth == "ground"]
    assert ("as the unit is to hang" in cut.note) == bool(turn)


def test_what_is_bought_is_what_is_cut_upright():
    made = adapt_pattern(quilt_of(rails(90), 2, rows=8, columns=10))
    # 80 rails of 2 1/2 across and 4 1/2 along: 16 to a strip, 5 strips of 4 1/2.
    # The 80 squares of 2 1/2 lie 16 to a strip: 5 of 2 1/2.
    (bought,) = [buy for buy in made.buys if buy.cloth == "ground"]
    assert bought.used == 5 * Fraction(9, 2) + 5 * Fraction(5, 2)


def test_without_a_direction_only_shapes_are_told_apart():
    quilt = quilt_of(rails(), 2, turn_rows=90)
    kinds = (quilt.kinds[0], replace(quilt.kinds[1], directional=False))
    made = adapt_pattern(replace(quilt, kinds=kinds))
    assert cut_of(made) == {LYING: 6, SQUARE: 6}
    assert {cut.note for cut in made.cuts} == {""}


def test_a_border_of_the_print_keeps_it_upright_and_says_where_it_turns():
    borders = (QuiltBorder(Fraction(2), "posts", "half-square-triangle", ("ground", "plum")),)
    made = adapt_pattern(quilt_of(rails(90), 2, borders=borders))
    told = {(cut.cloth, cut.piece): cut.note for cut in made.cuts}
    assert "show the print turned" in told["ground", "square for border"]
    assert told["plum", "square for border"] == ""
    assert told["ground", "border post"] == ""
    assert cut_of(made)[STANDING] == 6


@st.composite
def blocks(draw):
    """A block of rectangles in rows, each with a turn; the last cell is the figure's."""
    across = draw(st.integers(2, 5))
    units, cells, row = [BlockUnit("F", "square", None, (Patch("figure"),))], [], 0
    while row < across:
        high = draw(st.integers(1, across - row - 1)) if row < across - 1 else 1
        column = 0
        while column < across:
            wide = draw(st.integers(1, across - column))
            turn = draw(st.sampled_from([0, 90, 180, 270]))
            if row == across - 1 and column + wide == across:
                wide = 1 if column == across - 1 else across - 1 - column
            if row == across - 1 and column == across - 1:
                cells.append(Cell(0, row, column, 1, 1))
            else:
                before = (high, wide) if turn % 180 else (wide, high)
                units.append(BlockUnit("R", "rectangle", None, (Patch("ground"),), *before))
                cells.append(Cell(len(units) - 1, row, column, wide, high, turn))
            column += wide
        row += high
    return Block(across, tuple(units), tuple(cells))


def _as_hung(block, turns):
    """Count the rectangles by width and height in cells, painting each block and turning it."""
    face = np.zeros((block.across, block.across), int)
    for number, cell in enumerate(block.cells):
        face[cell.row : cell.row + cell.high, cell.column : cell.column + cell.wide] = number
    found = Counter()
    for turn in turns:
        hung = np.rot90(face, -(turn // 90))
        for number, cell in enumerate(block.cells):
            if cell.unit:
                down, across = np.nonzero(hung == number)
                found[int(np.ptp(across)) + 1, int(np.ptp(down)) + 1] += 1
    return found


@pytest.mark.parametrize("cases", [200, pytest.param(2000, marks=pytest.mark.slow)])
def test_rectangles_hang_upright_wherever_they_lie(cases):
    @settings(max_examples=cases, deadline=None)
    @given(
        blocks(),
        st.integers(1, 5),
        st.integers(1, 5),
        *[st.sampled_from([0, 90, 180, 270])] * 2,
        st.booleans(),
        st.booleans(),
    )
    def check(block, rows, columns, down, across, on_point, directional):
        quilt = quilt_of(
            block, len(block.cells) - 1, rows=rows, columns=columns,
            turn_rows=down, turn_columns=across, on_point=on_point,
        )  # fmt: skip
        turns = [(r * down + c * across) % 360 for r in range(rows) for c in range(columns)]
        kind = replace(quilt.kinds[1], directional=directional)
        quilt = replace(quilt, kinds=(quilt.kinds[0], kind))
        layout = as_laid_out(quilt, quilt.finished_block, quilt.seam, rows, columns)
        made = adapt_block(quilt, None, quilt.seam)
        found = pieces_of_cloth(quilt, made, layout, kind)
        cut = {(piece.width, piece.length): piece.count for piece in found}
        assert len({piece.name for piece in found}) == len(found) == len(cut)
        if on_point:
            hung = rows * columns + (rows - 1) * (columns - 1)
            assert sum(cut.values()) == hung * (len(block.cells) - 1)
            return
        expected = Counter()
        for (wide, high), count in _as_hung(block, turns).items():
            cut_wide, cut_high = (2 * cells + Fraction(1, 2) for cells in (wide, high))
            if not directional:
                cut_wide, cut_high = max(cut_wide, cut_high), min(cut_wide, cut_high)
            expected[cut_wide, cut_high] += count
        assert cut == expected

    check()


def halves(*turns):
    """A block of half-square triangles, the ground their first part, and one figure."""
    units = (BlockUnit("H", "half-square-triangle", 2, (Patch("ground"), Patch("figure"))),)
    cells = tuple(Cell(0, n // 2, n % 2, 1, 1, turn) for n, turn in enumerate(turns))
    return Block(2, units, cells)


def _shown(triangle):
    """Return a triangle moved so that its box begins at 0 and made 1 high, in any order."""
    low = [min(axis) for axis in zip(*triangle, strict=True)]
    size = max(y for _, y in triangle) - low[1]
    return frozenset(tuple((v - w) / size for v, w in zip(p, low, strict=True)) for p in triangle)


_C = (Fraction(1, 2), Fraction(1, 2))
_O, _R, _S, _L = (
    (Fraction(0), Fraction(0)),
    (Fraction(1), Fraction(0)),
    (Fraction(1),) * 2,
    (
        Fraction(0),
        Fraction(1),
    ),
)
QUARTERS = [(_O, _R, _C), (_R, _S, _C), (_S, _L, _C), (_L, _O, _C)]
"""A square cut on both diagonals."""
EIGHTHS = [
    t for a, b, c in QUARTERS for m in [tuple((x + y) / 2 for x, y in zip(a, b, strict=True))]
    for t in ((a, m, c), (m, b, c))
]  # fmt: skip
"""A square cut in four, and each quarter on the diagonal towards the middle."""


@pytest.mark.parametrize(
    ("name", "at_a_time", "part", "pieces", "wide", "apart"),
    [
        ("quarter-square-triangle", 2, 0, QUARTERS, 1, 1),
        ("quarter-square-triangle", 2, 1, QUARTERS, 1, 1),
        ("half-square-triangle", 8, 0, EIGHTHS, 1, 2),
        ("half-square-triangle", 8, 1, EIGHTHS, 1, 2),
        ("flying-geese", 4, 0, QUARTERS, 2, 1),
    ],
)
@pytest.mark.parametrize(
    "turns", [(0, 0, 0, 0), (0, 90, 180, 270), (0, 90, 90, 90), (0, 0, 90, 90)]
)
def test_triangles_that_hang_upright_are_those_that_an_upright_square_gives(
    name, at_a_time, part, pieces, wide, apart, turns
):
    # The shapes of the faces as they hang, against the shapes that the cut square falls into.
    hung = Counter()
    for turn in turns:
        for face in FACES[name][part]:
            square = [(x * wide, y) for x, y in face]
            for _ in range(turn // 90):
                square = [(-y, x) for x, y in square]
            hung[_shown(square)] += 12
    given_ = Counter(map(_shown, pieces))
    squares = Fraction(sum(hung.values()), len(pieces))
    upright = sum(min(Fraction(n), squares * given_[shape]) for shape, n in hung.items())
    unit = BlockUnit("U", name, at_a_time, (Patch("figure"), Patch("figure")), wide, 1)
    patches = list(unit.patches)
    patches[part] = Patch("ground")
    cells = tuple(Cell(0, n, 0, 1, 1, turn) for n, turn in enumerate(turns))
    block = Block(4, (replace(unit, patches=tuple(patches)),), cells)
    quilt = quilt_of(block, 1, rows=3, columns=4)
    layout = as_laid_out(quilt, quilt.finished_block, quilt.seam, 3, 4)
    words = hanging_words(quilt, layout, quilt.kinds[1])
    if upright == sum(hung.values()):
        assert "lay each square upright" in words
    else:
        least = max(-(-n // given_[shape]) for shape, n in hung.items())
        assert f"{upright} of {sum(hung.values())} triangles hang upright" in words
        assert f"for all, cut {least} squares apart" in words
    assert set(given_.values()) == {apart}


def test_a_small_square_folded_over_its_corner_shows_its_print_upright():
    block = Block(1, (BlockUnit("U", "flipped-corners", None, (Patch("figure"), Patch("ground"))),),
                  (Cell(0, 0, 0, 1, 1),))  # fmt: skip
    quilt = quilt_of(block, 4)
    words = hanging_words(quilt, as_laid_out(quilt, Fraction(2), quilt.seam, 3, 2), quilt.kinds[1])
    # Folding over a line along d takes v to 2 (v.d) d / |d|^2 - v; y points up.
    for corner, fold in (("upper left", (1, 1)), ("upper right", (1, -1))):
        right, left = (1, 0), (-1, 0)
        shown = [
            tuple(2 * sum(a * b for a, b in zip(v, fold, strict=True)) * f / 2 - a
                  for a, f in zip(v, fold, strict=True))
            for v in (right, left)
        ]  # fmt: skip
        assert shown[0 if corner == "upper left" else 1] == (0, 1)
    assert "to the right on an upper left or lower right corner, to the left on the others" in words


@pytest.mark.parametrize(
    ("turns", "says"),
    [
        ((0, 90, 180, 270), "6 are cut on the diagonal that rises to the right and 6 on the one"),
        ((0, 180, 0, 180), "they are cut on the diagonal that rises to the right"),
        ((90, 270, 90, 270), "they are cut on the diagonal that falls to the right"),
        ((0, 0, 0, 0), "12 of the triangles hang upside down; for none, cut 24 squares in half"),
    ],
)
def test_triangles_say_on_which_diagonal_the_print_is_sewn(turns, says):
    # A print that stands upright in the upper left half of a unit needs its square cut from the
    # lower left to the upper right corner; its other half hangs upright in the lower right.
    made = adapt_pattern(quilt_of(halves(*turns), 2))
    (cut,) = [cut for cut in made.cuts if cut.cloth == "ground"]
    assert cut.count == 12
    assert says in cut.note
    assert ("upside down" in cut.note) == (len(set(turns)) == 1)
