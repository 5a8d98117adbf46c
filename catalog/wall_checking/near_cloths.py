"""Which cloths of a bundle can't be told apart on the wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.wall_checking.cloth_features import ClothsInHand
from catalog.wall_checking.contents import Look

NEAR = 3.0
"""CIEDE2000 between two cloths' means below which a photo in other light doesn't tell them apart:
what light and camera leave is one to two (tests/bench/wall_checks.py)."""
NEAR_SPREAD = 4.0
"""The same of how much their colours spread: above it two prints of one mean are told apart."""
LARGE_IN2 = 9.0
"""Square inches over which cloths are compared."""


@dataclass(frozen=True, eq=False)
class LikeCloths:
    """Which of the bundle's squares are alike."""

    near: Mapping[tuple[str, str], bool]
    """Pairs of labels, both ways round, whose cloths can't be told apart; others are missing."""
    fabric: Mapping[str, str]
    """By label its fabric, where that is known."""

    def fabrics(self, look: Look) -> Look:
        """Return a look by fabrics: what changes nothing when two squares of one change places."""
        return tuple(self.fabric.get(label, label) for label in look)


def like_cloths(cloths: ClothsInHand) -> LikeCloths:
    """Return which of the bundle's squares are alike.

    Parameters
    ----------
    cloths : ClothsInHand
    """
    fabric = {cloth.label: cloth.fabric for cloth in cloths.cloths if cloth.fabric}
    return LikeCloths(near_cloths(cloths), fabric)


def near_cloths(cloths: ClothsInHand) -> dict[tuple[str, str], bool]:
    """Return the pairs of labels, both ways round, whose cloths look alike.

    Parameters
    ----------
    cloths : ClothsInHand
    """
    if not cloths.cloths:
        return {}
    seen = cloths.features(LARGE_IN2).mean
    alike = ciede2000_matrix(seen[:, :3]) < NEAR
    spread = seen[:, 3:]
    alike &= np.abs(spread[:, None] - spread).max(axis=-1) < NEAR_SPREAD
    labels = [cloth.label for cloth in cloths.cloths]
    return {(labels[i], labels[j]): True for i, j in np.argwhere(alike) if i != j}
