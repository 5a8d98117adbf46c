"""Sets to places: arranging, sides, turns, pressing, the order of sewing."""

import itertools
import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walls_made import FOUR_PATCH, HOURGLASS, PINWHEEL, SQUARE, bundle, colours, layout_of

from catalog.colour.ciede2000 import ciede2000
from catalog.cutting.plans import ARRANGEMENTS
from catalog.cutting.quilt import Patch
from catalog.cutting.quilt_sizes.block_places import places, row_letters
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import SquareSet, Swatch
from catalog.wall.adjacency import neighbours
from catalog.wall.arrangement import arrange, pair_costs, total_cost
from catalog.wall.block_sides import side_words
from catalog.wall.set_grid import quilt_of_sets
from catalog.wall.wall_plan import plan_wall


def hang(number=20, order="rainbow-down", quilt=PINWHEEL, seed=0, **changes):
    sets, swatches = bundle(number, need=quilt.kinds[0].name, seed=seed)
    return plan_wall(quilt, layout_of(quilt, **changes), sets, swatches, order)


# --- arranging ------------------------------------------------------------------------------------


@pytest.mark.parametrize("ordered", [False, True])
@pytest.mark.parametrize("seed", range(3))
def test_on_seven_places_no_arrangement_is_better(ordered, seed):
    spots = places(Layout(1, 7, Fraction(8)))
    pairs = neighbours(spots)
    along = [spot.across for spot in spots] if ordered else None
    labs = colours(7, seed)
    costs = pair_costs(labs, scattered=not ordered)
    every = (np.array(p) for p in itertools.permutations(range(7)))
    best = min(total_cost(costs, pairs, along, one) for one in every)
    found = total_cost(costs, pairs, along, arrange(labs, pairs, along))
    assert found == pytest.approx(best, abs=1e-9)


@given(st.integers(1, 12), st.booleans(), st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_every_colour_hangs_once_and_no_worse_than_at_the_start(number, ordered, seed):
    spots = places(Layout(number, 2, Fraction(8)))
    pairs = neighbours(spots)
    along = [spot.down for spot in spots] if ordered else None
    labs = colours(2 * number, seed)
    chosen = arrange(labs, pairs, along, shuffles=5)
    assert sorted(chosen) == list(range(2 * number))
    costs = pair_costs(labs, scattered=not ordered)
    start = total_cost(costs, pairs, along, np.arange(2 * number))
    assert total_cost(costs, pairs, along, chosen) <= start + 1e-9


def test_the_search_keeps_its_books():
    from catalog.wall.arrangement import _ArrangementSearch

    spots = places(Layout(4, 5, Fraction(8)))
    pairs, along = neighbours(spots, 0.5), [spot.down for spot in spots]
    costs = pair_costs(colours(20), scattered=True)
    search = _ArrangementSearch(costs, pairs, along)
    before = total_cost(costs, pairs, along, search.at)
    change = search._swap(3, 4, []) + search._swap(0, 19, [])
    assert total_cost(costs, pairs, along, search.at) == pytest.approx(before + change)


@pytest.mark.parametrize("order", ARRANGEMENTS)
def test_every_set_hangs_once_and_the_same_every_time(order):
    plan = hang(order=order)
    assert Counter(n for b in plan.blocks for n in b.sets) == Counter(range(1, 21))
    assert plan == hang(order=order)


def test_scattered_sets_differ_more_from_their_neighbours_than_ordered_ones():
    scattered, ordered = hang(order="scattered"), hang(order="rainbow-down")
    assert scattered.step > 1.5 * ordered.step
    assert scattered.nearest[2] > 15.0


def test_twins_are_kept_apart_when_scattered():
    sets, swatches = bundle(20)
    # Every second set in the colours of the one before it: side by side in rainbow order.
    twins = {
        s.label: replace(s, lab=swatches[place - 2].lab) if place // 2 % 2 else s
        for place, s in enumerate(swatches)
    }
    plan = plan_wall(PINWHEEL, layout_of(PINWHEEL), sets, list(twins.values()), "scattered")
    at = {b.sets[0]: (b.row, b.column) for b in plan.blocks}
    for one in range(1, 20, 2):
        (r1, c1), (r2, c2) = at[one], at[one + 1]
        assert max(abs(r1 - r2), abs(c1 - c2)) > 1


@pytest.mark.parametrize(
    ("order", "key"),
    [
        ("rainbow-across", lambda b: b.column),
        ("rainbow-down", lambda b: b.row),
        ("rainbow-diagonal", lambda b: b.row + b.column),
        ("light-to-dark", lambda b: b.row),
    ],
)
def test_orders_run_where_their_names_say(order, key):
    plan = hang(order=order)
    steps = [key(block) for block in plan.blocks]
    ranks = [block.sets[0] for block in plan.blocks]
    assert np.corrcoef(steps, ranks)[0, 1] > 0.85


def test_where_sets_are_short_the_last_places_stay_empty():
    plan = hang(13)
    assert plan.empty == 7
    assert [bool(block.sets) for block in plan.blocks] == [True] * 13 + [False] * 7
    assert plan.blocks[-1].note == "no set for this place"


def test_more_sets_than_places_leave_some_over():
    assert hang(30).empty == 0


def test_difference_told_is_that_of_the_neighbours():
    plan = hang(2, rows=1, columns=2)
    sets, swatches = bundle(2)
    labs = {s.label: np.array(s.lab) for s in swatches}
    means = [np.mean([labs[label] for label in one.swatches], axis=0) for one in sets]
    assert plan.step == pytest.approx(float(ciede2000(*means)))
    assert plan.nearest == ("A1", "A2", pytest.approx(plan.step))


# --- places ---------------------------------------------------------------------------------------


def test_rows_have_letters_as_seats_do():
    assert [row_letters(n) for n in (0, 25, 26, 27, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AB",
        "ZZ",
        "AAA",
    ]


def test_straight_places_stand_a_block_and_a_strip_apart():
    spots = places(Layout(2, 3, Fraction(8), sashing=Fraction(1), outer=True))
    assert [(s.label, s.x, s.y) for s in spots[:2]] == [("A1", 5.0, 5.0), ("A2", 14.0, 5.0)]
    assert (spots[-1].label, spots[-1].y) == ("B3", 14.0)


@pytest.mark.parametrize("sashing", [0, 2])
def test_on_point_blocks_that_touch_are_a_block_apart_and_fill_the_quilt(sashing):
    layout = Layout(3, 4, Fraction(6), sashing=Fraction(sashing), on_point=True)
    spots = places(layout)
    assert len(spots) == layout.blocks == 18
    pairs = neighbours(spots)
    # Every inner block touches four others and those pairs are all there are.
    assert len(pairs) == 4 * 2 * 3
    for p, q, _ in pairs:
        away = math.dist((spots[p].x, spots[p].y), (spots[q].x, spots[q].y))
        assert away == pytest.approx(6 + sashing)
    reach = (6 + 2 * sashing) / math.sqrt(2)
    assert min(s.x for s in spots) == pytest.approx(reach)
    assert max(s.x for s in spots) + reach == pytest.approx(float(layout.width), abs=1 / 16)
    assert max(s.y for s in spots) + reach == pytest.approx(float(layout.length), abs=1 / 16)


# --- sides ----------------------------------------------------------------------------------------


def test_the_darker_square_and_its_side_are_told_as_the_block_hangs():
    plan = hang(12, quilt=FOUR_PATCH)
    told = [(b.turn, b.darker_goes, b.lighter_goes) for b in plan.blocks]
    assert told[:3] == [
        (0, "upper left", "lower right"),
        (90, "upper right", "lower left"),
        (180, "lower right", "upper left"),
    ]
    assert all(b.darker.endswith("a") and b.lighter.endswith("b") for b in plan.blocks)


def test_parts_of_one_unit_are_told_apart_by_the_unit():
    from catalog.cutting.quilt import Block, BlockUnit, Cell

    pair = (Patch("x", 1), Patch("x", 2))
    unit = BlockUnit("A", "half-square-triangle", None, pair)
    block = Block(1, (unit,), (Cell(0, 0, 0, 1, 1),))
    assert side_words(block, pair[0], pair[1:], 0) == "upper left"
    assert side_words(block, pair[1], pair[:1], 0) == "lower right"
    assert side_words(block, pair[0], pair[1:], 90) == "upper right"


def test_background_squares_of_the_bundle_go_where_they_show():
    sets, swatches = bundle(9, need="hourglass, dark")
    lights = [
        Swatch(f"L{n:02d}", "p.jpg", SQUARE, (60.0 + 2 * n, 0.0, 0.0), "plain", 0.0)
        for n in range(18)
    ]
    single = [
        SquareSet(0, (s.label,), 0.0, 0.0, "any", True, (), "background, light") for s in lights
    ]
    plan = plan_wall(
        HOURGLASS, layout_of(HOURGLASS), [*sets, *single], [*swatches, *lights], "scattered"
    )
    lightness = {s.label: s.lab[0] for s in (*swatches, *lights)}
    blocks = [
        [[lightness[label] for p, label in b.squares if p.kind == kind] for kind in
         ("hourglass", "background")]
        for b in plan.blocks
    ]  # fmt: skip
    assert Counter(label for b in plan.blocks for _, label in b.squares).most_common(1)[0][1] == 1
    by_figure = sorted(blocks, key=lambda b: np.mean(b[0]))
    assert [min(ground) for _, ground in by_figure] == sorted(min(g) for _, g in by_figure)


# --- pressing -------------------------------------------------------------------------------------


def test_pressing_is_told_in_words():
    first, second, *_ = hang().blocks
    assert first.press_inside == "row 1 right, row 2 left, joins of rows down"
    assert second.press_inside == "row 1 right, row 2 left, joins of rows up"
    assert (first.press_to_next, first.press_row) == ("right", "row A to B: down")


# --- sets alone -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [2, 3, 4])
@pytest.mark.parametrize("number", [1, 5, 12])
def test_sets_alone_hang_in_a_plain_grid(size, number):
    quilt, layout = quilt_of_sets(number, size, "matched sets", Fraction(5))
    sets, swatches = bundle(number, size, "matched sets")
    plan = plan_wall(quilt, layout, sets, swatches, "scattered")
    assert sum(bool(b.sets) for b in plan.blocks) == number
    assert len(plan.blocks) - number < layout.columns
    assert {len(b.squares) for b in plan.blocks if b.sets} == {size}
