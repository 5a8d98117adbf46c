"""The ground that the squares lie on, as a witness of the light over the plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog import lab
from catalog.models import Found, Photo

Floats = NDArray[np.float64]

WORKING_SIDE = 1500
"""Longer side of the working copy, px: a gap of 1/10 in. is still 2 px wide at 100 squares."""
GROUND_MARGIN = 0.08
"""Inches kept away from a square's outline: corners are good to 1/16 in., edges cast shadows."""
REACH = 1.0
"""How far outside the squares the ground still counts, in sides of a square."""
SAMPLES = 20_000
"""Ground pixels used; more changed no figure on the dev photos."""
LEAST_SAMPLES = 300
"""Fewer ground pixels than this can't carry six coefficients a channel."""
DEGREE = 2
"""Of the polynomial: 1 left regret 1.24, 2 gave 1.08, 3 gave 1.33 (measured on 14 dev photos)."""
DARKEST = 0.002
"""Added to linear light before the logarithm: about the read noise of a phone."""
GRID_SIDE = 48
"""Cells along the longer side of a smooth field."""


@dataclass(frozen=True, eq=False)
class View:
    """A smaller copy of the photo with its squares marked."""

    pixels: NDArray[np.uint8]
    """(height, width, 3), sRGB."""
    scale: float
    """Working pixels per pixel of the photo."""
    outside: NDArray[np.float32]
    """(height, width) distance to the nearest square, working px; 0 on squares and margins."""
    centres: Floats
    """(n, 2) of the squares, working px."""
    side: float
    """Median side of a square, working px."""


@dataclass(frozen=True, eq=False)
class Smooth:
    """A polynomial for the logarithm of the light, one for each channel."""

    middle: Floats
    radius: float
    coefficients: Floats
    """(terms, 3)"""
    spread: float
    """Typical residual, natural logarithm."""

    def at(self, points: Floats) -> Floats:
        """Return the light, (..., 3), at points (..., 2) in working px."""
        return np.exp(_terms((points - self.middle) / self.radius) @ self.coefficients)


def look(photo: Photo, found: Found) -> View:
    """Make the working copy and mark the squares in it."""
    import cv2

    height, width = photo.pixels.shape[:2]
    step = max(1, round(max(height, width) / WORKING_SIDE))
    size = (max(1, width // step), max(1, height // step))
    pixels = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    scale = size[0] / width
    free = np.full(pixels.shape[:2], 255, np.uint8)
    quads = np.array([square.corners for square in found.squares], np.float64) * scale
    centres = quads.mean(axis=1)
    for square, quad, centre in zip(found.squares, quads, centres, strict=True):
        grow = 1.0 + 2.0 * GROUND_MARGIN / max(square.width_in, 0.5)
        corners = centre + (quad - centre) * grow - 0.5
        cv2.fillConvexPoly(free, np.round(corners * 16).astype(np.int32), 0, shift=4)
    outside = cv2.distanceTransform(free, cv2.DIST_L2, 3)
    side = float(np.median(np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2)))
    return View(pixels, scale, np.asarray(outside, np.float32), centres, side)


def fit_ground(view: View) -> Smooth | None:
    """Fit the light to the ground near the squares; None where there is too little of it."""
    near = np.flatnonzero((view.outside > 0) & (view.outside < REACH * view.side))
    if len(near) < LEAST_SAMPLES:
        return None
    picked = near[:: max(1, len(near) // SAMPLES)]
    ys, xs = np.divmod(picked, view.pixels.shape[1])
    points = np.stack([xs, ys], axis=-1) + 0.5
    middle = view.centres.mean(axis=0)
    radius = float(max(np.abs(view.centres - middle).max(), view.side))
    logs = np.log(lab.srgb_to_linear(view.pixels[ys, xs]).astype(np.float64) + DARKEST)
    coefficients, spread = _robust(_terms((points - middle) / radius), logs)
    return Smooth(middle, radius, coefficients, spread)


def field_grid(smooth: Smooth, view: View, longer: int = GRID_SIDE) -> Floats:
    """Return the light, (rows, columns, 3), at the centres of cells that tile the photo."""
    height, width = view.pixels.shape[:2]
    rows = max(2, round(longer * height / max(height, width)))
    columns = max(2, round(longer * width / max(height, width)))
    xs = (np.arange(columns) + 0.5) * width / columns
    ys = (np.arange(rows) + 0.5) * height / rows
    return smooth.at(np.stack(np.meshgrid(xs, ys), axis=-1))


def _terms(points: Floats) -> Floats:
    x, y = points[..., 0], points[..., 1]
    powers = [(i, j) for i in range(DEGREE + 1) for j in range(DEGREE + 1 - i)]
    return np.stack([x**i * y**j for i, j in powers], axis=-1)


def _robust(terms: Floats, logs: Floats) -> tuple[Floats, float]:
    """Fit by least squares, reweighted first as Huber and then as Tukey (biweight) does."""
    weights = np.ones(len(logs))
    for turn in range(15):
        root = np.sqrt(weights)[:, None]
        coefficients = np.linalg.lstsq(terms * root, logs * root, rcond=None)[0]
        residual = np.sqrt(((logs - terms @ coefficients) ** 2).mean(axis=1))
        spread = max(1.2 * float(np.median(residual)), 0.03)
        if turn < 5:
            weights = 1.0 / np.maximum(residual / spread, 1.0)
        else:
            weights = np.clip(1.0 - (residual / (4.0 * spread)) ** 2, 0.0, None) ** 2
    return coefficients, spread
