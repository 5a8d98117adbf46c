"""What may be said in the fields of events, and what rows of earlier versions may hold."""

from __future__ import annotations

from typing import Annotated

import pytest
from msgspec import Meta

from catalog import rule_limits
from catalog.catalogue.events.event_fields import (
    MAX_SQUARES,
    Outline,
    RowNumber,
    Sets,
    SquareNumber,
    Squares,
    Text,
    WallPlace,
    form_limits,
    limits_of,
    sayable,
)
from catalog.catalogue.events.standing_rules import StandingRules


def test_rules_that_are_numbers_have_their_limits():
    assert limits_of(StandingRules) == {
        "set_size": rule_limits.SET_SIZE,
        "tolerance": rule_limits.TOLERANCE,
        "least_step": rule_limits.STEP,
        "most_step": rule_limits.STEP,
        "lightness_weight": rule_limits.LIGHTNESS_WEIGHT,
        "families": rule_limits.FAMILIES,
    }


@pytest.mark.parametrize(
    ("field", "limits"),
    [
        (Text, {"type": "string", "description": "a text", "maxLength": 200}),
        (RowNumber, {"type": "integer", "minimum": 1, "maximum": 1000}),
        (RowNumber | None, {"type": "integer", "minimum": 1, "maximum": 1000}),
        (None | Text, {"type": "string", "description": "a text", "maxLength": 200}),
        (bool, {"type": "boolean"}),
        (
            WallPlace,
            {
                "type": "string",
                "description": "a place on the wall",
                "maxLength": 8,
                "pattern": "^[A-Z]+[0-9]+$",
            },
        ),
    ],
)
def test_forms_get_the_limits_of_what_may_be_said_today(field, limits):
    assert form_limits(field) == limits


def test_forms_of_squares_and_sets_say_how_many():
    squares, sets = form_limits(Squares), form_limits(Sets)
    assert (squares["minItems"], squares["maxItems"]) == (1, MAX_SQUARES)
    assert squares["description"] == "a list of squares"
    assert (sets["minItems"], sets["maxItems"]) == (1, MAX_SQUARES)
    assert (sets["items"]["minItems"], sets["items"]["maxItems"]) == (2, 4)
    assert sets["description"] == "a list of 2 to 4 different squares each"
    assert form_limits(Outline)["description"] == "four points"
    assert form_limits(SquareNumber)["description"] == "a square's number"


def test_what_has_no_narrower_type_is_said_as_it_is_held():
    held = Annotated[int, Meta(ge=3)]
    assert sayable(held) is held
    assert sayable(str) is str
