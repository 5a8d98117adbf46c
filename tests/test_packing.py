"""What makes a choice of sets better, step by step."""

import numpy as np
import pytest

from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.matching.packing import set_packing
from catalog.matching.packing.exchange import Demand, Rules, greedy
from catalog.matching.packing.near_sets import near_sets
from catalog.matching.packing.neighbourhood_search import search
from catalog.matching.packing.regrouping import regroup
from catalog.matching.packing.set_columns import Columns
from catalog.matching.packing.set_packing import pack


def rules_and_demand(n, size, seed=0):
    rng = np.random.default_rng(seed)
    labs = rng.normal(size=(n, 3)) * [18, 25, 25] + [55, 0, 0]
    cost = ciede2000_matrix(labs)
    np.fill_diagonal(cost, np.inf)
    return Rules(cost, labs[:, 0], 0.0), [Demand(size, n // size, np.ones(n, bool))]


@pytest.mark.parametrize("size", [2, 3, 4])
def test_sets_put_together_anew_are_no_worse_and_hold_the_same_squares(size):
    rules, demands = rules_and_demand(40, size)
    before = greedy(rules, demands)
    after = regroup(rules, demands, before)
    used = [
        sorted(square for _, squares in picks for square in squares) for picks in (before, after)
    ]
    assert used[0] == used[1]
    assert sum(map(rules.set_cost, after)) <= sum(map(rules.set_cost, before)) + 1e-9


def test_two_sets_changed_over_are_put_right():
    light = np.array([10.0, 11, 12, 50, 51, 52])
    cost = np.abs(light[:, None] - light)
    np.fill_diagonal(cost, np.inf)
    rules, demands = Rules(cost, light, 0.0), [Demand(3, 2, np.ones(6, bool))]
    mixed = [(0, (0, 1, 5)), (0, (2, 3, 4))]
    assert regroup(rules, demands, mixed) == [(0, (0, 1, 2)), (0, (3, 4, 5))]


@pytest.mark.parametrize("size", [3, 4])
def test_a_whole_bundle_is_within_a_hundredth_of_the_bound_and_the_same_again(size):
    rules, demands = rules_and_demand(150, size, seed=4)
    packing = pack(rules, None, demands)
    total = sum(map(rules.set_cost, packing.picks))
    assert total * 0.99 <= packing.bound <= total
    assert pack(rules, None, demands).picks == packing.picks


def test_no_better_choice_is_sought_where_one_costs_no_more_than_enough():
    rules, demands = rules_and_demand(60, 3)
    columns = Columns(rules, demands)
    picks = greedy(rules, demands)
    columns.add(picks + near_sets(rules, demands, np.ones(60, bool)))
    prices = columns.prices()
    value = columns.value(picks)
    assert search(columns, prices, picks, value) == picks
    assert columns.value(search(columns, prices, picks, 0.0)) < value
    found, _ = columns.whole(sorted(columns.picks), 5, start=picks, enough=value)
    assert columns.value(found) <= value


def test_a_shortage_makes_no_choice_close_enough(monkeypatch):
    """What squares cost that nothing can serve is no part of what a choice may lie over."""
    rules, [demand] = rules_and_demand(150, 3, seed=4)
    short = [Demand(3, demand.sets + 20, demand.members)]
    total = sum(map(rules.set_cost, pack(rules, None, short).picks))
    monkeypatch.setattr(set_packing, "CLOSE", 0.0)
    monkeypatch.setattr(set_packing, "NEAR", 0.0)
    best = sum(map(rules.set_cost, pack(rules, None, short).picks))
    assert total <= 1.01 * best
