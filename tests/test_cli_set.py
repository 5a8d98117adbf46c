"""``calicount set`` and ``fabric``, ``light``, ``photo``, ``rules`` as a person types them."""

import csv
import math
from pathlib import Path

import pytest


def sets_of(kept, *words):
    """The sets that a count makes, as sets of labels, by the number in its file."""
    ended = kept("count", *words, "--out", "counted", "--replace")
    assert ended.exit_code in {0, 3}, ended.output
    with Path("counted", "sets.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    return {int(row["set"]): {row["swatch_a"], row["swatch_b"]} for row in rows}


def test_a_lock_holds_until_it_is_let_go(kept, told):
    usual = sets_of(kept, "blues")
    apart = [min(usual[1]), min(usual[2])]
    assert told("set", "lock", "blues", *apart)["done"][0]["words"].endswith("stays a set")
    assert set(apart) in sets_of(kept, "blues").values()
    said = kept("set", "unlock", "blues", apart[1]).stdout
    assert f"{apart[0]} + {apart[1]} need not stay a set" in said
    assert set(apart) in sets_of(kept, "blues").values()
    said = kept("set", "anew", "blues", "--only", apart[0], "--only", max(usual[2])).stdout
    assert "are no more" in said
    assert sets_of(kept, "blues") == usual
    refused_both = kept("set", "anew", "blues", "--only", apart[0], "--from-one")
    assert refused_both.exit_code == 2


def test_a_ban_holds_until_it_is_taken_away(kept):
    usual = sets_of(kept, "blues")
    pair = sorted(usual[1])
    assert kept("set", "forbid", "blues", *pair).exit_code == 0
    assert set(pair) not in sets_of(kept, "blues").values()
    assert kept("set", "allow", "blues", *reversed(pair)).exit_code == 0
    assert sets_of(kept, "blues") == usual


def test_squares_of_two_sets_change_places_and_both_stay(kept):
    usual = sets_of(kept, "blues")
    (a, rest_a), (b, rest_b) = sorted(usual[1]), sorted(usual[2])
    ended = kept("set", "swap", "blues", a, b)
    assert ended.exit_code == 0, ended.output
    after = sets_of(kept, "blues").values()
    assert {b, rest_a} in after
    assert {a, rest_b} in after
    again = kept("set", "swap", "blues", a, b)
    assert again.exit_code == 0, again.output
    assert {frozenset(one) for one in usual.values()} == {
        frozenset(one) for one in sets_of(kept, "blues").values()
    }


def test_a_set_taken_apart_is_not_made_again(kept):
    usual = sets_of(kept, "blues")
    assert kept("set", "apart", "blues", min(usual[3])).exit_code == 0
    assert usual[3] not in sets_of(kept, "blues").values()
    kept("undo", "blues")
    assert sets_of(kept, "blues") == usual


def test_a_lock_that_can_no_longer_hold_is_said_everywhere(kept, told):
    kept("set", "lock", "blues", "R1C1", "R1C2")
    note = "the lock on R1C1 + R1C2 can no longer hold: R1C2 is cut"
    found = told("square", "mark", "blues", "cut", "R1C2")
    assert found["new_notes"] == [note]
    assert f"{note[0].upper()}{note[1:]}." in " ".join(kept("show", "blues").stdout.split())
    counted = kept("count", "blues", "--out", "out")
    assert f"{note[0].upper()}{note[1:]}." in " ".join(counted.stdout.split())
    assert told("count", "blues", "--out", "out2")["bundle"]["notes"] == [note]
    kept("set", "unlock", "blues", "R1C1")
    assert told("show", "blues")["notes"] == []


def test_a_set_of_three_waits_for_a_count_of_threes(kept):
    kept("set", "lock", "blues", "R1C1", "R2C2", "R3C3")
    said = kept("count", "blues", "--out", "twos").stdout
    assert "Locked sets of another size than those asked for wait: R1C1 + R2C2 + R3C3." in said
    threes = kept("count", "blues", "--set-size", 3, "--out", "threes")
    assert threes.exit_code == 0, threes.output
    with Path("threes", "sets.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert {"R1C1", "R2C2", "R3C3"} in [
        {row[key] for key in ("swatch_a", "swatch_b", "swatch_c")} for row in rows
    ]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["lock", "blues", "R1C1"], "1 square makes no set"),
        (["lock", "blues", "R1C1", "R1C2", "R1C3", "R1C4", "R1C5"], "5 squares make no set"),
        (["unlock", "blues", "R1C1"], "no locked set of blues has R1C1"),
        (["allow", "blues", "R1C1", "R1C2"], "may be in one set already"),
        (["forbid", "blues", "R1C1", "r1c1"], "at least two squares"),
        (["swap", "blues", "R1C1", "R1C2"], "let the sets be chosen with: calicount count blues"),
        (["apart", "both halves", "R1C1"], 'calicount count "both halves"'),
    ],
)
def test_sets_that_can_t_be_meant(refused, words, says):
    refused("set", *words, says=says)


def test_squares_of_one_set_don_t_change_places(kept, refused):
    one, other = sorted(sets_of(kept, "blues")[1])
    refused("set", "swap", "blues", one, other, says="not in two sets")


def test_a_square_that_is_used_can_t_be_locked(kept, refused):
    kept("square", "mark", "blues", "held-back", "R1C1")
    refused("set", "lock", "blues", "R1C1", "R1C2", says="R1C1 can't be in a set (held back)")


# ------------------------------------------------------------------ fabrics, light, photos, rules


def test_fabrics_are_joined_and_parted(kept, squares):
    before = squares()
    labels = list(before)
    one = labels[0]
    other = next(label for label in labels if before[label]["fabric"] != before[one]["fabric"])
    kept("fabric", "one", "blues", one, other)
    joined = squares()
    assert joined[one]["fabric"] == joined[other]["fabric"]
    kept("fabric", "own", "blues", other)
    assert squares()[one]["fabric"] != squares()[other]["fabric"]
    kept("undo", "blues")
    kept("undo", "blues")
    assert squares() == before


@pytest.mark.parametrize(("option", "says"), [("--white", "not near white"), ("--grey", "no neut")])
def test_what_looks_otherwise_is_taken_for_white_or_grey_only_if_insisted(
    option, says, kept, refused, squares
):
    of_chroma = {label: math.hypot(*one["lab"][1:]) for label, one in squares().items()}
    coloured = max(of_chroma, key=of_chroma.get)
    assert of_chroma[coloured] > 22
    said = refused("light", "blues", option, coloured, says=[coloured, says, "--yes"])
    assert "lightness" in said
    assert kept("light", "blues", option, coloured, "--yes").exit_code == 0


def test_what_is_dark_is_taken_for_white_only_if_insisted_and_for_grey_at_once(
    kept, refused, squares
):
    dark = {
        label: math.hypot(*one["lab"][1:]) for label, one in squares().items() if one["lab"][0] < 66
    }
    greyest = min(dark, key=dark.get)
    assert dark[greyest] < 22
    refused("light", "blues", "--white", greyest, says="not near white")
    assert kept("light", "blues", "--grey", greyest).exit_code == 0


def test_white_is_believed_and_taken_back(kept, told, squares):
    before = squares()
    lightest = max(before, key=lambda label: before[label]["lab"][0])
    said = kept("light", "blues", "--white", lightest)
    assert said.exit_code == 0, said.output
    assert f"You said that {lightest} is white." in said.stdout
    after = squares()
    assert after[lightest]["lab"] != before[lightest]["lab"]
    assert abs(after[lightest]["lab"][1]) <= abs(before[lightest]["lab"][1]) + 0.5
    assert told("light", "blues")["photos"][0]["evidence"]
    kept("light", "blues", "--white", "none")
    assert squares()[lightest]["lab"] == before[lightest]["lab"]


def test_the_ground_is_said_for_one_photo_or_all(kept, told):
    kept("light", "both halves", "--ground", "mat")
    assert [one["ground"] for one in told("light", "both halves")["photos"]] == ["mat", "mat"]
    kept("light", "both halves", "--ground", "by-looks", "--photo", "2")
    assert [one["ground"] for one in told("light", "both halves")["photos"]] == ["mat", None]
    assert "olours are judged by" in kept("light", "both halves").stdout


def test_a_lamp_is_said_for_one_photo_or_all(kept, told):
    kept("light", "both halves", "--lamp")
    assert [one["lamp"] for one in told("light", "both halves")["photos"]] == [True, True]
    ended = kept("light", "both halves", "--no-lamp", "--photo", "2")
    assert "no lamp was on in right.jpg" in ended.stdout
    assert [one["lamp"] for one in told("light", "both halves")["photos"]] == [True, False]


def test_a_photo_number_alone_says_nothing(refused):
    refused("light", "blues", "--photo", "1", says="add --ground")


def test_a_photo_is_taken_out_and_comes_back(kept, squares, told):
    before = squares("both halves")
    ended = kept("photo", "drop", "both halves", "1")
    assert "left.jpg taken out of the bundle" in ended.stdout
    assert {one["name"] for one in told("show", "both halves")["photos"]} == {"right.jpg"}
    assert squares("both halves").keys() < before.keys()
    kept("undo", "both halves")
    assert squares("both halves") == before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["blues", "1"], "the only photo of blues; calicount remove blues"),
        (["both halves", "3"], "has no photo 3; it has 1 (left.jpg), 2 (right.jpg)"),
    ],
)
def test_photos_that_can_t_go(refused, words, says):
    refused("photo", "drop", *words, says=says)


def test_rules_stand_for_every_count_until_one_says_otherwise(kept, told):
    assert told("rules", "blues")["rules"]["tolerance"] is None
    said = kept("rules", "blues", "--tolerance", 3, "--same-fabric", "avoid")
    assert "colours up to 3 apart count; not two of one fabric" in said.stdout
    assert kept("rules", "blues").stdout.startswith("blues: Sets of 2; colours up to 3 apart")
    narrow = told("count", "blues", "--out", "narrow")
    assert all(not one["same_fabric"] for one in narrow["sets"])
    wide = told("count", "blues", "--tolerance", 20, "--out", "wide")
    on_hand = [found["tally"]["lines"][0]["on_hand"] for found in (narrow, wide)]
    assert on_hand[0] < on_hand[1]
    kept("rules", "blues", "--as-usual")
    assert told("rules", "blues")["rules"]["same_fabric"] == "allow"


def test_what_like_tone_means_stands_for_every_count(kept, told):
    said = kept("rules", "blues", "--match-by", "value", "--seen-from", "hand").stdout
    assert "matched by value alone, whatever the colour; looked at in the hand" in said
    assert told("rules", "blues")["rules"]["match_by"] == "value"
    by_value = told("count", "blues", "--out", "value")["sets"]
    assert {one["matched_by"] for one in by_value} == {"value"}
    assert all(one["difference_in_words"].endswith("in value") for one in by_value)
    by_hue = told("count", "blues", "--match-by", "hue", "--out", "hue")["sets"]
    assert {one["matched_by"] for one in by_hue} == {"hue"}
    assert [one["swatches"] for one in by_hue] != [one["swatches"] for one in by_value]


def test_families_are_made_as_many_as_wanted(kept, squares):
    kept("rules", "blues", "--families", 3)
    assert len({one["family"] for one in squares().values()}) == 3
    kept("rules", "blues", "--families", 0)
    assert len({one["family"] for one in squares().values()}) > 3


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--tolerance", "-1"], "--tolerance -1 can't be meant"),
        (["--tolerance", "21"], "write a number from 1 to 20"),
        (["--most-step", "100.5"], "write a number from 0 to 100"),
        (["--families", "99"], "99 colour families"),
        (["--least-step", "9", "--most-step", "3"], "--most-step is less"),
        (["--lightness-weight", "9"], "--lightness-weight 9"),
        (["--set-size", "7"], "7"),
        (["--match-by", "hue", "--lightness-weight", "2"], "leave one of them out"),
        (["--match-by", "value", "--least-step", "18"], "don't match by value"),
    ],
)
def test_rules_that_make_no_sense(refused, words, says):
    refused("rules", "blues", *words, says=says)


def test_a_lock_that_gives_way_to_another_is_said(kept):
    kept("set", "lock", "blues", "R1C1", "R1C2")
    said = kept("set", "lock", "blues", "R1C1", "R1C3").stdout
    assert "R1C1 + R1C2 is no longer locked." in said
    assert (
        "R1C1 + R1C3 is no longer locked." in kept("set", "forbid", "blues", "R1C1", "R1C3").stdout
    )


def test_one_square_is_not_both_white_and_grey(kept, refused):
    refused("light", "blues", "--white", "R1C1", "--grey", "R1C1", says="both white and grey")
    kept("light", "blues", "--white", "R1C1", "--yes")
    refused("light", "blues", "--grey", "R1C1", says=["both white and grey", "--white none"])


def test_sets_forbidden_or_taken_apart_are_counted_and_reported_with_a_pattern(kept):
    kept("set", "apart", "blues", sorted(sets_of(kept, "blues")[1])[0])
    kept("set", "forbid", "blues", "R1C1", "R2C2")
    for name, *words in (["count", "--out", "one"], ["report", "--out", "two"]):
        told = kept(name, "blues", "--pattern", "pinwheel", *words)
        assert told.exit_code in {0, 3}, told.output
        assert Path(words[-1], "wall.csv").exists()


def test_a_lock_is_kept_apart_from_squares_that_are_used_and_a_ban_on_them_harms_nothing(
    kept, refused
):
    kept("square", "mark", "blues", "cut", "R1C1")
    refused("count", "blues", "--lock", "R1C1+R1C2", says="R1C1 can't be in a set (cut)")
    refused("count", "blues", "--lock", "R1C9+R1C2", says="blues has no square R1C9")
    refused("count", "blues", "--forbid", "R9C1+R1C2", says="blues has no square R9C1")
    words = ("--forbid", "R1C1+R1C2", "--hold-back", "R1C1", "--pattern", "pinwheel")
    assert kept("count", "blues", *words).exit_code in {0, 3}


def test_a_lock_typed_the_other_way_round_is_the_same_lock(kept):
    kept("set", "lock", "blues", "R1C1", "R1C2")
    told = kept("count", "blues", "--lock", "R1C2+R1C1", "--pattern", "pinwheel")
    assert told.exit_code in {0, 3}, told.output
