"""Events in plain words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.events.event_words import words_of
from catalog.catalogue.events.standing_rules import StandingRules, rules_words
from catalog.catalogue.events.wall_events import ExchangedBlocks, SewnBlock
from catalog.catalogue.records import RecordedEvent


@pytest.fixture(scope="module")
def blues(_made):
    with Catalogue(_made) as catalogue:
        return catalogue.bundle("blues")


@pytest.mark.parametrize(
    ("deed", "words"),
    [
        (lambda n: say.NotASquare([n("R1C1")]), "R1C1 is no square"),
        (lambda n: say.NotASquare([n("R1C1"), n("R1C2")]), "R1C1 and R1C2 are no squares"),
        (lambda n: say.PlacedSquare(n("R1C1"), 3, 4), "R1C1 put in row 3, column 4"),
        (lambda n: say.NamedSquares.of([n("R1C1")], ""), "name of R1C1 taken away"),
        (
            lambda n: say.MarkedSquares([n("R1C1")], "wrong side", on=False),
            "R1C1 is not wrong side up",
        ),
        (lambda n: say.MarkedSquares([n("R1C1")], "cut"), "R1C1 is cut already"),
        (lambda n: say.PhotoGround(1, "mat"), "squares of bundle.jpg lie on a cutting mat"),
        (lambda n: say.PhotoLamp(1, lamp=True), "a lamp was on in bundle.jpg"),
        (lambda n: say.PhotoLamp(1, lamp=False), "no lamp was on in bundle.jpg"),
        (
            lambda n: say.PhotoLamp(1, None),
            "whether a lamp was on in bundle.jpg is left to the prints",
        ),
        (lambda n: say.DroppedPhoto(1), "bundle.jpg taken out of the bundle"),
        (lambda n: say.DroppedPhoto(77), "a photo taken out of the bundle"),
        (lambda n: say.WhiteSquare(None), "no square is said to be white"),
        (lambda n: say.LockedSets([[n("R1C1"), n("R2C2")]]), "R1C1 + R2C2 stays a set"),
        (
            lambda n: say.ForbiddenPairs([[n("R1C1"), n("R1C2")], [n("R1C1"), n("R1C3")]]),
            "R1C1 and R1C2 and R1C1 and R1C3 never in one set",
        ),
        (
            lambda n: say.ReservedSets.of(
                "runner", [[n("R1C1"), n("R2C2")], [n("R3C1"), n("R3C2")]]
            ),
            "R1C1 + R2C2 and R3C1 + R3C2 set aside for runner",
        ),
        (
            lambda n: say.ProjectStage.of("x", [n("R1C1")], "reserved"),
            "R1C1 is set aside, not sewn, for x",
        ),
        (lambda n: say.ReturnedSets.of("x", [n("R1C1")]), "R1C1 goes back from x to the bundle"),
        (lambda n: ExchangedBlocks("w", ("A1", "B2")), "A1 and B2 change places on the wall"),
        (lambda n: SewnBlock("w", "A1", on=False), "A1 on the wall is not sewn after all"),
        (lambda n: say.OwnFabric([10**6]), "a square taken back is a fabric of its own"),
        (lambda n: say.event_of("of a newer version", {}), "of a newer version"),
    ],
)
def test_each_deed_in_words(blues, deed, words):
    event = deed(lambda label: blues.square(label).id)
    told = words_of(RecordedEvent(event), blues)
    assert told == words
    assert not told.endswith(".")


def test_of_many_squares_only_the_first_are_named(blues):
    ids = [blues.square(f"R{r}C{c}").id for r in (1, 2) for c in range(1, 7)]
    told = words_of(RecordedEvent(say.NotASquare(ids)), blues)
    assert told == "R1C1, R1C2, R1C3, R1C4, R1C5 and 7 more are no squares"


def test_rules_tell_only_what_was_changed():
    assert rules_words(StandingRules()) == "sets of 2"
    changed = StandingRules(set_size=3, tolerance=7.5, same_fabric="avoid", families=6)
    assert rules_words(changed) == (
        "sets of 3; colours up to 7.5 apart count; not two of one fabric; 6 colour families"
    )


def test_a_change_of_rules_tells_what_it_changes(blues):
    first = RecordedEvent(StandingRules(tolerance=7.0), number=1, made=2)
    second = RecordedEvent(StandingRules(tolerance=7.0, least_step=5.0), number=2, made=3)
    third = RecordedEvent(StandingRules(tolerance=7.0), number=3, made=5)
    undone = (first, replace(second, undone=4), third)
    told = [words_of(one, replace(blues, events=undone)) for one in undone]
    assert told == [
        "rules for sets: colours up to 7 apart count",
        "rules for sets: lightest at least 5 lighter than darkest",
        "rules for sets: as they were",
    ]
    fresh = RecordedEvent(StandingRules(set_size=4))
    assert words_of(fresh, replace(blues, events=(first,))) == (
        "rules for sets: sets of 4; colours count up to the usual difference"
    )
