"""What a person said of the wall, added up."""

from __future__ import annotations

from fractions import Fraction

import pytest
from walls_made import PINWHEEL, SQUARE, bundle, layout_of

from catalog.catalogue.events.event_words import words_of
from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.wall_events import (
    ExchangedBlocks,
    SewnBlock,
    as_hung,
    name_of_text,
)
from catalog.catalogue.records import RecordedEvent, SaidOfWall, State, StoredBundle, StoredSquare
from catalog.planning import Planned
from catalog.report.tables.plan_csv import wall_csv
from catalog.wall.wall_plan import plan_wall


def said(*deeds):
    return replay([], [RecordedEvent(one) for one in deeds]).wall


def test_walls_know_nothing_of_one_another():
    walls = said(
        SewnBlock("one", "A1"), SewnBlock("two", "B1"), ExchangedBlocks("one", ("A2", "A3"))
    )
    assert walls["one"].done == ("A1",)
    assert walls["one"].swaps == (("A2", "A3"),)
    assert walls["two"] == SaidOfWall(done=("B1",))


def test_a_tick_taken_off_is_off_and_one_set_twice_is_one():
    walls = said(
        SewnBlock("w", "A1"),
        SewnBlock("w", "A2"),
        SewnBlock("w", "A1"),
        SewnBlock("w", "A2", on=False),
    )
    assert walls["w"].done == ("A1",)


def test_a_sewn_block_that_moves_stays_sewn():
    walls = said(
        SewnBlock("w", "A1", squares=(1, 2)), ExchangedBlocks("w", ("A1", "B1"), ((1, 2), (3, 4)))
    )
    assert walls["w"].done == ("B1",)
    assert walls["w"].hung == {"A1": (3, 4), "B1": (1, 2)}


def test_squares_are_meant_at_one_place_alone():
    walls = said(
        ExchangedBlocks("w", ("A1", "B1"), ((1, 2), (3, 4))),
        ExchangedBlocks("w", ("B1", "C1"), ((1, 2), ())),
    )
    assert walls["w"].hung == {"A1": (3, 4), "B1": (), "C1": (1, 2)}


def test_what_was_said_of_a_block_is_told_in_words():
    told = [
        words_of(RecordedEvent(SewnBlock("w", "B3", on=on)), kept([], SaidOfWall()))
        for on in (True, False)
    ]
    assert told == ["B3 on the wall is sewn", "B3 on the wall is not sewn after all"]


def test_walls_of_patterns_without_a_name_are_told_apart_by_their_text():
    # SHA-256 of "abc" begins with ba7816bf (FIPS 180-4's example).
    assert "ba7816bf" in name_of_text("abc")
    assert name_of_text("abc") != name_of_text("abd")
    assert name_of_text("\ud800") == name_of_text("?")


def test_other_numbers_leave_what_is_unknown_unknown():
    event = SewnBlock("w", "A1").renumbered(lambda number: number + 10)
    assert event == SewnBlock("w", "A1")
    known = SewnBlock("w", "A1", squares=(1, 2, 0)).renumbered(lambda number: number + 10)
    assert known.squares == (11, 12, 0)  # 0 is no square's number


@pytest.fixture(scope="module")
def planned():
    """Twenty blocks of two squares each on a wall, and the swatches they are of."""
    sets, swatches = bundle(20, need=PINWHEEL.kinds[0].name)
    layout = layout_of(PINWHEEL)
    wall = plan_wall(PINWHEEL, layout, sets, swatches, "rainbow-down")
    return Planned(PINWHEEL, layout, None, wall, None, (("nowhere", 0.0),)), swatches


def kept(swatches, said):
    squares = {n: StoredSquare(n, 1, s.label, SQUARE) for n, s in enumerate(swatches, 1)}
    by_label = {one.label: one for one in squares.values()}
    state = State(squares, wall={"wall": said})
    return StoredBundle(1, "b", Fraction(5), 1, (), state, (), tuple(swatches), by_label=by_label)


def at(plan):
    return {block.place: {label for _, label in block.squares} for block in plan.wall.blocks}


def numbers(swatches, labels):
    return tuple(n for n, one in enumerate(swatches, 1) if one.label in labels)


def test_a_wall_of_which_nothing_was_said_hangs_as_planned(planned):
    plan, swatches = planned
    assert as_hung(plan, "another wall", kept(swatches, SaidOfWall())) == (plan, frozenset())
    assert as_hung(plan, "wall", kept(swatches, SaidOfWall()))[0] is plan


def test_blocks_that_were_exchanged_hang_at_each_other_s_place(planned):
    plan, swatches = planned
    before = at(plan)
    said = SaidOfWall(swaps=(("A1", "B2"), ("B2", "C3"), ("A1", "Z99")))
    hung, done = as_hung(plan, "wall", kept(swatches, said))
    wanted = {**before, "A1": before["B2"], "B2": before["C3"], "C3": before["A1"]}
    assert (at(hung), done) == (wanted, frozenset())
    assert ("nowhere", 0.0) not in hung.lost


def test_squares_that_are_meant_at_a_place_hang_there_and_what_hung_there_where_they_were(planned):
    plan, swatches = planned
    before = at(plan)
    meant = numbers(swatches, before["D4"])
    said = SaidOfWall(hung={"A1": meant, "Z99": numbers(swatches, before["B1"]), "B2": ()})
    hung, _ = as_hung(plan, "wall", kept(swatches, said))
    assert at(hung) == {**before, "A1": before["D4"], "D4": before["A1"]}
    there = SaidOfWall(hung={"D4": meant, "A1": (998, 999)})
    assert as_hung(plan, "wall", kept(swatches, there))[0] is plan


def test_a_block_is_sewn_where_the_squares_hang_that_were_sewn(planned):
    plan, swatches = planned
    before = at(plan)
    said = SaidOfWall(
        done=("A1", "B1", "C1", "Z99"),
        hung={"B1": numbers(swatches, before["B1"]), "C1": (998, 999)},
    )
    hung, done = as_hung(plan, "wall", kept(swatches, said))
    assert (at(hung), done) == (before, frozenset({"A1", "B1"}))
    assert {block.place for block in hung.wall.blocks if block.done} == done
    rows = wall_csv(hung.wall).splitlines()
    assert [row.split(",")[1] for row in rows if ",yes," in row] == ["A1", "B1"]
    moved = SaidOfWall(done=("B1",), swaps=(("A1", "B1"),), hung={"B1": ()})
    assert as_hung(plan, "wall", kept(swatches, moved))[1] == frozenset()
