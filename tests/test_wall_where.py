"""Where every piece goes: sets, squares left over, posts, in every unit and every turn."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walls_made import FOUR_PATCH, HOURGLASS, PINWHEEL, SQUARE, bundle, layout_of

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, Sashing
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import post_count
from catalog.cutting.unit_faces import FACES
from catalog.models import SquareSet, Swatch
from catalog.report.pictures.block_face import MISSING, Tones, block_face
from catalog.wall.exchanged_blocks import move_blocks
from catalog.wall.leftover_pieces import dealt_posts
from catalog.wall.piece_places import pieces_of_block
from catalog.wall.wall_plan import plan_wall

TONES = Tones((93.0, 0.0, 3.0), (79.0, 0.0, 4.0), (50.0, 0.0, 0.0))
PARTS = {unit: tuple(Patch("part", n) for n in range(1, len(faces) + 1))
         for unit, faces in FACES.items()}  # fmt: skip


def single(unit, turn=0):
    """A block of one unit."""
    wide, high = (2, 1) if unit == "flying-geese" else (1, 1)
    across = (wide, high) if turn % 180 == 0 else (high, wide)
    one = BlockUnit("A", unit, None, PARTS[unit], wide, high)
    return Block(max(across), (one,), (Cell(0, 0, 0, *across, turn),))


@pytest.mark.parametrize(
    ("unit", "turn", "words"),
    [
        ("square", 0, ["all of it"]),
        ("flying-geese", 0, ["large triangle", "sky"]),
        ("square-in-a-square", 90, ["middle", "corners"]),
        ("flipped-corners", 0, ["middle", "corners"]),
        ("half-square-triangle", 0, ["upper left half", "lower right half"]),
        ("half-square-triangle", 90, ["upper right half", "lower left half"]),
        ("quarter-square-triangle", 0, ["top and bottom quarters", "left and right quarters"]),
        ("quarter-square-triangle", 90, ["left and right quarters", "top and bottom quarters"]),
        ("four-patch", 0, ["upper left and lower right squares",
                           "upper right and lower left squares"]),
        ("nine-patch", 0, ["corners and middle", "sides"]),
    ],
)  # fmt: skip
def test_parts_of_a_unit_are_told_by_name_or_side(unit, turn, words):
    squares = [(patch, f"S{patch.which}") for patch in PARTS[unit]]
    told = pieces_of_block(single(unit), squares, (), turn)
    assert [goes for _, goes in told] == words


def test_every_unit_that_a_block_may_hold_is_told():
    for unit, patches in PARTS.items():
        told = pieces_of_block(single(unit), [(p, f"S{p.which}") for p in patches], (), 0)
        assert len({goes for _, goes in told}) == len(patches)


def test_pieces_of_one_patch_from_two_squares_are_told_apart():
    geese = single("flying-geese")
    told = dict(pieces_of_block(geese, (), [(Patch("part", 2), ("L1", "L2"))], 0))
    assert told == {"L1": "upper left part", "L2": "upper right part"}
    same = dict(pieces_of_block(geese, (), [(Patch("part", 2), ("L1", "L1"))], 0))
    assert same == {"L1": "sky"}


def test_a_block_of_many_units_tells_row_and_place():
    cells = tuple(Cell(0, r, c, 1, 1) for r in range(4) for c in range(4))
    units = (BlockUnit("A", "square", None, (Patch("x"),)),)
    one = Block(4, (*units, replace(units[0], mark="B", patches=(Patch("y"),))),
                (*cells[:-1], Cell(1, 3, 3, 1, 1)))  # fmt: skip
    assert dict(pieces_of_block(one, [(Patch("y"), "R1C1")], (), 0)) == {"R1C1": "row 4 place 4"}
    assert dict(pieces_of_block(one, [(Patch("y"), "R1C1")], (), 90)) == {"R1C1": "row 4 place 1"}


# --- squares left over ----------------------------------------------------------------------------


def with_scraps():
    """Pinwheels whose backgrounds are cut from squares left over, two pieces to a block."""
    ground = replace(PINWHEEL.kinds[1], role="small", source="left over")
    return replace(PINWHEEL, kinds=(PINWHEEL.kinds[0], ground))


@settings(max_examples=8)  # each hangs twenty sets
@given(st.lists(st.integers(1, 5), max_size=12))
def test_no_square_gives_more_small_pieces_than_it_has(numbers):
    quilt = with_scraps()
    small = {"background": [f"L{n}" for n, pieces in enumerate(numbers) for _ in range(pieces)]}
    sets, swatches = bundle(20)
    plan = plan_wall(quilt, layout_of(quilt), sets, swatches, "rainbow-down", small)
    used = Counter(one for block in plan.blocks for _, labels in block.scraps for one in labels)
    have = Counter(small["background"])
    wanted = 2 * len(plan.blocks)
    assert used.total() == wanted
    assert used[""] == max(0, wanted - have.total())
    assert all(used[label] <= have[label] for label in have)
    for block in plan.blocks:
        told = {label for label, _ in block.pieces}
        own = {one for _, labels in block.scraps for one in labels if one}
        assert told == own | {label for _, label in block.squares}


def test_small_pieces_stay_at_their_place_when_sets_are_moved():
    quilt = with_scraps()
    sets, swatches = bundle(20)
    small = {"background": [f"L{n}" for n in range(40)]}
    layout = layout_of(quilt)
    plan = plan_wall(quilt, layout, sets, swatches, "rainbow-down", small)
    by_label = {swatch.label: swatch for swatch in swatches}
    moved = move_blocks(quilt, layout, plan, [("A1", "B2")], by_label)
    for before, after in zip(plan.blocks, moved.blocks, strict=True):
        assert after.scraps == before.scraps
        assert {label for label, _ in after.pieces} == {
            *(label for _, label in after.squares),
            *(label for _, labels in after.scraps for label in labels),
        }


def test_small_pieces_are_drawn_in_their_cloth_and_grey_where_one_is_wanting():
    quilt = with_scraps()
    colours = {"L1": (10, 200, 30), "L2": (200, 20, 90), "S1": (1, 2, 3), "S2": (250, 250, 1)}

    def cloth_of(label, wide, high):
        return np.full((high, wide, 3), colours[label], np.uint8)

    hung = WallBlock(
        1, "A1", 1, 1, 4.0, 4.0, 0,
        squares=((Patch("wheel", 1), "S1"), (Patch("wheel", 2), "S2")),
        scraps=((Patch("background", 1), ("L1",)), (Patch("background", 2), ("",))),
    )  # fmt: skip
    face = block_face(quilt, hung, (400, 400), TONES, cloth_of)
    seen = {tuple(int(v) for v in colour) for colour in face.reshape(-1, 3)}
    assert {colours["L1"], colours["S1"], colours["S2"]} <= seen
    assert tuple(int(v) for v in lab_to_srgb8(MISSING)) in seen
    assert tuple(int(v) for v in lab_to_srgb8(TONES.ground)) not in seen


# --- posts ----------------------------------------------------------------------------------------


@given(
    st.integers(1, 5), st.integers(1, 5), st.booleans(), st.booleans(),
    st.lists(st.integers(1, 9), max_size=6),
)  # fmt: skip
def test_every_post_has_its_square_and_none_gives_too_many(rows, columns, outer, point, numbers):
    quilt = replace(FOUR_PATCH, sashing=Sashing(Fraction(1), True, outer, "cornerstone"))
    layout = Layout(
        rows, columns, Fraction(8), sashing=Fraction(1), outer=outer, on_point=point
    )  # fmt: skip
    pieces = [f"L{n}" for n, many in enumerate(numbers) for _ in range(many)]
    posts = dealt_posts(quilt, layout, places(layout), {"cornerstone": pieces})
    assert len(posts) == post_count(layout)
    used, have = Counter(posts.values()), Counter(pieces)
    assert used[""] == max(0, len(posts) - len(pieces))
    assert all(used[label] <= have[label] for label in used if label)


def test_each_post_is_told_once():
    sets, swatches = bundle(12, need="patch")
    layout = layout_of(FOUR_PATCH)
    small = {"cornerstone": [f"L{n}" for n in range(20)]}
    plan = plan_wall(FOUR_PATCH, layout, sets, swatches, "rainbow-down", small)
    told = [label for block in plan.blocks for _, label in block.posts_go]
    assert sorted(told) == sorted(small["cornerstone"])
    assert all(len(block.posts) == 4 for block in plan.blocks)


def test_a_single_that_matches_nothing_is_told_too():
    kinds = (replace(PINWHEEL.kinds[0], match=1),)
    quilt = replace(PINWHEEL, kinds=(*kinds, PINWHEEL.kinds[1]))
    swatches = [Swatch(f"S{n}", "p.jpg", SQUARE, (50.0, 0, n), "plain", 0.0) for n in range(40)]
    sets = [SquareSet(0, (s.label,), 0.0, 0.0, "any", True, (), "wheel") for s in swatches]
    plan = plan_wall(quilt, layout_of(quilt), sets, swatches, "rainbow-down")
    assert all(len(block.pieces) == 2 for block in plan.blocks)


def test_cells_with_the_same_part_are_told_together():
    told = dict(pieces_of_block(PINWHEEL.block, [(Patch("wheel", 1), "S1")], (), 0))
    assert told["S1"].count("half") <= 2
    both = BlockUnit("A", "four-patch", None, (Patch("part"), Patch("part")))
    one = Block(1, (both,), (Cell(0, 0, 0, 1, 1),))
    assert pieces_of_block(one, [(Patch("part"), "S1")], (), 0) == (("S1", "all of it"),)
    hourglasses = dict(pieces_of_block(HOURGLASS.block, [(Patch("hourglass", 1), "S1")], (), 0))
    assert hourglasses == {"S1": "upper left and lower right (top and bottom quarters)"}
