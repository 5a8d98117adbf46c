"""Patterns of one's own by commands: kept, listed, found by --pattern, tried on bundles."""

import json
from pathlib import Path

import pytest

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.bundle_count import count_kept, request_for
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import load_pattern

WHEELS, HOURS = pattern_text("pinwheel"), pattern_text("hourglass")
TWO = (
    'title = "Two"\ndescription = "Two squares."\n[layout]\nblocks = 2\n'
    '[[feature]]\nname = "patch"\npiece = "square"\nsize = "5"\nper_block = 1\n'
)


@pytest.fixture
def porch(kept):
    """A pattern that is kept as porch, and the commands."""
    Path("wheels.toml").write_text(WHEELS, encoding="utf-8")
    ended = kept("pattern", "keep", "porch", "wheels.toml")
    assert ended.exit_code == 0, ended.output
    return kept


def test_a_pattern_is_kept_changed_and_taken_back(porch, told, refused):
    Path("hours.toml").write_text(HOURS, encoding="utf-8")
    ended = porch("pattern", "keep", "Porch", "hours.toml")
    assert "porch is as that file says now; calicount pattern undo porch" in ended.stdout
    assert "says that already" in porch("pattern", "keep", "porch", "hours.toml").stdout
    assert porch("pattern", "show", "porch").stdout == HOURS
    assert told("pattern", "show", "porch", "--number", "2")["text"] == WHEELS
    assert told("pattern", "rename", "porch", "summer porch")["pattern"] == "summer porch"
    ended = porch("pattern", "history", "summer porch")
    assert [line[18:] for line in ended.stdout.splitlines()[:3]] == [
        "1. kept as porch", "3. its file changed", "4. called summer porch",
    ]  # fmt: skip
    ended = porch("pattern", "undo", "summer porch")
    assert "porch, taken back: called summer porch. calicount pattern redo" in ended.stdout
    assert told("pattern", "redo", "porch")["version"] == 5
    assert told("pattern", "remove", "summer porch")["removed"]
    refused("pattern", "show", "summer porch", says=("no pattern of yours is called",))
    assert not told("pattern", "undo", "summer porch")["removed"]
    assert told("pattern", "history", "summer porch")["history"][-1]["undone"]
    refused("pattern", "show", "summer porch", "--number", "0", says=("has no number 0",))


def test_it_is_copied_and_exported_as_a_file(porch, told, refused):
    assert told("pattern", "copy", "porch", "second")["pattern"] == "second"
    assert told("pattern", "copy", "Four patch", "mine")["version"] == 1
    told("pattern", "export", "second", "out.toml")
    assert Path("out.toml").read_text(encoding="utf-8") == WHEELS
    refused("pattern", "export", "second", "out.toml", says=("there already",))
    refused("pattern", "rename", "pinwheel", "x", says=("pattern copy pinwheel NEW-NAME",))
    listed = {one["name"]: one for one in told("patterns")["patterns"] if one["own"]}
    assert listed.keys() == {"mine", "porch", "second"}
    assert listed["porch"]["construction"] == "one block in rows, a border"
    ended = porch("patterns")
    assert ended.stdout.index("Patterns that come with calicount") < ended.stdout.index("second")
    found = {one["name"] for one in told("patterns", "ON", "point")["patterns"]}
    assert found == {"setting-squares", "windowpanes"}
    found = {one["name"] for one in told("patterns", "wheel", "quarter-square")["patterns"]}
    assert found == set()
    found = {one["name"] for one in told("patterns", "half square triangle", "wheel")["patterns"]}
    assert found == {"pinwheel", "porch", "second", "setting-squares"}
    assert told("patterns", "nothing like it")["patterns"] == []


def test_it_is_found_wherever_a_pattern_is_named(porch, told):
    short = porch("count", "blues", "--pattern", "Porch", "--out", "counted", "--json")
    assert short.exit_code == 3, short.output
    assert json.loads(short.stdout)["tally"]["title"] == "Pinwheels"
    assert told("remake", "porch")["title"] == "Pinwheels"
    assert told("patterns", "--show", "porch")["text"] == WHEELS.rstrip("\n")
    porch("pattern", "rename", "porch", "garden")
    ended = porch("reserve", "blues", "runner", "--pattern", "garden")
    assert ended.exit_code == 3, ended.output
    assert "Pinwheels" in ended.stderr


def test_wall_and_units_find_it_even_where_it_was_renamed(kept, tmp_path):
    from cli.checking.checking_options import CheckingOptions
    from cli.checking.plan_wanted import pattern_wanted

    Path("wheels.toml").write_text(WHEELS, encoding="utf-8")
    kept("pattern", "keep", "porch", "wheels.toml")
    head = {"title": "P", "pattern": "porch", "rules": "{}", "tally": "[]", "enough": 1}
    with Catalogue() as catalogue:
        catalogue.keep_count(catalogue.bundle("blues"), head, [])
    kept("pattern", "rename", "porch", "garden")
    with Catalogue(reading=True) as catalogue:
        request, _ = pattern_wanted(catalogue, catalogue.bundle("blues"), CheckingOptions())
        assert request.pattern.name == "garden"
        named = CheckingOptions(pattern="garden")
        assert pattern_wanted(catalogue, catalogue.bundle("blues"), named)[0] == request


class TestFits:
    def test_what_a_bundle_could_make(self, porch, told, kept):
        Path("two.toml").write_text(TWO, encoding="utf-8")
        kept("pattern", "keep", "pair", "two.toml")
        fits = {one["pattern"]: one for one in told("fits", "blues")["fits"]}
        assert {"pair", "porch", "pinwheel", "four-patch"} <= fits.keys()
        assert "example" not in fits
        assert fits["pair"]["enough"]
        same = ("enough", "pieces_short", "short", "construction", "title")
        assert {key: fits["porch"][key] for key in same} == {
            key: fits["pinwheel"][key] for key in same
        }
        with Catalogue(reading=True) as catalogue:
            blues = catalogue.bundle("blues")
        tally = count_kept(blues, request_for(blues, load_pattern("hourglass"))).tally
        assert {one.need.name: one.short for one in tally.lines if one.short} == {
            one["need"]: one["short"] for one in fits["hourglass"]["short"]
        }
        ended = kept("fits", "blues")
        assert ended.stdout.startswith("blues is enough for ")
        assert ended.stdout.index("pair") < ended.stdout.index("hourglass")

    def test_which_bundle_makes_it(self, porch, told, refused):
        fits = told("fits", "--pattern", "porch", code=3)["fits"]
        assert {(one["bundle"], one["pattern"]) for one in fits} == {
            ("blues", "porch"), ("both halves", "porch"),
        }  # fmt: skip
        Path("two.toml").write_text(TWO, encoding="utf-8")
        (one,) = told("fits", "blues", "--pattern", "two.toml")["fits"]
        assert (one["enough"], one["title"], one["pattern_id"]) == (True, "Two", None)
        assert {one["pattern_id"] for one in fits} == {1}
        ended = porch("fits", "--pattern", "two.toml")
        assert ended.exit_code == 0
        assert ended.stdout.startswith("Two: 2 of 2 bundles would do")
        refused("fits", says=("name a bundle, or a pattern with --pattern",))
        refused("fits", "greens", says=("no bundle is called",))
        refused("fits", "--pattern", "x", says=("of yours: porch",))


def test_names_are_completed(porch, kept_file):
    from typing import Any

    from cli import completion

    ctx: Any = type("Context", (), {"params": {"catalogue": kept_file}})()
    assert completion.patterns(ctx, "p") == ["pinwheel", "porch"]
    assert completion.own_patterns(ctx, "P") == ["porch"]
    assert completion.patterns(ctx, "whe") == ["wheels.toml"]
