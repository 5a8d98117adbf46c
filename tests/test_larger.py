"""Every quilt that is promised is one that a count calls enough."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog import pipeline
from catalog.count_request import CountRequest, needs_for
from catalog.cutting.adapted.adaptation import SHAPES, adapt_pattern
from catalog.errors import UsageError
from catalog.larger_quilts import CountedStock, promised
from catalog.models import MatchRules, Square, Swatch
from catalog.pattern.patterns import read_pattern

FRAME = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
WITHIN = 10.0

TEXT = """
title = "Drawn"
description = "Four squares to a block, and what the test adds."
[layout]
rows = {rows}
columns = {columns}
finished_block = "8"
set = "{setting}"
[[feature]]
name = "patch"
size = "4 1/2"
per_block = 2
match = 2
{quota}
[[background]]
name = "ground"
size = "4 1/2"
per_block = 2
from = "{ground}"
{more}
[block]
grid = ["A C", "D B"]
"""
UNIT = '[[block.unit]]\nmark = "{}"\nunit = "square"\nfabrics = ["{}"]\n'
UNITS = "".join(
    UNIT.format(mark, cloth)
    for mark, cloth in zip("ABCD", ("patch 1", "patch 2", "ground 1", "ground 2"), strict=True)
)
SECOND = '[[feature]]\nname = "second"\nsize = "{size}"\nin_all = {many}\nmatch = {match}\n'
SMALL = '[[small]]\nname = "{name}"\nsize = "{size}"\nin_all = {many}\n'
SASHING = '[sashing]\nwidth = "1"\nouter = true\npost_piece = "post"\n'
QUOTA = '[[feature.quota]]\nshare = "1/2"\n{}\n'


def posts_of(rows, columns, on_point):
    if on_point:
        return rows * (columns + 1) + columns * (rows + 1)
    return (rows + 1) * (columns + 1)


@st.composite
def patterns(draw):
    rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    on_point = draw(st.booleans())
    blocks = rows * columns + ((rows - 1) * (columns - 1) if on_point else 0)
    more, sashing = "", ""
    if draw(st.booleans()):
        match = draw(st.integers(1, 3))
        many = match * draw(st.integers(1, 3))
        more += SECOND.format(
            size=draw(st.sampled_from(["4 1/2", "2 1/2"])), many=many, match=match
        )
    if draw(st.booleans()):
        more += SMALL.format(name="post", size="1 1/2", many=posts_of(rows, columns, on_point))
        sashing = SASHING
    if draw(st.booleans()):
        more += SMALL.format(name="scrap", size=draw(st.sampled_from(["2", "3"])), many=blocks)
    wish = draw(st.sampled_from(["", 'value = "dark"', 'family = "blue"']))
    quota = QUOTA.format(wish) if wish and blocks % 2 == 0 else ""
    text = TEXT.format(
        rows=rows,
        columns=columns,
        setting="on point" if on_point else "straight",
        quota=quota,
        ground=draw(st.sampled_from(["yardage", "bundle"])),
        more=more,
    )
    return read_pattern(text + UNITS + sashing, "drawn")


@st.composite
def bundles(draw, large=8):
    """Squares and their side; of large ones no more than that: pieces of seven take 4 s a count."""
    side = draw(st.sampled_from([4.5, 5.0, 10.0]))
    cloths = draw(st.integers(3, 12))
    return side, [
        Swatch(
            f"R{1 + number // 6}C{1 + number % 6}",
            "a.jpg",
            Square(FRAME, None, None, side, side, 1.0),
            (30.0 + 5.0 * (number % cloths), 15.0 * (number % cloths % 3), 0.0),
            "plain",
            0.0,
            value="dark" if number % cloths < 3 else "medium",
            fabric=f"F{number % cloths}",
            family="blues" if number % 2 else "reds",
        )
        for number in range(draw(st.integers(2, large if side > 5 else 24)))
    ]


def count(swatches, needs, rules):
    bundle = pipeline.Bundle((), tuple(swatches))
    return pipeline.count(bundle, "Q", needs, replace(rules, within=WITHIN), lambda _: None)


def lacking(tally):
    return sum(line.short for line in tally.lines)


def _what_count_promises(pattern, side, swatches, rules):
    side = Fraction(side)
    request = CountRequest(side, rules, needs_for(pattern, rules, side, None), pattern)
    result = count(swatches, request.needs, rules)
    layout = adapt_pattern(pattern.quilt, square=side).layout
    made = promised(CountedStock(result, request), layout)
    assert made.chosen.enough == result.tally.enough
    assert all(one.enough for one in made.fills)
    for one in (made.chosen, *made.fills, *made.steps):
        needs = request.of_size(one.layout.rows, one.layout.columns).needs
        tally = count(swatches, needs, rules).tally
        assert tally.enough == one.enough, one.words
        told = sum(number for _, number in (*one.missing, *one.wanting))
        assert bool(told) == bool(lacking(tally))


RULES = st.builds(
    MatchRules,
    same_fabric=st.sampled_from(["allow", "avoid"]),
    tolerance=st.just(WITHIN),
    within=st.just(WITHIN),
)


@settings(max_examples=15)
@given(patterns(), bundles(large=2), RULES)
def test_what_a_count_promises_counts(pattern, bundle, rules):
    _what_count_promises(pattern, *bundle, rules)


@pytest.mark.slow
@settings(max_examples=2000)
@given(patterns(), bundles(), RULES)
def test_thousands_of_promises_of_a_count_count(pattern, bundle, rules):
    _what_count_promises(pattern, *bundle, rules)


def alike(number, size, side):
    """Sets of squares of one colour each, and no others."""
    return [
        Swatch(
            f"R{1 + at}C{1 + which}",
            "a.jpg",
            Square(FRAME, None, None, float(side), float(side), 1.0),
            (20.0 + 70.0 * at / max(1, number - 1), 12.0 * (at % 5), 12.0 * (at % 3)),
            "plain",
            0.0,
        )
        for at in range(number)
        for which in range(size)
    ]


def _what_sets_promise(pattern, sets, square, shape):
    kinds = [kind for kind in pattern.quilt.kinds if kind.source == "bundle"]
    size = max(kind.match for kind in kinds)
    side = square or max(kind.size for kind in kinds)
    try:
        made = adapt_pattern(pattern.quilt, square=square, sets=sets, shape=shape)
    except UsageError as error:
        assert "make no" in str(error)  # noqa: PT017 - most shapes are made
        return
    promised = [one for one in (made.chosen, *made.fills, *made.steps, *made.usual) if one.enough]
    bundle = alike(sets, size, side)
    assert all(one.left_over >= 0 for one in promised)
    tightest = sorted(promised, key=lambda one: one.left_over)
    for one in tightest[:3]:
        needs = [
            replace(need, family=None, value=None)
            for need in pattern.of_size(one.layout.rows, one.layout.columns).needs
        ]
        tally = count(bundle, needs, MatchRules()).tally
        assert tally.enough, one.words


SQUARES = st.sampled_from([None, Fraction(9, 2), Fraction(5), Fraction(10)])


@settings(max_examples=15)
@given(patterns(), st.integers(1, 16), SQUARES, st.sampled_from(["as-written", "largest"]))
def test_what_a_number_of_sets_promises_counts(pattern, sets, square, shape):
    _what_sets_promise(pattern, sets, square, shape)


@pytest.mark.slow
@settings(max_examples=2000)
@given(patterns(), st.integers(1, 30), SQUARES, st.sampled_from(SHAPES))
def test_thousands_of_promises_of_a_number_of_sets_count(pattern, sets, square, shape):
    _what_sets_promise(pattern, sets, square, shape)
