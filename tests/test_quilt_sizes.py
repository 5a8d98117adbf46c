from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.quilt_sizes.filled_layout import missing_words
from catalog.cutting.quilt_sizes.filling import (
    layouts_filled,
    next_steps,
    steps_to_usual,
    suggested,
)
from catalog.cutting.quilt_sizes.quilt_layout import Layout, span, times_root_2
from catalog.cutting.quilt_sizes.sashing import post_count, sashing_pieces, strip_count
from catalog.cutting.quilt_sizes.set_supply import Supply
from catalog.cutting.quilt_sizes.standard_sizes import NAMES, usual_sizes
from catalog.errors import UsageError

HALF = Fraction(1, 2)
"""Two seams of 1/4."""
BLOCK = Fraction(9, 2)
COUNTS = st.integers(1, 12)
LENGTHS = st.integers(8, 96).map(lambda n: Fraction(n, 8))
STRAIGHT = st.builds(
    Layout,
    rows=COUNTS,
    columns=COUNTS,
    block=LENGTHS,
    block_length=LENGTHS | st.none(),
    sashing=LENGTHS | st.just(Fraction(0)),
    outer=st.booleans(),
    posts=st.booleans(),
    borders=st.lists(LENGTHS, max_size=2).map(tuple),
)
ON_POINT = st.builds(
    Layout,
    rows=COUNTS,
    columns=COUNTS,
    block=LENGTHS,
    sashing=LENGTHS | st.just(Fraction(0)),
    on_point=st.just(True),
)


def _area(layout):
    """Finished area of blocks, sashing, posts and borders, piece by piece."""
    blocks = layout.blocks * layout.block * layout.tall
    strips = sum(
        (piece.width - HALF) * (piece.length - HALF) * piece.count
        for piece in sashing_pieces(layout)
    )
    inner = replace(layout, borders=())
    borders = layout.width * layout.length - inner.width * inner.length
    return blocks + strips + borders


@given(STRAIGHT)
def test_finished_pieces_add_up_to_the_quilt(layout):
    assert _area(layout) == layout.width * layout.length


@given(STRAIGHT)
def test_a_sewn_row_has_the_width_of_the_top(layout):
    inner = replace(layout, borders=())
    strips = inner.columns + (1 if inner.framed else -1)
    assert inner.width == inner.columns * inner.block + strips * inner.sashing


@given(STRAIGHT, st.sampled_from(["rows", "columns", "block", "sashing"]))
def test_more_of_anything_is_never_smaller(layout, what):
    more = replace(layout, **{what: getattr(layout, what) + 1})
    assert more.width >= layout.width
    assert more.length >= layout.length
    assert more.blocks >= layout.blocks


@given(LENGTHS, st.sampled_from([Fraction(1, 16), Fraction(1, 8), Fraction(5, 127)]))
def test_root_2_is_rounded_to_the_nearest_step_without_error(length, step):
    found = times_root_2(length, step)
    assert found % step == 0
    assert (found - step / 2) ** 2 <= 2 * length**2 <= (found + step / 2) ** 2


@given(ON_POINT)
def test_strips_and_posts_on_point_are_those_counted_one_by_one(layout):
    # Turned by 45 degrees and with diagonals of 2, blocks stand at (2 column, 2 row) and between.
    centres = [(2 * c, 2 * r) for c in range(layout.columns) for r in range(layout.rows)]
    centres += [
        (2 * c + 1, 2 * r + 1) for c in range(layout.columns - 1) for r in range(layout.rows - 1)
    ]
    corners, sides = set(), set()
    for x, y in centres:
        round_about = [(x + 1, y), (x, y + 1), (x - 1, y), (x, y - 1)]
        corners.update(round_about)
        sides.update(
            frozenset(pair)
            for pair in zip(round_about, round_about[1:] + round_about[:1], strict=True)
        )
    assert layout.blocks == len(centres)
    if layout.sashing:
        assert (post_count(layout), strip_count(layout)) == (len(corners), len(sides))


@given(ON_POINT)
def test_setting_triangles_fill_the_edges_on_point(layout):
    sides, corners = layout.setting_triangles
    plain = replace(layout, sashing=Fraction(0))
    # In blocks' areas: a side triangle is half a block of diagonals, a corner a quarter.
    area = plain.blocks + Fraction(sides, 2) + Fraction(corners, 4)
    assert area == 2 * plain.rows * plain.columns


def test_sashing_is_cut_with_and_without_posts():
    layout = Layout(3, 2, Fraction(12), sashing=Fraction(2))
    cut = [(p.name, p.width, p.length, p.count) for p in sashing_pieces(layout)]
    assert cut == [("sashing", 2.5, 12.5, 7), ("post", 2.5, 2.5, 2)]
    framed = replace(layout, outer=True, posts=False)
    cut = [(p.name, p.width, p.length, p.count) for p in sashing_pieces(framed)]
    assert cut == [
        ("short sashing", 2.5, 12.5, 3),
        ("long sashing", 26.5, 2.5, 2),
        ("side sashing", 2.5, 40.5, 2),
        ("top and bottom sashing", 30.5, 2.5, 2),
    ]
    assert sashing_pieces(replace(layout, sashing=Fraction(0))) == ()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"rows": 0}, "0 x 4 blocks make no quilt"),
        ({"block": Fraction(0)}, "below 0"),
        ({"on_point": True, "block_length": Fraction(3)}, "must be square"),
        ({"on_point": True, "sashing": Fraction(1), "posts": False}, "needs posts"),
    ],
)
def test_a_layout_that_cannot_be_is_refused(change, words):
    with pytest.raises(UsageError, match=words):
        replace(Layout(3, 4, BLOCK), **change)


supplies = st.builds(
    Supply,
    sets=st.fixed_dictionaries({name: st.integers(0, 20) for name in ("blue", "green", "red")}),
    per_block=st.integers(1, 2),
    shares=st.sampled_from(
        [
            {},
            {"blue": HALF},
            {"blue": Fraction(1, 3), "red": Fraction(1, 3)},
            {"teal": Fraction(1, 5)},
        ]
    ),
)


@given(supplies, st.integers(1, 60))
def test_what_is_missing_is_just_what_makes_it_enough(supply, blocks):
    missing = supply.missing(blocks)
    bought = Counter(supply.sets)
    for family, number in missing.items():
        assert number > 0
        bought[family or "green"] += number
    filled = replace(supply, sets=bought)
    assert not filled.missing(blocks)
    if missing:
        one = min(missing)
        bought[one or "green"] -= 1
        assert replace(supply, sets=bought).missing(blocks)


@settings(max_examples=20)
@given(supplies, st.sampled_from([False, True]))
def test_every_number_of_rows_and_columns_that_the_sets_fill(supply, on_point):
    pattern = Layout(1, 1, BLOCK, on_point=on_point)
    found = {(one.layout.rows, one.layout.columns) for one in layouts_filled(supply, pattern)}
    expected = {
        (rows, columns)
        for rows in range(1, 61)
        for columns in range(1, 61)
        if not supply.missing(replace(pattern, rows=rows, columns=columns).blocks)
    }
    assert found == expected


def test_the_nearest_to_a_usual_size_comes_first():
    supply = Supply({"any": 50})
    pattern = Layout(1, 1, BLOCK, sashing=Fraction(1), borders=(Fraction(4),))
    found = layouts_filled(supply, pattern)
    assert [one.distance for one in found] == sorted(one.distance for one in found)
    assert all(one.left_over == 50 - one.layout.blocks for one in found)
    assert suggested(supply, pattern).words == (
        "10 rows of 5 blocks of 4 1/2 in, sashing 1 in, 34 1/2 x 62 in, 1 1/2 in narrower and "
        "2 in longer than crib 36 x 60; 0 sets left over"
    )
    for one in layouts_filled(supply, pattern, largest_only=True):
        assert all(step.missing for step in next_steps(supply, one.layout)[:2])


def test_what_a_further_step_needs_is_said():
    supply = Supply({"blue": 22, "green": 30}, shares={"blue": HALF})
    row, column, both = next_steps(supply, Layout(7, 6, BLOCK))
    assert row.words.endswith("; 2 more sets in blue for 8 rows of 6")
    assert (row.missing, row.left_over) == ((("blue", 2),), 0)
    assert (column.layout.rows, column.layout.columns) == (7, 7)
    assert both.layout.blocks == 56
    assert missing_words((("", 1),)) == "1 more set"
    assert missing_words((("", 1), ("blue", 2))) == "2 more sets in blue and 1 of any family"


def test_shapes_and_kinds_of_quilts_can_be_asked_for():
    supply, pattern = Supply({"any": 60}), Layout(1, 1, Fraction(6))
    long = layouts_filled(supply, pattern, shape="longer")
    assert all(2 * one.layout.length >= 3 * one.layout.width for one in long)
    squat = layouts_filled(supply, pattern, shape="shorter")
    assert all(1 < one.layout.length / one.layout.width <= Fraction(6, 5) for one in squat)
    assert suggested(supply, pattern, shape="square").layout.rows == 6
    runner = suggested(supply, pattern, like="runner")
    assert (runner.usual.length, runner.layout.rows, runner.layout.columns) == (72, 12, 3)
    assert {one.usual.name for one in layouts_filled(supply, pattern, like="crib")} == {"crib"}
    assert suggested(Supply({"any": 0}), pattern) is None


def test_every_kind_of_quilt_is_told_with_what_it_lacks():
    steps = steps_to_usual(Supply({"any": 40}), Layout(1, 1, Fraction(6), on_point=True))
    assert [one.usual.name for one in steps] == list(NAMES)
    for one in steps:
        assert one.distance <= 2 * times_root_2(Fraction(6))
        assert bool(one.missing) == (one.layout.blocks > 40)


@given(LENGTHS, LENGTHS | st.just(Fraction(0)), st.booleans())
def test_no_other_rows_and_columns_are_nearer_to_a_crib(block, sashing, on_point):
    pattern = Layout(1, 1, block, sashing=sashing, on_point=on_point)
    found = next(one for one in steps_to_usual(Supply({}), pattern) if one.usual.name == "crib")
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            rows, columns = found.layout.rows + down, found.layout.columns + across
            if rows and columns:
                other = replace(pattern, rows=rows, columns=columns)
                off = min(
                    abs(other.width - size.width) + abs(other.length - size.length)
                    for size in usual_sizes("crib")
                )
                assert found.distance <= off


def test_an_unknown_kind_of_quilt_is_refused():
    with pytest.raises(UsageError, match='"tent" is no usual quilt size; use one of baby, crib'):
        usual_sizes("tent")
    assert usual_sizes(" Crib ")[0].name == "crib"


def test_shares_and_sets_that_cannot_be_are_refused():
    with pytest.raises(UsageError, match="more than the whole"):
        Supply({"blue": 3}, shares={"blue": Fraction(2, 3), "red": HALF})
    with pytest.raises(UsageError, match="below 0"):
        Supply({"blue": -3})


@given(COUNTS, LENGTHS, LENGTHS)
def test_outer_strips_add_two(count, block, sashing):
    inner, outer = (span(count, block, sashing, outer=way) for way in (False, True))
    assert outer == inner + 2 * sashing
