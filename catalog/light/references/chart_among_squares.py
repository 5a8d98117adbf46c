"""A colour chart whose patches were taken for squares."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.references.chart_fit import PLACES
from catalog.light.references.chart_reading import Chart, find_chart
from catalog.light.references.flat_patches import FlatPatch
from catalog.light.references.patch_grid import COLUMNS, MAX_PATCHES, MIN_PATCHES, ROWS
from catalog.models import Found, Photo
from catalog.system.one_thread import on_one_thread

Floats = NDArray[np.float64]

MAX_PATCH_SPREAD = 9.0
"""Standard deviation, of 255, up to which a square may be a patch of a chart; those of the charts
at hand have 5.3 at worst."""
MIN_FLAT_SHARE = 0.5
"""Share of the squares that has to be flat: patches are of one size, and so are squares, so that
what is found is mostly the one or mostly the other."""
SAMPLE_PLACES = np.linspace(0.2, 0.8, 7)
"""Where a square is read, in shares of its sides."""
CHART_RIM_STEPS = 0.6
"""How far beyond the middles of the outer patches a chart reaches, in steps of its grid."""


@on_one_thread
def without_chart(photo: Photo, found: Found) -> Found:
    """Leave out the squares that are patches of a colour chart.

    Parameters
    ----------
    photo : Photo
    found : Found
        Its squares.

    Returns
    -------
    Found
        Without those whose middles lie on a chart, their number told as ``chart_patches``; the
        same object where there is no chart among the squares.
    """
    patches = _flat_squares(photo, found)
    if not max(MIN_PATCHES, MIN_FLAT_SHARE * len(found.squares)) <= len(patches) <= MAX_PATCHES:
        return found
    free = np.broadcast_to(np.True_, photo.pixels.shape[:2])
    chart = find_chart(photo.pixels, patches, free)
    if chart is None:
        return found
    kept = [one for one in found.squares if not _lies_on(chart, np.mean(one.corners, axis=0))]
    return replace(found, squares=tuple(kept), chart_patches=len(found.squares) - len(kept))


def _flat_squares(photo: Photo, found: Found) -> list[FlatPatch]:
    """Return the squares of one even colour as patches."""
    if not found.squares:
        return []
    quads = np.array([square.corners for square in found.squares], np.float64)
    across, down = (part[..., None] for part in np.meshgrid(SAMPLE_PLACES, SAMPLE_PLACES))
    sides = [quads[:, None, None, corner] for corner in range(4)]
    above = sides[0] + across * (sides[1] - sides[0])
    below = sides[3] + across * (sides[2] - sides[3])
    points = (above + down * (below - above)).astype(np.intp)
    height, width = photo.pixels.shape[:2]
    xs, ys = np.clip(points[..., 0], 0, width - 1), np.clip(points[..., 1], 0, height - 1)
    seen = photo.pixels[ys, xs].reshape(len(quads), -1, 3).astype(np.float64)
    spread = seen.std(axis=1).mean(axis=1)
    steps = np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2)
    middles = quads.mean(axis=1)
    return [
        FlatPatch(
            (float(middles[i, 0]), float(middles[i, 1])),
            float(steps[i].mean() ** 2),
            quads[i],
            1.0,
            seen[i].mean(axis=0),
            0.0,
        )
        for i in np.flatnonzero(spread <= MAX_PATCH_SPREAD)
    ]


def _lies_on(chart: Chart, point: Floats) -> bool:
    import cv2

    to_places, _ = cv2.findHomography(chart.centres, PLACES, 0)
    column, row = cv2.perspectiveTransform(point.reshape(1, 1, 2), to_places)[0, 0]
    return bool(
        -CHART_RIM_STEPS <= column <= COLUMNS - 1 + CHART_RIM_STEPS
        and -CHART_RIM_STEPS <= row <= ROWS - 1 + CHART_RIM_STEPS
    )
