"""Squares larger than the piece that is wanted, in sets, in the tally and in what is left over."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.bundle.eligibility import requests_of
from catalog.bundle.pieces import pieces_from
from catalog.bundle.tally import count_needs
from catalog.matching import match_requests
from catalog.matching.sets_for_needs import choose_sets
from catalog.models import MatchRules, Need, Rest, Square, Swatch

FRAME = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
RULES = MatchRules()


def swatch(label, side=10.0, lab=(50.0, 0.0, 0.0), *, fabric="", value="medium"):
    square = Square(FRAME, None, None, side, side, 1.0)
    return Swatch(label, "a.jpg", square, lab, "plain", 0.0, value=value, fabric=fabric or label)


def need(name="wheel", count=8, match=2, size="5", **more):
    role = {"left over": "small"}.get(more.get("source", ""), "feature")
    return Need(name, role, "square", Fraction(size), count, match, **more)


def counted(swatches, needs, rules=RULES, tolerance=None):
    matching = choose_sets(swatches, needs, rules)
    tally = count_needs(
        "Q", needs, swatches, matching.sets, tolerance=tolerance, held_back=rules.held_back
    )
    return matching, tally


def squares_of(matching):
    return Counter(label for one in matching.sets for label in one.swatches)


def test_a_ten_inch_square_counts_as_the_four_that_it_gives():
    swatches = [swatch("R1C1"), swatch("R1C2", lab=(70.0, 0.0, 0.0)), swatch("R1C3", 5.0)]
    matching, tally = counted(swatches, [need()])
    line = tally.lines[0]
    assert (line.on_hand, line.short, line.left_over) == (8, 0, 1)
    assert dict(zip(line.swatches, line.pieces, strict=True)) == {"R1C1": 4, "R1C2": 4}
    assert tally.unused == ("R1C3",)
    assert [one.swatches for one in matching.sets] == [("R1C1",) * 2] * 2 + [("R1C2",) * 2] * 2
    assert all(one.same_fabric for one in matching.sets)


def test_what_is_left_of_a_square_is_told_as_pieces():
    _, tally = counted([swatch("R1C1"), swatch("R1C2")], [need(count=6, match=1)])
    assert tally.unused == ()
    assert tally.rests == (Rest("R1C2", 2, Fraction(5)),)
    assert tally.lines[0].left_over == 0


def test_pieces_of_one_square_are_of_one_fabric():
    swatches = [swatch("R1C1"), swatch("R1C2", lab=(52.0, 0.0, 0.0))]
    apart, _ = counted(swatches, [need()], MatchRules(same_fabric="avoid"))
    assert [set(one.swatches) for one in apart.sets] == [{"R1C1", "R1C2"}] * 4
    together, _ = counted(swatches, [need()], MatchRules(same_fabric="prefer"))
    assert [len(set(one.swatches)) for one in together.sets] == [1] * 4
    stepped, _ = counted(swatches, [need()], MatchRules(least_value_step=1.0))
    assert [set(one.swatches) for one in stepped.sets] == [{"R1C1", "R1C2"}] * 4


def test_a_fabric_that_is_not_known_is_one_within_a_square():
    swatches = [replace(swatch(f"R1C{n}", lab=(50.0 + n, 0.0, 0.0)), fabric="") for n in (1, 2)]
    matching, _ = counted(swatches, [need()], MatchRules(same_fabric="avoid"))
    assert [len(set(one.swatches)) for one in matching.sets] == [2] * 4


def test_rules_hold_of_all_pieces_of_a_square():
    swatches = [swatch(f"R1C{n}", lab=(50.0 + n, 0.0, 0.0)) for n in (1, 2, 3)]
    rules = MatchRules(
        same_fabric="avoid", forbidden=(("R1C1", "R1C2"),), held_back=frozenset({"R1C3"})
    )
    matching, tally = counted(swatches, [need()], rules)
    assert [set(one.swatches) for one in matching.sets] == [{"R1C1"}] * 2 + [{"R1C2"}] * 2
    assert tally.lines[0].left_over == 0


def test_a_lock_makes_one_set_and_leaves_the_other_pieces_free():
    swatches = [swatch("R1C1"), swatch("R1C2", lab=(54.0, 0.0, 0.0))]
    matching, _ = counted(swatches, [need()], MatchRules(locked=(("R1C1", "R1C2"),)))
    locked = [one for one in matching.sets if "locked" in one.flags]
    assert [set(one.swatches) for one in locked] == [{"R1C1", "R1C2"}]
    assert squares_of(matching) == {"R1C1": 4, "R1C2": 4}


def test_needs_of_one_size_share_a_square():
    swatches = [swatch("R1C1", value="dark"), swatch("R1C2")]
    needs = [need("dark", 2, 2, value="dark"), need("any", 6, 2)]
    _, tally = counted(swatches, needs)
    assert tally.enough
    assert sum(line.on_hand for line in tally.lines) == 8


def test_squares_of_several_sizes_are_shared_out_whole():
    # Of two squares of 5 in one gives four of 2 1/2, the other the piece of 5.
    needs = [need("small", 4, 1, "5/2"), need("large", 1, 1)]
    _, tally = counted([swatch("R1C1", 5.0), swatch("R1C2", 5.0)], needs)
    assert tally.enough
    assert not set(tally.lines[0].swatches) & set(tally.lines[1].swatches)


def test_small_pieces_come_from_what_is_left_of_a_square_first():
    needs = [need(count=3, match=1), need("post", 9, 1, "3/2", source="left over")]
    _, tally = counted([swatch("R1C1"), swatch("R1C2", 5.0)], needs)
    post = tally.lines[1]
    assert (post.on_hand, post.swatches, post.pieces) == (9, ("R1C1",), (9,))
    assert post.note == "from what is left of 1 square cut up"
    assert (tally.unused, tally.rests) == (("R1C2",), ())


@pytest.mark.parametrize(
    ("side", "size", "pieces"),
    [
        (10.15, "41/8", 1),
        (9.9, "5", 4),
        (10.6, "41/8", 1),
        (10.7, "41/8", 4),
        (9.6, "5", 4),
        (9.3, "5", 1),
    ],
)
def test_a_square_said_to_be_of_ten_inches_gives_no_more_than_such_a_one(side, size, pieces):
    wanted = need(size=size, of_square=Fraction(10))
    assert pieces_from(swatch("R1C1", side), wanted) == pieces


def test_a_square_told_to_be_of_another_size_gives_what_it_measures():
    one = swatch("R1C1", 9.6)
    odd = replace(one, square=replace(one.square, flags=("odd size",)))
    assert pieces_from(odd, need(of_square=Fraction(10))) == 1


def test_a_square_that_measures_smaller_gives_fewer():
    swatches = [swatch("R1C1", 9.9), swatch("R1C2", 9.8), swatch("R1C3", 4.8)]
    assert [pieces_from(one, need()) for one in swatches] == [4, 1, 0]
    _, tally = counted(swatches, [need(count=6, match=1)])
    assert (tally.lines[0].on_hand, tally.lines[0].short) == (5, 1)
    assert tally.lines[0].note.endswith("1 more too small for 5 in")


@st.composite
def bundles(draw, sides, most=7):
    number = draw(st.integers(1, most))
    return [
        swatch(
            f"R1C{place + 1}",
            draw(st.sampled_from(sides)),
            (draw(st.floats(20, 90)), draw(st.floats(-30, 30)), draw(st.floats(-30, 30))),
            fabric=f"F{draw(st.integers(0, 4))}",
            value=draw(st.sampled_from(["light", "dark"])),
        )
        for place in range(number)
    ]


@st.composite
def wishes(draw):
    match = draw(st.integers(1, 3))
    needs = [need("first", match * draw(st.integers(1, 6)), match)]
    if draw(st.booleans()):
        needs.append(need("second", 2 * draw(st.integers(1, 4)), 2, "9/2", value="dark"))
    return needs, MatchRules(same_fabric=draw(st.sampled_from(["allow", "avoid", "prefer"])))


def _counts_as_if_cut_up_already(swatches, needs, rules):
    """Cut up by a blade and photographed anew, the bundle gives as much."""
    cut = [
        replace(
            one, label=f"{one.label}-{n}", square=replace(one.square, width_in=5.0, height_in=5.0)
        )
        for one in swatches
        for n in range(4 if one.square.width_in > 9 else 1)
    ]
    (whole, tally), (pieces, other) = counted(swatches, needs, rules), counted(cut, needs, rules)
    assert [(x.on_hand, x.short) for x in tally.lines] == [
        (x.on_hand, x.short) for x in other.lines
    ]
    assert whole.total == pytest.approx(pieces.total, abs=1e-6)
    assert tally.enough == other.enough


@settings(max_examples=40)
@given(bundles([5.0, 10.0]), wishes())
def test_a_bundle_counts_as_if_cut_up_already(swatches, wish):
    _counts_as_if_cut_up_already(swatches, *wish)


@pytest.mark.slow
@settings(max_examples=2000)
@given(bundles([5.0, 10.0], most=10), wishes())
def test_thousands_of_bundles_count_as_if_cut_up_already(swatches, wish):
    _counts_as_if_cut_up_already(swatches, *wish)


@given(bundles([5.0]), wishes())
def test_squares_of_the_size_of_the_piece_are_matched_as_ever(swatches, wish):
    needs, rules = wish
    as_ever = match_requests(swatches, requests_of(needs, swatches), rules)
    assert choose_sets(swatches, needs, rules) == as_ever


@settings(max_examples=40)
@given(bundles([2.5, 5.0, 7.5, 10.0]), wishes(), st.integers(1, 12))
def test_no_square_gives_more_than_it_has(swatches, wish, small):
    needs, rules = wish
    needs = [*needs, need("patch", small, 1, "5/2")]
    matching, tally = counted(swatches, needs, rules)
    # All that was chosen counts: each set finds its pieces.
    assert sum(line.on_hand for line in tally.lines) == sum(
        len(one.swatches) for one in matching.sets
    )
    assert matching.bound <= matching.total + 1e-9


def test_many_pieces_are_matched_together():
    swatches = [swatch(f"R1C{n}", 10.0, (20.0 + n, 0.0, 0.0)) for n in range(1, 31)]
    needs = [need("post", 400, 2, "5/2")]
    matching, tally = counted(swatches, needs, MatchRules(same_fabric="avoid"))
    assert (tally.lines[0].on_hand, tally.lines[0].short, len(matching.sets)) == (400, 0, 200)
    assert max(squares_of(matching).values()) <= 16
    full, tally = counted(swatches, [need("post", 480, 2, "5/2")])
    assert (tally.lines[0].short, len(full.sets)) == (0, 240)


def test_small_pieces_draw_on_one_pool_that_is_told_once():
    small = [
        need("post", 2, 1, "3/2", source="left over"),
        need("patch", 2, 1, "5/2", source="left over"),
        need("dark", 1, 1, "5/2", source="left over", value="dark"),
    ]
    swatches = [swatch(f"R1C{n}", 5.0) for n in range(1, 6)] + [swatch("R1C6", 5.0, value="dark")]
    _, tally = counted(swatches, small)
    assert [line.short for line in tally.lines] == [0, 0, 0]
    assert len(tally.unused) == 3
    assert [line.left_over for line in tally.lines] == [3, 0, 0]


def test_small_pieces_of_one_size_come_out_of_one_square():
    small = [need(name, 4, 1, "3/2", source="left over") for name in ("post", "patch", "corner")]
    _, tally = counted([swatch("R1C1", 5.0)], small)
    assert [line.swatches for line in tally.lines] == [("R1C1",)] * 3
    assert [line.on_hand for line in tally.lines] == [4, 4, 1]  # of 3 by 3


def test_of_several_sizes_it_is_known_how_near_the_choice_is_to_the_best():
    swatches = [swatch(f"R1C{n}", 5.0, (20.0 + n * n, 0.0, 0.0)) for n in range(1, 9)]
    matching, tally = counted(swatches, [need(count=4), need("small", 8, 1, "5/2")])
    assert tally.enough
    assert 0 < matching.bound <= matching.total
