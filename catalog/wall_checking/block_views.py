"""Blocks cut out of a photo of the wall and laid flat, and the parts that patches cover."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour.camera_response import to_linear
from catalog.models import Photo
from catalog.wall_checking.placing.registration import Registration
from catalog.wall_checking.planned_wall import PlannedBlock

Floats = NDArray[np.float64]

PX_PER_IN = 6.0
"""Pixels of a view to an inch: prints are told by their colours, finer ones run together."""
SEAM_MARGIN_IN = 0.3
"""Inches left out along the sides of a patch: the detector's corners are good to a fifth of an
inch, and seams shade their neighbourhood."""
MAX_MARGIN_SHARE = 0.45
"""Of a patch's inner radius that the margin may take of small patches."""
MIN_SHOWN_SHARE = 0.7
"""Part of a block that has to lie in the frame for it to be judged."""
CLIPPED_LEVEL = 250
"""Pixels from here on, of 255, are taken for clipped: shrinking the photo lowers them a little."""
ROWS_AT_A_TIME = 16384
"""Rows of pixels that OpenCV is given at once: it takes no more than 32767."""


@dataclass(frozen=True, eq=False)
class BlockViews:
    """Views of k blocks of one size."""

    block: NDArray[np.intp]
    """(k,) which of the plan's blocks."""
    linear: NDArray[np.float32]
    """(k, high, wide, 3) linear light."""
    clipped: NDArray[np.bool_]
    """(k, high, wide, 3) where the camera clipped a channel: there was as much light or more."""
    flat: Floats
    """(k, 2) the blocks' middles in the flat picture."""
    outline: Floats
    """(k, 4, 2) their corners in the photo, px."""


def grid_of(width: float, height: float) -> Floats:
    """Return where the pixels (high, wide, 2) of a view lie, inches from the block's middle."""
    wide, high = max(8, round(width * PX_PER_IN)), max(8, round(height * PX_PER_IN))
    x = (np.arange(wide) + 0.5) / wide * width - width / 2.0
    y = (np.arange(high) + 0.5) / high * height - height / 2.0
    return np.stack(np.meshgrid(x, y), axis=-1)


def view_blocks(
    photo: Photo, found: Registration, picked: NDArray[np.intp], block: PlannedBlock
) -> BlockViews:
    """Cut out those of some blocks that lie in the frame.

    Parameters
    ----------
    photo : Photo
    found : Registration
    picked : (k,) int
        Blocks of the size of ``block``.
    block : PlannedBlock
    """
    grid = grid_of(block.width, block.height)
    at = found.to_photo(picked[:, None, None], np.broadcast_to(grid, (len(picked), *grid.shape)))
    height, width = photo.pixels.shape[:2]
    shown = ((at > 0) & (at < (width, height))).all(axis=-1).mean(axis=(1, 2)) >= MIN_SHOWN_SHARE
    picked, at = picked[shown], at[shown]
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * (block.width / 2.0, block.height / 2.0)
    outline = found.to_photo(picked[:, None], np.broadcast_to(half, (len(picked), 4, 2)))
    seen = pixels_at(photo, at)
    linear = to_linear(seen.reshape(-1, grid.shape[1], 3)).reshape(seen.shape)
    return BlockViews(picked, linear, seen >= CLIPPED_LEVEL, found.origin[picked], outline)


def pixels_at(photo: Photo, at: Floats) -> NDArray[np.uint8]:
    """Return the photo's pixels (k, high, wide, 3) at places (k, high, wide, 2)."""
    import cv2

    height, width = photo.pixels.shape[:2]
    if not len(at):
        return np.zeros((*at.shape[:3], 3), np.uint8)
    step = np.median(np.linalg.norm(np.diff(at, axis=2), axis=-1))
    shrink = min(1.0, 1.0 / max(float(step), 1e-6))
    size = (max(1, round(width * shrink)), max(1, round(height * shrink)))
    small = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    across = (at * (size[0] / width, size[1] / height) - 0.5).astype(np.float32)
    across = across.reshape(-1, at.shape[2], 2)
    seen = np.empty((*across.shape[:2], 3), np.uint8)
    for start in range(0, len(across), ROWS_AT_A_TIME):
        x, y = np.moveaxis(across[start : start + ROWS_AT_A_TIME], -1, 0).copy()
        seen[start : start + ROWS_AT_A_TIME] = cv2.remap(
            small, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    return seen.reshape(*at.shape[:3], 3)


def patch_weights(block: PlannedBlock, grid: Floats) -> Floats:
    """Return how much each pixel (patches, high, wide) tells of each patch: 1 well inside, else 0.

    Parameters
    ----------
    block : PlannedBlock
    grid : (high, wide, 2)
        Of its view.
    """
    return np.array([_inside(np.array(patch.polygon), grid) for patch in block.patches])


def _inside(corners: Floats, grid: Floats) -> Floats:
    along = np.roll(corners, -1, axis=0) - corners
    length = np.maximum(np.linalg.norm(along, axis=1), 1e-9)
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1) / length[:, None]
    depth = ((grid[..., None, :] - corners) * inward).sum(axis=-1).min(axis=-1)
    depth = (
        depth
        if depth.max() > 0
        else ((grid[..., None, :] - corners) * -inward).sum(axis=-1).min(axis=-1)
    )
    margin = min(SEAM_MARGIN_IN, MAX_MARGIN_SHARE * float(depth.max()))
    return np.asarray(depth >= margin, np.float64)
