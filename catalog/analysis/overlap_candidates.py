"""Which photos may show one layout, told for many at once before any two are laid over each other.

An overlay begins with two squares alike of which two neighbours at least fall on squares like them
(see `catalog.analysis.layout_alignment.overlays`). Two photos in which nowhere as many do share
nothing: told from the few squares alike, a hundred photos at once, that takes a twentieth of trying
each two. Every bound is taken wider than what it stands for, so that no overlay is lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.analysis.layout_alignment import (
    MAX_MIDDLE_MISS,
    MAX_NEIGHBOURS,
    MIN_STARTING_SCORE,
    TURNS,
    Outlines,
    landing,
)
from catalog.analysis.photo_looks import MAX_SAME_PIECE_DE00, PhotoLooks, prints_agree
from catalog.colour.ciede2000 import PAIRS_AT_A_TIME, ciede2000
from catalog.colour.difference_bounds import least_ciede2000

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

SLACK: Final = 1e-6
"""By which bounds are wider than what they stand for: no rounding comes near it."""
PRINT_SLACK: Final = 1e-3
"""The same for prints, in single precision."""
MAX_ALIKE: Final = 1000
"""Squares alike of two photos beyond which these are tried untold: a bundle of few fabrics."""
AT_ONCE: Final = 4000
"""Squares alike that are looked at together, some tens of MB."""


class PhotoShelf:
    """The squares of many photos one after another, N of them.

    Parameters
    ----------
    seen : sequence of PhotoLooks
    """

    def __init__(self, seen: Sequence[PhotoLooks]) -> None:
        self.seen = seen
        self.starts = np.cumsum([0, *(len(one.colours) for one in seen)])
        self.colours = np.concatenate([one.colours for one in seen])
        self.prints = np.concatenate([np.float32(one.prints) for one in seen])
        self.spread = np.concatenate([one.spread for one in seen])
        self.near = np.zeros((len(self.colours), MAX_NEIGHBOURS), np.intp)
        """(N, 8) among all; whatever where `close` isn't set."""
        self.close = np.zeros(self.near.shape, np.bool_)
        self.reach = np.zeros(self.near.shape)
        self.weights = np.zeros((*self.near.shape, 4))
        for start, one in zip(self.starts, seen, strict=False):
            rows, many = slice(start, start + len(one.colours)), one.outlines.near.shape[1]
            self.near[rows, :many] = one.outlines.near + start
            self.close[rows, :many] = one.outlines.close
            self.reach[rows, :many] = one.outlines.reach
            self.weights[rows, :many] = one.outlines.weights

    def may_overlap(self, photo: int) -> dict[int, Flags | None]:
        """Return which of the photos before one may show some of its layout, in order.

        Of each on which squares (n, m) an overlay may begin; None where that isn't told.
        """
        two = self.seen[photo]
        if not len(two.colours):
            return {}
        first, second = self._alike(photo)
        alike = np.zeros((self.starts[photo], len(two.colours)), np.bool_)
        alike[first, second] = True
        owner = np.searchsorted(self.starts, first, side="right") - 1
        many = np.bincount(owner, minlength=photo)
        found: dict[int, Flags | None] = dict.fromkeys(np.flatnonzero(many > MAX_ALIKE).tolist())
        for some in _groups(np.where(many > MAX_ALIKE, 0, many)):
            own = np.flatnonzero((owner >= some.start) & (owner < some.stop))
            begun = own[self._begun(first[own], second[own], alike, two.outlines)]
            for photo_before in np.unique(owner[begun]).tolist():
                on = np.zeros_like(alike[self.starts[photo_before] : self.starts[photo_before + 1]])
                here = begun[owner[begun] == photo_before]
                on[first[here] - self.starts[photo_before], second[here]] = True
                found[photo_before] = on
        return dict(sorted(found.items()))

    def _alike(self, photo: int) -> tuple[Numbers, Numbers]:
        """Return squares of the photos before one, in order, and of it, that may be one piece."""
        two, before = self.seen[photo], self.colours[: self.starts[photo]]
        found = [np.empty((2, 0), np.intp)]
        rows = max(PAIRS_AT_A_TIME // max(len(before), 1), 1)
        for start in range(0, len(two.colours), rows):
            some = two.colours[start : start + rows, None]
            at = np.flatnonzero(least_ciede2000(some, before) < MAX_SAME_PIECE_DE00)
            second = at // len(before)
            first = at - second * len(before)
            second += start
            away = ciede2000(before[first], two.colours[second])
            near = away < MAX_SAME_PIECE_DE00 + SLACK
            first, second = first[near], second[near]
            agree = self._prints_agree(first, second, two)
            found.append(np.stack([first[agree], second[agree]]))
        first, second = np.concatenate(found, axis=1)
        order = np.argsort(first, kind="stable")
        return first[order], second[order]

    def _prints_agree(self, first: Numbers, second: Numbers, two: PhotoLooks) -> Flags:
        """Tell which squares' prints may be those of a photo's squares."""
        unlike = np.abs(self.prints[first] - two.prints.astype(np.float32)[second]).mean(
            axis=(1, 2)
        )
        weaker = np.minimum(self.spread[first], two.spread[second])
        return prints_agree(unlike - PRINT_SLACK, weaker)

    def _begun(self, first: Numbers, second: Numbers, alike: Flags, two: Outlines) -> Numbers:
        """Return from which squares alike, sorted by the first, an overlay may begin."""
        start, place, fallen = self._neighbours_alike(first, second, two)
        weights = self.weights[first[start], place]
        middles, within = two.middles[fallen], MAX_MIDDLE_MISS * two.sides[fallen] * (1.0 + SLACK)
        begun = []
        for turn in range(TURNS):
            corners = np.roll(two.corners, -turn, axis=1)
            away = middles - sum(
                weights[:, corner, None] * corners[second[start], corner] for corner in range(4)
            )
            lands = away[:, 0] ** 2 + away[:, 1] ** 2 < within**2
            fits = np.bincount(start[lands], minlength=len(first))
            some = np.flatnonzero(fits >= MIN_STARTING_SCORE)
            missed = self._missed(first[some], second[some], corners, alike, two)
            begun.append(some[fits[some] - missed >= MIN_STARTING_SCORE])
        return np.unique(np.concatenate(begun))

    def _neighbours_alike(
        self, first: Numbers, second: Numbers, two: Outlines
    ) -> tuple[Numbers, Numbers, Numbers]:
        """Return which neighbours of squares alike have squares like them within their reach.

        That is the place of the squares alike, that of the neighbour, and the square like it.
        """
        near = self.near[first]
        counts = np.bincount(first, minlength=int(near.max(initial=0)) + 1)
        before = np.cumsum(counts) - counts
        many = np.where(self.close[first], counts[near], 0).ravel()
        whose = np.repeat(np.arange(len(many)), many)
        fallen = second[
            np.arange(len(whose)) + np.repeat(before[near.ravel()] - np.cumsum(many) + many, many)
        ]
        start = whose // MAX_NEIGHBOURS
        reach = (self.reach[first] * two.longest[second, None]).ravel()
        away = two.apart * two.sides[:, None] - MAX_MIDDLE_MISS * two.sides * (1.0 + SLACK)
        kept = away[second[start], fallen] < reach[whose] * (1.0 + SLACK)
        start = start[kept]
        return start, whose[kept] - start * MAX_NEIGHBOURS, fallen[kept]

    def _missed(
        self, one: Numbers, on: Numbers, corners: Floats, alike: Flags, two: Outlines
    ) -> Numbers:
        """Count the neighbours of squares laid on others that fall on squares unlike them."""
        there = self.weights[one] @ corners[on]
        place, landed = landing(there, two, MAX_MIDDLE_MISS * (1.0 - SLACK))
        unlike = ~alike[self.near[one], place]
        return np.asarray((landed & self.close[one] & unlike).sum(axis=1))


def _groups(many: Numbers) -> Iterator[slice]:
    """Yield runs of photos that have some `AT_ONCE` squares alike together."""
    start = total = 0
    for place, own in enumerate(many):
        if total and total + own > AT_ONCE:
            yield slice(start, place)
            start, total = place, 0
        total += own
    if total:
        yield slice(start, len(many))
