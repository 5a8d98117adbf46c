"""A hard shadow over ground and squares: how deep it is and where it lies."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import RectifiedSquares
from catalog.light.candidates.shadow_tracing import trace_shadow
from catalog.light.candidates.surface_field import LOG_FLOOR, IlluminationField, field_logs
from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]

MIN_LOG_DEPTH = 0.3
"""Natural logarithm by which shadowed ground is darker than the smooth light, at least."""
MIN_SURFACE_AREA = 0.05
"""Least area of shadow on the ground, in squares; smaller dark patches are things and dirt."""
MIN_TOUCHING_AREA = 0.03
"""Least area of it close to the squares, in squares; else it doesn't reach them."""
SEARCH_DISTANCE = 1.5
"""How far from the squares the ground is searched, in sides of a square."""
TOUCH_DISTANCE = 0.15
"""How far from the squares still counts as close, in sides of a square."""


@dataclass(frozen=True, eq=False)
class ShadowMatte:
    """Where the light is blocked."""

    depth: Floats
    """(3,) natural logarithm of the light in the shadow over the light outside it; negative."""
    share: Floats
    """(rows, columns) 0 in the light, 1 in the shadow; cells tile the whole photo."""

    def blocked(self) -> Floats:
        """Return the light, (rows, columns, 3), that is left at each cell, 1 outside."""
        return np.exp(self.share[..., None] * self.depth)

    def logs_at(self, view: ReducedView, points: Floats) -> Floats:
        """Return the logarithm of the light that is left, (n, 3), at points (n, 2)."""
        return np.outer(self.at(view, points), self.depth)

    def at(self, view: ReducedView, points: Floats) -> Floats:
        """Return the share of shadow, (n,), at points (n, 2) in working px."""
        rows, columns = self.share.shape
        height, width = view.pixels.shape[:2]
        xs = np.clip((points[:, 0] * columns / width).astype(int), 0, columns - 1)
        ys = np.clip((points[:, 1] * rows / height).astype(int), 0, rows - 1)
        return np.asarray(self.share[ys, xs])


def without_shadow(
    rectified: RectifiedSquares, view: ReducedView, shadow: ShadowMatte
) -> RectifiedSquares:
    """Take a shadow off squares laid flat."""
    share = shadow.at(view, rectified.places.reshape(-1, 2)).reshape(rectified.logs.shape[:3])
    return replace(rectified, logs=rectified.logs - share[..., None] * shadow.depth)


@dataclass(frozen=True, eq=False)
class _Surface:
    """The photo on the shadow's grid."""

    logs: Floats
    """(rows, columns, 3) logarithm of the pixels over the smooth light; 0 on lit ground."""
    outside: Floats
    """(rows, columns) distance to the nearest square, cells; 0 on squares."""
    side: float
    """Side of a square, cells."""


def find_shadow_matte(
    view: ReducedView, rectified: RectifiedSquares, field: IlluminationField
) -> ShadowMatte | None:
    """Look for a hard shadow that falls over the ground and the squares.

    On the ground it is told by its darkness; from there it is followed into the squares, where
    one and the same print shows lit and unlit colours in that very ratio.

    Parameters
    ----------
    view : ReducedView
    rectified : RectifiedSquares
        The squares, freed of the smooth light.
    field : IlluminationField
        The light as the ground has it; finite ``spread`` or there is none to look at.

    Returns
    -------
    ShadowMatte or None
        None where no shadow on the ground reaches the squares.
    """
    import cv2

    if not np.isfinite(field.spread):
        return None
    surface = _on_grid(view, field)
    depth = _depth(surface)
    if depth is None:
        return None
    share, known = _surface_share(surface, depth, field.spread)
    follows = trace_shadow(rectified, depth, share, known)
    blur = 0.2 * surface.side
    weight = cv2.GaussianBlur(known.astype(np.float64), (0, 0), blur) + 1e-6
    spread = cv2.GaussianBlur(np.where(known, share, 0.0), (0, 0), blur) / weight
    return ShadowMatte(depth, _drawn(np.where(known, share, spread), rectified, follows))


def _on_grid(view: ReducedView, field: IlluminationField) -> _Surface:
    import cv2

    light, shrink = view.grid_light, view.grid_scale
    outside = cv2.resize(view.outside, light.shape[1::-1], interpolation=cv2.INTER_NEAREST) * shrink
    logs = np.log(light + LOG_FLOOR) - field_logs(field, view, light.shape[:2])
    return _Surface(logs, outside.astype(np.float64), view.side * shrink)


def _depth(surface: _Surface) -> Floats | None:
    """Return the shadow's depth as the median over its patches on the ground."""
    import cv2

    reached = (surface.outside > 0) & (surface.outside < SEARCH_DISTANCE * surface.side)
    dark = (reached & (surface.logs.max(axis=2) < -MIN_LOG_DEPTH)).astype(np.uint8)
    rim = max(1, round(0.06 * surface.side))
    core = cv2.erode(dark, np.ones((2 * rim + 1, 2 * rim + 1), np.uint8))
    count, patches, stats, _ = cv2.connectedComponentsWithStats(core)
    if count < 2:
        return None
    grown = cv2.dilate(patches.astype(np.float32), np.ones((2 * rim + 3, 2 * rim + 3)))
    close = reached & (surface.outside < TOUCH_DISTANCE * surface.side)
    touch = np.bincount(grown[close].astype(np.int64), minlength=count)
    area = surface.side**2
    large = (stats[:, cv2.CC_STAT_AREA] > MIN_SURFACE_AREA * area) & (
        touch > MIN_TOUCHING_AREA * area
    )
    large[0] = False
    if not large.any():
        return None
    return np.asarray(np.median(surface.logs[large[patches]], axis=0))


def _surface_share(
    surface: _Surface, depth: Floats, spread: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """Return how surely the ground is in the shadow, 0 to 1, and where that is known at all."""
    import cv2

    grain = max(spread, 0.1)
    lit = (surface.logs**2).sum(axis=2)
    unlit = ((surface.logs - depth) ** 2).sum(axis=2)
    odds = np.clip((lit - unlit) / (8.0 * grain**2), -4.0, 4.0)
    usual = (surface.outside > 0) & (np.minimum(lit, unlit) < 48.0 * grain**2)
    blur = 0.05 * surface.side
    weight = cv2.GaussianBlur(usual.astype(np.float64), (0, 0), blur)
    share = cv2.GaussianBlur(usual / (1.0 + np.exp(-odds)), (0, 0), blur) / (weight + 1e-6)
    return share, weight > 0.25


def _drawn(share: Floats, rectified: RectifiedSquares, follows: Floats) -> Floats:
    """Draw the squares' shares over the ground's."""
    import cv2

    rows, columns = share.shape
    half = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
    shrink = np.array([columns / rectified.size[1], rows / rectified.size[0]])
    drawn = share.copy()
    for quad, to_flat, cloth in zip(rectified.quads, rectified.to_flat, follows, strict=True):
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
