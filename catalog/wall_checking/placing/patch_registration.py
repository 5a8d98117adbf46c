"""Blocks brought onto their places by their patches: each shows one cloth where they lie right."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import srgb_to_linear
from catalog.models import Photo
from catalog.wall_checking.block_views import grid_of, pixels_at
from catalog.wall_checking.placing.plan_offsets import PlanOffset, turned_by
from catalog.wall_checking.placing.registration import Registration
from catalog.wall_checking.placing.seen_squares import FlatPicture
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]

MARGINS = (0.22, 0.12)
"""Shares of a block's width by which it is moved about, in each round."""
CLEAR_GAIN = 0.15
"""Part of the variation in a block that its best place has to take away, more than others do."""
OWN_SHARE = 0.8
"""Part of what is found for a block alone, beside all, that it is moved by."""


def register_by_patches(
    photo: Photo, flat: FlatPicture, offset: PlanOffset, plan: PlannedWall, middles: Floats
) -> Registration:
    """Bring a plan from a guess onto a photo.

    Parameters
    ----------
    photo : Photo
    flat : FlatPicture
        The photo laid flat.
    offset : PlanOffset
        A guess good to a fifth of a block.
    plan : PlannedWall
    middles : (n, 2)
        Of its blocks.
    """
    origin = offset.to_flat(middles, np.zeros_like(middles))
    axes = turned_by(np.eye(2), offset.turn).T / offset.side
    found = Registration(
        flat,
        origin,
        np.repeat(axes[None], len(middles), axis=0),
        np.zeros(len(middles), np.intp),
        offset.side,
    )
    for margin in MARGINS:
        shift, gain = _shifts(photo, found, plan, margin)
        moved = (found.axes @ shift[..., None])[..., 0]
        found = _moved(found, middles, moved, gain)
    return found


def _moved(found: Registration, middles: Floats, moved: Floats, gain: Floats) -> Registration:
    """Move all blocks as most of them want, and each that shows it a little further."""
    x, y = ((middles - middles.mean(axis=0)) / max(float(np.ptp(middles, axis=0).max()), 1.0)).T
    design = np.column_stack([np.ones_like(x), x, y, x * y, x * x, y * y])
    ridge = np.diag([1e-3, 1e-2, 1e-2, 0.3, 0.3, 0.3])
    clear = gain > CLEAR_GAIN
    weight = np.where(clear, gain, 0.0)
    fit = np.zeros((design.shape[1], 2))
    for _ in range(4):
        left = design.T * weight
        fit = np.linalg.solve(left @ design + ridge, left @ moved)
        off = np.linalg.norm(moved - design @ fit, axis=1)
        weight = np.where(clear, gain, 0.0) / (1.0 + (off * found.inches / 0.5) ** 2)
    together = design @ fit
    own = np.where(clear[:, None], OWN_SHARE * (moved - together), 0.0)
    own[np.linalg.norm(own, axis=1) * found.inches > 1.0] = 0.0
    return Registration(
        found.seen,
        found.origin + together + own,
        found.axes,
        clear.astype(np.intp),
        found.inches,
    )


def _shifts(
    photo: Photo, found: Registration, plan: PlannedWall, margin: float
) -> tuple[Floats, Floats]:
    """Return how far each block has to move, inches, and how clearly it shows."""
    shift, gain = np.zeros((len(plan.blocks), 2)), np.zeros(len(plan.blocks))
    height, width = photo.pixels.shape[:2]
    for number, block in enumerate(plan.blocks):
        if not block.patches:
            continue
        wide, high = block.width * (1 + 2 * margin), block.height * (1 + 2 * margin)
        at = found.to_photo(np.array([[number]]), grid_of(wide, high))
        if not ((at > 0) & (at < (width, height))).all(axis=-1).mean() > 0.8:
            continue
        light = np.log(srgb_to_linear(pixels_at(photo, at[None])[0] / np.float32(255.0)) + 0.02)
        shift[number], gain[number] = _best_shift(light.astype(np.float32), block)
    return shift, gain


def _best_shift(light: NDArray[np.float32], block: PlannedBlock) -> tuple[Floats, float]:
    """Return the shift, inches, at which a block's patches are most of one colour each."""
    import cv2

    grid = grid_of(block.width, block.height)
    masks = _masks(block, grid)
    size = grid.shape[:2]
    whole = cv2.boxFilter(light**2, -1, size[::-1], anchor=(0, 0), normalize=False)
    reach = (light.shape[0] - size[0] + 1, light.shape[1] - size[1] + 1)
    rest = whole[: reach[0], : reach[1]].sum(axis=-1).astype(np.float64)
    mean = cv2.boxFilter(light, -1, size[::-1], anchor=(0, 0), normalize=False)
    mean = mean[: reach[0], : reach[1]].astype(np.float64)
    outright = rest - (mean**2).sum(axis=-1) / (size[0] * size[1])
    for mask in masks:
        for channel in range(3):
            sums = cv2.filter2D(light[..., channel], -1, mask, anchor=(0, 0))
            rest -= sums[: reach[0], : reach[1]].astype(np.float64) ** 2 / mask.sum()
    share = rest / np.maximum(outright, 1e-9) if len(masks) > 1 else rest / rest.max()
    row, column = np.unravel_index(int(share.argmin()), share.shape)
    step = np.array([block.width / size[1], block.height / size[0]])
    middle = (np.array([reach[1], reach[0]]) - 1) / 2.0
    return (np.array([column, row]) - middle) * step, float(np.median(share) - share.min())


def _masks(block: PlannedBlock, grid: Floats) -> list[NDArray[np.float32]]:
    """Return which pixels each patch covers."""
    import cv2

    low = grid[0, 0]
    step = grid[1, 1] - low
    found = []
    for patch in block.patches:
        mask = np.zeros(grid.shape[:2], np.uint8)
        corners = np.round((np.array(patch.polygon) - low) / step * 16).astype(np.int32)
        cv2.fillConvexPoly(mask, corners, 1, shift=4)
        found.append(mask.astype(np.float32))
    return [mask for mask in found if mask.any()]
