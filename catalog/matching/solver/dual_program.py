"""The linear program whose dual prices prove a pairing (see `certificate`)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import TOLERANCE, linear_program
from catalog.matching.solver.odd_groups import Shares, broken_groups

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

WARM_SWEEPS = 6


@dataclass
class Duals:
    """Prices: of squares, of a spare square, of marked pairs, of odd groups (0 or less)."""

    square: Floats
    spare: float
    mark: float = 0.0
    groups: list[Ints] = field(default_factory=list)
    group: Floats = field(default_factory=lambda: np.zeros(0))


class Program:
    """Cheapest fractional pairing of k pairs over a growing list of columns.

    Parameters
    ----------
    cost : array of float, shape (n, n)
        Symmetric; inf where two may not be a pair and on the diagonal.
    pairs : array of int, shape (k, 2)
        A pairing to begin with, the smaller vertex first.
    marked : array of bool, shape (n, n), or None
        Pairs of which every pairing that counts has as many as ``pairs``.
    near : int
        Nearest neighbours of each square among the first columns.
    """

    def __init__(self, cost: Floats, pairs: Ints, marked: Bools | None, near: int) -> None:
        self.cost, self.marked = cost, marked
        self.n = len(cost)
        self.left = self.n - 2 * len(pairs)
        """Squares that stay spare."""
        self.marks = int(marked[pairs[:, 0], pairs[:, 1]].sum()) if marked is not None else 0
        chosen = np.zeros(cost.shape, bool)
        chosen[pairs[:, 0], pairs[:, 1]] = True
        self.known = nearest_pairs(cost, near) | chosen
        self.i, self.j = np.nonzero(self.known)
        """Ends of the columns."""
        self.share = chosen[self.i, self.j].astype(float)
        """How much of each column is taken, 0 to 1."""
        self.spared = 1.0 - np.isin(np.arange(self.n), pairs)
        dearest = float(cost[pairs[:, 0], pairs[:, 1]].max())
        most = dearest / 2 if self.left else np.inf
        self.duals = Duals(_warm(cost, most), -dearest / 2)

    def excess(self) -> Floats:
        """Return cost less prices of all pairs, (n, n); below 0 where the program lacks one."""
        d = self.duals
        excess = self.cost - d.square[:, None]
        excess -= d.square[None, :]
        if self.marked is not None:
            excess -= d.mark * self.marked
        for group, price in zip(d.groups, d.group, strict=True):
            if price:
                excess[np.ix_(group, group)] -= price
        return excess

    def likely(self) -> Ints:
        """Return the columns (m, 2)."""
        return np.column_stack([self.i, self.j])

    def add_pairs(self, excess: Floats) -> bool:
        """Add the pairs that the prices exceed; tell whether there were any."""
        i, j = np.nonzero(excess < -TOLERANCE)
        fresh = (i < j) & ~self.known[i, j]
        i, j = i[fresh], j[fresh]
        self.known[i, j] = True
        self.i, self.j = np.concatenate([self.i, i]), np.concatenate([self.j, j])
        self.share = np.concatenate([self.share, np.zeros(len(i))])
        return bool(len(i))

    def add_groups(self, excess: Floats) -> bool:
        """Add odd groups that the shares break; tell whether there were any."""
        known = {group.tobytes() for group in self.duals.groups}
        for group in broken_groups(Shares(self.i, self.j, self.share, self.n), excess):
            if group.tobytes() not in known:
                known.add(group.tobytes())
                self.duals.groups.append(group)
        fresh = len(self.duals.groups) - len(self.duals.group)
        self.duals.group = np.concatenate([self.duals.group, np.zeros(fresh)])
        return fresh > 0

    def solve(self, excess: Floats) -> bool:
        """Move prices and shares to the optimum over the columns; False where HiGHS can't.

        The program is written as the change from the last answer, so that HiGHS starts beside
        the optimum: 20 ms in place of 120 to 200 for 1,000 squares.
        """
        from scipy.sparse import csr_array, diags_array, hstack

        d = self.duals
        start, price = self.share, excess[self.i, self.j]
        if self.left:
            start = np.concatenate([start, self.spared])
            price = np.concatenate([price, -d.square - d.spare])
        taken = start > 0.5
        sign = np.where(taken, -1.0, 1.0)
        rows, right = self._equations()
        count = len(d.groups)
        slack_rows = rows.shape[0] - count + np.arange(count)
        slack = csr_array(
            (np.ones(count), (slack_rows, np.arange(count))), shape=(rows.shape[0], count)
        )
        lower = np.concatenate([np.where(taken, -np.inf, 0.0), np.zeros(count)])
        upper = np.concatenate([np.where(taken, 1.0, np.inf), np.full(count, np.inf)])
        answer = linear_program(
            np.concatenate([price * sign, -d.group]),
            hstack([rows @ diags_array(sign), slack]).tocsr(),
            right - rows @ taken.astype(float),
            (lower, upper),
            presolve=False,
        )
        if answer is None:
            return False
        self._move(answer.prices)
        change = answer.values[: len(start)]
        share = np.where(taken, 1.0 - change, change)
        self.share, self.spared = share[: len(self.i)], share[len(self.i) :]
        return True

    def _equations(self) -> tuple[csr_array, Floats]:
        """Return rows and right sides (squares, spares, marks, groups) over pairs and spares."""
        from scipy.sparse import csr_array

        pairs, spares = len(self.i), self.n if self.left else 0
        rows = [self.i, self.j, np.arange(spares)]
        columns = [np.arange(pairs), np.arange(pairs), pairs + np.arange(spares)]
        right = np.ones(self.n).tolist()

        def add(members: Ints, value: int) -> None:
            rows.append(np.full(len(members), len(right)))
            columns.append(members)
            right.append(float(value))

        if self.left:
            add(pairs + np.arange(spares), self.left)
        if self.marked is not None:
            add(np.nonzero(self.marked[self.i, self.j])[0], self.marks)
        inside = np.zeros(self.n, bool)
        for group in self.duals.groups:
            inside[group] = True
            add(np.nonzero(inside[self.i] & inside[self.j])[0], (len(group) - 1) // 2)
            inside[group] = False
        at = np.concatenate(rows), np.concatenate(columns)
        matrix = csr_array((np.ones(len(at[0])), at), shape=(len(right), pairs + spares))
        return matrix, np.array(right)

    def _move(self, change: Floats) -> None:
        """Add the change of prices."""
        d, at = self.duals, self.n
        d.square = d.square + change[:at]
        if self.left:
            d.spare += float(change[at])
            at += 1
        if self.marked is not None:
            d.mark += float(change[at])
            at += 1
        d.group = np.minimum(d.group + change[at:], 0.0)


def nearest_pairs(cost: Floats, near: int) -> Bools:
    """Return the allowed pairs, upper triangle, in which one is among the other's nearest."""
    near = min(near, len(cost) - 1)
    places = np.argpartition(cost, near, axis=1)[:, :near]
    chosen = np.zeros(cost.shape, bool)
    np.put_along_axis(chosen, places, values=True, axis=1)
    upper: Bools = np.triu(chosen | chosen.T, 1) & np.isfinite(cost)
    return upper


def _warm(cost: Floats, most: float) -> Floats:
    """Return prices of squares that no pair exceeds, each at most ``most``, by averaging."""
    square: Floats = np.minimum(cost.min(axis=1) / 2.0, most)
    square[np.isinf(square)] = 0.0
    for _ in range(WARM_SWEEPS):
        room = (cost - square[None, :]).min(axis=1)
        square = np.where(np.isfinite(room), np.minimum((square + room) / 2.0, most), square)
    return square
