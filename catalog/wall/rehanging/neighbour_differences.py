"""How far blocks are from their neighbours, and sets from one another, before and after a move."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from catalog.colour.ciede2000 import ciede2000
from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Lab, SquareSet, Swatch
from catalog.wall.adjacency import neighbours
from catalog.wall.exchanged_blocks import colours_of
from catalog.wall.rehanging.square_groups import groups_of


@dataclass(frozen=True)
class Beside:
    """Two blocks that touch along a side."""

    place: str
    other: str
    difference: float
    """CIEDE2000 between the mean colours of their features."""


def differences_beside(
    quilt: Quilt,
    layout: Layout,
    wall: WallPlan,
    bundle: Mapping[str, Swatch],
    at: Collection[str],
) -> tuple[Beside, ...]:
    """Return how far the blocks at some places are from those that touch them along a side.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        That the wall was planned for.
    wall : WallPlan
    bundle : mapping from label to Swatch
    at : collection of str
        Places; each pair is told once. Empty places and bought blocks have no difference.
    """
    spots = places(layout)
    pairs = [
        (p, q) for p, q, _ in neighbours(spots) if spots[p].label in at or spots[q].label in at
    ]
    near = {number for pair in pairs for number in pair}
    colours = colours_of(quilt, wall.blocks, bundle, near)
    told = [(p, q) for p, q in pairs if p in colours and q in colours]
    if not told:
        return ()
    away = ciede2000(
        np.array([colours[p] for p, _ in told]), np.array([colours[q] for _, q in told])
    )
    return tuple(
        Beside(spots[p].label, spots[q].label, float(one))
        for (p, q), one in zip(told, away, strict=True)
    )


def sets_apart(
    block: WallBlock, sets: Sequence[SquareSet], bundle: Mapping[str, Swatch]
) -> float | None:
    """Return the largest difference between two sets of a block; None where it has fewer than two.

    CIEDE2000 between the mean colours of the sets.
    """
    groups = [group for group in groups_of(block, sets) if group.number]
    means = [_mean([bundle[label].lab for label in group.labels]) for group in groups]
    pairs = list(combinations(means, 2))
    if not pairs:
        return None
    away = ciede2000(np.array([one for one, _ in pairs]), np.array([two for _, two in pairs]))
    return float(np.max(away))


def _mean(labs: Sequence[Lab]) -> Lab:
    lightness, a, b = np.mean(labs, axis=0)
    return float(lightness), float(a), float(b)
