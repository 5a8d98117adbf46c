"""Sets, squares and blocks that a person moves on the wall, and what is told before."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from walls_made import FOUR_PATCH, PINWHEEL, bundle, layout_of

from catalog.colour.ciede2000 import ciede2000
from catalog.cutting.plans import WallPlan
from catalog.errors import UsageError
from catalog.models import SquareSet
from catalog.wall.exchanged_blocks import move_blocks
from catalog.wall.put_right.taken_blocks import with_taken
from catalog.wall.rehanging.ground_steps import ground_lines, ground_steps
from catalog.wall.rehanging.hand_moves import exchanged_groups, exchanged_squares, turned_block
from catalog.wall.rehanging.move_effects import move_effects
from catalog.wall.rehanging.neighbour_differences import differences_beside, sets_apart
from catalog.wall.rehanging.square_groups import groups_of
from catalog.wall.wall_plan import plan_wall

QUILT = replace(PINWHEEL, borders=())
LAYOUT = layout_of(QUILT, rows=3, columns=3)


@pytest.fixture(scope="module")
def hung():
    sets, swatches = bundle(9)
    wall = plan_wall(QUILT, LAYOUT, sets, swatches, "rainbow-across")
    return wall, sets, {one.label: one for one in swatches}


def at(wall: WallPlan, place):
    return next(block for block in wall.blocks if block.place == place)


def labels(wall, place):
    return [label for _, label in at(wall, place).squares]


def hand(wall, place, which=0):
    return place, labels(wall, place)[which]


def test_sets_of_two_blocks_change_places_and_keep_their_numbers(hung):
    wall, sets, squares = hung
    taken = exchanged_groups(wall, sets, hand(wall, "A1"), hand(wall, "C2"))
    after = with_taken(QUILT, LAYOUT, wall, taken, squares, sets)
    assert labels(after, "A1") == labels(wall, "C2")
    assert labels(after, "C2") == labels(wall, "A1")
    assert at(after, "A1").sets == at(wall, "C2").sets
    assert at(after, "A1").darker == at(wall, "C2").darker
    assert at(after, "B1") == at(wall, "B1")


def test_squares_of_a_block_change_sides(hung):
    wall, sets, squares = hung
    taken = exchanged_squares(wall, hand(wall, "B2", 0), hand(wall, "B2", 1))
    after = with_taken(QUILT, LAYOUT, wall, taken, squares, sets)
    assert labels(after, "B2") == labels(wall, "B2")[::-1]
    assert at(after, "B2").darker == at(wall, "B2").darker
    assert at(after, "B2").darker_goes == at(wall, "B2").lighter_goes
    with pytest.raises(UsageError, match="within their block"):
        exchanged_squares(wall, hand(wall, "B2"), hand(wall, "B1"))


def test_a_block_is_turned_by_a_quarter_or_where_it_is_no_square_by_half(hung):
    wall, sets, squares = hung
    (taken,) = turned_block(wall, LAYOUT, "A2")
    assert taken.turn == (at(wall, "A2").turn + 90) % 360
    assert at(with_taken(QUILT, LAYOUT, wall, [taken], squares, sets), "A2").turn == taken.turn
    long = replace(LAYOUT, block_length=LAYOUT.block * 2)
    (taken,) = turned_block(wall, long, "A2")
    assert taken.turn == (at(wall, "A2").turn + 180) % 360


def test_what_can_not_change_places_is_refused(hung):
    wall, sets, _ = hung
    with pytest.raises(UsageError, match="same set"):
        exchanged_groups(wall, sets, hand(wall, "A1", 0), hand(wall, "A1", 1))
    with pytest.raises(UsageError, match="no place Q9"):
        exchanged_groups(wall, sets, ("Q9", "S001a"), hand(wall, "A1"))
    with pytest.raises(UsageError, match="hang at A1"):
        exchanged_groups(wall, sets, ("A1", labels(wall, "B1")[0]), hand(wall, "B1"))
    bare = replace(wall, blocks=(replace(wall.blocks[0], squares=()), *wall.blocks[1:]))
    with pytest.raises(UsageError, match="nothing hangs"):
        turned_block(bare, LAYOUT, "A1")


def test_differences_are_those_of_the_colours_that_touch(hung):
    wall, _, squares = hung
    told = differences_beside(QUILT, LAYOUT, wall, squares, {"B2"})
    assert {frozenset((one.place, one.other)) for one in told} == {
        frozenset(pair) for pair in (("B2", "A2"), ("B2", "B1"), ("B2", "B3"), ("B2", "C2"))
    }
    for one in told:
        means = [
            np.mean([squares[label].lab for label in labels(wall, place)], axis=0)
            for place in (one.place, one.other)
        ]
        assert one.difference == pytest.approx(float(ciede2000(*means)))


def test_a_move_tells_neighbours_before_and_after(hung):
    wall, sets, squares = hung
    after = move_blocks(QUILT, LAYOUT, wall, [("A1", "C3")], squares)
    told = move_effects(QUILT, LAYOUT, (wall, after), squares, sets)
    assert told.changed == ("A1", "C3")
    assert {one.place for one in told.beside} | {one.other for one in told.beside} >= {"A1", "C3"}
    assert [line.split(":")[0] for line in told.lines] == ["A1", "C3"]
    assert all("before" in line for line in told.lines)
    same = move_effects(QUILT, LAYOUT, (wall, wall), squares, sets)
    assert (same.changed, same.beside, same.lines) == ((), (), ())


def test_sets_put_together_in_a_block_tell_how_far_apart_they_are():
    kind = FOUR_PATCH.kinds[0]
    sets, swatches = bundle(24, size=kind.match, need=kind.needs[0])
    layout = layout_of(FOUR_PATCH)
    wall = plan_wall(FOUR_PATCH, layout, sets, swatches, "scattered")
    squares = {one.label: one for one in swatches}
    full = [block for block in wall.blocks if block.squares]
    groups = groups_of(full[0], sets)
    assert [label for group in groups for label in group.labels] == [
        label for _, label in full[0].squares
    ]
    one, two = groups[0].labels[:2]
    many = [SquareSet(n, (own,), 0, 0, "red", False) for n, own in ((1, one), (2, two))]
    block = replace(full[0], sets=(1, 2), squares=full[0].squares[:2])
    labs = [squares[label].lab for _, label in block.squares]
    assert sets_apart(block, many, squares) == pytest.approx(float(ciede2000(*labs)))
    assert sets_apart(replace(block, sets=(1,)), many, squares) is None


def test_sets_that_hardly_stand_out_from_a_cloth_are_told(hung):
    wall, sets, squares = hung
    own = squares[labels(wall, "A1")[0]].lab[0]
    steps = ground_steps(QUILT, wall, sets, squares, "background", own)
    assert {one.place for one in steps} == {block.place for block in wall.blocks if block.squares}
    first = next(one for one in steps if one.place == "A1")
    assert first.step == 0
    assert first.lost
    assert first.called == f"set {at(wall, 'A1').sets[0]}"
    far = ground_steps(QUILT, wall, sets, squares, "background", 150.0)
    (line,) = ground_lines(far, steps)
    assert first.called in line
    assert "none did before" in line
    (line,) = ground_lines(steps, far)
    assert line.startswith("All stand out")
    assert "hardly did before" in line
    assert ground_steps(QUILT, wall, sets, squares, "binding", own) == ()
    assert ground_lines((), ()) == ()
