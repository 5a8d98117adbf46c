"""Cuts hold for whole sets and not for fractions; what pairs share of them is never too much."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.matching.packing.set_cuts import Cut, CutPrices, counts, violated
from catalog.matching.packing.set_enumeration import sets_under


def test_three_thirds_of_four_squares_go_over_a_cut():
    threes = np.array(list(combinations(range(4), 3)))
    cuts = violated(threes, np.full(4, 1 / 3), 6, set())
    assert Cut(2, (0, 1, 2)) in cuts
    assert Cut(3, (0, 1, 2, 3)) in cuts
    assert not violated(threes, np.full(4, 1 / 3), 6, set(cuts))


def test_nothing_goes_over_where_no_fraction_is_taken():
    assert violated(np.zeros((0, 3), int), np.zeros(0), 6, set()) == []


@given(st.integers(3, 4), st.data())
@settings(max_examples=60)
def test_no_choice_of_whole_sets_goes_over_a_cut(size, data):
    rng = np.random.default_rng(data.draw(st.integers(0, 10_000)))
    n = 12
    sets = np.sort([rng.choice(n, size, replace=False) for _ in range(9)], axis=1)
    taken = rng.uniform(0, 0.8, len(sets))
    cuts = violated(sets, taken, n, set())
    assert all((counts([cut], sets, n)[:, 0] @ taken) > cut.most for cut in cuts)
    whole = rng.permutation(n).reshape(-1, size)
    assert (counts(cuts, whole, n).sum(axis=0) <= [cut.most for cut in cuts]).all()


@pytest.mark.parametrize("size", [2, 3, 4])
@pytest.mark.parametrize("seed", range(6))
def test_all_sets_under_a_limit_are_found_with_what_cuts_cost(size, seed):
    rng = np.random.default_rng(seed)
    n = 12
    cost = ciede2000_matrix(rng.uniform([30, -20, -20], [60, 20, 20], (n, 3)))
    np.fill_diagonal(cost, np.inf)
    price = rng.uniform(0, 18 * (size - 1), n)
    cuts = [
        Cut(part, tuple(sorted(rng.choice(n, many, replace=False).tolist())))
        for part, many in [(2, 3), (2, 5), (3, 4), (3, 8), (4, 5), (4, 9)]
    ]
    paid = rng.uniform(0, 20, len(cuts))
    excess = {
        group: sum(cost[p] for p in combinations(group, 2))
        - price[list(group)].sum()
        + sum(
            one * (len(set(cut.squares) & set(group)) // cut.part)
            for cut, one in zip(cuts, paid, strict=True)
        )
        for group in combinations(range(n), size)
    }
    ascending = sorted(excess.values())
    for share in (0.01, 0.1, 0.4):
        place = int(share * len(ascending))
        limit = (ascending[place] + ascending[place + 1]) / 2  # where no last bit decides
        found = sets_under(cost, price, size, limit, 10_000, CutPrices.of(cuts, paid, n))
        assert found.complete
        assert {tuple(row) for row in found.members.tolist()} == {
            group for group, one in excess.items() if one < limit
        }
        for row, one in zip(found.members.tolist(), found.excess, strict=True):
            assert one == pytest.approx(excess[tuple(row)])
