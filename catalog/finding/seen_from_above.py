"""A strongly tilted photo, looked at as if from above.

The detector has learnt from cameras that were tilted by up to 35 degrees (`training/view.py`).
Beyond that it takes rows that are foreshortened for rows that lie over one another, and draws their
squares down into the next row, further than edges are looked for. The tilt itself is told well
even so, to 3 degrees of 42; and in the plane, laid flat by it, squares look as it knows them.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.detector import HEIGHT, MIN_REDUCTION, WIDTH, Detections, detect
from catalog.finding.shared_plane import Plane
from catalog.image_pyramid import image_pyramid, smallest_of
from catalog.models import within

STRONG_TILT = float(np.radians(36.0))
"""What the detector has learnt, and a degree by which a tilt may be misjudged."""
MARGIN = 1.5
"""Sides round the squares that are shown with them."""
BEYOND = (127.0, 127.0, 127.0)
"""What the detector sees beside a photo."""


def is_strongly_tilted(plane: Plane) -> bool:
    """Whether a plane is seen further from aside than the detector knows."""
    return plane.tilt() > STRONG_TILT


def detect_from_above(
    levels: Sequence[NDArray[np.uint8]], plane: Plane, known: Detections
) -> Detections:
    """Look at squares in a photo's plane laid flat.

    Parameters
    ----------
    levels : sequence of (height, width, 3) uint8
        The photo, RGB, then halves of it.
    plane : Plane
        As it is known so far.
    known : Detections
        What was seen from aside. What wasn't is no square from above either: there the checks of
        a cloth on the table look like squares.
    """
    corners = plane.to_plane(known.quads)
    low = corners.min(axis=(0, 1)) - MARGIN
    size = corners.max(axis=(0, 1)) + MARGIN - low
    whole = MIN_REDUCTION * np.array([WIDTH, HEIGHT])
    scale = float((np.sort(whole) / np.sort(size)).min())
    view = _laid_flat(levels, plane, low, np.ceil(size * scale).astype(int), scale)
    seen = detect(image_pyramid(view))
    quads = plane.to_photo(seen.quads / scale + low)
    again = within(quads.mean(axis=1), known.quads).any(axis=0)
    return Detections(quads[again], seen.scores[again])


def _laid_flat(
    levels: Sequence[NDArray[np.uint8]],
    plane: Plane,
    low: NDArray[np.float64],
    size: NDArray[np.int64],
    scale: float,
) -> NDArray[np.uint8]:
    """Part of the plane, width and height in px of which there are so many to a side."""
    level = smallest_of(levels, MIN_REDUCTION * size.max())
    across, down = (np.arange(length) + 0.5 for length in size)
    places = np.stack(np.meshgrid(across, down), axis=-1) / scale + low
    there = plane.to_photo(places) * (level.shape[1] / levels[0].shape[1]) - 0.5
    x, y = there.astype(np.float32).transpose(2, 0, 1)
    view = cv2.remap(level, x, y, cv2.INTER_LINEAR, borderValue=BEYOND)
    return np.asarray(view, np.uint8)
