"""What a person said of the wall, added up."""

from __future__ import annotations

from catalog.catalogue.events.wall_events import exchanged, hung, ticked


def said(*deeds):
    walls = {}
    for deed in deeds:
        walls = hung(walls, deed.args)
    return walls


def test_walls_know_nothing_of_one_another():
    walls = said(ticked("one", "A1"), ticked("two", "B1"), exchanged("one", "A2", "A3"))
    assert walls["one"]["done"] == ["A1"]
    assert walls["one"]["swaps"] == [["A2", "A3"]]
    assert walls["two"] == {"swaps": [], "done": ["B1"], "hung": {}}


def test_a_tick_taken_off_is_off_and_one_set_twice_is_one():
    walls = said(
        ticked("w", "A1"), ticked("w", "A2"), ticked("w", "A1"), ticked("w", "A2", on=False)
    )
    assert walls["w"]["done"] == ["A1"]


def test_a_sewn_block_that_moves_stays_sewn():
    walls = said(ticked("w", "A1", squares=[1, 2]), exchanged("w", "A1", "B1", [[1, 2], [3, 4]]))
    assert walls["w"]["done"] == ["B1"]
    assert walls["w"]["hung"] == {"A1": [3, 4], "B1": [1, 2]}


def test_squares_are_meant_at_one_place_alone():
    walls = said(
        exchanged("w", "A1", "B1", [[1, 2], [3, 4]]), exchanged("w", "B1", "C1", [[1, 2], []])
    )
    assert walls["w"]["hung"] == {"A1": [3, 4], "B1": [], "C1": [1, 2]}
