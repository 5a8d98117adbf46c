"""A 24-patch colour chart beside the squares: found, turned the right way, read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.colour.ciede2000 import ciede2000
from catalog.light.references.chart_fit import CLIPPED_LEVELS, PLACES, editions
from catalog.light.references.flat_patches import FlatPatch
from catalog.light.references.patch_grid import COLUMNS, ROWS, grids, mapped

Floats = NDArray[np.float64]

READING_REACH = 0.2
"""How far from its middle a patch is read, in steps of the grid: patches fill 0.8 of a step."""
MAX_CHART_ERROR = 11.0
"""CIEDE2000 by which a grid's colours may be off, median, once a gain and mixing of channels fits
them best. The five charts at hand have 2.3 to 7.8 the right way round and 18 and more any other
way; measured on them with the curve of the usual phone."""
EVEN, FULL = 9.0, 0.9
"""Greatest standard deviation of a patch's pixels, of 255, and least share of its quadrilateral
that it fills; those of the charts at hand have 6.6 and 0.97 at worst."""
_STEPS = np.linspace(-READING_REACH, READING_REACH, 5)


@dataclass(frozen=True, eq=False)
class Chart:
    """A chart as the photo shows it."""

    pixels: Floats
    """(24, 3) the patches' colours, sRGB 0 to 255, row by row from "dark skin"."""
    centres: Floats
    """(24, 2) working px."""
    good: NDArray[np.bool_]
    """(24,) neither clipped nor covered."""


def find_chart(
    pixels: NDArray[np.uint8], patches: Sequence[FlatPatch], free: NDArray[np.bool_]
) -> Chart | None:
    """Find a chart among flat patches by their lattice and tell its turn by its colours.

    Parameters
    ----------
    pixels : (height, width, 3) uint8
    patches : sequence of FlatPatch
    free : (height, width) bool
        Where no square lies.

    Returns
    -------
    Chart or None
    """
    best, least = None, MAX_CHART_ERROR
    clean = [one for one in patches if one.spread <= EVEN and FULL < one.full < 1.0 / FULL]
    for grid in grids(clean):
        chart = _read(pixels, free, grid)
        if chart is None:
            continue
        unlike = _unlike(chart)
        if unlike < least:
            best, least = chart, unlike
    return best


def _read(pixels: NDArray[np.uint8], free: NDArray[np.bool_], grid: Floats) -> Chart | None:
    around = np.stack(np.meshgrid(_STEPS, _STEPS), axis=-1).reshape(-1, 2)
    points = mapped(grid, (PLACES[:, None] + around).reshape(-1, 2))
    height, width = pixels.shape[:2]
    xs, ys = np.floor(points).astype(np.intp).T
    inside = (xs >= 0) & (ys >= 0) & (xs < width) & (ys < height)
    if inside.mean() < 0.9:
        return None
    xs, ys = np.clip(xs, 0, width - 1), np.clip(ys, 0, height - 1)
    seen = pixels[ys, xs].reshape(ROWS * COLUMNS, -1, 3).astype(np.float64)
    shown = (inside & free[ys, xs]).reshape(ROWS * COLUMNS, -1).mean(axis=1) > 0.9
    colours = np.median(seen, axis=1)
    even = (seen.std(axis=1) < 12.0).all(axis=1)
    unclipped = (colours > CLIPPED_LEVELS[0]).all(axis=1) & (colours < CLIPPED_LEVELS[1]).all(
        axis=1
    )
    good = shown & even & unclipped
    return Chart(colours, mapped(grid, PLACES), good) if good.sum() >= 12 else None


def _unlike(chart: Chart) -> float:
    """Return how far the chart's colours are off, median CIEDE2000, after the best mixing."""
    seen = camera_response.to_linear(np.round(chart.pixels).astype(np.uint8)).astype(np.float64)[
        chart.good
    ]
    true = lab.lab_to_linear(editions()["average"])[chart.good]
    weight = 1.0 / (true @ camera_response.LUMA + 0.05)
    left = (seen * weight[:, None]).T
    mixing = np.linalg.solve(
        left @ seen + 0.01 * np.trace(left @ seen) * np.eye(3) / 3, left @ true
    )
    return float(np.median(ciede2000(lab.linear_to_lab(seen @ mixing), lab.linear_to_lab(true))))
