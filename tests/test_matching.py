from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.colour.ciede2000 import as_shown, ciede2000_matrix
from catalog.errors import SetError
from catalog.matching import match_requests
from catalog.matching.packing import set_packing
from catalog.matching.packing.exchange import Demand, Rules
from catalog.matching.packing.set_enumeration import sets_under
from catalog.matching.solver import whole_costs
from catalog.matching.solver.blossom import PairGraph
from catalog.matching.solver.certificate import certify
from catalog.matching.solver.exact_pairs import PairSearch
from catalog.matching.solver.nested_blossoms import EXPOSED, NestedBlossoms
from catalog.matching.solver.pair_costs import PairCosts
from catalog.matching.solver.pair_matching import PairProblem, best_pairs
from catalog.matching.solver.whole_costs import PARTS, UNITS, WholeCosts
from catalog.models import Matching, MatchRules, SetRequest, Square, Swatch

SQUARE = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)


def swatch(label: str, lab: Sequence[float], fabric: str = "", family: str = "") -> Swatch:
    lightness, a, b = map(float, lab)
    return Swatch(
        label, "p.jpg", SQUARE, (lightness, a, b), "plain", 0.0, fabric=fabric, family=family
    )


def random_bundle(n: int, seed: int, fabrics: int = 0) -> list[Swatch]:
    rng = np.random.default_rng(seed)
    labs = rng.uniform([20, -40, -40], [90, 40, 40], (n, 3))
    names = [f"F{rng.integers(fabrics)}" if fabrics else "" for _ in range(n)]
    return [
        swatch(f"S{i + 1:03d}", lab, name)
        for i, (lab, name) in enumerate(zip(labs, names, strict=True))
    ]


def plain(
    swatches: Sequence[Swatch],
    sets: int | None = None,
    size: int = 2,
    rules: MatchRules | None = None,
) -> Matching:
    everything = frozenset(s.label for s in swatches)
    return match_requests(
        swatches, [SetRequest("", sets, size, everything)], rules or MatchRules(size=size)
    )


def all_ways(
    places: tuple[int, ...], size: int, sets: int
) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every way to make so many sets of these squares."""
    if sets == 0:
        yield ()
        return
    if len(places) < size * sets:
        return
    first, rest = places[0], places[1:]
    for others in combinations(rest, size - 1):
        left = tuple(p for p in rest if p not in others)
        for more in all_ways(left, size, sets - 1):
            yield ((first, *others), *more)
    yield from all_ways(rest, size, sets)


@dataclass
class Best:
    """What trying everything gives."""

    sets: tuple[tuple[str, ...], ...]
    total: float


def try_everything(
    swatches: Sequence[Swatch], sets: int, size: int, rules: MatchRules
) -> Best | None:
    """The best by: number against the wish, total, worst set, sorted labels."""
    swatches = sorted(swatches, key=lambda s: s.label)
    d = ciede2000_matrix([s.lab for s in swatches])
    barred = {frozenset(pair) for pair in rules.forbidden}
    best = None
    usable = tuple(i for i, s in enumerate(swatches) if s.label not in rules.held_back)
    for way in all_ways(usable, size, sets):
        keep = True
        against, total, worst = 0, 0.0, 0.0
        for group in way:
            light = [swatches[p].lab[0] for p in group]
            step = max(light) - min(light)
            keep &= step >= rules.least_value_step
            keep &= rules.greatest_value_step is None or step <= rules.greatest_value_step
            for a, b in combinations(group, 2):
                one, two = swatches[a], swatches[b]
                keep &= frozenset((one.label, two.label)) not in barred
                same = one.fabric == two.fabric != ""
                against += {"allow": False, "avoid": same, "prefer": not same}[rules.same_fabric]
                total += d[a, b]
                worst = max(worst, d[a, b])
        if not keep:
            continue
        labels = tuple(tuple(swatches[p].label for p in group) for group in way)
        key = (against, round(total, 6), round(worst, 6), labels)
        if best is None or key < best[0]:
            best = key, Best(labels, total)
    return None if best is None else best[1]


def labels_of(matching: Matching) -> tuple[tuple[str, ...], ...]:
    return tuple(sorted(tuple(sorted(s.swatches)) for s in matching.sets))


@pytest.mark.parametrize("n", [2, 3, 5, 8, 9])
def test_pairs_equal_trying_everything_for_every_number_of_sets(n):
    bundle = random_bundle(n, seed=n)
    for k in range(1, n // 2 + 1):
        best = try_everything(bundle, k, 2, MatchRules())
        matching = plain(bundle, k)
        assert labels_of(matching) == best.sets
        assert matching.total == pytest.approx(best.total, abs=1e-9)
        assert matching.bound == matching.total
        assert matching.wanted == k


@pytest.mark.parametrize("wish", ["allow", "prefer", "avoid"])
@pytest.mark.parametrize("seed", range(6))
def test_pairs_with_all_rules_equal_trying_everything(wish, seed):
    bundle = random_bundle(8, seed, fabrics=3)
    rules = MatchRules(
        same_fabric=wish,
        least_value_step=4.0,
        greatest_value_step=45.0,
        forbidden=(("S001", "S002"), ("S003", "S007")),
        held_back=frozenset({"S005"}),
    )
    for k in (1, 2, 3):
        best = try_everything(bundle, k, 2, rules)
        matching = plain(bundle, k, rules=rules)
        if best is None:
            assert len(matching.sets) < k
        else:
            assert labels_of(matching) == best.sets


def test_whole_numbers_of_colour_steps_tie_and_are_settled_by_worst_set_then_label():
    for seed in range(12):
        rng = np.random.default_rng(seed)
        greys = rng.integers(0, 4, 8) * 10 + 30
        bundle = [swatch(f"S{i}", (grey, 0, 0)) for i, grey in enumerate(greys)]
        for k in (1, 2, 3, 4):
            best = try_everything(bundle, k, 2, MatchRules())
            assert labels_of(plain(bundle, k)) == best.sets


def test_the_least_worst_set_goes_before_labels():
    cost = np.array([[9, 1, 3, 9], [1, 9, 9, 2], [3, 9, 9, 4], [9, 2, 4, 9]], float)
    cost[0, 2], cost[2, 0], cost[1, 3], cost[3, 1] = 2.5, 2.5, 2.5, 2.5
    np.fill_diagonal(cost, np.inf)
    pairs = best_pairs(PairProblem(PairCosts.of(cost), np.zeros((4, 4), bool)), 2)
    assert pairs == [(0, 2), (1, 3)]


@pytest.mark.parametrize("n", [10, 31, 60])
@pytest.mark.parametrize("seed", range(3))
def test_pairs_equal_networkx(n, seed):
    bundle = random_bundle(n, seed)
    d = ciede2000_matrix([s.lab for s in bundle])
    graph = nx.Graph()
    graph.add_weighted_edges_from((a, b, d[a, b]) for a, b in combinations(range(n), 2))
    theirs = sum(d[a, b] for a, b in nx.min_weight_matching(graph))
    assert plain(bundle).total == pytest.approx(theirs, abs=1e-6)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("k", [1, 12, 25, 29])
def test_fewer_pairs_than_squares_allow_equal_networkx_with_spares(seed, k):
    n = 60
    d = ciede2000_matrix([s.lab for s in random_bundle(n, seed)])
    graph = nx.Graph()
    graph.add_weighted_edges_from((a, b, 200.0 - d[a, b]) for a, b in combinations(range(n), 2))
    spares = range(n, n + n - 2 * k)
    graph.add_weighted_edges_from((a, s, 200.0) for a in range(n) for s in spares)
    theirs = nx.max_weight_matching(graph, maxcardinality=True)
    total = sum(d[a, b] for a, b in theirs if max(a, b) < n)
    assert plain(random_bundle(n, seed), k).total == pytest.approx(total, abs=1e-6)


@pytest.mark.parametrize(("n", "k"), [(150, 75), (151, 75), (150, 40), (199, 98)])
def test_sparse_and_proven_equals_all_pairs_at_once(n, k):
    rng = np.random.default_rng(n + k)
    middles = rng.uniform([30, -30, -30], [80, 30, 30], (9, 3))
    labs = middles[rng.integers(0, 9, n)] + rng.normal(0, 5, (n, 3))
    cost = ciede2000_matrix(labs)
    np.fill_diagonal(cost, np.inf)
    pairs = np.array(best_pairs(PairProblem(PairCosts.of(cost), np.zeros((n, n), bool)), k))
    total = cost[pairs[:, 0], pairs[:, 1]].sum()
    edges = np.argwhere(np.triu(np.isfinite(cost), 1))
    units = np.rint(cost[edges[:, 0], edges[:, 1]] * 1e8).astype(np.int64).tolist()
    every = edges[list(PairGraph(n, edges, units).cheapest(k))]
    assert len(pairs) == len(every) == k
    assert total == pytest.approx(cost[every[:, 0], every[:, 1]].sum(), abs=1e-6)


@pytest.mark.parametrize("k", [30, 59, 60])
@pytest.mark.parametrize("kept", [0, 2_000])
def test_the_bound_holds_and_its_prices_cover_every_pair(k, kept, monkeypatch):
    monkeypatch.setattr(whole_costs, "MAX_KEPT", kept)
    n = 120
    cost = ciede2000_matrix([s.lab for s in random_bundle(n, 5)])
    np.fill_diagonal(cost, np.inf)
    whole = WholeCosts(PairCosts.of(cost), None, k)
    best, proof = PairSearch(whole, k).run()
    units = np.rint(cost[best[:, 0], best[:, 1]] * UNITS) * PARTS
    assert len(best) == k
    assert proof.cost == units.sum()
    assert proof.cost - n <= proof.bound <= proof.cost
    assert not len(proof.exceeded.i)
    poor = np.arange(2 * k).reshape(-1, 2)
    assert proof.bound - n <= certify(whole, poor, proof.prices).bound <= proof.cost
    prices = replace(proof.prices, square=proof.prices.square + PARTS)
    assert certify(whole, best, prices).bound <= proof.cost


def test_odd_groups_prove_what_squares_and_pairs_alone_can_not():
    # Two clouds of 15 squares, 1 apart within and 30 between: 7 pairs in each and one across cost
    # 44. With halves of pairs round an odd ring each square pays 1/2, which proves but 15.
    cloud = np.repeat([0, 1], 15)
    cost = np.where(cloud[:, None] == cloud, 1.0, 30.0)
    np.fill_diagonal(cost, np.inf)
    _, proof = PairSearch(WholeCosts(PairCosts.of(cost), None, 15), 15).run()
    assert proof.cost == 44 * UNITS * PARTS
    assert proof.bound == pytest.approx(proof.cost, abs=30)


def test_all_pairs_are_looked_at_a_few_times_though_squares_are_left_over(monkeypatch):
    looked_at = []
    strips = WholeCosts.strips
    monkeypatch.setattr(WholeCosts, "strips", lambda of: looked_at.append(of) or strips(of))
    rng = np.random.default_rng(4)
    hues = np.radians(np.arange(0, 360, 60))
    middles = np.column_stack([np.full(6, 50.0), 40 * np.cos(hues), 40 * np.sin(hues)])
    cost = ciede2000_matrix(np.repeat(middles, 125, axis=0) + rng.normal(0, 0.5, (750, 3)))
    cost[cost > 10] = np.inf
    np.fill_diagonal(cost, np.inf)
    assert len(best_pairs(PairProblem(PairCosts.of(cost)), 375)) == 372
    assert len(looked_at) <= 8


def test_blossoms_of_thousands_of_alike_squares_nest_as_deep_as_they_come():
    deep = 3_000
    partner = [EXPOSED, *(v - 1 if v % 2 == 0 else v + 1 for v in range(1, 2 * deep + 1))]
    nodes = NestedBlossoms(partner)
    inner = 0
    for v in range(1, 2 * deep, 2):
        inner = nodes.shrink([inner, v, v + 1], [(0, v), (v, v + 1), (v + 1, 0)])
    nodes.rebase(inner, 2)
    assert nodes.base[inner] == 2
    assert nodes.partner[:2] == [1, 0]
    assert nodes.partner[3:] == partner[3:]


@settings(max_examples=40, deadline=None)
@given(st.integers(4, 20), st.integers(0, 10_000), st.sampled_from([3, 40, 10**6]), st.data())
def test_pairs_of_any_costs_equal_the_blossom_method_on_all_pairs(n, seed, steps, data):
    rng = np.random.default_rng(seed)
    upper = np.triu(rng.integers(1, steps + 1, (n, n)).astype(float), 1)
    cost = upper + upper.T
    barred = np.triu(rng.random((n, n)) < data.draw(st.sampled_from([0.0, 0.6, 0.9])), 1)
    cost[barred | barred.T | np.eye(n, dtype=bool)] = np.inf
    k = data.draw(st.integers(1, n // 2))
    found = best_pairs(PairProblem(PairCosts.of(cost), np.zeros((n, n), bool)), k)
    pairs = np.array(found, np.int64).reshape(-1, 2)
    edges = np.argwhere(np.triu(np.isfinite(cost), 1))
    units = np.rint(cost[edges[:, 0], edges[:, 1]]).astype(np.int64).tolist()
    every = edges[list(PairGraph(n, edges, units).cheapest(k))]
    assert len(pairs) == len(every) == len(set(pairs.ravel().tolist())) / 2
    assert cost[pairs[:, 0], pairs[:, 1]].sum() == cost[every[:, 0], every[:, 1]].sum()


@pytest.mark.parametrize("wish", ["prefer", "avoid"])
@pytest.mark.parametrize("k", [20, 40])
def test_wishes_of_fabric_on_many_squares_equal_networkx_with_big_steps(wish, k):
    n = 80
    bundle = random_bundle(n, 3, fabrics=30)
    d = ciede2000_matrix([s.lab for s in bundle])
    same = [[a.fabric == b.fabric for b in bundle] for a in bundle]
    against = {"prefer": False, "avoid": True}[wish]
    graph = nx.Graph()
    for a, b in combinations(range(n), 2):
        graph.add_edge(a, b, weight=3e4 - d[a, b] - (1e4 if same[a][b] == against else 0.0))
    spares = range(n, n + n - 2 * k)
    graph.add_weighted_edges_from((a, s, 3e4) for a in range(n) for s in spares)
    theirs = [p for p in nx.max_weight_matching(graph, maxcardinality=True) if max(p) < n]
    matching = plain(bundle, k, rules=MatchRules(same_fabric=wish))
    assert sum(s.same_fabric for s in matching.sets) == sum(same[a][b] for a, b in theirs)
    assert matching.total == pytest.approx(sum(d[a, b] for a, b in theirs), abs=1e-6)


def test_avoided_fabric_is_used_and_flagged_only_where_nothing_else_gives_the_number():
    bundle = [
        swatch("A1", (50, 0, 0), "f"),
        swatch("A2", (50, 0, 0), "f"),
        swatch("A3", (50, 1, 0), "f"),
        swatch("B1", (80, 20, 0), "g"),
    ]
    rules = MatchRules(same_fabric="avoid")
    one = plain(bundle, 1, rules=rules)
    assert not one.sets[0].same_fabric
    assert one.sets[0].flags == ("far apart",)
    two = plain(bundle, 2, rules=rules)
    assert sorted(s.same_fabric for s in two.sets) == [False, True]
    assert all(("same fabric" in s.flags) == s.same_fabric for s in two.sets)


def test_many_alike_squares_pair_by_label():
    bundle = [swatch(f"S{i:03d}", (50, 5, 5)) for i in range(70)]
    matching = plain(bundle)
    assert labels_of(matching) == tuple((f"S{i:03d}", f"S{i + 1:03d}") for i in range(0, 70, 2))
    assert matching.total == matching.bound == 0.0


@pytest.mark.parametrize(("n", "size"), [(6, 3), (7, 3), (9, 3), (8, 4), (9, 4)])
@pytest.mark.parametrize("seed", range(3))
def test_sets_of_three_and_four_against_trying_everything(n, size, seed):
    bundle = random_bundle(n, seed + 50, fabrics=4)
    for rules in (
        MatchRules(size=size),
        MatchRules(size=size, same_fabric="avoid", forbidden=(("S001", "S004"),)),
        MatchRules(size=size, same_fabric="prefer", least_value_step=15.0),
    ):
        for k in range(1, n // size + 1):
            best = try_everything(bundle, k, size, rules)
            matching = plain(bundle, k, size, rules)
            assert best is not None
            assert len(matching.sets) == k
            assert matching.bound <= best.total + 1e-6
            assert matching.total == pytest.approx(best.total, abs=1e-6)


def test_sets_of_three_of_a_whole_bundle_are_within_a_hundredth_of_the_bound():
    matching = plain(random_bundle(99, 8), 33, 3)
    assert len(matching.sets) == 33
    assert matching.total * 0.99 <= matching.bound <= matching.total


@pytest.mark.parametrize("size", [2, 3, 4])
@pytest.mark.parametrize("seed", range(8))
def test_all_sets_under_a_limit_are_found(size, seed):
    rng = np.random.default_rng(seed)
    n = 12
    cost = ciede2000_matrix(rng.uniform([30, -20, -20], [60, 20, 20], (n, 3)))
    cost[2, 5] = cost[5, 2] = np.inf
    np.fill_diagonal(cost, np.inf)
    price = rng.uniform(0, 15 * (size - 1), n)
    excess = {
        group: sum(cost[p] for p in combinations(group, 2)) - price[list(group)].sum()
        for group in combinations(range(n), size)
    }
    for limit in np.quantile([e for e in excess.values() if np.isfinite(e)], [0.01, 0.1, 0.4]):
        found = sets_under(cost, price, size, limit, 10_000)
        under = {group for group, e in excess.items() if e < limit}
        assert found.complete
        assert {tuple(row) for row in found.members.tolist()} == under


def test_what_is_kept_of_too_many_sets_is_said_to_be_incomplete():
    cost = np.ones((9, 9))
    np.fill_diagonal(cost, np.inf)
    found = sets_under(cost, np.zeros(9), 3, 5.0, 20)
    assert len(found.members) == 20
    assert not found.complete


def test_a_set_just_as_far_apart_as_counts_is_one_that_counts():
    # The two in the middle are the nearest; taking them leaves the outer two, too far apart.
    bundle = [
        swatch(label, (light, 0, 0)) for label, light in zip("ABCD", (30, 40, 45, 52), strict=True)
    ]
    within = float(as_shown(ciede2000_matrix([s.lab for s in bundle]))[0, 1])
    matching = plain(bundle, rules=MatchRules(within=within))
    assert labels_of(matching) == (("A", "B"), ("C", "D"))


@pytest.mark.parametrize("wanted", [3, 4])
@pytest.mark.parametrize("seed", range(4))
def test_a_bound_without_wishes_is_that_of_the_least_total_whatever_the_fabrics(seed, wanted):
    bundle = random_bundle(9, seed)
    cost = ciede2000_matrix([s.lab for s in bundle])
    np.fill_diagonal(cost, np.inf)
    rules = Rules(cost, np.array([s.lab[0] for s in bundle]), 0.0)
    demands = [Demand(3, wanted, np.ones(9, bool))]
    poor = [(0, (0, 1, 2)), (0, (3, 4, 5)), (0, (6, 7, 8))]
    bound = set_packing._bound_without_fabric_cost(rules, demands, poor)
    assert bound == pytest.approx(plain(bundle, size=3).total, abs=1e-5)


def test_a_square_without_partner_leaves_the_best_sets_to_the_others():
    bundle = [swatch("A", (50, 0, 0)), swatch("B", (51, 0, 0)), swatch("C", (70, 0, 0))]
    everything = frozenset("ABC")
    requests = [SetRequest("single", 1, 1, everything), SetRequest("pair", 1, 2, everything)]
    matching = match_requests(bundle, requests, MatchRules())
    assert [(s.need, s.swatches) for s in matching.sets] == [
        ("single", ("C",)),
        ("pair", ("A", "B")),
    ]
    assert matching.bound == matching.total


def test_squares_go_where_the_shortage_in_all_is_least():
    bundle = random_bundle(6, 1)
    red = frozenset({"S001", "S002", "S003", "S004"})
    requests = [
        SetRequest("any", 2, 2, frozenset(s.label for s in bundle)),
        SetRequest("red", 1, 2, red),
    ]
    matching = match_requests(bundle, requests, MatchRules())
    assert [s.need for s in matching.sets] == ["any", "any", "red"]
    assert set(matching.sets[2].swatches) <= red
    assert matching.wanted == 3
    assert not matching.unused


@pytest.mark.parametrize("seed", range(4))
def test_overlapping_requests_equal_trying_everything(seed):
    bundle = random_bundle(8, seed)
    d = ciede2000_matrix([s.lab for s in bundle])
    first, second = tuple(range(5)), tuple(range(3, 8))
    matching = match_requests(
        bundle,
        [
            SetRequest("one", 1, 2, frozenset(bundle[i].label for i in first)),
            SetRequest("two", 1, 2, frozenset(bundle[i].label for i in second)),
            SetRequest("alone", 2, 1, frozenset(bundle[i].label for i in (2, 3, 4, 5))),
        ],
        MatchRules(),
    )
    best = min(
        d[a] + d[b]
        for a in combinations(first, 2)
        for b in combinations(second, 2)
        if not set(a) & set(b) and len({2, 3, 4, 5} - set(a) - set(b)) >= 2
    )
    assert matching.total == pytest.approx(best, abs=1e-6)
    assert matching.bound == pytest.approx(best, abs=1e-6)


def test_requests_that_share_nothing_are_each_exact():
    bundle = random_bundle(16, 4)
    ones, twos = bundle[:9], bundle[9:]
    matching = match_requests(
        bundle,
        [
            SetRequest("one", 3, 2, frozenset(s.label for s in ones)),
            SetRequest("two", None, 2, frozenset(s.label for s in twos)),
        ],
        MatchRules(),
    )
    assert matching.total == pytest.approx(plain(ones, 3).total + plain(twos).total)
    assert [s.need for s in matching.sets] == ["one"] * 3 + ["two"] * 3
    assert [s.number for s in matching.sets] == [1, 2, 3, 4, 5, 6]
    assert matching.wanted == 6


def test_requests_alike_share_the_best_sets():
    bundle = random_bundle(9, 6)
    everything = frozenset(s.label for s in bundle)
    requests = [SetRequest("one", 2, 2, everything), SetRequest("two", 1, 2, everything)]
    matching = match_requests(bundle, requests, MatchRules())
    assert matching.total == pytest.approx(plain(bundle, 3).total)
    assert [s.need for s in matching.sets] == ["one", "one", "two"]


def test_fewer_sets_than_wanted_are_what_can_be_had():
    matching = plain(random_bundle(5, 2), 4)
    assert len(matching.sets) == 2
    assert matching.wanted == 4
    assert len(matching.unused) == 1


def test_a_set_says_what_it_is():
    bundle = [
        swatch("R2C10", (30, 0, 0), "f", "blue"),
        swatch("R2C9", (40, 0, 0), "f", "blue"),
        swatch("R1C1", (60, 30, 0), "g", "red"),
        swatch("R1C2", (75, 30, 0), "h", "pink"),
    ]
    one, two = plain(bundle, rules=MatchRules(tolerance=10.0)).sets
    assert (one.number, one.swatches, one.family) == (1, ("R1C1", "R1C2"), "pink/red")
    assert (two.number, two.swatches, two.family) == (2, ("R2C10", "R2C9"), "blue")
    assert (two.same_fabric, two.value_step) == (True, 10.0)
    assert one.flags == ("far apart",)
    assert two.flags == ()
    assert two.difference == pytest.approx(ciede2000_matrix([(30, 0, 0), (40, 0, 0)])[0, 1])


def test_a_square_alone_differs_from_nothing():
    assert [one.difference for one in plain(random_bundle(3, 1), size=1).sets] == [0.0] * 3


def test_sets_are_numbered_as_people_count():
    bundle = [swatch(f"R2C{i}", (10 * i, 0, 0)) for i in range(1, 11)]
    rules = MatchRules(locked=(("R2C10", "R2C1"), ("R2C9", "R2C2")))
    firsts = [s.swatches[0] for s in plain(bundle, rules=rules).sets]
    assert firsts == ["R2C1", "R2C2", "R2C3", "R2C5", "R2C7"]


def test_a_locked_set_stays_counts_and_is_flagged():
    bundle = random_bundle(8, 9)
    rules = MatchRules(locked=(("S001", "S008"),), greatest_value_step=0.0)
    matching = plain(bundle, 1, rules=rules)
    assert labels_of(matching) == (("S001", "S008"),)
    assert "locked" in matching.sets[0].flags
    assert "value step" in matching.sets[0].flags
    assert matching.bound == matching.total


def test_locked_sets_that_find_no_place_are_left_aside_and_serve_like_any():
    bundle = random_bundle(8, 3)
    everything = frozenset(s.label for s in bundle)
    locks = (("S001", "S002", "S003"), ("S004", "S005"), ("S006", "S007"), ("S001", "S008"))
    with pytest.raises(SetError, match="S001 is locked twice"):
        plain(bundle, 1, rules=MatchRules(locked=locks))
    asked = [SetRequest("one", 1, 2, everything - {"S004"})]
    matching = match_requests(bundle, asked, MatchRules(locked=locks[:3]))
    assert matching.left_aside == locks[:2]
    assert [set(one.swatches) for one in matching.sets] == [set(locks[2])]
    first = plain(bundle, 1, rules=MatchRules(locked=locks[1:3]))
    assert (labels_of(first), first.left_aside) == ((("S004", "S005"),), (locks[2],))
    more = plain(bundle, 4, rules=MatchRules(locked=(locks[0],)))
    assert len(more.sets) == 4


def test_a_lock_too_far_apart_takes_no_place_from_sets_that_count():
    bundle = [swatch(f"S{i:02d}", (30 + 20 * (i // 2), 0, 0)) for i in range(8)]
    rules = MatchRules(locked=(("S00", "S07"),), within=5.0)
    matching = plain(bundle, 2, rules=rules)
    assert labels_of(matching) == (("S00", "S07"), ("S02", "S03"), ("S04", "S05"))
    assert matching.wanted == 2


def test_sets_that_count_come_before_a_lesser_total():
    bundle = [swatch(f"S{i}", (one, 0, 0)) for i, one in enumerate((35, 48, 54, 67))]
    assert labels_of(plain(bundle)) == (("S0", "S1"), ("S2", "S3"))
    counting = plain(bundle, rules=MatchRules(within=8.0))
    assert labels_of(counting) == (("S0", "S3"), ("S1", "S2"))
    assert labels_of(plain(bundle, 1, rules=MatchRules(within=8.0))) == (("S1", "S2"),)
    assert counting.bound == counting.total


LOCK = (("S001", "S002"),)
WRONG = [
    (MatchRules(locked=(("S001", "S999"),)), "S999"),
    (MatchRules(locked=(("S001", "S002"), ("S002", "S003"))), "S002 is locked twice"),
    (MatchRules(locked=(("S001", "S001"),)), "S001 is locked twice"),
    (MatchRules(locked=LOCK, forbidden=(("S002", "S001"),)), "locked together and kept apart"),
    (MatchRules(locked=LOCK, held_back=frozenset({"S001"})), "locked and held back"),
    (MatchRules(forbidden=(("S001", "S999"),)), "S999"),
    (MatchRules(forbidden=(("S001", "S001"),)), "apart from itself"),
    (MatchRules(held_back=frozenset({"S999"})), "S999"),
    (MatchRules(least_value_step=9.0, greatest_value_step=3.0), "least value step"),
]


@pytest.mark.parametrize(("rules", "words"), WRONG)
def test_contradictions_are_named(rules, words):
    with pytest.raises(SetError, match=words):
        plain(random_bundle(7, 0), 2, rules=rules)


def test_sets_of_five_and_less_than_no_sets_are_refused():
    with pytest.raises(SetError, match="set of 5"):
        plain(random_bundle(7, 0), 1, 5)
    with pytest.raises(SetError, match="-1 sets"):
        plain(random_bundle(7, 0), -1)


def test_a_spare_square_is_not_swapped_into_two_sets():
    squares = [((20, 0, 0), "")] * 4 + [((20, 0, 0), "f")] * 7 + [((20, 0, 1), "f")] * 2
    bundle = [swatch(f"S{i:02d}", lab, fabric) for i, (lab, fabric) in enumerate(squares)]
    rules = MatchRules(size=4, same_fabric="prefer", forbidden=(("S12", "S11"),))
    matching = plain(bundle, 3, 4, rules)
    used = [label for s in matching.sets for label in s.swatches]
    assert len(set(used)) == len(used) == 12
    assert set(used) | set(matching.unused) == {one.label for one in bundle}


def test_no_squares_give_no_sets():
    matching = plain([])
    assert (matching.sets, matching.total, matching.bound) == ((), 0.0, 0.0)


def test_equal_costs_leave_a_size_to_the_spare_vertices():
    edges = np.array(list(combinations(range(6), 2)))
    chosen = PairGraph(6, edges, [7] * len(edges)).cheapest(2, guess=7)
    assert len({int(v) for v in edges[list(chosen)].ravel()}) == 4


colours = st.tuples(st.integers(20, 90), st.integers(-30, 30), st.integers(-30, 30))
bundles = st.lists(st.tuples(colours, st.sampled_from(["", "f", "g"])), min_size=4, max_size=13)


@settings(max_examples=60, deadline=None)
@given(bundles, st.data())
def test_what_holds_for_every_bundle(squares, data):
    bundle = [swatch(f"S{i:02d}", lab, fabric) for i, (lab, fabric) in enumerate(squares)]
    size = data.draw(st.sampled_from([2, 2, 3, 4]))
    names = data.draw(st.permutations([s.label for s in bundle]))
    room = len(names) // size
    lock = tuple(names[:size]) if data.draw(st.booleans()) else ()
    held = frozenset(names[size : size + 2]) if data.draw(st.booleans()) else frozenset()
    barred = (names[-1], names[-2])
    rules = MatchRules(
        size=size,
        same_fabric=data.draw(st.sampled_from(["allow", "prefer", "avoid"])),
        least_value_step=data.draw(st.sampled_from([0.0, 5.0])),
        greatest_value_step=data.draw(st.sampled_from([None, 30.0])),
        locked=(lock,) if lock else (),
        forbidden=(barred,) if not set(barred) <= set(lock) else (),
        held_back=held,
    )
    k = data.draw(st.integers(1, max(room, 1)))
    matching = plain(bundle, k, size, rules)
    used = [label for s in matching.sets for label in s.swatches]
    assert len(used) == len(set(used))
    assert set(used) | set(matching.unused) == set(names)
    assert not set(used) & (held | set(matching.unused))
    assert len(matching.sets) <= matching.wanted == k
    assert 0.0 <= matching.bound <= matching.total
    if lock:
        assert tuple(sorted(lock)) in labels_of(matching)
    for s in matching.sets:
        assert not set(rules.forbidden[0] if rules.forbidden else ("x",)) <= set(s.swatches)
        assert "value step" not in s.flags or "locked" in s.flags
        assert ("same fabric" in s.flags) <= (rules.same_fabric == "avoid")
    again = plain(data.draw(st.permutations(bundle)), k, size, rules)
    assert again == matching


def _most_that_count(bundle: Sequence[Swatch], size: int, within: float, free: set[str]) -> int:
    """How many sets that count these squares give, by networkx or by trying everything."""
    d = np.round(ciede2000_matrix([s.lab for s in bundle]), 1)
    places = [i for i, s in enumerate(bundle) if s.label in free]
    near = {pair for pair in combinations(places, 2) if d[pair] <= within}
    if size == 2:
        return len(nx.max_weight_matching(nx.Graph(near), maxcardinality=True))
    fit = [one for one in combinations(places, size) if near.issuperset(combinations(one, 2))]

    def most(left: frozenset[int], rest: list[tuple[int, ...]]) -> int:
        open_ones = [one for one in rest if left.issuperset(one)]
        return max(
            (1 + most(left - set(one), open_ones[i + 1 :]) for i, one in enumerate(open_ones)),
            default=0,
        )

    return most(frozenset(places), fit)


def _check_places(squares, data):
    """No set that doesn't count has a place while one that counts could be made."""
    bundle = [swatch(f"S{i:02d}", lab, fabric) for i, (lab, fabric) in enumerate(squares)]
    size = data.draw(st.sampled_from([2, 2, 2, 3]))
    names = data.draw(st.permutations([s.label for s in bundle]))
    locks = tuple(
        tuple(names[i * size : (i + 1) * size])
        for i in range(data.draw(st.integers(0, len(names) // size)))
    )
    wanted = data.draw(st.one_of(st.none(), st.integers(1, 6)))
    within = data.draw(st.sampled_from([2.0, 6.5, 10.0, 15.0]))
    matching = plain(bundle, wanted, size, MatchRules(size=size, locked=locks, within=within))
    counting = [s for s in matching.sets if round(s.difference, 1) <= within]
    locked = [s for s in matching.sets if "locked" in s.flags]
    free = set(names) - {label for s in locked for label in s.swatches}
    held = sum(s in counting for s in locked)
    most = held + _most_that_count(bundle, size, within, free)
    assert len(counting) == (most if wanted is None else min(most, wanted))
    assert len(locked) + len(matching.left_aside) == len(locks)
    if wanted is not None:
        assert len(matching.sets) - sum(s not in counting for s in locked) <= wanted
        assert not matching.left_aside or held == wanted


@settings(max_examples=120, deadline=None)
@given(bundles, st.data())
def test_a_set_that_doesn_t_count_never_has_the_place_of_one_that_does(squares, data):
    _check_places(squares, data)


@pytest.mark.slow
@settings(max_examples=3000, deadline=None)
@given(bundles, st.data())
def test_a_set_that_doesn_t_count_never_has_the_place_of_one_that_does_often(squares, data):
    _check_places(squares, data)
