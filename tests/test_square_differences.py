"""How far squares are apart by colour, by value and by hue, from the wall and in the hand."""

from dataclasses import replace

import numpy as np
import pytest

from catalog.bundle.square_differences import (
    difference_matrix,
    reads_as,
    seen_lightness,
    value_in_words,
)
from catalog.bundle.tally_notes import words_for_difference
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.shared_differences import differences_shared, unshared
from catalog.matching import match_requests
from catalog.models import Likeness, MatchRules, PaletteColour, SetRequest, Square, Swatch
from catalog.rule_limits import TOLERANCE

SQUARE = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)
BLACK, WHITE, GREY, CREAM = (15.0, 0, 0), (93.0, 0, 2), (54.0, 0, 0), (90.0, 1, 7)
RED, PINK, NAVY, SKY = (42.0, 58, 30), (78.0, 29, 15), (22.0, 6, -32), (78.0, -8, -24)


def square(label, *colours, mean=None, wall=None):
    """A square of some colours with their shares; its mean is the first unless told."""
    palette = tuple(PaletteColour(lab, share) for lab, share in colours)
    lab = mean or colours[0][0]
    return Swatch(
        label, "p.jpg", SQUARE, lab, "plain", 0.0, palette=palette, palette_at_wall=wall or palette
    )


def apart(one, two, **likeness):
    return difference_matrix([one, two], Likeness(**likeness))[0, 1]


CHECK = square("check", (BLACK, 0.5), (WHITE, 0.5), mean=(74.0, 0, 1))
BOLD = square("bold", (NAVY, 0.5), (CREAM, 0.5), mean=(70.0, 0, -5))
FLORAL = square("floral", (WHITE, 0.6), (RED, 0.25), (SKY, 0.15), mean=(72.0, 12, 4))


def test_plain_squares_differ_by_their_mean_colours_wherever_they_are_seen():
    one, two = square("one", (RED, 1.0)), square("two", (PINK, 1.0))
    bare = [replace(each, palette=(), palette_at_wall=()) for each in (one, two)]
    away = ciede2000(np.array(RED), np.array(PINK))
    for seen_from in ("wall", "hand"):
        assert apart(one, two, seen_from=seen_from) == apart(*bare, seen_from=seen_from) == away


def test_a_print_is_no_plain_square_of_its_mean():
    mean = square("mean", (CHECK.lab, 1.0))
    assert apart(CHECK, mean) > TOLERANCE.most
    other = square("other", (WHITE, 0.52), (BLACK, 0.48), mean=(75.0, 0, 1))
    assert apart(CHECK, other) < 3


def test_two_parts_of_one_print_are_as_far_apart_as_their_means():
    one = replace(FLORAL, fabric="F01")
    two = square("two", (WHITE, 0.3), (RED, 0.5), (SKY, 0.2), mean=(70.0, 14, 5))
    unsure = replace(two, fabric="F01", flags=("fabric may be several",))
    means = ciede2000(np.array(one.lab), np.array(two.lab))
    assert apart(one, replace(two, fabric="F02")) == apart(one, unsure) > 2 * means
    assert apart(one, replace(two, fabric="F01")) == pytest.approx(means)
    assert apart(one, replace(two, fabric="F01"), match_by="value") < 2 < means


def test_from_the_wall_small_figures_run_together():
    tiny = square("tiny", (BLACK, 0.5), (WHITE, 0.5), wall=(PaletteColour((74.0, 0, 1), 1.0),),
                  mean=(74.0, 0, 1))  # fmt: skip
    grey = square("grey", ((74.0, 0, 1), 1.0))
    assert apart(tiny, grey, seen_from="wall") == 0.0
    assert apart(tiny, grey, seen_from="hand") > TOLERANCE.most
    assert seen_lightness(tiny, "wall") == 74.0
    assert seen_lightness(tiny, "hand") == pytest.approx((15 + 93) / 2)


def test_by_value_colour_counts_for_nothing_and_contrast_for_much():
    red, grey = square("red", (RED, 1.0)), square("grey", ((42.0, 0, 0), 1.0))
    assert apart(red, grey, match_by="value") == 0.0
    assert apart(CHECK, BOLD, match_by="value") < 5 < apart(CHECK, BOLD)
    assert apart(CHECK, square("even", (GREY, 1.0)), match_by="value") > TOLERANCE.most


def test_by_hue_lightness_counts_for_nothing_and_a_neutral_goes_with_neutrals():
    red, pink, navy, sky = (square(str(lab), (lab, 1.0)) for lab in (RED, PINK, NAVY, SKY))
    assert apart(red, pink, match_by="hue") < 2
    assert apart(red, navy, match_by="hue") > TOLERANCE.most
    assert apart(navy, sky, match_by="hue") < apart(red, navy, match_by="hue")
    assert apart(square("black", (BLACK, 1.0)), CHECK, match_by="hue") < 0.1
    assert apart(square("cream", (CREAM, 1.0)), CHECK, match_by="hue") < 0.1
    for hued in (red, pink, navy, sky):
        assert apart(hued, CHECK, match_by="hue") > TOLERANCE.most
    dotted = square("dotted", (WHITE, 0.8), (RED, 0.2))
    assert apart(dotted, red, match_by="hue") < 0.1
    assert 0 < apart(FLORAL, red, match_by="hue") < apart(FLORAL, navy, match_by="hue")
    fleck = square("fleck", (WHITE, 0.98), (RED, 0.02))
    assert apart(fleck, CHECK, match_by="hue") < 0.1


def test_of_squares_of_one_hue_the_nearest_in_colour_go_together():
    colours = {"black": BLACK, "white": WHITE, "coal": (18.0, 0, 0), "cream": CREAM, "red": RED,
               "rose": PINK, "ruby": (40.0, 60.0, 30.0 * 60 / 58),
               "blush": (80.0, 26.0, 15.0 * 26 / 29)}  # fmt: skip
    squares = [square(name, (lab, 1.0)) for name, lab in colours.items()]
    pairs = [("black", "coal"), ("white", "cream"), ("red", "ruby"), ("rose", "blush")]
    made = paired(squares, MatchRules(match_by="hue"))
    assert {frozenset(one) for one in made} == {frozenset(one) for one in pairs}
    black, white = squares[:2]
    away = apart(black, white, match_by="hue")
    assert away > 0
    assert words_for_difference(away) == "too near to tell apart"
    turned = square("turned", ((42.0, 57.0, 32.0), 1.0))
    assert apart(squares[4], turned, match_by="hue") > away


def test_lightness_weighs_in_colours_alone():
    with pytest.raises(ValueError, match="by colour alone"):
        Likeness("hue", k_lightness=2.0)
    assert MatchRules(match_by="value", k_lightness=2.0).likeness == Likeness("value")
    assert Likeness(k_lightness=2.0).matched_by("hue") == Likeness("hue")
    assert Likeness(k_lightness=2.0).matched_by(None) == Likeness(k_lightness=2.0)


def paired(swatches, rules):
    labels = frozenset(one.label for one in swatches)
    made = match_requests(swatches, [SetRequest("", None, 2, labels)], rules)
    return {one.swatches for one in made.sets}


def test_sets_are_made_by_what_is_asked_the_darker_first():
    squares = [square(name, (lab, 1.0)) for name, lab in
               (("red", RED), ("pink", PINK), ("navy", NAVY), ("sky", SKY))]  # fmt: skip
    assert paired(squares, MatchRules(match_by="hue")) == {("red", "pink"), ("navy", "sky")}
    by_value = paired(squares, MatchRules(match_by="value"))
    assert {frozenset(each) for each in by_value} == {
        frozenset(("navy", "red")),
        frozenset(("pink", "sky")),
    }
    assert ("navy", "red") in by_value
    even = square("even", (GREY, 1.0))
    squares = [CHECK, even, BOLD, square("mean", (CHECK.lab, 1.0))]
    (with_check,) = (each for each in paired(squares, MatchRules()) if "check" in each)
    assert set(with_check) == {"check", "bold"}


def test_a_request_says_by_what_its_own_sets_are_made():
    squares = [square(name, (lab, 1.0)) for name, lab in
               (("red", RED), ("pink", PINK), ("navy", NAVY), ("sky", SKY))]  # fmt: skip
    everything = frozenset(one.label for one in squares)
    requests = [
        SetRequest("by hue", 1, 2, everything, "hue"),
        SetRequest("as the rules say", 1, 2, everything),
    ]
    for rest in ("value", "hue", "colour"):
        made = match_requests(squares, requests, MatchRules(match_by=rest))
        told = {one.need: one for one in made.sets}
        assert [told[r.need].match_by for r in requests] == ["hue", rest]
        ways = [
            apart(squares[a], squares[b], match_by="hue")
            + apart(squares[c], squares[d], match_by=rest)
            for a, b, c, d in ((0, 1, 2, 3), (2, 3, 0, 1), (0, 2, 1, 3), (1, 3, 0, 2),
                               (0, 3, 1, 2), (1, 2, 0, 3))
        ]  # fmt: skip
        assert made.total == pytest.approx(min(ways))
        assert made.bound == pytest.approx(made.total)


def test_a_high_contrast_print_reads_busy_and_others_their_value():
    grey = replace(square("grey", (GREY, 1.0)), value="medium")
    dotted = replace(square("dotted", (BLACK, 0.8), (WHITE, 0.2)), value="dark")
    tonal = replace(square("tonal", (RED, 0.5), (GREY, 0.5)), value="medium")
    assert [reads_as(one) for one in (grey, dotted, tonal)] == ["medium", "dark", "medium"]
    assert [value_in_words(one) for one in (grey, CHECK)] == ["medium", "medium, reads busy"]
    assert [reads_as(one) for one in (CHECK, BOLD)] == ["busy", "busy"]
    tiny = replace(CHECK, palette_at_wall=(PaletteColour(CHECK.lab, 1.0),), value="light")
    assert reads_as(tiny) == "light"


def test_squares_of_large_piles_are_compared_in_parts_to_the_same(monkeypatch):
    rng = np.random.default_rng(3)
    several = [
        replace(
            square(f"S{n:03d}", *((tuple(lab), 0.5) for lab in rng.uniform(20, 70, (2, 3)))),
            fabric=("F01", "F02", "F01", "", "F03")[n % 5],
        )
        for n in range(60)
    ]
    whole = difference_matrix(several, Likeness())
    monkeypatch.setattr("catalog.bundle.square_differences.MAX_REMEMBERED", 20)
    monkeypatch.setattr("catalog.bundle.square_differences.MAX_PAIRS", 70)
    parts = difference_matrix(several, Likeness())
    assert (parts == whole).all()
    fabrics = np.array([one.fabric for one in several])
    assert (whole != difference_matrix([replace(one, fabric="") for one in several], Likeness()))[
        fabrics == "F01"
    ].any()


def test_differences_of_the_same_squares_are_worked_out_once_while_they_are_shared():
    several = [CHECK, BOLD, FLORAL]
    alone = difference_matrix(several, Likeness())
    assert difference_matrix(several, Likeness()) is not alone
    with differences_shared():
        first = difference_matrix(several, Likeness())
        assert (first == alone).all()
        assert difference_matrix(several, Likeness()) is first
        with pytest.raises(ValueError, match="read-only"):
            first[:] = 0.0
        assert (difference_matrix(several[1:], Likeness()) == alone[1:, 1:]).all()
        turned = difference_matrix(several[::-1], Likeness())
        assert turned == pytest.approx(alone[::-1, ::-1])
        assert difference_matrix(several, Likeness("value")) is not first
        with differences_shared():
            assert difference_matrix(several, Likeness()) is first
        unshared()
        first[:] = 0.0
        assert (difference_matrix(several, Likeness()) == alone).all()
    assert difference_matrix(several, Likeness()).flags.writeable
