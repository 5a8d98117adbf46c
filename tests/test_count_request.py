"""A count is asked once: each value is parsed once and each file read once, whoever asks."""

import json
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import replace
from fractions import Fraction

import pytest

from catalog import length_text, photo, pipeline
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.bundle_count import request_for
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.count_request import DEFAULT_ARRANGEMENT, CountRequest
from catalog.errors import UsageError
from catalog.models import MatchRules
from catalog.pattern import pattern_file
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import load_pattern
from cli.counting.count_options import CountOptions
from cli.counting.typed_count import request_of
from cli.cutting import cloth_options
from cli.options import Sameness, SeenAt, Tone, WallOrder
from cli.page.routes.plan_routes import request_from

SIZES = ("--seam", "0.26", "--width", "41.5", "--spare", "3.5")


@pytest.fixture
def own_pattern(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(pattern_text("pinwheel"), encoding="utf-8")
    return path


def told_by(monkeypatch, module, name, calls):
    """Count what a function is called with."""
    real = getattr(module, name)

    def called(first, *others, **named):
        calls[first] += 1
        return real(first, *others, **named)

    monkeypatch.setattr(module, name, called)


@pytest.fixture
def calls(monkeypatch):
    """How often each text is parsed as a length and each file read."""
    calls = Counter()
    for module in (length_text, cloth_options):
        told_by(monkeypatch, module, "parse_length", calls)
    told_by(monkeypatch, pattern_file, "_read", calls)
    told_by(monkeypatch, pipeline, "read_photo", calls)
    told_by(monkeypatch, photo, "read_photo", calls)
    return calls


def test_photos_are_counted_with_each_value_parsed_and_each_file_read_once(
    kept, own_pattern, small_photo, calls
):
    words = ["count", small_photo, "--square", "4.99", "--pattern", own_pattern, *SIZES]
    ended = kept(*words, "--order", "scattered", "--out", "out")
    assert ended.exit_code in {0, 3}, ended.output
    assert calls == {
        **dict.fromkeys(("4.99", *SIZES[1::2]), 1),
        str(own_pattern): 1,
        small_photo: 1,
    }


def test_a_kept_bundle_is_counted_with_each_value_parsed_and_its_pattern_read_once(
    kept, kept_file, own_pattern, calls
):
    ended = kept("count", "blues", "--pattern", own_pattern, *SIZES, "--out", "out")
    assert ended.exit_code in {0, 3}, ended.output
    assert calls == {**dict.fromkeys(SIZES[1::2], 1), str(own_pattern): 1}
    with closing(sqlite3.connect(kept_file)) as file:
        ((pattern, rules),) = file.execute("select pattern, rules from counts").fetchall()
    held = {"size": 2, "sets": None, "tolerance": 5.0, "within": None, "k_lightness": 1.0}
    assert (pattern, json.loads(rules) | held) == (str(own_pattern), json.loads(rules))


def test_a_command_the_page_and_the_standing_rules_ask_alike(kept, kept_file):
    kept("rules", "blues", "--tolerance", "7", "--same-fabric", "avoid", "--lightness-weight", "2")
    with Catalogue(kept_file) as catalogue:
        blues = catalogue.bundle("blues")
    for name, size in ((None, None), ("four-patch", (5, 4))):
        pattern = None if name is None else load_pattern(name)
        options = CountOptions(pattern=name, seam="1/4", order=WallOrder.scattered)
        typed = request_of(options, blues.state.rules, blues.side)
        by_rules = request_for(blues, pattern, seam=Fraction(1, 4), arrangement="scattered")
        assert replace(typed, side_typed="") == by_rules
        query = {"pattern": name, "seam": "1/4", "order": "scattered"}
        if size:
            query |= {"rows": size[0], "columns": size[1]}
            by_rules = by_rules.of_size(*size)
        with Catalogue(kept_file, reading=True) as catalogue:
            on_page = request_from(query, blues, catalogue)
        assert on_page.needs == by_rules.needs
        assert replace(on_page, pattern=None) == replace(by_rules, pattern=None)
        assert (on_page.rules.tolerance, on_page.rules.within) == (7, 7)
        assert (on_page.rules.same_fabric, on_page.rules.k_lightness) == ("avoid", 2)


def test_what_was_typed_holds_before_what_stands():
    standing = StandingRules(3, 6.0, 4.0, 30.0, "prefer", 2.0, 5, seen_from="hand")
    options = CountOptions(
        set_size=4, least_step=2.0, same_fabric=Sameness.avoid, lock=["r1c1+r1c2"], sets=3
    )
    asked = request_of(options, standing, Fraction(5))
    assert asked.rules == MatchRules(
        size=4,
        sets=3,
        same_fabric="avoid",
        least_value_step=2.0,
        greatest_value_step=30.0,
        tolerance=6.0,
        within=6.0,
        locked=(("R1C1", "R1C2"),),
        k_lightness=2.0,
        seen_from="hand",
    )
    assert (asked.needs[0].match, asked.needs[0].count) == (4, 12)
    with_pattern = request_of(CountOptions(pattern="pinwheel"), standing, Fraction(5))
    assert with_pattern.rules.size == 2  # the pattern says how many squares match
    with pytest.raises(UsageError, match="leave one of them out"):
        request_of(CountOptions(pattern="pinwheel", set_size=3), standing, Fraction(5))


def test_what_like_tone_means_is_typed_or_stands_or_is_the_pattern_s_own(own_pattern):
    usual = request_of(CountOptions(), StandingRules(), Fraction(5)).rules
    assert (usual.match_by, usual.seen_from, usual.within) == ("colour", "wall", 10)
    by_value = StandingRules(match_by="value", lightness_weight=2.0)
    standing = request_of(CountOptions(), by_value, Fraction(5)).rules
    assert (standing.match_by, standing.within) == ("value", 10)
    typed = CountOptions(match_by=Tone.hue, seen_from=SeenAt.hand)
    asked = request_of(typed, by_value, Fraction(5)).rules
    assert (asked.match_by, asked.seen_from) == ("hue", "hand")
    with pytest.raises(UsageError, match="looks at no colours"):
        request_of(replace(typed, lightness_weight=2.0), StandingRules(), Fraction(5))
    own = own_pattern.read_text(encoding="utf-8").replace(
        "match = 2", 'match = 2\nmatch_by = "hue"'
    )
    own_pattern.write_text(own, encoding="utf-8")
    asked = request_of(CountOptions(pattern=str(own_pattern)), by_value, Fraction(5))
    assert {need.match_by for need in asked.needs if need.match > 1} == {"hue"}
    with pytest.raises(UsageError, match="has nothing to say"):
        request_of(replace(typed, pattern=str(own_pattern)), StandingRules(), Fraction(5))


def test_what_there_is_to_plan_follows_from_pattern_and_arrangement(own_pattern):
    alone = CountRequest(Fraction(5), MatchRules(), ())
    assert (alone.title, alone.asks_number, alone.asks_plan) == ("Matched sets", False, False)
    assert replace(alone, arrangement=DEFAULT_ARRANGEMENT).asks_plan
    assert replace(alone, rules=MatchRules(sets=2)).asks_number
    quilt = replace(alone, pattern=load_pattern(own_pattern))
    assert (quilt.title, quilt.asks_number, quilt.asks_plan) == ("Pinwheels", True, True)
    told = replace(quilt.pattern, quilt=None)
    assert not replace(quilt, pattern=told, arrangement="scattered").asks_plan
    with pytest.raises(ValueError, match="rows and columns"):
        alone.of_size(2, 2)
