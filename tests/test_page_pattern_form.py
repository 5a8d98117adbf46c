"""Patterns drawn and filled in on the page: what its server answers."""

import re
from pathlib import Path

import pytest

from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.pattern_needs import FIELDS
from catalog.pattern.patterns import read_pattern

PAIR = [{"piece": "patch", "tone": 1}, {"piece": "background", "tone": 1}]


def tile(row, column, turn=0, unit="half-square-triangle", paints=PAIR):
    return {"unit": unit, "row": row, "column": column, "wide": 1, "high": 1, "turn": turn,
            "paints": paints}  # fmt: skip


def test_a_pattern_is_checked_told_in_numbers_and_drawn(shown):
    told = shown.post("patterns/check", {"text": pattern_text("four-patch"), "side": "5"})
    assert told["sound"]
    assert told["messages"] == []
    pieces = {one["name"]: one for one in told["numbers"]["pieces"]}
    assert (pieces["patch"]["cut"], pieces["patch"]["count"], pieces["patch"]["each"]) == (
        *("4 1/2", 24),
        1,
    )
    assert pieces["cornerstone"]["each"] == 9
    drawing = told["drawing"]
    assert len(drawing["spots"]) == 12
    assert len(drawing["blocks"][0]) == 4
    assert sum(one["role"] == "post" for one in drawing["above"]) == 20
    assert [one["paints"][0]["piece"] for one in told["blocks"][0]["tiles"]] == [
        *("patch", "background", "background", "patch")
    ]
    again = shown.post("patterns/check", {"data": told["data"], "side": "5"})
    assert again == told
    assert (
        read_pattern(told["text"], "x").quilt == read_pattern(pattern_text("four-patch"), "x").quilt
    )


def test_a_drawn_block_takes_the_place_of_the_old(shown):
    data = shown.post("patterns/check", {"text": pattern_text("four-patch")})["data"]
    tiles = [tile(0, 0), tile(0, 1, 90), tile(1, 0, 270), tile(1, 1, 180)]
    drawn = {"number": 0, "across": 2, "down": 2, "tiles": tiles}
    told = shown.post("patterns/check", {"data": data, "drawn": drawn})
    assert told["sound"], told["messages"]
    assert told["data"]["feature"][0]["size"] == "4 7/8"
    units = {(one["unit"], one["trim"], one["per_block"]) for one in told["numbers"]["units"]}
    assert units == {("half square triangle", "4 1/2", 4)}
    uneven = {**drawn, "down": 1, "tiles": tiles[:2]}
    told = shown.post("patterns/check", {"data": data, "drawn": uneven})
    assert told["data"]["layout"]["finished_block"] == "8 x 4"
    assert [one["place"] for one in told["messages"]] == [["layout", "turn_rows"],
                                                          ["layout", "turn_columns"]]  # fmt: skip


def test_a_wrong_pattern_is_told_with_the_edit_that_mends_it(shown):
    data = shown.post("patterns/check", {"text": pattern_text("four-patch")})["data"]
    data["sashing"]["width"] = "2"
    told = shown.post("patterns/check", {"data": data})
    assert not told["sound"]
    (message,) = told["messages"]
    assert message["place"] == ["sashing", "width"]
    assert message["mend"]["edits"] == [{"place": ["small", 0, "size"], "value": "2 1/2"}]
    assert told["numbers"]["size"]
    made = shown.post("patterns/rescale", {"data": data | {"sashing": {"width": "1"}}, "block": 6})
    assert {row["what"]: row["new"] for row in made["rows"]}["cut: patch"] == "3 1/2"


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"text": "rows = "},
        {"data": []},
        {"data": {"layout": {"rows": None}}, "drawn": {"number": 3}},
        {"data": {}, "side": []},
        {"data": {}, "side": "a thumb"},
        {"data": {"block": {"grid": ["A"], "unit": [{"mark": "A", "unit": "wheel"}]}}, "drawn": {}},
        {"data": {}, "drawn": {"number": 0, "across": 1, "down": 1, "tiles": []}},
        {
            "data": {"layout": {"finished_block": "8"}},
            "drawn": {
                **{"number": 0, "across": 1, "down": 1},
                "tiles": [tile(0, 0, unit="wheel")],
            },
        },
    ],
)
def test_what_is_no_pattern_is_refused_in_a_sentence(shown, body):
    told = shown.post("patterns/check", body, code=400)
    assert told["problem"]
    assert told["cure"]


def test_what_patterns_are_made_of_is_told_once(shown):
    parts = shown.get("patterns/parts")
    units = {one["name"]: one for one in parts["units"]}
    assert len(units) > 25
    assert units["half-square-triangle"]["mirrored"] == {
        **{"unit": "half-square-triangle", "turn": 90},
        "parts": [0, 1],
    }
    assert units["friendship-star"]["mirrored"] is None
    assert (units["flying-geese"]["wide"], units["flying-geese"]["high"]) == (2, 1)
    assert "fat quarters" in parts["choices"]["sold_as"]


FORM = Path(__file__).parents[1] / "cli" / "page" / "static" / "pattern"
BY_DRAWING = {"mark", "grid", "unit", "fabrics", "wide", "high", "trim", "at_a_time"}
"""Fields of a block, which is drawn."""


def test_the_form_has_every_field_that_a_pattern_file_knows():
    told = "\n".join(path.read_text(encoding="utf-8") for path in FORM.glob("*.js"))
    named = set(re.findall(r'"([a-z_]+)"', told)) | set(re.findall(r"\b([a-z_]+):", told))
    wanted = {field for fields in FIELDS.values() for field in fields} - BY_DRAWING
    assert wanted - named == set()
