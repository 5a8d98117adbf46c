"""Photos' word and a person's, replayed in any order that they can come in."""

import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from drawn import corners_at, squares_in_rows
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import UNSET, structs

from catalog.catalogue.archive.row_schemas import LABEL
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.event_kinds import CLASSES, event_of, is_event
from catalog.catalogue.events.event_words import words_of
from catalog.catalogue.events.projection import replay
from catalog.catalogue.events.square_events import rounded
from catalog.catalogue.records import MARKS, RecordedEvent, SeenSquare, StandingRules, StoredBundle
from catalog.catalogue.undoing import next_redone, next_undone
from catalog.errors import CatalogueError
from catalog.models import label_of

PHOTOS = (1, 2)
DRAWN = (91, 92)
"""Numbers that squares have which a person draws."""


def seen():
    """Two photos of two rows of three, the second one's rows below the first's."""
    found = []
    for photo in PHOTOS:
        for square in squares_in_rows(2, 3):
            lower = replace(square, row=square.row + 2 * (photo - 1))
            found.append(SeenSquare(len(found) + 1, photo, label_of(lower, 0), lower))
    return [*found, *(SeenSquare(n, 1, f"S{n:03d}", None) for n in DRAWN)]


SEEN = seen()
ANY = st.sampled_from([one.id for one in SEEN])
SEVERAL = st.lists(ANY, min_size=2, max_size=4, unique=True)
PAIR = st.lists(ANY, min_size=2, max_size=2, unique=True)
PLACE = st.integers(1, 6)
CORNERS = st.builds(corners_at, st.integers(0, 900), st.integers(0, 900), st.integers(20, 200)).map(
    rounded
)
BLOCK = st.sampled_from(["A1", "A2", "B1"])
PROJECT = st.sampled_from(["Runner", "Tote"])


def swapped(squares):
    return say.SwappedSquares.of(squares[:2], squares[2:], squares[0], squares[2])


DEEDS = st.one_of(
    st.builds(say.NotASquare, st.lists(ANY, min_size=1, max_size=2)),
    st.builds(say.MissedSquare, st.just(1), st.sampled_from(DRAWN), CORNERS, PLACE, PLACE),
    st.builds(say.MissedSquare, st.just(1), st.sampled_from(DRAWN), CORNERS, st.none(), st.none()),
    st.builds(say.MovedCorners.of, ANY, CORNERS),
    st.builds(say.PlacedSquare, ANY, PLACE, PLACE),
    st.builds(say.OneFabric.of, SEVERAL),
    st.builds(say.OwnFabric, SEVERAL),
    st.builds(say.NamedSquares.of, SEVERAL, st.text(max_size=5)),
    st.builds(say.SquaresRole, SEVERAL, st.sampled_from(["", "feature", "background"])),
    st.builds(say.MarkedSquares, SEVERAL, st.sampled_from(MARKS), on=st.booleans()),
    PAIR.map(say.SamePiece),
    st.builds(say.WhiteSquare, st.none() | ANY),
    st.builds(say.GreySquare, st.none() | ANY),
    st.builds(say.PhotoGround, st.sampled_from(PHOTOS), st.sampled_from([None, "wood", "mat"])),
    st.builds(say.PhotoLamp, st.sampled_from(PHOTOS), st.sampled_from([None, True, False])),
    st.builds(say.DroppedPhoto, st.sampled_from(PHOTOS)),
    SEVERAL.map(lambda squares: say.LockedSets([squares])),
    st.builds(say.UnlockedSets, SEVERAL),
    st.builds(say.ForbiddenPairs, st.lists(PAIR, min_size=1, max_size=2)),
    st.builds(say.AllowedPairs, st.lists(PAIR, min_size=1, max_size=2)),
    st.builds(say.SetTakenApart.of, SEVERAL),
    st.lists(ANY, min_size=4, max_size=4, unique=True).map(swapped),
    st.builds(StandingRules, set_size=st.sampled_from([2, 3, 4])),
    st.builds(say.ReservedSets.of, PROJECT, st.lists(SEVERAL, min_size=1, max_size=2)),
    st.builds(say.ProjectStage.of, PROJECT, SEVERAL, st.just("sewn")),
    st.builds(say.ProjectStage.of, PROJECT, SEVERAL, st.just("reserved")),
    st.builds(say.ReturnedSets.of, PROJECT, SEVERAL),
    st.builds(
        say.ExchangedBlocks,
        st.just("wall"),
        st.tuples(BLOCK, BLOCK),
        st.just(UNSET) | st.tuples(SEVERAL, SEVERAL),
    ),
    st.builds(
        say.SewnBlock,
        st.just("wall"),
        BLOCK,
        on=st.booleans(),
        squares=st.just(UNSET) | SEVERAL,
    ),
)


def numbered(deeds, undone=()):
    """Number deeds as the catalogue does, some undone."""
    return [
        RecordedEvent(one, number=n, made=n, undone=100 if n in undone else 0)
        for n, one in enumerate(deeds, start=1)
    ]


COURSES = st.builds(numbered, st.lists(DEEDS, max_size=14), st.sets(st.integers(1, 14), max_size=6))


@settings(max_examples=300, deadline=None)
@given(COURSES)
def test_whatever_is_done_and_undone_the_state_is_whole(course):
    state = replay(SEEN, course)
    squares = state.squares.values()
    labels = [one.label for one in squares]
    assert len(set(labels)) == len(labels)
    assert all(re.fullmatch(LABEL, label) for label in labels)
    for one in squares:
        if one.square.row is not None:
            assert one.label == label_of(one.square, 0)
        if one.twin_of is not None:
            assert state.squares[one.twin_of].live
    locked = [number for lock in state.locks for number in lock]
    assert len(set(locked)) == len(locked)
    assert all(state.squares[number].free for number in locked)
    taken = [n for p in state.projects.values() for one in p.sets for n in one.squares]
    assert len(set(taken)) == len(taken)
    assert set(taken) == {one.id for one in squares if one.project}
    assert not any(a in lock and b in lock for a, b in state.forbidden for lock in state.locks)
    assert all(not one.live for one in squares if one.photo in state.dropped_photos)


def test_corners_put_right_change_the_size_as_the_squares_beside_tell_it():
    # Squares of 100 px are 5 in; one of 80 px beside them is 4. What a person moved tells nothing.
    course = [say.MovedCorners.of(n, corners_at(240.0 * n, 120.0, 80.0)) for n in (1, 2)]
    squares = replay(SEEN, numbered(course)).squares
    for number in (1, 2):
        square = squares[number].square
        assert (square.width_in, square.height_in) == pytest.approx((4.0, 4.0))
        assert squares[number].moved
        assert (square.row, square.col) == (
            SEEN[number - 1].square.row,
            SEEN[number - 1].square.col,
        )


@settings(max_examples=100, deadline=None)
@given(st.lists(DEEDS, max_size=10))
def test_all_undone_is_what_the_photos_said(deeds):
    course = numbered(deeds, undone=range(1, 11))
    assert replay(SEEN, course) == replay(SEEN, [])
    assert all(one.square == replay(SEEN, course).squares[one.id].square for one in SEEN[:12])


@settings(max_examples=100, deadline=None)
@given(COURSES)
def test_undo_and_redo_are_each_others_opposite(course):
    before = replay(SEEN, course)
    last = next_undone(course)
    if last is None:
        return
    after = [replace(one, undone=101) if one.number == last.number else one for one in course]
    again = next_redone(after)
    assert again.number == last.number
    done = [replace(one, undone=0) if one.number == again.number else one for one in after]
    assert done == course
    assert replay(SEEN, done) == before


@settings(max_examples=100, deadline=None)
@given(st.lists(DEEDS, max_size=10))
def test_every_deed_has_the_form_that_is_held_against_what_comes_from_elsewhere(deeds):
    for one in deeds:
        kept = json.loads(json.dumps(one.args))
        assert is_event(one.kind, kept)
        assert json.dumps(event_of(one.kind, kept).args) == json.dumps(one.args)
        assert not is_event(one.kind, {**kept, "more": 1})
        for name in kept.keys() - {"squares"}:
            assert not is_event(one.kind, {k: v for k, v in kept.items() if k != name})


def test_every_kind_can_be_applied_told_and_judged():
    for one in CLASSES.values():
        assert one.apply is not Event.apply
        assert one.says or "words" in vars(one)


@settings(max_examples=100, deadline=None)
@given(DEEDS)
def test_every_event_has_a_clause_of_its_own(event):
    bundle = StoredBundle(1, "x", Fraction(5), 1, (), replay(SEEN, []), (), (), seen=tuple(SEEN))
    words = words_of(RecordedEvent(event), bundle)
    assert words == words.strip()
    assert not words.endswith(".")
    assert len(words.split()) > 2


def after(*deeds, undone=()):
    return replay(SEEN, numbered(deeds, undone))


class TestOnePieceOfCloth:
    def test_the_first_stands_for_both(self):
        state = after(say.SamePiece([1, 7]))
        assert state.squares[1].live
        assert not state.squares[7].live

    def test_what_is_said_of_either_holds_of_the_piece(self):
        state = after(
            say.SamePiece([1, 7]),
            say.MarkedSquares([7], "damaged"),
            say.NamedSquares.of([7], "rose"),
        )
        assert state.squares[1].marks == ("damaged",)
        assert state.squares[1].said == "rose"

    def test_also_what_was_said_before(self):
        state = after(say.MarkedSquares([7], "cut"), say.SamePiece([1, 7]))
        assert not state.squares[1].free

    def test_each_other_leaves_one_not_none(self):
        state = after(say.SamePiece([1, 7]), say.SamePiece([7, 1]))
        assert [n for n in (1, 7) if state.squares[n].live] == [1]

    def test_three_photos_of_one_piece(self):
        state = after(say.SamePiece([1, 7]), say.SamePiece([8, 7]))
        assert [n for n in (1, 7, 8) if state.squares[n].live] == [8]

    def test_the_other_comes_back_where_the_first_is_taken_out(self):
        state = after(
            say.SamePiece([1, 7]), say.MarkedSquares([1], "held back"), say.DroppedPhoto(1)
        )
        assert state.squares[7].live
        assert state.squares[7].marks == ("held back",)

    def test_a_lock_on_a_piece_with_itself_is_none_and_said_so(self):
        state = after(say.LockedSets([[1, 7]]), say.SamePiece([1, 7]))
        assert state.locks == ()
        assert state.notes == ("R1C1 is one piece of cloth, and no set",)


class TestUse:
    def test_a_square_is_reserved_but_once(self):
        state = after(say.ReservedSets.of("Runner", [[1, 2], [2, 3]]))
        assert [one.squares for one in state.projects["Runner"].sets] == [(1, 2)]
        assert state.squares[3].free
        assert state.notes == ("1 of the sets reserved for Runner can no longer be had",)

    def test_what_is_sewn_stays_sewn_where_its_partner_leaves_the_bundle(self):
        state = after(
            say.ReservedSets.of("Runner", [[1, 7]]),
            say.ProjectStage.of("Runner", [1], "sewn"),
            say.DroppedPhoto(1),
        )
        assert state.squares[7].stage == "sewn"
        assert "R1C1, which Runner has, is out of the bundle" in state.notes[0]

    def test_a_lock_that_cannot_hold_is_said_so(self):
        state = after(say.LockedSets([[1, 2]]), say.MarkedSquares([2], "cut"))
        assert state.locks == ()
        assert state.notes == ("the lock on R1C1 + R1C2 can no longer hold: R1C2 is cut",)

    def test_a_locked_set_that_a_project_has_is_nothing_to_complain_of(self):
        state = after(say.LockedSets([[1, 2]]), say.ReservedSets.of("Runner", [[2, 1]]))
        assert state.locks == state.notes == ()

    def test_returned_squares_are_free(self):
        state = after(
            say.ReservedSets.of("Runner", [[1, 2], [3, 4]]), say.ReturnedSets.of("Runner", [2])
        )
        assert state.squares[1].free
        assert state.squares[3].project == "Runner"


class TestCorners:
    def test_the_other_way_round_is_put_right(self):
        a, b, c, d = corners_at(10, 10)
        assert say.MovedCorners.of(1, (a, d, c, b)) == say.MovedCorners.of(1, (a, b, c, d))

    @pytest.mark.parametrize(
        "corners",
        [
            ((0, 0), (9, 9), (9, 0), (0, 9)),
            ((0, 0), (0, 0), (0, 0), (0, 0)),
            ((0, 0), (5, 0), (9, 0), (0, 9)),
            ((0, 0), (9, 0), (2, 2), (0, 9)),
        ],
    )
    def test_points_that_are_no_square_are_refused(self, corners):
        with pytest.raises(CatalogueError, match="no corners of a square"):
            say.MovedCorners.of(1, corners)

    def test_a_square_drawn_on_a_photo_that_was_taken_out_is_out_too(self):
        drawn = say.MissedSquare(1, 91, corners_at(600, 600), None, None)
        assert not after(say.DroppedPhoto(1), drawn).squares[91].live


def test_deeds_on_a_square_that_was_taken_back_pass():
    drawn = say.MissedSquare(1, 91, corners_at(600, 600), 5, 1)
    rest = [
        say.MarkedSquares([91], "cut"),
        say.LockedSets([[91, 1]]),
        say.WhiteSquare(91),
        say.PlacedSquare(91, 2, 2),
    ]
    state = after(drawn, *rest, undone=(1,))
    assert 91 not in state.squares
    assert "a square taken back" in " ".join(state.notes)


def test_a_square_is_drawn_but_once():
    first = say.MissedSquare(1, 91, corners_at(600, 600), 2, 2)
    state = after(first, first)
    assert [one.label for one in state.squares.values()].count("S091") == 1


def test_a_deed_of_an_unknown_kind_is_not_passed_over_in_silence():
    with pytest.raises(KeyError):
        replay(SEEN, [RecordedEvent(event_of("dye", {}), 1)])


def test_rules_beyond_the_limits_hold_at_the_limit_and_say_so():
    said = {
        **structs.asdict(StandingRules()),
        "tolerance": 30.0,
        "least_step": -4.0,
        "families": 90,
    }
    state = replay([], [RecordedEvent(event_of("rules", said))])
    assert (state.rules.tolerance, state.rules.least_step, state.rules.families) == (20, 0, 40)
    assert state.notes == (
        "the rules say tolerance 30; as that can't be meant, 20 holds",
        "the rules say least step -4; as that can't be meant, 0 holds",
        "the rules say families 90; as that can't be meant, 40 holds",
    )
    both = (event_of("rules", said), StandingRules(tolerance=9.0))
    later = replay([], [RecordedEvent(one) for one in both])
    assert (later.rules.tolerance, later.notes) == (9.0, ())
