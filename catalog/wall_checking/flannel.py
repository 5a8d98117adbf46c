"""What the wall itself looks like: what shows where no block hangs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.block_views import view_blocks
from catalog.wall_checking.blocks_read import ReadPhoto
from catalog.wall_checking.cloth_features import (
    ClothFeatures,
    features_of,
    moments_of,
)
from catalog.wall_checking.placing.registration import Registration
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]

REACH = 1.35
"""Blocks from the middle of a block within which the wall is looked at."""
CLEAR = 0.68
"""Blocks from the middle of every block outside of which it is: the nearer part is the block's
own, or its shadow's."""
STEPS = 3
"""Places to a block, across and down."""
WINDOW_IN = 1.0
"""Side of what is looked at in each place, inches."""
MIN_WINDOWS = 4
FLANNEL_ERROR = np.array([3.0, 1.5, 1.5, 1.5, 1.0, 1.0, 1.0])
"""What the wall may differ by from what it is beside the blocks: light is known worse there."""


def flannel_of(read: ReadPhoto, plan: PlannedWall) -> ClothFeatures | None:
    """Return the wall's features in the bundle's light; None where no wall shows.

    Parameters
    ----------
    read : ReadPhoto
    plan : PlannedWall
    """
    at = _beside(read.found, plan)
    if len(at) < MIN_WINDOWS:
        return None
    nearest = np.linalg.norm(at[:, None] - read.found.origin, axis=-1).argmin(axis=1)
    places = Registration(
        read.found.seen, at, read.found.axes[nearest], np.zeros(len(at), np.intp), read.found.inches
    )
    window = PlannedBlock("", 0.0, 0.0, WINDOW_IN, WINDOW_IN, (), ())
    views = view_blocks(read.photo, places, np.arange(len(at)), window)
    if len(views.block) < MIN_WINDOWS:
        return None
    field = read.light.field_at(views.flat)[:, None, None]
    moments = moments_of(read.light.even(views.linear, field))
    seen = features_of(moments.mean(axis=(1, 2)))
    middle = np.median(seen, axis=0)
    spread = 1.5 * np.median(np.abs(seen - middle), axis=0)
    covariance = np.diag(spread**2 + FLANNEL_ERROR**2)
    return ClothFeatures(middle[None], covariance[None])


def _beside(found: Registration, plan: PlannedWall) -> Floats:
    """Return places (n, 2) of the flat picture near blocks where none is to hang."""
    hung = np.array([k for k, block in enumerate(plan.blocks) if block.patches], np.intp)
    size = float(np.mean([block.width for block in plan.blocks])) / found.inches
    origin = found.origin[hung]
    low, high = origin.min(axis=0) - REACH * size, origin.max(axis=0) + REACH * size
    lines = [np.arange(low[k], high[k], size / STEPS) for k in (0, 1)]
    at = np.stack(np.meshgrid(*lines), axis=-1).reshape(-1, 2)
    far = np.abs(at[:, None] - origin).max(axis=-1).min(axis=1) / size
    return np.asarray(at[(far > CLEAR) & (far < REACH)], np.float64)


def unknown_cloth() -> ClothFeatures:
    """Return what cloth of which nothing is known looks like."""
    mean = np.array([55.0, 0.0, 0.0, 5.0, 4.0, 4.0, 3.0])
    return ClothFeatures(
        mean[None], np.diag(np.array([25.0, 25.0, 25.0, 6.0, 6.0, 6.0, 4.0]) ** 2)[None]
    )
