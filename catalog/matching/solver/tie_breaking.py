"""Among pairings of one least cost: the least worst pair, then the first by label."""

from __future__ import annotations

import numpy as np

from catalog.matching.solver.blossom import HASH_BITS, MAX_COST_BITS, Edges, PairGraph, hashes


def settle(
    n: int, edges: Edges, costs: tuple[list[int], list[int]], k: int, price: int | None
) -> Edges:
    """Return the best k edges, ties settled.

    Parameters
    ----------
    n : int
        Vertices, numbered in the order of their labels.
    edges : Edges
        In ascending order; some k of them must be a pairing.
    costs : pair of list of int
        What is to be least in sum, and what is to be least at the worst.
    k : int
    price : int, optional
        About the cost of the dearest edge.

    Returns
    -------
    Edges
        Ascending.
    """
    graph = _Graph(n, edges, costs[0], k, price)
    chosen = graph.cheapest([0] * len(edges))
    if graph.alone(chosen):
        return edges[list(chosen)]
    keep = _least_worst(graph, costs[1], chosen)
    ends = edges[keep]
    return _first_by_label(_Graph(n, ends, [costs[0][e] for e in keep], k, price))


class _Graph:
    """Edges with their main costs, to be solved with this and that below the main cost."""

    def __init__(self, n: int, edges: Edges, cost: list[int], k: int, price: int | None) -> None:
        self.n, self.edges, self.cost, self.k, self.price = n, edges, cost, k, price
        self.low = hashes(n, edges)

    def cheapest(self, minor: list[int], bits: int = 0) -> tuple[int, ...]:
        """Return the best edges by cost, then by ``minor`` of whose sum ``bits`` is the length."""
        shift = HASH_BITS + bits
        costs = [
            (c << shift) + (m << HASH_BITS) + h
            for c, m, h in zip(self.cost, minor, self.low, strict=True)
        ]
        guess = None if self.price is None else self.price << shift
        graph = PairGraph(self.n, self.edges, costs)
        chosen = graph.cheapest(self.k, guess)
        if graph.price is not None:
            self.price = graph.price >> (shift + 1)
        return chosen

    def total(self, chosen: tuple[int, ...]) -> int:
        """Return the main cost."""
        return sum(self.cost[e] for e in chosen)

    def alone(self, chosen: tuple[int, ...]) -> bool:
        """Tell whether no other choice costs as little: one that shares least would show."""
        marks = [0] * len(self.edges)
        for e in chosen:
            marks[e] = 1
        return self.cheapest(marks, self.k.bit_length() + 1) == chosen


def _least_worst(graph: _Graph, worst: list[int], chosen: tuple[int, ...]) -> list[int]:
    """Return the edges up to the least worst one with which the total can be had."""
    best, total = max(worst[e] for e in chosen), graph.total(chosen)
    steps = sorted({w for w in worst if w <= best})
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high) // 2
        keep = [e for e, w in enumerate(worst) if w <= steps[middle]]
        part = _Graph(
            graph.n, graph.edges[keep], [graph.cost[e] for e in keep], graph.k, graph.price
        )
        found = part.cheapest([0] * len(keep))
        fits = len(found) == graph.k and part.total(found) == total
        low, high = (low, middle) if fits else (middle + 1, high)
    return [e for e, w in enumerate(worst) if w <= steps[high]]


def _first_by_label(graph: _Graph) -> Edges:
    """Return the pairing whose sorted list of pairs is the first of those of least cost.

    Vertex by vertex: its partner with the smallest number, as digits below the main cost, as
    many vertices at once as the digits' bits allow.
    """
    done: list[tuple[int, int]] = []
    while graph.k:
        main = max(sum(graph.cost).bit_length(), 1)
        minor, bits, decided = _digits(graph.edges, MAX_COST_BITS - HASH_BITS - main - 2)
        chosen = graph.cheapest(minor, bits)
        pairs = [(int(a), int(b)) for a, b in graph.edges[list(chosen)]]
        fixed = [pair for pair in pairs if pair[0] in decided]
        done += fixed
        gone = {v for pair in fixed for v in pair} | decided
        keep = [e for e, (a, _) in enumerate(graph.edges) if a not in gone]
        keep = [e for e in keep if not {int(graph.edges[e][1])} & {v for p in fixed for v in p}]
        graph = _Graph(
            graph.n,
            graph.edges[keep],
            [graph.cost[e] for e in keep],
            graph.k - len(fixed),
            graph.price,
        )
    return np.array(sorted(done), np.int64).reshape(-1, 2)


def _digits(edges: Edges, room: int) -> tuple[list[int], int, set[int]]:
    """Return minor costs of the edges, the bits of their sum and the vertices they decide.

    A vertex's digit is the place of its partner among its later neighbours; it costs most,
    nothing saved, to have none.
    """
    owners, counts = np.unique(edges[:, 0], return_counts=True)
    bits = np.cumsum([int(c).bit_length() for c in counts])
    used = max(int(np.searchsorted(bits, room, side="right")), 1)
    total = int(bits[used - 1])
    minor = [0] * len(edges)
    starts = np.concatenate([[0], np.cumsum(counts)])
    for at in range(used):
        weight = 1 << (total - int(bits[at]))
        for place in range(int(counts[at])):
            minor[int(starts[at]) + place] = (place - int(counts[at])) * weight
    return minor, total + 1, {int(v) for v in owners[:used]}
