"""Every seam of the wall: which there are, which way they lie, and that all are told."""

import itertools
from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walls_made import PINWHEEL

from catalog.cutting.block_seams import BlockSeam
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.wall.pressing import pressed
from catalog.wall.pressing_words import inside_words, pressing_of
from catalog.wall.quilt_seams import LaidBlock, Seam, SeamGrid, turned_seam

ONE = (Patch("x"),)
NINE = Block(
    3,
    (BlockUnit("A", "square", None, ONE),),
    tuple(Cell(0, r, c, 1, 1) for r in range(3) for c in range(3)),
)
WIDE = Block(
    3,
    (BlockUnit("A", "rectangle", None, ONE, 2, 1), BlockUnit("B", "square", None, ONE)),
    (
        *(Cell(0, 0, 0, 2, 1), Cell(1, 0, 2, 1, 1), Cell(1, 1, 0, 1, 1), Cell(1, 1, 1, 1, 1)),
        *(Cell(0, 1, 2, 1, 2, 90), Cell(0, 2, 0, 2, 1)),
    ),
)
LARGE = Block(
    4,
    (BlockUnit("A", "square", None, ONE, 2, 2), BlockUnit("B", "square", None, ONE)),
    (
        Cell(0, 0, 0, 2, 2),
        *(Cell(1, r, c, 1, 1) for r in (0, 1) for c in (2, 3)),
        *(Cell(1, r, c, 1, 1) for r in (2, 3) for c in (0, 1)),
        Cell(0, 2, 2, 2, 2),
    ),
)
WHOLE = Block(1, (BlockUnit("A", "square", None, ONE),), (Cell(0, 0, 0, 1, 1),))
BLOCKS = [PINWHEEL.block, NINE, WIDE, LARGE, WHOLE]

layouts = st.builds(
    lambda rows, columns, sashing, posts, outer, point: Layout(
        rows,
        columns,
        Fraction(6),
        sashing=Fraction(sashing),
        posts=posts or point,
        outer=outer,
        on_point=point,
    ),
    st.integers(1, 4),
    st.integers(1, 4),
    st.integers(0, 1),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)
turns = st.tuples(st.sampled_from([0, 90, 180, 270]), st.sampled_from([0, 90, 180]))


def laid_out(block, layout, turns):
    """Return places, turns and seams."""
    spots = places(layout)
    turned = [(s.row * turns[0] + s.column * turns[1]) % 360 for s in spots]
    laid = [LaidBlock(block, turn) for turn in turned]
    return spots, turned, pressed(laid, layout, spots)


def painted(block, layout, spots, turned):
    """Return which piece lies in each cell of the quilt's grid, drawn from the layout alone."""
    cells, across = {}, block.across
    step = across + (1 if layout.sashing else 0)
    for number, (spot, turn) in enumerate(zip(spots, turned, strict=True)):
        x0, y0 = spot.column * step, spot.row * step
        for piece, cell in enumerate(block.cells):
            for c, r in itertools.product(range(cell.wide), range(cell.high)):
                x, y = cell.column + c, cell.row + r
                for _ in range(turn // 90):
                    x, y = across - 1 - y, x
                cells[x0 + x, y0 + y] = "piece", number, piece
        if layout.sashing:
            _paint_round(cells, layout, spot, (x0, y0), across)
    if layout.sashing and not layout.on_point:
        wide, high = layout.columns * step - 1, layout.rows * step - 1
        inside = {at: p for at, p in cells.items() if 0 <= at[0] < wide and 0 <= at[1] < high}
        cells = cells if layout.framed else inside
    return cells


def _paint_round(cells, layout, spot, corner, across):
    (x0, y0), r, c = corner, spot.row, spot.column
    for k in range(across):
        for gap, y in ((r, y0 - 1), (r + 1, y0 + across)):
            cells[x0 + k, y] = ("strip", gap, c) if layout.posts else ("long", gap)
        for gap, x in ((c, x0 - 1), (c + 1, x0 + across)):
            outer = gap in {0, layout.columns}
            side = ("side", gap) if outer and not layout.posts else ("upright", r, gap)
            cells[x, y0 + k] = side
    for (gap, y), (post, x) in itertools.product(
        ((r, y0 - 1), (r + 1, y0 + across)), ((c, x0 - 1), (c + 1, x0 + across))
    ):
        if layout.posts:
            cells[x, y] = "post", gap, post
        elif post in {0, layout.columns} and 0 < gap < layout.rows:
            cells[x, y] = "side", post
        else:
            cells[x, y] = "long", gap


def edges_of(cells, *, outside):
    """Return the unit edges between different pieces, and to what lies outside if that is sewn."""
    found = set()
    for (x, y), piece in cells.items():
        for run, edge, other in (
            ("upright", (x, y), (x - 1, y)),
            ("upright", (x + 1, y), (x + 1, y)),
            ("level", (y, x), (x, y - 1)),
            ("level", (y + 1, x), (x, y + 1)),
        ):
            if (other in cells or outside) and cells.get(other) != piece:
                found.add((run, *edge))
    return found


@given(st.sampled_from(BLOCKS), layouts, turns)
@settings(max_examples=300, deadline=None)
def test_there_is_a_seam_wherever_two_pieces_meet_and_only_there(block, layout, turns):
    spots, turned, seams = laid_out(block, layout, turns)
    cells = painted(block, layout, spots, turned)
    wanted = edges_of(cells, outside=layout.on_point)
    covered = Counter((s.run, s.at, k) for s in seams for k in range(s.start, s.end))
    assert max(covered.values(), default=1) == 1
    assert wanted <= covered.keys()
    if not layout.on_point:
        assert wanted == covered.keys()
        return
    # Seams of rows go on between the triangles beyond the blocks, whose own edges are slanted.
    for run, at, k in covered.keys() - wanted:
        beside = ((at - 1, k), (at, k)) if run == "upright" else ((k, at - 1), (k, at))
        assert not any(place in cells for place in beside)


@given(st.integers(1, 4), st.integers(1, 4), turns)
@settings(max_examples=25, deadline=None)
def test_posts_that_the_edge_halves_have_no_seam_beyond(rows, columns, turns):
    layout = Layout(rows, columns, Fraction(6), sashing=Fraction(1), on_point=True, half_posts=True)
    spots, turned, seams = laid_out(NINE, layout, turns)
    cells = painted(NINE, layout, spots, turned)
    covered = {(s.run, s.at, k) for s in seams for k in range(s.start, s.end)}
    assert edges_of(cells, outside=False) <= covered
    strips = {at: piece for at, piece in cells.items() if piece[0] != "post"}
    beyond = {edge for edge in edges_of(strips, outside=True) if len(cells_at(edge, cells)) == 1}
    assert beyond <= covered
    # The triangles are sewn to strips alone.
    edges = {(s.run, s.at, k) for s in seams if s.part == "edge" for k in range(s.start, s.end)}
    assert edges <= beyond


def cells_at(edge, cells):
    """The cells beside an edge that hold a piece."""
    run, at, k = edge
    beside = ((at - 1, k), (at, k)) if run == "upright" else ((k, at - 1), (k, at))
    return [place for place in beside if place in cells]


@given(st.sampled_from(BLOCKS), layouts, turns)
@settings(max_examples=200, deadline=None)
def test_seams_that_meet_lie_opposite_ways(block, layout, turns):
    _, _, seams = laid_out(block, layout, turns)
    ends = {(s.run, s.at, s.end): s for s in seams}
    assert len(ends) == len(seams), "two seams end in one place"
    for seam in seams:
        before = ends.get((seam.run, seam.at, seam.start))
        if before:
            assert {before.way, seam.way} in ({"left", "right"}, {"up", "down"})


@given(st.sampled_from(BLOCKS), layouts, turns)
@settings(max_examples=200, deadline=None)
def test_every_seam_has_its_words(block, layout, turns):
    spots, _, seams = laid_out(block, layout, turns)
    for number, spot in enumerate(spots):
        own = [seam for seam in seams if seam.place == number]
        grid = SeamGrid(block.across, block.across, 1 if layout.sashing else 0)
        told = pressing_of(own, spot, block, grid)
        parts = {seam.part for seam in own}
        assert bool(told.inside) == ("inside" in parts)
        assert bool(told.to_next) == ("after" in parts)
        assert bool(told.before) == ("before" in parts)
        assert bool(told.row) == bool({"row", "above"} & parts)
        assert bool(told.strips) == bool({"strip above", "strip below"} & parts)
        assert told.edge.count(":") == sum(seam.part == "edge" for seam in own)


@given(layouts.filter(lambda layout: layout.sashing), turns)
@settings(max_examples=100, deadline=None)
def test_seams_beside_sashing_go_to_the_sashing(layout, turns):
    spots, _, seams = laid_out(NINE, layout, turns)
    assert {s.way for s in seams if s.part == "before"} <= {"left"}
    assert {s.way for s in seams if s.part == "after"} <= {"right"}
    assert {s.way for s in seams if s.part == "row"} <= {"down"}
    assert {s.way for s in seams if s.part == "above"} <= {"up"}
    for number, spot in enumerate(spots):
        own = [s for s in seams if s.place == number]
        strips = pressing_of(own, spot, NINE, SeamGrid(3, 3, 1)).strips
        assert not strips or set(strips.split("; ")) <= {
            "above: posts to the strip",
            "below: posts to the strip",
        }


def test_a_seam_turns_with_its_block():
    seam = BlockSeam("upright", 1, 0, 2)
    assert turned_seam(seam, 3, 90) == BlockSeam("level", 1, 1, 3)
    assert turned_seam(seam, 3, 360) == seam
    assert turned_seam(turned_seam(seam, 3, 90), 3, 270) == seam


@pytest.mark.parametrize("block", BLOCKS)
def test_a_block_s_words_say_which_seam_is_meant(block):
    """No two seams of a block that lie differently are told by the same words."""
    _, _, seams = laid_out(block, Layout(2, 2, Fraction(6)), (90, 0))
    for number, spot in enumerate(places(Layout(2, 2, Fraction(6)))):
        inside = [s for s in seams if s.place == number and s.part == "inside"]
        origin = spot.column * block.across, spot.row * block.across
        words = [part for part in inside_words(inside, origin, block.across).split(", ") if part]
        heads = [part.rsplit(" ", 1)[0] for part in words]
        assert len(set(heads)) == len(heads)


def test_a_block_of_large_units_names_the_rows_and_columns_of_each_seam():
    _, _, seams = laid_out(LARGE, Layout(1, 1, Fraction(6)), (0, 0))
    assert inside_words([s for s in seams if s.part == "inside"], (0, 0), 4) == (
        "column 1 down, rows 1-2 right, column 2 up, column 3 down, rows 3-4 left, column 4 up, "
        "joins of rows down"
    )


def test_seams_of_one_row_that_lie_differently_are_told_one_by_one():
    seams = [
        Seam("upright", at, 0, 1, "inside", 0, "right", way)
        for at, way in ((11, "right"), (12, "left"))
    ]
    assert inside_words(seams, (10, 0), 4) == "row 1 after column 1 right and after column 2 left"
