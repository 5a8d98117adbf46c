"""What locked sets come to in a count: who has the places, and what is said of it."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.bundle.eligibility import serves
from catalog.bundle.pieces import pieces_from
from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.models import NOT_COUNTED, MatchRules, Need, Square, Swatch
from catalog.pipeline import Bundle, count

SQUARE = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)
WITHIN = 10.0


def bundle_of(colours, values=()):
    told = [*values, *["medium"] * len(colours)]
    return [
        Swatch(f"S{i:03d}", "p.jpg", SQUARE, lab, "plain", 0.0, value=told[i])
        for i, lab in enumerate(colours)
    ]


def counted(swatches, needs, rules):
    silent = lambda _: None  # noqa: E731 - nobody listens
    return count(
        Bundle((), tuple(swatches)), "T", needs, replace(rules, within=WITHIN), silent, doubts=False
    )


def pairs_wanted(number, value=None):
    return Need("pairs", "feature", "square", Fraction(5), 2 * number, 2, value=value)


LINE = bundle_of([(float(light), 0.0, 0.0) for light in (30, 31, 50, 51, 70, 71, 90, 91)])


def test_a_lock_that_counts_nothing_takes_no_place_and_is_said():
    rules = MatchRules(locked=(("S000", "S007"),))
    found = counted(LINE, [pairs_wanted(2)], rules)
    assert found.tally.enough
    assert [one.swatches for one in found.sets if NOT_COUNTED in one.flags] == [("S000", "S007")]
    (said,) = found.notes
    assert re.fullmatch(
        r"A locked set does not count: S000 \+ S007 \(differing by \d+\.\d, "
        r"too far apart to count\)\.",
        said,
    )


def test_the_lock_that_costs_a_set_is_named_and_what_would_be_without():
    rules = MatchRules(locked=(("S002", "S003"), ("S000", "S007")))
    found = counted(LINE, [pairs_wanted(4)], rules)
    assert [line.short for line in found.tally.lines] == [4]
    (said,) = found.notes
    assert said.startswith("Your lock on S000 + S007 (differing by ")
    assert said.endswith(" costs 2 sets. Without it there would be enough.")


def test_two_locks_of_one_swap_are_named_together():
    rules = MatchRules(locked=(("S000", "S003"), ("S002", "S001")))
    (said,) = counted(LINE, [pairs_wanted(4)], rules).notes
    assert said.startswith("Your locks on S000 + S003 (")
    assert " and S002 + S001 (" in said
    assert "cost 2 sets. Without them there would be enough." in said


def test_a_lock_that_counts_can_cost_a_set_too():
    swatches = bundle_of([(light, 0.0, 0.0) for light in (38.0, 46.0, 50.0, 58.0)])
    (said,) = counted(swatches, [pairs_wanted(2)], MatchRules(locked=(("S001", "S002"),))).notes
    assert said == "Your lock on S001 + S002 costs 1 set. Without it there would be enough."


@pytest.mark.parametrize(
    ("locked", "says"),
    [
        (
            ("S000", "S001", "S002"),
            "Locked sets of another size than those asked for wait: S000 + S001 + S002.",
        ),
        (
            ("S000", "S001"),
            "A locked set has no place and is left aside, not of the kind or size that is asked "
            "for: S000 + S001.",
        ),
    ],
)
def test_locks_that_nothing_asks_for_are_left_aside_in_words(locked, says):
    swatches = [replace(one, value="dark" if i < 1 else "light") for i, one in enumerate(LINE)]
    found = counted(swatches, [pairs_wanted(1, "light")], MatchRules(locked=(locked,)))
    assert found.notes == (says,)
    assert found.tally.enough


def test_more_locks_than_places_leave_the_last_aside():
    rules = MatchRules(locked=(("S000", "S001"), ("S002", "S003")))
    found = counted(LINE, [pairs_wanted(1)], rules)
    assert found.notes == (
        "A locked set has no place and is left aside, more than are asked for: S002 + S003.",
    )
    assert found.tally.lines[0].swatches == ("S000", "S001")


def test_squares_of_a_lock_that_does_not_count_are_not_cut_up():
    posts = Need("post", "small", "square", Fraction(5, 2), 20, source="left over")
    rules = MatchRules(locked=(("S000", "S007"),))
    found = counted(LINE, [pairs_wanted(2), posts], rules)
    assert not {"S000", "S007"} & set(found.tally.lines[1].swatches)
    assert found.tally.lines[1].short == 12
    (said,) = found.notes
    assert said.endswith(" costs 8 pieces.")


colours = st.tuples(st.floats(20, 90), st.floats(-15, 15), st.floats(-15, 15))
needs_drawn = st.lists(
    st.tuples(
        st.sampled_from([1, 2, 2, 2, 3]),
        st.integers(1, 4),
        st.sampled_from([None, None, "light", "dark"]),
    ),
    min_size=1,
    max_size=3,
)


def check(squares, wanted, data):
    """Hold a count against the same count without the locks that are blamed, and without all."""
    swatches = bundle_of([lab for lab, _ in squares], [value for _, value in squares])
    needs = [
        Need(f"n{i}", "feature", "square", Fraction(5), size * sets, size, value=value)
        for i, (size, sets, value) in enumerate(wanted)
    ]
    if data.draw(st.booleans()):
        posts = data.draw(st.integers(1, 20))
        needs.append(Need("post", "small", "square", Fraction(5, 2), posts, source="left over"))
    names = data.draw(st.permutations([one.label for one in swatches]))
    locks, at = [], 0
    for size in data.draw(st.lists(st.sampled_from([2, 2, 3]), max_size=3)):
        if at + size <= len(names):
            locks.append(tuple(names[at : at + size]))
            at += size
    apart = tuple(zip(names[at::2], names[at + 1 :: 2], strict=False))[:2]
    rules = MatchRules(locked=tuple(locks), forbidden=apart)
    found = counted(swatches, needs, rules)

    def short(held):
        lines = counted(swatches, needs, replace(rules, locked=tuple(held))).tally.lines
        return [sum(line.short for line in lines if line.need.source == kind)
                for kind in ("bundle", "left over")]  # fmt: skip

    now = short(locks)
    said = " ".join(found.notes)
    blamed = re.search(r"Your locks? on (.*?) costs? ", said)
    if now > short(()):
        assert blamed, said
        held = [lock for lock in locks if " + ".join(lock) not in blamed[1]]
        assert short(held) <= short(())
    else:
        assert not blamed
    for one in found.matching.sets:
        serves = next(line for line in found.tally.lines if line.need.name == one.need)
        if one.swatches and not set(one.swatches) <= set(serves.swatches):
            assert round(one.difference, 1) > WITHIN
    named = [lock for lock in locks if " + ".join(lock) in said]
    for lock in locks:
        inside = next((s for s in found.matching.sets if set(s.swatches) == set(lock)), None)
        counts = inside is not None and round(inside.difference, 1) <= WITHIN
        assert counts or lock in named, said


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(colours, st.sampled_from(["light", "dark"])), min_size=4, max_size=13),
    needs_drawn,
    st.data(),
)
def test_a_lock_that_costs_is_always_named_and_only_then(squares, wanted, data):
    check(squares, wanted, data)


@pytest.mark.slow
@settings(max_examples=1000, deadline=None)
@given(
    st.lists(st.tuples(colours, st.sampled_from(["light", "dark"])), min_size=4, max_size=13),
    needs_drawn,
    st.data(),
)
def test_a_lock_that_costs_is_always_named_and_only_then_often(squares, wanted, data):
    check(squares, wanted, data)


def check_large(squares, wanted, data):
    """No set that counts is left lying where a need is short, squares cut up or not."""
    swatches = [
        replace(one, square=replace(SQUARE, width_in=side, height_in=side))
        for one, (_, side) in zip(bundle_of([lab for lab, _ in squares]), squares, strict=True)
    ]
    needs = [
        Need(f"n{i}", "feature", "square", Fraction(size), 2 * sets, 2)
        for i, (sets, size) in enumerate(wanted)
    ]
    names = data.draw(st.permutations([one.label for one in swatches]))
    locks = [tuple(names[:2])] if data.draw(st.booleans()) else []
    found = counted(swatches, needs, MatchRules(locked=tuple(locks)))
    used = {label for line in found.tally.lines for label in line.swatches}
    used |= {label for lock in locks for label in lock if lock not in found.matching.left_aside}
    spare = [one for one in swatches if one.label not in used]
    for line in found.tally.lines:
        if not line.short:
            continue
        able = [(one, pieces_from(one, line.need)) for one in spare if serves(one, line.need)]
        assert all(pieces < 2 for _, pieces in able)
        away = ciede2000_matrix(np.array([one.lab for one, _ in able]).reshape(-1, 3)).round(1)
        assert not (away[np.triu_indices(len(able), 1)] <= WITHIN).any()


large = st.lists(st.tuples(colours, st.sampled_from([4.0, 5.0, 10.0])), min_size=2, max_size=8)
large_needs = st.lists(
    st.tuples(st.integers(1, 6), st.sampled_from([5, 4, Fraction(5, 2)])), min_size=1, max_size=2
)


@settings(max_examples=40, deadline=None)
@given(large, large_needs, st.data())
def test_no_set_that_counts_lies_spare_where_squares_are_cut_up(squares, wanted, data):
    check_large(squares, wanted, data)


@pytest.mark.slow
@settings(max_examples=2000, deadline=None)
@given(large, large_needs, st.data())
def test_no_set_that_counts_lies_spare_where_squares_are_cut_up_often(squares, wanted, data):
    check_large(squares, wanted, data)
