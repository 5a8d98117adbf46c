"""``--names everyday``: for one count, or for a bundle from now on."""

import csv
import json
from dataclasses import replace
from pathlib import Path

import pytest
from drawn import looked_at, stand_in

from catalog.bundle.naming.square_names import tell_names, terms_of
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events.standing_rules import StandingRules, rules_words
from catalog.catalogue.store.catalogue_file import default_file
from catalog.colour.colour_names import everyday_words, name_colours

WORDS = everyday_words()


@pytest.fixture
def kept(monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(default_file()) as catalogue:
        catalogue.add("Blues", None, [looked_at(1, 2, 3)])
        yield catalogue


def named(catalogue):
    return {
        term for one in catalogue.bundle("blues").swatches for term in terms_of(one.colour_name)
    }


def test_a_count_in_everyday_words(calicount, small_photo):
    ended = calicount("count", small_photo, "--names", "everyday")
    assert ended.exit_code == 0, ended.output
    with Path("calicount-out/swatches.csv").open(encoding="utf-8", newline="") as file:
        names = [row["colour_name"] for row in csv.DictReader(file)]
    assert names
    assert {term for name in names for term in terms_of(name)} <= set(WORDS.values())


def test_a_bundle_is_named_in_everyday_words_until_it_is_undone(kept, calicount):
    assert named(kept) <= WORDS.keys()
    assert calicount("rules", "blues", "--names", "everyday").exit_code == 0
    assert named(kept) <= set(WORDS.values())
    assert json.loads(calicount("rules", "blues", "--json").stdout)["rules"]["names"] == "everyday"
    assert calicount("undo", "blues").exit_code == 0
    assert named(kept) <= WORDS.keys()


def test_a_count_may_name_a_bundle_otherwise_and_leaves_it_so(kept, calicount):
    ended = calicount("count", "blues", "--names", "everyday", "--json")
    told = json.loads(ended.stdout)["swatches"]
    terms = {term for one in told for term in terms_of(one["colour_name"])}
    assert terms <= set(WORDS.values())
    assert named(kept) <= WORDS.keys()


def test_the_rule_is_said_where_it_is_another():
    assert "everyday words" in rules_words(StandingRules(names="everyday"))
    assert "words" not in rules_words(StandingRules())


def test_what_was_kept_without_palettes_keeps_its_names(kept):
    old = [
        replace(one, palette=(), palette_at_wall=(), look=None)
        for one in kept.bundle("blues").swatches
    ]
    assert [one.colour_name for one in tell_names(old)] == name_colours([one.lab for one in old])
