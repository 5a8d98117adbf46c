"""Prints that surely are in two photos, told for all pairs of photos without comparing each.

Of 500 pairs of squares in photos of other bundles one is of one print, and for all but three a few
numbers tell that they aren't: their structure, and how far their colours spread. What these leave
is compared in full, so that nothing is lost (`tests/test_light_together.py` compares with trying
each two).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.print_likeness import (
    COLOUR_TERMS,
    MIN_PRINT_SPREAD,
    QUANTILES,
    STRUCTURE_TOLERANCE,
    Prints,
    colour_tolerance,
    unlikeness_of_pairs,
)
from catalog.models import Swatch

Floats = NDArray[np.float64]
Rows = NDArray[np.float32]
Numbers = NDArray[np.intp]
Pairs = list[tuple[int, int]]

SLACK: Final = 0.02
"""By which bounds in single precision are wider than what they stand for."""
AT_ONCE: Final = 5_000
"""Pairs that are compared in full together: some 25 MB."""


def shared_prints(
    groups: Sequence[Sequence[Swatch]], least: int
) -> Iterator[tuple[int, int, Pairs]]:
    """Yield two photos and the places of squares that are each other's nearest and of one print.

    Parameters
    ----------
    groups : sequence of sequences of Swatch
        Each photo's squares, with their signatures.
    least : int
        So many pairs of squares at least, or the photos share nothing.

    Yields
    ------
    int, int
        Photos by their places, the first before the second; in no order.
    list of (int, int)
        A square of the first and one of the second, ascending.
    """
    shelf = _PrintShelf(groups)
    for photo in range(1, len(groups)):
        one, two = shelf.nearest(photo)
        owner = shelf.photo[one]
        for other in np.flatnonzero(np.bincount(owner, minlength=photo) >= least).tolist():
            own = owner == other
            places = zip(
                shelf.place[one[own]].tolist(), shelf.place[two[own]].tolist(), strict=True
            )
            yield other, photo, sorted(places)


class _PrintShelf:
    """The squares of many photos one after another that aren't too plain to be known again."""

    def __init__(self, groups: Sequence[Sequence[Swatch]]) -> None:
        every = [swatch for group in groups for swatch in group]
        prints = Prints.of(every)
        some = np.flatnonzero(prints.spread > MIN_PRINT_SPREAD)
        sizes = [len(group) for group in groups]
        self.photo = np.repeat(np.arange(len(groups)), sizes)[some]
        self.place = np.concatenate([np.arange(size) for size in (*sizes, 0)])[some]
        self.starts = np.searchsorted(self.photo, np.arange(len(groups) + 1))
        self.prints = Prints(
            prints.labs[some], prints.colours[some], prints.spread[some], prints.bands[some]
        )
        self.tolerance = colour_tolerance(self.prints.spread).astype(np.float32)
        self.bands = self.prints.bands.astype(np.float32)
        self.strength = np.square(self.bands).sum(axis=1)
        directions = COLOUR_TERMS // QUANTILES
        halves = self.prints.colours.reshape(-1, directions, 2, QUANTILES // 2)
        self.upper = halves.mean(axis=3)[:, :, 1].astype(np.float32)
        """(n, 13) means of the upper halves along all directions; of the lower as much below 0."""

    def nearest(self, photo: int) -> tuple[Numbers, Numbers]:
        """Return squares of the photos before one and of it that are each other's nearest."""
        one, two = self._near(photo)
        unlike = np.concatenate([
            unlikeness_of_pairs(self.prints, one[at : at + AT_ONCE], two[at : at + AT_ONCE])
            for at in range(0, len(one) + 1, AT_ONCE)
        ])  # fmt: skip
        same = unlike < 1.0
        one, two, unlike = one[same], two[same], unlike[same]
        # Of each square of the photos before the nearest of this one, and the other way about.
        by_photo = self.photo[one] * (len(self.photo) + 1) + two
        both = _first(one, unlike, two) & _first(by_photo, unlike, one)
        return one[both], two[both]

    def _near(self, photo: int) -> tuple[Numbers, Numbers]:
        """Return the squares that a few of their numbers don't tell apart."""
        start, stop = self.starts[photo], self.starts[photo + 1]
        own, before = slice(start, stop), slice(0, start)
        apart = self.strength[before, None] + self.strength[own]
        apart -= 2.0 * (self.bands[before] @ self.bands[own].T)
        tolerance = np.minimum(self.tolerance[before, None], self.tolerance[own])
        bound = np.sqrt(np.maximum(apart, 0.0) / self.bands.shape[1]) / STRUCTURE_TOLERANCE
        bound -= SLACK
        spread = self.upper.mean(axis=1)
        one, two = np.nonzero(bound + np.abs(spread[before, None] - spread[own]) / tolerance < 1.0)
        colours = np.abs(self.upper[one] - self.upper[two + start]).mean(axis=1)
        near = bound[one, two] + colours / tolerance[one, two] < 1.0
        return one[near], two[near] + start


def _first(group: Numbers, unlike: Floats, other: Numbers) -> NDArray[np.bool_]:
    """Tell which is the least of its group, of equals the one with the least other."""
    order = np.lexsort((other, unlike, group))
    least = np.zeros(len(group), np.bool_)
    leads = np.diff(group[order], prepend=-1) > 0
    least[order[leads]] = True
    return least
