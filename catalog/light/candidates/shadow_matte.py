"""A hard shadow over ground and squares: how deep it is and where it lies."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import Laid
from catalog.light.candidates.ground_field import DARKEST, Smooth, field_grid
from catalog.light.candidates.shadow_tracing import follow
from catalog.light.reduced_view import View

Floats = NDArray[np.float64]

GRID_SIDE = 500
"""Cells along the longer side of the shadow's map: 40 or more to a square."""
DARKER = 0.3
"""Natural logarithm by which shadowed ground is darker than the smooth light, at least."""
LEAST_PATCH = 0.05
"""Least area of shadow on the ground, in squares; smaller dark patches are things and dirt."""
LEAST_TOUCH = 0.03
"""Least area of it close to the squares, in squares; else it doesn't reach them."""
REACH = 1.5
"""How far from the squares the ground is searched, in sides of a square."""
CLOSE = 0.15
"""How far from the squares still counts as close, in sides of a square."""


@dataclass(frozen=True, eq=False)
class Shadow:
    """Where the light is blocked."""

    depth: Floats
    """(3,) natural logarithm of the light in the shadow over the light outside it; negative."""
    share: Floats
    """(rows, columns) 0 in the light, 1 in the shadow; cells tile the whole photo."""

    def blocked(self) -> Floats:
        """Return the light, (rows, columns, 3), that is left at each cell, 1 outside."""
        return np.exp(self.share[..., None] * self.depth)

    def at(self, view: View, points: Floats) -> Floats:
        """Return the share of shadow, (n,), at points (n, 2) in working px."""
        rows, columns = self.share.shape
        height, width = view.pixels.shape[:2]
        xs = np.clip((points[:, 0] * columns / width).astype(int), 0, columns - 1)
        ys = np.clip((points[:, 1] * rows / height).astype(int), 0, rows - 1)
        return np.asarray(self.share[ys, xs])


def lifted(laid: Laid, view: View, shadow: Shadow) -> Laid:
    """Take a shadow off squares laid flat."""
    share = shadow.at(view, laid.places.reshape(-1, 2)).reshape(laid.logs.shape[:3])
    return replace(laid, logs=laid.logs - share[..., None] * shadow.depth)


@dataclass(frozen=True, eq=False)
class _Ground:
    """The photo on the shadow's grid."""

    logs: Floats
    """(rows, columns, 3) logarithm of the pixels over the smooth light; 0 on lit ground."""
    outside: Floats
    """(rows, columns) distance to the nearest square, cells; 0 on squares."""
    side: float
    """Side of a square, cells."""


def find_shadow(view: View, laid: Laid, smooth: Smooth) -> Shadow | None:
    """Look for a hard shadow that falls over the ground and the squares.

    On the ground it is told by its darkness; from there it is followed into the squares, where
    one and the same print shows lit and unlit colours in that very ratio.

    Parameters
    ----------
    view : View
    laid : Laid
        The squares, freed of the smooth light.
    smooth : Smooth
        The light as the ground has it; finite ``spread`` or there is none to look at.

    Returns
    -------
    Shadow or None
        None where no shadow on the ground reaches the squares.
    """
    import cv2

    if not np.isfinite(smooth.spread):
        return None
    ground = _on_grid(view, smooth)
    depth = _depth(ground)
    if depth is None:
        return None
    share, known = _ground_share(ground, depth, smooth.spread)
    follows = follow(laid, depth, share, known)
    blur = 0.2 * ground.side
    weight = cv2.GaussianBlur(known.astype(np.float64), (0, 0), blur) + 1e-6
    spread = cv2.GaussianBlur(np.where(known, share, 0.0), (0, 0), blur) / weight
    return Shadow(depth, _drawn(np.where(known, share, spread), laid, follows))


def _on_grid(view: View, smooth: Smooth) -> _Ground:
    import cv2

    height, width = view.pixels.shape[:2]
    shrink = min(1.0, GRID_SIDE / max(height, width))
    size = (max(2, round(width * shrink)), max(2, round(height * shrink)))
    field = field_grid(smooth, view, (size[1], size[0]))
    small = cv2.resize(view.pixels, size, interpolation=cv2.INTER_AREA)
    outside = cv2.resize(view.outside, size, interpolation=cv2.INTER_NEAREST) * shrink
    logs = np.log(view.tone.linear(np.asarray(small, np.uint8)) + DARKEST) - np.log(field)
    return _Ground(logs, outside.astype(np.float64), view.side * shrink)


def _depth(ground: _Ground) -> Floats | None:
    """Return the shadow's depth as the median over its patches on the ground."""
    import cv2

    reached = (ground.outside > 0) & (ground.outside < REACH * ground.side)
    dark = (reached & (ground.logs.max(axis=2) < -DARKER)).astype(np.uint8)
    rim = max(1, round(0.06 * ground.side))
    core = cv2.erode(dark, np.ones((2 * rim + 1, 2 * rim + 1), np.uint8))
    count, patches, stats, _ = cv2.connectedComponentsWithStats(core)
    grown = cv2.dilate(patches.astype(np.float32), np.ones((2 * rim + 3, 2 * rim + 3)))
    close = reached & (ground.outside < CLOSE * ground.side)
    touch = np.bincount(grown[close].astype(np.int64), minlength=count)
    area = ground.side**2
    large = (stats[:, cv2.CC_STAT_AREA] > LEAST_PATCH * area) & (touch > LEAST_TOUCH * area)
    large[0] = False
    if not large.any():
        return None
    return np.asarray(np.median(ground.logs[large[patches]], axis=0))


def _ground_share(
    ground: _Ground, depth: Floats, spread: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """Return how surely the ground is in the shadow, 0 to 1, and where that is known at all."""
    import cv2

    grain = max(spread, 0.1)
    lit = (ground.logs**2).sum(axis=2)
    unlit = ((ground.logs - depth) ** 2).sum(axis=2)
    odds = np.clip((lit - unlit) / (8.0 * grain**2), -4.0, 4.0)
    usual = (ground.outside > 0) & (np.minimum(lit, unlit) < 48.0 * grain**2)
    blur = 0.05 * ground.side
    weight = cv2.GaussianBlur(usual.astype(np.float64), (0, 0), blur)
    share = cv2.GaussianBlur(usual / (1.0 + np.exp(-odds)), (0, 0), blur) / (weight + 1e-6)
    return share, weight > 0.25


def _drawn(share: Floats, laid: Laid, follows: Floats) -> Floats:
    """Draw the squares' shares over the ground's."""
    import cv2

    rows, columns = share.shape
    half = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
    shrink = np.array([columns / laid.size[1], rows / laid.size[0]])
    drawn = share.copy()
    for quad, to_flat, cloth in zip(laid.quads, laid.to_flat, follows, strict=True):
        outline = quad * shrink
        low = np.clip(np.floor(outline.min(axis=0)).astype(int) - 1, 0, (columns, rows))
        high = np.clip(np.ceil(outline.max(axis=0)).astype(int) + 1, 0, (columns, rows))
        if (high <= low).any():
            continue
        move = np.array([[1.0, 0.0, low[0]], [0.0, 1.0, low[1]], [0.0, 0.0, 1.0]])
        from_grid = to_flat @ np.diag([*1.0 / shrink, 1.0]) @ move
        to_grid = np.linalg.inv(np.linalg.inv(half) @ from_grid @ half)
        size = (int(high[0] - low[0]), int(high[1] - low[1]))
        edge = cv2.BORDER_REPLICATE
        there = cv2.warpPerspective(cloth, to_grid, size, borderMode=edge)
        mask = np.zeros(size[::-1], np.uint8)
        sixteenths = np.round((outline - low - 0.5) * 16).astype(np.int32)
        cv2.fillConvexPoly(mask, sixteenths, 1, shift=4)
        part = drawn[low[1] : high[1], low[0] : high[0]]
        part[mask > 0] = there[mask > 0]
    return drawn
