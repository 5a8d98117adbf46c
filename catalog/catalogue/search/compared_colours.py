"""What squares are compared by, of many at once; see `catalog.bundle.square_differences`."""

from __future__ import annotations

from dataclasses import dataclass
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
        order = np.argsort(self.owner, kind="stable")
        order = order[self.weight[order] > 0]
        owner, weight = self.owner[order], self.weight[order]
        whole = np.bincount(owner, weight, many)
        if not (whole > 0).all():
            raise ValueError("expected colours of every square")
        return ComparedColours(owner, self.lab.take(order, axis=0), weight / whole[owner])

    @property
    def starts(self) -> NDArray[np.intp]:
        """(n,) the first colour of each square, where they stand square by square."""
        return np.flatnonzero(np.diff(self.owner, prepend=-1))


def compared_colours(batch: SquareBatch, match_by: MatchBy) -> ComparedColours:
    """Return the colours of a batch's squares as `compared_palette` gives them one by one."""
    several = batch.counts > 1
    shown, alone = several[batch.owners], np.flatnonzero(~several)
    told = ComparedColours(
        np.concatenate([batch.owners[shown], alone]),
        np.concatenate([batch.colours[shown, :3], batch.squares["lab"][alone]]),
        np.concatenate([batch.colours[shown, 3], np.ones(len(alone))]),
    )
    many = len(batch.squares)
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
    means = np.add.reduceat(told.lab * told.weight[:, None], told.starts)
    chroma = np.maximum.reduceat(np.hypot(told.lab[:, 1], told.lab[:, 2]), told.starts)
    most = chroma + np.hypot(labs[:, 1], labs[:, 2]).max()
    inside = np.minimum.reduceat(((told.lab[:, 0] >= 0) & (told.lab[:, 0] <= 100)), told.starts)
    least = least_by_steps(means - mean, most, k_lightness)
    known = inside & bool(((labs[:, 0] >= 0) & (labs[:, 0] <= 100)).all())
    return np.where(known, np.maximum(least - SLACK, 0.0), 0.0)


def least_carried(own: Palette, told: ComparedColours, away: Floats) -> Floats:
    """Return what it takes at least to recolour one print into each of n others, (n,).

    No way of carrying shares takes less than if each went to the nearest colour, whether those of
    the one print or those of the other: the larger of the two sums.

    Parameters
    ----------
    own : Palette
    told : ComparedColours
    away : array, (colours of own, m)
        Differences, or bounds of them.
    """
    theirs = np.add.reduceat(told.weight * away.min(axis=0), told.starts)
    shares = np.array([one.share for one in own])
    ours = shares @ np.minimum.reduceat(away, told.starts, axis=1) / shares.sum()
    least: Floats = np.maximum(np.maximum(theirs, ours) - SLACK, 0.0)
    return least
