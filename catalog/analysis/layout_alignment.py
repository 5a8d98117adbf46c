"""How the squares of one photo lie over those of another, where both show one layout."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

MAX_MIDDLE_MISS: Final = 0.35
"""Part of a side by which a square's middle may miss the other's: half-way to the next in a layout
without gaps would be 0.5."""
MAX_NEIGHBOUR_DISTANCE: Final = 1.8
"""Sides between the middles of neighbours, diagonals and gaps of a quarter side included."""
MAX_NEIGHBOURS: Final = 8
"""Of one square in rows: four beside it, four at its corners."""
MAX_STARTING_PAIRS: Final = 600
"""Pairs of squares from which an overlay is tried, those of rarest look first."""
MIN_STARTING_SCORE: Final = 2
"""Neighbours that fall on squares like them, less those that don't, from which it is followed."""
MAX_FOLLOWED_OVERLAYS: Final = 12
"""The best of them that are followed over the whole layout."""
_MAX_ROUNDS: Final = 24
"""In which an overlay is followed, a square further in each; by judgement."""
TURNS: Final = 4
"""In which one square lies on another."""


@dataclass(frozen=True, eq=False)
class Outlines:
    """The squares of a photo as shapes, n of them."""

    corners: Floats
    """(n, 4, 2) px."""

    @cached_property
    def middles(self) -> Floats:
        """(n, 2) px."""
        return np.asarray(self.corners.mean(axis=1))

    @cached_property
    def sides(self) -> Floats:
        """(n,) px, the mean of each one's four."""
        steps = np.roll(self.corners, -1, axis=1) - self.corners
        return np.asarray(np.linalg.norm(steps, axis=2).mean(axis=1))

    @cached_property
    def apart(self) -> Floats:
        """(n, n) sides of the first from middle to middle."""
        away = np.linalg.norm(self.middles[:, None] - self.middles, axis=2)
        return np.asarray(away / self.sides[:, None])

    @cached_property
    def near(self) -> Numbers:
        """(n, `MAX_NEIGHBOURS` or fewer) nearest to each."""
        return np.argsort(self.apart, axis=1, kind="stable")[:, 1 : MAX_NEIGHBOURS + 1]

    @cached_property
    def close(self) -> Flags:
        """(n, as many) whether these lie next to it."""
        away = np.take_along_axis(self.apart, self.near, axis=1)
        return np.asarray(away < MAX_NEIGHBOUR_DISTANCE)

    @cached_property
    def reach(self) -> Floats:
        """(n, as many) how far from it these come to lie at most, laid on a square, by `longest`.

        The affine map that carries corners to corners stretches by no more than the longest of
        these by the shortest of its own.
        """
        away = np.take_along_axis(self.apart * self.sides[:, None], self.near, axis=1)
        with np.errstate(divide="ignore"):
            return np.asarray(away / self._lengths[:, 1:])

    @cached_property
    def longest(self) -> Floats:
        """(n,) px, the larger singular value of its corners about their middle."""
        return self._lengths[:, 0]

    @cached_property
    def _lengths(self) -> Floats:
        about = self.corners - self.middles[:, None]
        return np.asarray(np.linalg.svd(about, compute_uv=False), np.float64)

    @cached_property
    def weights(self) -> Floats:
        """(n, as many, 4) of its corners, wherever it lies, in where its neighbours' middles lie.

        An affine map by least squares is linear in the corners it leads to.
        """
        known = np.dstack([self.corners, np.ones(self.corners.shape[:2])])
        places = np.dstack([self.middles[self.near], np.ones(self.near.shape)])
        return np.asarray(places @ np.linalg.pinv(known))


@dataclass(frozen=True, eq=False)
class Overlay:
    """One photo's squares laid over another's, k of which come to lie on one of them."""

    one: Numbers
    """(k,) of the first photo."""
    two: Numbers
    """(k,) of the second, each once."""
    turns: Numbers
    """(k,) which corner of the second's square lies on the first's first."""
    off: Floats
    """(k,) sides by which the corners miss each other."""
    missed: int
    """Squares of the first photo that fall among the second's and on none of them."""

    def holds(self, one: int, two: int, turn: int) -> bool:
        """Tell whether it lays a square on another in this turn."""
        return bool(((self.one == one) & (self.two == two) & (self.turns == turn)).any())


def overlays(
    one: Outlines, two: Outlines, alike: Flags, begun: Flags | None = None
) -> list[Overlay]:
    """Return the ways in which one photo's squares may lie over another's.

    Parameters
    ----------
    one, two : Outlines
        Of n and m squares.
    alike : (n, m)
        Which may be the same piece of cloth by their looks.
    begun : (n, m), optional
        On which alone one may begin.
    """
    followed: list[Overlay] = []
    for i, j, turn in zip(*_starts(one, two, alike, begun), strict=True):
        if not any(known.holds(i, j, turn) for known in followed):
            carry = _affine(one.corners[i], np.roll(two.corners[j], -turn, axis=0))
            followed.append(_followed(one, two, alike, carry, i))
    return followed


def _starts(
    one: Outlines, two: Outlines, alike: Flags, begun: Flags | None
) -> tuple[Numbers, Numbers, Numbers]:
    """Return the pairs, and their turns, whose neighbours fall on squares that look like them."""
    first, second = np.nonzero(alike)
    crowd = alike.sum(axis=1)[first] * alike.sum(axis=0)[second]
    rarest = np.argsort(crowd, kind="stable")[:MAX_STARTING_PAIRS]
    first, second = first[rarest], second[rarest]
    near, close = one.near, one.close
    able = (close & np.asarray(alike.any(axis=1))[near]).sum(axis=1)[first] >= MIN_STARTING_SCORE
    if begun is not None:
        able &= begun[first, second]
    first, second = first[able], second[able]
    scores = np.empty((len(first), TURNS))
    for turn in range(TURNS):
        there = one.weights[first] @ np.roll(two.corners, -turn, axis=1)[second]
        place, landed = landing(there, two)
        landed &= close[first]
        fits = alike[near[first], place]
        scores[:, turn] = (landed & fits).sum(axis=1) - (landed & ~fits).sum(axis=1)
    order = np.argsort(-scores.ravel(), kind="stable")[:MAX_FOLLOWED_OVERLAYS]
    order = order[scores.ravel()[order] >= MIN_STARTING_SCORE]
    return first[order // TURNS], second[order // TURNS], order % TURNS


def _followed(one: Outlines, two: Outlines, alike: Flags, carry: Floats, start: int) -> Overlay:
    """Follow an overlay from one square over all that lie next to those it holds for."""
    held = np.array([start])
    pairs: tuple[Numbers, Numbers] = (held, held)
    for _ in range(_MAX_ROUNDS):
        reached = np.flatnonzero((one.apart[held] < MAX_NEIGHBOUR_DISTANCE).any(axis=0))
        before, pairs = pairs, _pairs(one, two, carry, reached)
        fits = alike[pairs]
        if fits.any():
            held = pairs[0][fits]
            carry = _fitted(one, two, pairs[0][fits], pairs[1][fits], carry)
        if len(before[0]) == len(pairs[0]) and all(map(np.array_equal, before, pairs)):
            break
    turns, off = _corners_on(one, two, *pairs, carry)
    return Overlay(*pairs, turns, off, _missed(one, two, carry))


def _pairs(one: Outlines, two: Outlines, carry: Floats, some: Numbers) -> tuple[Numbers, Numbers]:
    """Return which of some squares land on which, the nearest alone where several do."""
    there = _carried(one.middles[some], carry)
    place, landed = landing(there, two)
    away = np.linalg.norm(there - two.middles[place], axis=1)
    kept = [
        k for k in np.flatnonzero(landed) if away[k] <= away[landed & (place == place[k])].min()
    ]
    return some[kept], place[kept]


def landing(there: Floats, two: Outlines, miss: float = MAX_MIDDLE_MISS) -> tuple[Numbers, Flags]:
    """Return the nearest square to each place (..., 2), and whether it lies on it."""
    across, down = (there[..., None, k] - two.middles[:, k] for k in (0, 1))
    away = np.sqrt(across * across + down * down)
    place = away.argmin(axis=-1)
    return place, away.min(axis=-1) < miss * two.sides[place]


def _missed(one: Outlines, two: Outlines, carry: Floats) -> int:
    """Count the squares that fall among the others' middles and yet on none of them."""
    import cv2

    hull = cv2.convexHull(two.middles.astype(np.float32))
    there = _carried(one.middles, carry)
    _, landed = landing(there, two)
    within = [cv2.pointPolygonTest(hull, (float(x), float(y)), False) > 0 for x, y in there]
    return int((np.array(within) & ~landed).sum())


def _corners_on(
    one: Outlines, two: Outlines, first: Numbers, second: Numbers, carry: Floats
) -> tuple[Numbers, Floats]:
    """Return which turn lays the corners best on each other, and by how many sides they miss."""
    there = _carried(one.corners[first], carry)
    away = [
        np.linalg.norm(there - np.roll(two.corners[second], -turn, axis=1), axis=2).mean(axis=1)
        for turn in range(TURNS)
    ]
    return np.argmin(away, axis=0), np.asarray(np.min(away, axis=0) / two.sides[second])


def _fitted(one: Outlines, two: Outlines, first: Numbers, second: Numbers, carry: Floats) -> Floats:
    """Return what carries the first photo's corners to the second's, by least squares."""
    import cv2

    turns, _ = _corners_on(one, two, first, second, carry)
    source = one.corners[first].reshape(-1, 2)
    order = (np.arange(4) + turns[:, None]) % 4
    target = np.take_along_axis(two.corners[second], order[..., None], axis=1).reshape(-1, 2)
    if len(first) < TURNS:
        return _affine(source, target)
    found, _ = cv2.findHomography(source, target, 0)
    return carry if found is None else np.asarray(found, np.float64)


def _affine(source: Floats, target: Floats) -> Floats:
    """Return the affine map, (3, 3), that carries points to points by least squares."""
    known = np.column_stack([source, np.ones(len(source))])
    part, *_ = np.linalg.lstsq(known, target, rcond=None)
    return np.vstack([part.T, (0.0, 0.0, 1.0)])


def _carried(points: Floats, carry: Floats) -> Floats:
    """Return points (..., 2) carried by a homography."""
    there = points @ carry[:, :2].T + carry[:, 2]
    return np.asarray(there[..., :2] / there[..., 2:])
