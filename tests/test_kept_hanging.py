"""What a person said of the wall, added up."""

from __future__ import annotations

from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.wall_events import ExchangedBlocks, SewnBlock
from catalog.catalogue.records import RecordedEvent, SaidOfWall


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
        SewnBlock("w", "A1", squares=[1, 2]), ExchangedBlocks("w", ("A1", "B1"), [[1, 2], [3, 4]])
    )
    assert walls["w"].done == ("B1",)
    assert walls["w"].hung == {"A1": (3, 4), "B1": (1, 2)}


def test_squares_are_meant_at_one_place_alone():
    walls = said(
        ExchangedBlocks("w", ("A1", "B1"), [[1, 2], [3, 4]]),
        ExchangedBlocks("w", ("B1", "C1"), [[1, 2], []]),
    )
    assert walls["w"].hung == {"A1": (3, 4), "B1": (), "C1": (1, 2)}
