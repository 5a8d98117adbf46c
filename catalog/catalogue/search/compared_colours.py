"""What squares are compared by, of many at once; see `catalog.bundle.square_differences`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.family_words import NEUTRAL_BELOW_CHROMA
from catalog.bundle.square_differences import HUE_CHROMA, HUE_LIGHTNESS, MIN_SPEAKING_CHROMA
from catalog.catalogue.search.square_batches import SquareBatch
from catalog.colour import lab
from catalog.colour.difference_bounds import least_by_steps
from catalog.models import MatchBy, Palette

Floats = NDArray[np.float64]

SLACK: Final = 1e-6
"""CIEDE2000 by which a bound is taken lower than its sums come out, whose roundings are less."""


@dataclass(frozen=True, eq=False)
class ComparedColours:
    """The colours of n squares as they are compared."""

    owner: NDArray[np.intp]
    """(m,) whose each is."""
    lab: Floats
    """(m, 3)."""
    weight: Floats
    """(m,) of each among its square's."""

    def by_square(self, many: int) -> ComparedColours:
        """Return those that weigh anything, square by square, their weights adding up to 1.

        Raises
        ------
        ValueError
            One of so many squares has none.
        """
        owner, weight, colours = self.owner, self.weight, self.lab
        if not ((weight > 0).all() and (np.diff(owner) >= 0).all()):
            order = np.argsort(owner, kind="stable")
            order = order[weight[order] > 0]
            owner, weight, colours = owner[order], weight[order], colours.take(order, axis=0)
        whole = np.bincount(owner, weight, many)
        if not (whole > 0).all():
            raise ValueError("expected colours of every square")
        return ComparedColours(owner, np.ascontiguousarray(colours), weight / whole[owner])

    @cached_property
    def starts(self) -> NDArray[np.intp]:
        """(n,) the first colour of each square, where they stand square by square."""
        return np.flatnonzero(np.diff(self.owner, prepend=-1))

    def at(self, some: NDArray[np.intp]) -> ComparedColours:
        """Return those of some squares, in this order, where they stand square by square."""
        counts = np.diff(self.starts, append=len(self.owner))[some]
        ends = np.cumsum(counts)
        colours = np.arange(counts.sum()) + np.repeat(self.starts[some] - ends + counts, counts)
        owner = np.repeat(np.arange(len(some)), counts)
        return ComparedColours(owner, self.lab.take(colours, axis=0), self.weight[colours])


def compared_colours(batch: SquareBatch, match_by: MatchBy) -> ComparedColours:
    """Return the colours of a batch's squares as `compared_palette` gives them one by one."""
    many = len(batch.squares)
    counts = np.maximum(batch.counts, 1)
    starts = np.cumsum(counts) - counts
    without = (np.cumsum(batch.counts) - batch.counts)[batch.counts == 0]
    colours = np.insert(batch.colours, without, 1.0, axis=0)
    plain = batch.counts <= 1
    colours[starts[plain], :3], colours[starts[plain], 3] = batch.squares["lab"][plain], 1.0
    told = ComparedColours(np.repeat(np.arange(many), counts), colours[:, :3], colours[:, 3])
    if match_by == "value":
        told = ComparedColours(told.owner, told.lab * (1.0, 0.0, 0.0), told.weight)
    elif match_by == "hue":
        told = _hues(told, many)
    return told.by_square(many)


def _hues(told: ComparedColours, many: int) -> ComparedColours:
    """Return the hues of squares, each by its share and its strength; a grey for a neutral."""
    strength = lab.chroma(told.lab)
    weight = np.where(strength >= NEUTRAL_BELOW_CHROMA, told.weight * strength, 0.0)
    silent = np.bincount(told.owner, weight, many) < MIN_SPEAKING_CHROMA
    turn = np.radians(lab.hue_angle(told.lab))
    hues = np.stack([np.cos(turn), np.sin(turn)], axis=1) * HUE_CHROMA
    neutral = np.flatnonzero(silent)
    return ComparedColours(
        np.concatenate([told.owner, neutral]),
        np.concatenate(
            [
                np.column_stack([np.full(len(hues), HUE_LIGHTNESS), hues]),
                np.tile((HUE_LIGHTNESS, 0.0, 0.0), (len(neutral), 1)),
            ]
        ),
        np.concatenate([np.where(silent[told.owner], 0.0, weight), np.ones(len(neutral))]),
    )


def least_between_means(own: Palette, told: ComparedColours, k_lightness: float) -> Floats:
    """Return what it takes at least to recolour one print into each of n others, (n,).

    Carrying shares moves the mean by no more than they are carried, in any norm; the norm is the
    bound of the difference with the most chroma that the two prints have.
    """
    shares = np.array([one.share for one in own])
    labs = np.array([one.lab for one in own])
    mean = shares @ labs / shares.sum()
    means = [np.bincount(told.owner, told.weight * ordinate) for ordinate in told.lab.T]
    chroma = np.maximum.reduceat(_squared_chroma(told.lab), told.starts)
    most = np.sqrt(chroma) + np.sqrt(_squared_chroma(labs).max())
    outside = (told.lab[:, 0] < 0) | (told.lab[:, 0] > 100)
    least = least_by_steps(np.stack(means, axis=1) - mean, most, k_lightness)
    known = np.bincount(told.owner, outside) == 0
    known &= bool(((labs[:, 0] >= 0) & (labs[:, 0] <= 100)).all())
    return np.where(known, np.maximum(least - SLACK, 0.0), 0.0)


def _squared_chroma(colours: Floats) -> Floats:
    return np.asarray(colours[:, 1] ** 2 + colours[:, 2] ** 2)


def least_carried(shares: Floats, told: ComparedColours, away: Floats) -> Floats:
    """Return what it takes at least to recolour one print into each of n others, (n,).

    No way of carrying shares takes less than if each went to the nearest colour, whether those of
    the one print or those of the other: the larger of the two sums.

    Parameters
    ----------
    shares : array, (k,)
        Of the one print's colours.
    told : ComparedColours
    away : array, (k, m)
        Differences, or bounds of them.
    """
    theirs = np.add.reduceat(told.weight * away.min(axis=0), told.starts)
    return np.maximum(least_left(shares / shares.sum(), told, away), theirs - SLACK)


def least_left(shares: Floats, told: ComparedColours, away: Floats) -> Floats:
    """Return what it takes at least to carry some of a print's shares; see `least_carried`."""
    least = shares @ np.minimum.reduceat(away, told.starts, axis=1)
    return np.maximum(least - SLACK, 0.0)
