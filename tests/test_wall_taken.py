"""The plan of a wall made to follow what hangs there."""

from __future__ import annotations

from fractions import Fraction

import msgspec
import pytest
from walls_made import PINWHEEL, SQUARE, bundle, layout_of

from catalog.catalogue.events.event_words import words_of
from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.wall_events import ExchangedBlocks, SewnBlock, TakenWall, as_hung
from catalog.catalogue.records import RecordedEvent, SaidOfWall, State, StoredBundle, StoredSquare
from catalog.errors import WallError
from catalog.models import SeenPlace, WallCheck
from catalog.planning import Planned
from catalog.wall.put_right.as_it_hangs import as_it_hangs, changed_places
from catalog.wall.put_right.taken_blocks import with_taken
from catalog.wall.wall_plan import plan_wall

SETS, SWATCHES = bundle(22, need=PINWHEEL.kinds[0].name)
LAYOUT = layout_of(PINWHEEL)
BUNDLE = {swatch.label: swatch for swatch in SWATCHES}
PLAN = plan_wall(PINWHEEL, LAYOUT, SETS, SWATCHES, "rainbow-down")
AT = {block.place: block for block in PLAN.blocks}
SPARE = next(one for one in SETS if one.number not in {n for b in PLAN.blocks for n in b.sets})


def check(**told):
    """The wall as planned but for the places named: another's place, or fields."""
    places = []
    for place in AT:
        how = told.get(place, {})
        how = {"state": "other", "shows": how} if how in [*AT] else how
        how = {"state": how} if isinstance(how, str) else how
        places.append(SeenPlace(place, **{"state": "as planned", "sure": 0.9, **how}))
    return WallCheck(tuple(places), wall_found=True)


def taken(**told):
    """The plan as it follows from the wall, by place, and the places where it changed."""
    found = as_it_hangs(check(**told), PLAN, SETS)
    plan = with_taken(PINWHEEL, LAYOUT, PLAN, found, BUNDLE, SETS)
    return {block.place: block for block in plan.blocks}, changed_places(found, PLAN)


def test_a_wall_that_hangs_as_planned_changes_nothing():
    plan, changed = taken()
    assert changed == ()
    assert plan == AT


def test_blocks_that_changed_places_are_planned_so():
    plan, changed = taken(B3="C1", C1="B3")
    assert changed == ("B3", "C1")
    for here, there in (("B3", "C1"), ("C1", "B3")):
        assert plan[here].squares == AT[there].squares
        assert plan[here].sets == AT[there].sets
        assert plan[here].darker_goes == AT[here].darker_goes


def test_a_block_that_hangs_turned_is_planned_turned_and_pressed_anew():
    plan, changed = taken(A1={"state": "turned", "turned_deg": 90})
    assert changed == ("A1",)
    assert plan["A1"].turn == 90
    assert plan["A1"].darker_goes == AT["A1"].lighter_goes
    assert plan["A1"].press_inside != AT["A1"].press_inside


def test_cloths_on_the_other_side_are_planned_there():
    plan, changed = taken(D2="sides")
    assert changed == ("D2",)
    assert plan["D2"].darker == AT["D2"].darker
    assert plan["D2"].darker_goes == AT["D2"].lighter_goes
    assert plan["D2"].squares != AT["D2"].squares


def test_a_set_that_was_left_over_is_planned_where_it_hangs():
    plan, changed = taken(E4={"state": "other", "set_number": SPARE.number})
    assert changed == ("E4",)
    assert plan["E4"].sets == (SPARE.number,)
    assert (plan["E4"].darker, plan["E4"].lighter) == SPARE.swatches


def test_what_hangs_nowhere_comes_to_the_empty_place():
    plan, changed = taken(A1="E4", E4="missing")
    assert changed == ("A1", "E4")
    assert plan["E4"].squares == AT["A1"].squares
    assert taken(A1="missing")[1] == ()


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"A1": "B2"}, "A1 and B2 would have the same block"),
        ({"A1": "B2", "B2": "can't tell"}, "A1 and B2 would have the same block"),
        ({"A1": {"state": "other"}}, "what hangs at A1 is no block"),
        ({"A1": {"state": "other", "set_number": 99}}, "what hangs at A1 is no block"),
    ],
)
def test_what_can_t_be_told_is_refused_kindly(told, says):
    with pytest.raises(WallError) as refused:
        as_it_hangs(check(**told), PLAN, SETS)
    assert says in str(refused.value)
    assert "photograph it again" in str(refused.value)


def test_places_that_are_not_seen_stay_as_planned():
    found = as_it_hangs(check(A1="not in the photo", A2="can't tell"), PLAN, SETS)
    assert [one.place for one in found] == [place for place in AT if place not in {"A1", "A2"}]


def said(*events):
    return replay([], [RecordedEvent(one) for one in events]).wall.get("w", SaidOfWall())


def kept(said):
    squares = {n: StoredSquare(n, 1, s.label, SQUARE) for n, s in enumerate(SWATCHES, 1)}
    by_label = {one.label: one for one in squares.values()}
    state = State(squares, wall={"w": said})
    return StoredBundle(1, "b", Fraction(5), 1, (), state, (), tuple(SWATCHES), by_label=by_label)


def numbers(labels):
    order = [swatch.label for swatch in SWATCHES]
    return tuple(order.index(label) + 1 for label in labels)


def event(**told):
    found = as_it_hangs(check(**told), PLAN, SETS)
    return TakenWall(
        "w",
        tuple(one.place for one in found),
        tuple(numbers(one.squares) for one in found),
        tuple(one.turn for one in found),
    )


def hung(*events):
    planned = Planned(PINWHEEL, LAYOUT, None, PLAN, None, ())
    plan, done = as_hung(planned, "w", kept(said(*events)), SETS)
    return {block.place: block for block in plan.wall.blocks}, done


def test_what_was_taken_hangs_so_from_then_on():
    told = {
        "B3": "C1", "C1": "B3", "D2": "sides", "A1": {"state": "turned", "turned_deg": 90},
        "E4": {"state": "other", "set_number": SPARE.number},
    }  # fmt: skip
    assert hung(event(**told))[0] == taken(**told)[0]


def test_a_set_that_came_to_the_wall_can_be_sewn_there():
    spare = {"E4": {"state": "other", "set_number": SPARE.number}}
    sewn = SewnBlock("w", "E4", squares=numbers(SPARE.swatches))
    assert hung(event(**spare), sewn)[1] == {"E4"}


def test_a_block_that_moves_later_takes_its_sides_along():
    sides = event(D2="sides")
    here, there = (numbers(label for _, label in AT[place].squares) for place in ("D2", "A1"))
    plan, _ = hung(sides, ExchangedBlocks("w", ("D2", "A1"), (here, there)))
    assert plan["A1"].squares == taken(D2="sides")[0]["D2"].squares
    assert plan["D2"].squares == AT["A1"].squares


def test_taking_the_wall_again_puts_the_last_word_first():
    plan, _ = hung(event(B3="C1", C1="B3"), event())
    assert plan == AT


def test_what_was_taken_of_squares_that_are_gone_says_nothing_any_more():
    one = TakenWall("w", ("A1", "Z9"), ((998, 999), (1, 2)), (90, 0))
    assert hung(one)[0] == AT


def test_it_is_told_in_words():
    words = words_of(RecordedEvent(event()), kept(SaidOfWall()))
    assert words == "the plan of the wall follows what hangs at 20 places"
    known = msgspec.structs.replace(event(), changed=("A1", "B4"))
    words = words_of(RecordedEvent(known), kept(SaidOfWall()))
    assert words == "the plan of the wall follows what hangs at 2 places"
