"""Colours to places: the sum of differences between neighbours made small, or large.

How good the answer is. Finding the best arrangement is a quadratic assignment problem, for which no
quick exact method is known; this is a local search (swaps of two, then small seeded shuffles and
swaps again, the best kept), the same on every run. Measured on random colours: on 8 places it found
the best of all 40,320 arrangements in 75 of 75 tries (scattered, rainbow down, rainbow across); on
20 and 48 places 15 times as many shuffles gained nothing in 5 of 6 ordered tries and 4 % in the
sixth, on 500 places 30 times as many gained 3 %.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour.ciede2000 import ciede2000_matrix

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

OFF_ORDER: Final = 10.0
"""What hanging one row or column off its place in the order costs, as a CIEDE2000 between
neighbours: as much as two clearly different colours side by side (choice of ours). It grows with
the square of the steps, so that colours stay where the rainbow puts them."""
FAR_ENOUGH_APART: Final = 30.0
"""CIEDE2000 from which scattered blocks are far enough apart: red and orange differ by about as
much; a larger difference is no better (choice of ours)."""
CORNER_WEIGHT: Final = 0.5
"""How much blocks that touch only at a corner count in scattering, beside those that share a side
(choice of ours)."""
SHUFFLES_TIMES_BLOCKS: Final = 24_000
"""Shuffles times blocks: the more blocks, the fewer shuffles, so that the time stays the same."""
MAX_SHUFFLES: Final = 400
SEED: Final = 20
_MIN_GAIN: Final = 1e-9


def arrange(
    colours: ArrayLike,
    neighbours: Sequence[tuple[int, int, float]],
    along: ArrayLike | None,
    *,
    shuffles: int | None = None,
) -> Ints:
    """Choose a place for each colour.

    Parameters
    ----------
    colours : array_like, (n, 3)
        CIELAB, in the order wanted: the k-th is meant for the k-th place.
    neighbours : sequence of (int, int, float)
        Places that touch, each pair once, and how much the pair counts.
    along : array_like, (n,), or None
        How far each place lies along the order, in steps of a row or column, the places sorted by
        it; None scatters the colours instead.
    shuffles : int, optional
        Rounds of shuffling; from the number of colours if not given.

    Returns
    -------
    array, (n,), of int
        For each place which colour hangs there.
    """
    colours = np.asarray(colours, np.float64).reshape(-1, 3)
    if len(colours) < 2:
        return np.arange(len(colours))
    search = _ArrangementSearch(pair_costs(colours, scattered=along is None), neighbours, along)
    if shuffles is None:
        shuffles = min(MAX_SHUFFLES, SHUFFLES_TIMES_BLOCKS // len(colours))
    return search.run(shuffles)


def pair_costs(colours: Floats, *, scattered: bool) -> Floats:
    """Return what each two colours cost side by side, (n, n), 0 on the diagonal.

    Ordered: their CIEDE2000. Scattered: the square of what they miss of `FAR_ENOUGH_APART`, over
    that, so that one pair of like blocks is worse than several that are a little too near.
    """
    away = ciede2000_matrix(colours)
    if not scattered:
        return away
    costs = np.maximum(FAR_ENOUGH_APART - away, 0.0) ** 2 / FAR_ENOUGH_APART
    np.fill_diagonal(costs, 0.0)
    return costs


def total_cost(
    costs: Floats,
    neighbours: Sequence[tuple[int, int, float]],
    along: ArrayLike | None,
    chosen: Ints,
) -> float:
    """Return what an arrangement costs: neighbours, and what hangs off its order."""
    sides = sum(weight * costs[chosen[p], chosen[q]] for p, q, weight in neighbours)
    return float(sides + _pull(len(costs), along)[chosen, np.arange(len(costs))].sum())


def _pull(number: int, along: ArrayLike | None) -> Floats:
    """Return what each colour costs at each place by itself, (n, n)."""
    if along is None:
        return np.zeros((number, number))
    steps = np.asarray(along, np.float64)
    return OFF_ORDER * (steps[:, None] - steps[None, :]) ** 2


class _ArrangementSearch:
    """An arrangement, and what each colour would cost at each place of it."""

    def __init__(
        self, costs: Floats, neighbours: Sequence[tuple[int, int, float]], along: ArrayLike | None
    ) -> None:
        number = len(costs)
        self.costs = costs
        self.weights = np.zeros((number, number))
        for p, q, weight in neighbours:
            self.weights[p, q] = self.weights[q, p] = weight
        self.beside = [np.flatnonzero(row) for row in self.weights]
        self.at = np.arange(number)
        self.there = costs[:, self.at] @ self.weights + _pull(number, along)

    def run(self, shuffles: int) -> Ints:
        """Return the best arrangement found."""
        number = len(self.at)
        rng = np.random.default_rng(SEED)
        self._descend(range(number))
        for _ in range(shuffles):
            moved: list[tuple[int, int]] = []
            gained = 0.0
            start = int(rng.integers(number))
            for _ in range(3):
                other = int(rng.integers(number))
                if other != start:
                    gained += self._swap(start, other, moved)
                near = self.beside[start]
                start = int(rng.choice(near)) if len(near) else other
            places = sorted({p for pair in moved for p in pair})
            gained += self._descend(places, moved)
            if gained > _MIN_GAIN:
                for p, q in reversed(moved):
                    self._swap(p, q, [])
        return self.at.copy()

    def _descend(
        self, places: Sequence[int] | range, moved: list[tuple[int, int]] | None = None
    ) -> float:
        """Swap as long as that gains, beginning at some places; return the change in cost."""
        moved = [] if moved is None else moved
        change = 0.0
        waiting, queued = deque(places), set(places)
        while waiting:
            p = waiting.popleft()
            queued.discard(p)
            deltas = self._deltas(p)
            q = int(deltas.argmin())
            if deltas[q] < -_MIN_GAIN:
                change += self._swap(p, q, moved)
                for place in (p, q, *self.beside[p].tolist(), *self.beside[q].tolist()):
                    if place not in queued:
                        queued.add(place)
                        waiting.append(place)
        return change

    def _deltas(self, p: int) -> Floats:
        """Return the change in cost from swapping p with each place."""
        a, others = self.at[p], self.at
        here = self.there
        own = here[others, np.arange(len(others))]
        deltas: Floats = here[a] + here[others, p] - own[p] - own
        # Of two that touch, each was counted at the other's place beside itself.
        deltas += 2.0 * self.weights[p] * self.costs[a, others]
        deltas[p] = 0.0
        return deltas

    def _swap(self, p: int, q: int, moved: list[tuple[int, int]]) -> float:
        change = float(self._deltas(p)[q])
        a, b = self.at[p], self.at[q]
        self.at[p], self.at[q] = b, a
        turn = self.costs[:, b] - self.costs[:, a]
        for place, sign in ((p, 1.0), (q, -1.0)):
            near = self.beside[place]
            self.there[:, near] += sign * turn[:, None] * self.weights[place, near]
        moved.append((p, q))
        return change
