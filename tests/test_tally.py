import random
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.bundle.eligibility import of_kind, requests_of, sets_need
from catalog.bundle.pieces import MEASURING_ALLOWANCE, pieces_from
from catalog.bundle.tally import count_needs
from catalog.bundle.tally_notes import counted_to, flagged_from, words_for_difference
from catalog.count_request import needs_for
from catalog.errors import SetError
from catalog.models import Likeness, MatchRules, Need, Square, SquareSet, Swatch

FRAME = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))


def swatch(label, side=5.0, *, family="greens", value="medium", lab=(50.0, 0.0, 0.0), height=None):
    square = Square(FRAME, None, None, side, height or side, 1.0)
    return Swatch(label, "a.jpg", square, lab, "plain", 0.0, family=family, value=value)


def told_odd(one):
    return replace(one, square=replace(one.square, flags=("odd size",)))


@pytest.mark.parametrize(
    ("side", "odd", "pieces"),
    [
        (4.85, False, 1),  # nothing tells it from the others of 5 in
        (4.87, True, 0),
        (4.5, True, 0),
        (4.5, False, 0),
        (4.95, True, 1),
        (5.5, True, 1),
        (9.98, True, 4),
        (5.2, False, 1),
    ],
)
def test_a_square_told_to_be_of_another_size_counts_for_what_it_measures(side, odd, pieces):
    one = swatch("A", side)
    five = need(of_square=Fraction(5))
    assert pieces_from(told_odd(one) if odd else one, five) == pieces


def test_sets_alone_are_of_squares_that_reach_the_size_said():
    (wanted,) = needs_for(None, MatchRules(), Fraction(5), None)
    (request,) = requests_of([wanted], [swatch("A"), swatch("B", 4.93), told_odd(swatch("C", 4.5))])
    assert request.eligible == {"A", "B"}


def square_set(number, *labels, need="blade", difference=1.0):
    return SquareSet(number, labels, difference, 0.0, "greens", same_fabric=False, need=need)


def need(name="blade", size="5", count=4, match=2, **more):
    role = {"left over": "small"}.get(more.get("source", ""), "feature")
    return Need(name, role, "square", Fraction(size), count, match, **more)


def line_of(tally, name="blade"):
    return next(line for line in tally.lines if line.need.name == name)


# --- requests -------------------------------------------------------------------------------------


def test_requests_ask_the_bundle_only():
    needs = [
        need(),
        need("ground", count=3, match=1),
        need("bought", match=1, source="yardage"),
        need("post", "3/2", match=1, source="left over"),
    ]
    requests = requests_of(needs, [swatch("A"), swatch("B")])
    assert [(r.need, r.sets, r.size) for r in requests] == [("blade", 2, 2), ("ground", 3, 1)]
    assert requests[0].eligible == {"A", "B"}


def test_a_square_counts_that_measures_as_well_as_a_photo_can_tell():
    swatches = [swatch("A", 4.97), swatch("B", 4.875), swatch("C", 4.86), swatch("D", 5.2)]
    swatches.append(swatch("narrow", 4.5, height=5.5))
    (request,) = requests_of([need()], swatches)
    assert request.eligible == {"A", "B", "D"}


@pytest.mark.parametrize(
    ("wanted", "family", "same"),
    [
        ("green", "greens", True),
        ("Green", "dark greens", True),
        ("green", "greens 2", True),
        ("greens", "green", True),
        ("dark greens", "greens", False),
        ("dark green", "dark greens", True),
        ("blue", "bluish greens", False),
        ("gray", "greys", True),
        ("green", "", False),
    ],
)
def test_a_family_stands_for_its_shades(wanted, family, same):
    assert of_kind(swatch("A", family=family), need(family=wanted)) is same


def test_value_and_family_must_both_fit():
    swatches = [swatch("A", value="dark"), swatch("B"), swatch("C", family="reds", value="dark")]
    (request,) = requests_of([need(family="green", value="dark")], swatches)
    assert request.eligible == {"A"}


# --- counting -------------------------------------------------------------------------------------


def test_needed_on_hand_short_left_over():
    swatches = [swatch(label) for label in "ABCDE"]
    tally = count_needs("Q", [need(count=6)], swatches, [square_set(1, "D", "B")])
    line = line_of(tally)
    assert (line.need.count, line.on_hand, line.short, line.left_over) == (6, 2, 4, 3)
    assert line.swatches == ("D", "B")
    assert tally.unused == ("A", "C", "E")
    assert not tally.enough


@pytest.mark.parametrize(
    "sets",
    [
        [square_set(1, "A", "B"), square_set(2, "B", "C")],
        [square_set(1, "A", "B"), square_set(2, "C", "C")],
        [square_set(1, "A", "B"), square_set(2, "C", "small")],
        [square_set(1, "A", "B"), square_set(2, "C", "nowhere")],
        [square_set(1, "A", "B"), square_set(2, "C", "D", "E")],
        [square_set(1, "A", "B"), square_set(2, "C", "D", need="other")],
        [square_set(1, "A", "B"), square_set(2, "C", "D", difference=7.0)],
        [square_set(1, "A", "B"), square_set(2, "C", "held")],
    ],
)
def test_a_set_that_does_not_fit_does_not_count(sets):
    swatches = [*map(swatch, "ABCDE"), swatch("small", 4.0), swatch("held")]
    tally = count_needs("Q", [need()], swatches, sets, tolerance=5.0, held_back={"held"})
    assert line_of(tally).swatches == ("A", "B")


@pytest.mark.parametrize(("difference", "on_hand"), [(5.0, 2), (5.04, 2), (5.06, 0)])
def test_a_set_counts_up_to_the_tolerance_as_it_is_shown(difference, on_hand):
    sets = [square_set(1, "A", "B", difference=difference)]
    tally = count_needs("Q", [need()], list(map(swatch, "AB")), sets, tolerance=5.0)
    assert line_of(tally).on_hand == on_hand


def test_a_locked_set_that_serves_nothing_is_not_cut_up():
    locked = replace(square_set(1, "A", "B", difference=9.0), flags=("locked",))
    needs = [need(count=2), need("post", "3/2", 9, 1, source="left over")]
    for one, from_ in ((locked, "C"), (replace(locked, flags=()), "A")):
        tally = count_needs("Q", needs, list(map(swatch, "ABC")), [one], tolerance=5.0)
        assert line_of(tally, "post").swatches == (from_,)
        assert line_of(tally).short == 2


def test_more_sets_than_needed_stay_spare():
    sets = [square_set(2, "C", "D"), square_set(1, "A", "B")]
    line = line_of(count_needs("Q", [need(count=2)], list(map(swatch, "ABCD")), sets))
    assert (line.on_hand, line.short, line.left_over, line.swatches) == (2, 0, 2, ("A", "B"))


def test_a_square_held_back_is_not_left_over():
    swatches = [swatch("A"), swatch("B")]
    needs = [need(count=2), need("post", "1", 5, 1, source="left over")]
    tally = count_needs("Q", needs, swatches, [], held_back={"A", "B"})
    assert [line.left_over for line in tally.lines] == [0, 0]
    assert line_of(tally, "post").short == 5
    assert tally.unused == ("A", "B")


def test_unused_in_reading_order():
    swatches = [swatch(label) for label in ("R2C10", "R10C1", "R2C9")]
    assert count_needs("Q", [], swatches, []).unused == ("R2C9", "R2C10", "R10C1")


def test_yardage_is_bought_and_never_short():
    tally = count_needs("Q", [need(match=1, source="yardage", size="39/8")], [], [])
    line = line_of(tally)
    assert (line.on_hand, line.short, line.left_over) == (0, 0, 0)
    assert line.note == "to be bought: fabric for 4 squares of 4 7/8 in"
    assert tally.enough


def test_sets_without_a_pattern():
    whole = sets_need(3, 2)
    assert (whole.count, whole.match) == (6, 3)
    swatches = list(map(swatch, "ABCDE"))
    some = sets_need(2, None)
    assert requests_of([some], swatches)[0].sets is None
    sets = [square_set(1, "A", "B", need=some.name), square_set(2, "C", "D", need=some.name)]
    line = line_of(count_needs("Q", [some], swatches, sets), some.name)
    assert (line.need.count, line.on_hand, line.short, line.left_over) == (4, 4, 0, 1)
    none = line_of(count_needs("Q", [some], swatches, []), some.name)
    assert (none.on_hand, none.short, none.left_over, none.note) == (0, 0, 5, "")


@pytest.mark.parametrize(
    ("size", "sets", "problem", "cure"),
    [
        (1, 2, "a set can't be of 1 squares", "ask for 2 to 4"),
        (5, 2, "a set can't be of 5 squares", "ask for 2 to 4"),
        (2, 0, "0 sets are none", "ask for 1 or more"),
        (2, -1, "-1 sets are none", "ask for 1 or more"),
    ],
)
def test_no_such_sets(size, sets, problem, cure):
    with pytest.raises(SetError) as refused:
        sets_need(size, sets)
    assert (refused.value.problem, refused.value.cure) == (problem, cure)


def test_the_need_for_sets_alone_is_of_squares_that_are_features():
    whole = sets_need(4, 1, square=Fraction(5))
    assert whole == Need("matched sets", "feature", "square", Fraction(5), 4, 4)


def test_a_square_with_a_role_serves_that_role_and_small_pieces():
    ground = replace(swatch("A"), role="background")
    figure = replace(swatch("B"), role="feature")
    small = need("post", "1", 1, 1, source="left over")
    assert [of_kind(one, need()) for one in (ground, figure)] == [False, True]
    assert [of_kind(one, small) for one in (ground, figure)] == [True, True]


def test_sets_of_squares_of_a_size():
    swatches = [swatch("A"), swatch("B", 3.0)]
    assert requests_of([sets_need(2, 1)], swatches)[0].eligible == {"A", "B"}
    assert requests_of([sets_need(2, 1, square=Fraction(5))], swatches)[0].eligible == {"A"}


# --- small pieces ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "piece", "pieces"),
    [
        # "Ways to cut up 10 inch precut squares",
        # https://newquilters.com/cut-up-fabric-layer-cakes/: 4 squares of 5, 9 of 3.
        (10.0, "5", 4),
        (10.0, "3", 9),
        (10.0, "5/2", 16),  # geometry; the same page prints 8
        (5.0, "3/2", 9),
        (4.97, "5/2", 4),
        (4.8, "5/2", 1),
        (1.0, "3/2", 0),
    ],
)
def test_small_pieces_from_an_exact_grid(side, piece, pieces):
    assert pieces_from(swatch("A", side), need(size=piece)) == pieces


def test_small_pieces_come_from_what_is_left():
    needs = [need(count=2), need("post", "3/2", 20, 1, source="left over")]
    swatches = [swatch(label) for label in "ABCDEF"]
    tally = count_needs("Q", needs, swatches, [square_set(1, "A", "C")])
    post = line_of(tally, "post")
    assert (post.on_hand, post.short, post.left_over) == (20, 0, 1)
    assert post.swatches == ("B", "D", "E")
    assert post.note == "from 3 squares left over, up to 9 from each"
    assert tally.unused == ("F",)


def test_small_pieces_come_from_the_square_that_gives_most_of_them():
    post = need("post", "3/2", 1, 1, source="left over")
    tally = count_needs("Q", [post], [swatch("A"), swatch("B", 10.0)], [])
    assert line_of(tally, "post").swatches == ("B",)


def test_small_pieces_leave_the_squares_that_a_short_set_could_take():
    needs = [
        need(count=4, family="green"),
        need("post", "3/2", 9, 1, source="left over"),
    ]
    swatches = [swatch("A"), swatch("B"), swatch("C"), swatch("D", family="reds")]
    tally = count_needs("Q", needs, swatches, [square_set(1, "A", "B")])
    assert line_of(tally, "post").swatches == ("D",)


def test_small_pieces_leave_the_squares_that_another_small_need_must_have():
    needs = [
        need("any", "1", 25, 1, source="left over"),
        need("red", "1", 25, 1, source="left over", family="red"),
    ]
    tally = count_needs("Q", needs, [swatch("A", family="reds"), swatch("B")], [])
    assert [line.swatches for line in tally.lines] == [("B",), ("A",)]
    assert tally.enough


def test_small_pieces_short():
    needs = [need("post", "3/2", 20, 1, source="left over")]
    line = line_of(count_needs("Q", needs, [swatch("A")], []), "post")
    assert (line.on_hand, line.short) == (9, 11)
    assert line.note == (
        "11 pieces short: from 1 square left over, up to 9 from each;"
        " cut the rest from other fabric"
    )
    line = line_of(count_needs("Q", needs, [], []), "post")
    assert line.note == ("20 pieces short: no square is left over; cut the rest from other fabric")


def test_small_pieces_from_rests_and_whole_squares():
    needs = [
        need("ground", "5", 7, 1),
        need("post", "5/2", 5, 1, source="left over"),
    ]
    swatches = [swatch("A", 10.0), swatch("B", 10.0), swatch("C")]
    sets = [square_set(n, "AB"[n // 5], need="ground") for n in range(1, 8)]
    tally = count_needs("Q", needs, swatches, sets)
    post = line_of(tally, "post")
    # B gave 3 of its 4: the fourth gives 4 small ones, and a whole square the fifth.
    assert dict(zip(post.swatches, post.pieces, strict=True)) == {"B": 4, "C": 1}
    assert post.note == (
        "from what is left of 1 square cut up and 1 square left over, up to 4 from each"
    )


@pytest.mark.parametrize(
    ("counts", "note"),
    [
        ((3,), "1 more piece is left of A"),
        ((1,), "3 more pieces are left of A"),
        ((3, 2), "3 more pieces are left of 2 squares"),
        ((4,), ""),
    ],
)
def test_note_of_what_is_left_of_squares_that_are_cut_up(counts, note):
    swatches = [swatch(label, 10.0) for label in "AB"[: len(counts)]]
    labels = [label for label, count in zip("AB", counts, strict=False) for _ in range(count)]
    sets = [square_set(n, label) for n, label in enumerate(labels, 1)]
    line = line_of(count_needs("Q", [need(count=len(labels), match=1)], swatches, sets))
    assert (line.note, line.short) == (note, 0)


# --- notes ----------------------------------------------------------------------------------------


def test_note_tells_how_far_the_nearest_spare_pair_is_apart():
    # Neutral greys at L* 46 and 56 are 9.97 apart by CIEDE2000 (colour-science 0.4.7).
    swatches = [
        swatch("A", lab=(46, 0, 0)),
        swatch("B", lab=(56, 0, 0)),
        swatch("C", lab=(90, 0, 0)),
    ]
    line = line_of(count_needs("Q", [need(count=6, family="green")], swatches, []))
    assert line.note == "3 sets short; the nearest spare greens differ by 10.0, clearly different"


@pytest.mark.parametrize(
    ("swatches", "wanted", "note"),
    [
        ([], need(family="green"), "2 sets short; the bundle has no greens"),
        ([], need(value="dark"), "2 sets short; the bundle has no dark squares"),
        ([swatch("A")], need(count=2), "1 set short; of the squares only one is left"),
        (
            [swatch("A"), swatch("B")],
            need(count=3, match=1),
            "3 squares short; of the squares only 2 are left",
        ),
        (
            [swatch("A"), swatch("B", value="dark")],
            need(count=1, match=1, family="dark greens", value="dark"),
            "1 square short; the bundle has no dark greens",
        ),
        (
            [swatch("A", 4.0)],
            need(count=3, match=1),
            "3 squares short; no squares are left; 1 more too small for 5 in",
        ),
        (
            [swatch("A", family="reds"), swatch("B", family="blues")],
            need(count=2),
            "1 set short; the nearest spare squares differ by 0.0, too near to tell apart",
        ),
        (
            [swatch("A", value="dark"), swatch("B", value="dark")],
            need(count=2, value="dark"),
            "1 set short; the nearest spare dark greens differ by 0.0, too near to tell apart",
        ),
    ],
)
def test_notes_of_what_is_short(swatches, wanted, note):
    assert line_of(count_needs("Q", [wanted], swatches, [])).note == note


def test_note_points_at_the_least_alike_set():
    swatches = list(map(swatch, "ABCD"))
    sets = [square_set(1, "A", "B"), square_set(2, "C", "D", difference=12.3)]
    line = line_of(count_needs("Q", [need()], swatches, sets))
    assert line.note == "the least alike (C and D) differ by 12.3, clearly different"
    assert line_of(count_needs("Q", [need(count=2)], swatches, sets)).note == ""
    for difference, note in (
        (5.0, "the least alike (A and B) differ by 5.0, a visible step"),
        (4.94, ""),
    ):
        (one,) = [square_set(1, "A", "B", difference=difference)]
        assert line_of(count_needs("Q", [need(count=2)], swatches, [one])).note == note


@pytest.mark.parametrize(
    ("difference", "words"),
    [
        (0.94, "too near to tell apart"),
        (0.96, "barely to be told apart"),
        (1.0, "barely to be told apart"),
        (1.94, "barely to be told apart"),
        (2.0, "a small step"),
        (9.94, "a visible step"),
        (9.96, "clearly different"),
        (10.0, "clearly different"),
    ],
)
def test_words_for_a_difference(difference, words):
    assert words_for_difference(difference) == words


def test_notes_and_words_follow_the_weight_of_lightness():
    # With kL 2 the greys above are 4.99 apart, and all thresholds are 0.69 of what they were.
    swatches = [swatch("A", lab=(46, 0, 0)), swatch("B", lab=(56, 0, 0))]
    line = line_of(
        count_needs("Q", [need(count=4)], swatches, [], likeness=Likeness(k_lightness=2.0))
    )
    assert line.note == "2 sets short; the nearest spare greens differ by 5.0, a visible step"
    assert words_for_difference(0.6, 2.0) == "too near to tell apart"
    assert words_for_difference(4.0, 1.0) == "a small step"
    assert words_for_difference(4.0, 2.0) == "a visible step"
    assert words_for_difference(7.0, 2.0) == "clearly different"
    assert (flagged_from(), counted_to()) == (5.0, 10.0)
    assert flagged_from(2.0) == pytest.approx(5 * 0.69, abs=0.01)
    assert counted_to(2.0) == pytest.approx(10 * 0.69, abs=0.02)
    widest = replace(square_set(1, "A", "B", difference=4.0), k_lightness=2.0)
    told = line_of(
        count_needs("Q", [need(count=2)], swatches, [widest], likeness=Likeness(k_lightness=2.0))
    )
    assert told.note == "the least alike (A and B) differ by 4.0, a visible step"


# --- properties -----------------------------------------------------------------------------------

KINDS = ("greens", "reds", "dark greens")


@st.composite
def bundles(draw, most=12):
    count = draw(st.integers(0, most))
    return [
        swatch(
            f"S{number:03d}",
            draw(st.sampled_from([2.5, 4.9, 5.0, 5.1])),
            family=draw(st.sampled_from(KINDS)),
            value=draw(st.sampled_from(["light", "medium", "dark"])),
        )
        for number in range(count)
    ]


@st.composite
def pattern_needs(draw):
    needs = []
    for number in range(draw(st.integers(1, 4))):
        source = draw(st.sampled_from(["bundle", "bundle", "left over", "yardage"]))
        match = draw(st.integers(1, 3)) if source == "bundle" else 1
        needs.append(
            need(
                f"n{number}",
                draw(st.sampled_from(["3/2", "5/2", "5"])),
                match * draw(st.integers(1, 5)),
                match,
                source=source,
                family=draw(st.sampled_from([None, "green", "red"])),
                value=draw(st.sampled_from([None, None, "dark"])),
            )
        )
    return needs


def some_sets(needs, swatches, seed):
    """Sets as no good matching would make them: any labels, some of them twice."""
    chance = random.Random(seed)
    labels = [swatch.label for swatch in swatches]
    sets = []
    for request in requests_of(needs, swatches):
        pool = sorted(request.eligible) if chance.random() < 0.8 else labels
        for _ in range(chance.randint(0, request.sets + 1)):
            if len(pool) >= request.size:
                chosen = chance.sample(pool, request.size)
                sets.append(square_set(len(sets) + 1, *chosen, need=request.need))
    return sets


@given(pattern_needs(), bundles(), st.integers(0, 999))
def test_no_piece_counts_twice_and_nothing_is_lost(needs, swatches, seed):
    tally = count_needs("Q", needs, swatches, some_sets(needs, swatches, seed))
    serving = {label for line in tally.lines for label in line.swatches}
    assert sorted([*serving, *tally.unused]) == sorted(swatch.label for swatch in swatches)
    assert serving >= {rest.label for rest in tally.rests}
    assert [line.need for line in tally.lines] == needs
    for swatch in swatches:
        cut = [
            (line.need.size, line.pieces[line.swatches.index(swatch.label)])
            for line in tally.lines
            if swatch.label in line.swatches
        ]
        cut += [(rest.size, rest.pieces) for rest in tally.rests if rest.label == swatch.label]
        side = swatch.square.width_in + MEASURING_ALLOWANCE
        assert sum(number * size**2 for size, number in cut) <= side**2
    for line in tally.lines:
        assert min(line.on_hand, line.short, line.left_over) >= 0
        if line.need.source != "yardage":
            assert line.need.count == line.on_hand + line.short
        assert len(set(line.swatches)) == len(line.swatches) == len(line.pieces)
        assert line.on_hand == sum(line.pieces)
        if line.need.source == "bundle":
            assert line.on_hand == len(line.sets) * line.need.match
        assert bool(line.note) or not line.short


@given(pattern_needs(), bundles(), bundles(3), st.integers(0, 999))
def test_more_squares_never_raise_a_shortage(needs, swatches, added, seed):
    """With the sets as they are: then every line, that of the small pieces too."""
    sets = some_sets(needs, swatches, seed)
    more = [*swatches, *(replace(one, label=f"A{one.label}") for one in added)]
    before, after = (count_needs("Q", needs, bundle, sets) for bundle in (swatches, more))
    for one, other in zip(before.lines, after.lines, strict=True):
        assert other.short <= one.short


def most_squares_served(needs, swatches):
    """Serve as many squares as can be where no squares must match (augmenting paths).

    One piece of each, whichever need comes first: of squares of the pieces' own size.
    """
    requests = requests_of(needs, swatches)
    places = [(r.need, i, r.eligible) for r in requests for i in range(r.sets)]
    taken = {}

    def place(index, seen):
        for label in sorted(places[index][2] - seen):
            seen.add(label)
            if label not in taken or place(taken[label], seen):
                taken[label] = index
                return True
        return False

    for index in range(len(places)):
        place(index, set())
    return [
        square_set(number, label, need=places[index][0], difference=0.0)
        for number, (label, index) in enumerate(taken.items(), 1)
    ]


@settings(max_examples=25)
@given(pattern_needs(), bundles(), bundles(2))
def test_more_squares_never_raise_the_whole_shortage_when_sets_are_chosen_anew(
    needs, swatches, added
):
    needs = [replace(one, match=1) for one in needs if one.source == "bundle"]
    more = [*swatches, *(replace(one, label=f"A{one.label}") for one in added)]
    before, after = (
        count_needs("Q", needs, bundle, most_squares_served(needs, bundle))
        for bundle in (swatches, more)
    )
    assert sum(line.short for line in after.lines) <= sum(line.short for line in before.lines)


@given(pattern_needs(), bundles(), st.integers(0, 999), st.randoms())
def test_the_order_of_the_squares_does_not_matter(needs, swatches, seed, chance):
    sets = some_sets(needs, swatches, seed)
    shuffled = chance.sample(swatches, len(swatches))
    assert count_needs("Q", needs, swatches, sets) == count_needs("Q", needs, shuffled, sets)
