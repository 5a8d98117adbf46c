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


def compared_colours(batch: SquareBatch, match_by: MatchBy) -> ComparedColours:
    """Return the colours of a batch's squares as `compared_palette` gives them one by one."""
    several = batch.counts > 1
    shown, alone = several[batch.owners], np.flatnonzero(~several)
    told = ComparedColours(
        np.concatenate([batch.owners[shown], alone]),
        np.concatenate([batch.colours[shown, :3], batch.squares["lab"][alone]]),
        np.concatenate([batch.colours[shown, 3], np.ones(len(alone))]),
    )
    if match_by == "value":
        return ComparedColours(told.owner, told.lab * (1.0, 0.0, 0.0), told.weight)
    return _hues(told, len(batch.squares)) if match_by == "hue" else told


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
    some = told.weight > 0
    owner, weight, away = told.owner[some], told.weight[some], away[:, some]
    order = np.argsort(owner, kind="stable")
    _, starts = np.unique(owner[order], return_index=True)
    theirs = np.add.reduceat((weight * away.min(axis=0))[order], starts)
    theirs /= np.add.reduceat(weight[order], starts)
    shares = np.array([one.share for one in own])
    nearest = np.minimum.reduceat(away[:, order], starts, axis=1)
    ours = shares @ nearest / shares.sum()
    least: Floats = np.maximum(np.maximum(theirs, ours) - SLACK, 0.0)
    return least
