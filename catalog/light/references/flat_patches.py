"""Flat patches of one colour beside the squares: of a chart, a card, a sheet of paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEP_LIMITS = (7.0, 14.0, 28.0)
"""Steps between neighbouring pixels, of 255, that part one patch from the next: strict for sharp
photos, lax for noisy ones."""
BLUR_PX = 1.0
"""Standard deviation, px, of the blur before steps are taken."""
MIN_QUAD_FILL = 0.82
"""Least share of the quadrilateral round it that a patch fills."""
MIN_BOX_FILL = 0.4
"""Least share of the upright rectangle round it: a square that stands on its corner fills half."""
MAX_ASPECT = 3.0
"""Greatest length of a patch over its width."""


@dataclass(frozen=True, eq=False)
class FlatPatch:
    """One flat patch."""

    centre: tuple[float, float]
    """Working px."""
    area: float
    """Working px."""
    quad: Floats
    """(4, 2) the quadrilateral round it, working px."""
    full: float
    """Share of that quadrilateral that it fills."""
    colour: Floats
    """(3,) mean of its pixels, 0 to 255."""
    spread: float
    """Standard deviation of its pixels, mean over the channels."""


def flat_patches(
    pixels: NDArray[np.uint8], free: NDArray[np.bool_], least: float, most: float
) -> list[FlatPatch]:
    """Find flat patches that fill a box, largest first.

    Parameters
    ----------
    pixels : (height, width, 3) uint8
    free : (height, width) bool
        Where to look.
    least, most : float
        Area of a patch, px.

    Returns
    -------
    list of FlatPatch
        What both limits of steepness find alike comes once.
    """
    import cv2

    field = cv2.GaussianBlur(pixels, (0, 0), BLUR_PX)
    steps = cv2.morphologyEx(field, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    steepest = cv2.max(cv2.max(steps[..., 0], steps[..., 1]), steps[..., 2])
    found: list[FlatPatch] = []
    known = np.zeros((0, 3))
    for steep in STEP_LIMITS:
        flat = cv2.bitwise_and((steepest <= steep).view(np.uint8), free.view(np.uint8))
        _, marks, stats, centres = cv2.connectedComponentsWithStats(flat, connectivity=4)
        longest = stats[:, [cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT]].max(axis=1)
        area = stats[:, cv2.CC_STAT_AREA]
        boxes = stats[:, cv2.CC_STAT_WIDTH] * stats[:, cv2.CC_STAT_HEIGHT]
        fit = (least <= area) & (area <= most) & (longest <= 2 * MAX_ASPECT * area**0.5)
        fit &= area > MIN_BOX_FILL * boxes
        for index in np.flatnonzero(fit[1:]) + 1:
            place = np.array([*centres[index], area[index]])
            if _alike(place, known):
                continue
            x, y, width, height, _ = stats[index]
            window = np.s_[y : y + height, x : x + width]
            mask = (marks[window] == index).view(np.uint8)
            patch = _patch(pixels[window], mask, (x, y), place)
            if patch is not None:
                found.append(patch)
                known = np.vstack([known, place])
    return sorted(found, key=lambda one: -one.area)


def _patch(
    pixels: NDArray[np.uint8],
    mask: NDArray[np.uint8],
    corner: tuple[int, int],
    place: Floats,
) -> FlatPatch | None:
    import cv2

    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE, offset=corner)
    outline = max(outlines, key=cv2.contourArea)
    quad = _quadrilateral(np.asarray(outline, np.int32))
    if quad is None:
        return None
    full = cv2.contourArea(outline) / max(cv2.contourArea(quad.astype(np.float32)), 1.0)
    sides = np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1)
    if not MIN_QUAD_FILL <= full <= 1.0 / MIN_QUAD_FILL or sides.max() > MAX_ASPECT * sides.min():
        return None
    colour, spread = cv2.meanStdDev(pixels, mask=mask)
    return FlatPatch(
        (float(place[0]) + 0.5, float(place[1]) + 0.5),
        float(place[2]),
        quad + 0.5,
        full,
        np.asarray(colour, np.float64).ravel(),
        float(spread.mean()),
    )


def _quadrilateral(outline: NDArray[np.int32]) -> Floats | None:
    """Return the four corners of an outline, (4, 2); None where it has another number."""
    import cv2

    hull = cv2.convexHull(outline)
    length = cv2.arcLength(hull, True)
    for tolerance in (0.03, 0.05, 0.08, 0.11):
        corners = cv2.approxPolyDP(hull, tolerance * length, True)[:, 0]
        if len(corners) <= 4:
            return corners.astype(np.float64) if len(corners) == 4 else None
    return None


def _alike(place: Floats, known: Floats) -> bool:
    """Tell whether a patch, its centre and area, is among those known already, (n, 3)."""
    near = np.abs(known[:, :2] - place[:2]).max(axis=1) < 0.3 * place[2] ** 0.5
    return bool((near & (known[:, 2] < 2.0 * place[2]) & (known[:, 2] > 0.5 * place[2])).any())
