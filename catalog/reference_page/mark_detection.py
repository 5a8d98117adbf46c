"""Where a photo shows the reference page: its marks found, put together and located exactly."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.image_pyramid import smallest_of
from catalog.models import SeenPage
from catalog.reference_page.printed_layout import (
    LAYOUTS,
    MARK_CELLS,
    PrintedLayout,
    corners_of,
)
from catalog.reference_page.tag_family import number_of, our_marks

Floats = NDArray[np.float64]
Grey = NDArray[np.uint8]

SEARCH_SIDE_PX: Final = 1500
"""Longer side of the copy that is searched, px: see `MARK_MM` in `printed_layout`."""
MIN_MARK_PX: Final = 20.0
"""Side of a mark, px of that copy, at least: two and a half to a cell."""
THRESHOLD_WINDOWS: Final = (9, 33, 12)
"""Least and greatest side, and step, of the windows over which dark is told from light, px."""
STRICT_CORRECTION: Final = 0.2
"""Share of `MAX_WRONG_CELLS` that a mark which stands alone may have wrong: one cell. By chance a
dark square passes for such a mark once in 60 million times, for others once in 300,000."""
MAX_MISPLACED: Final = 0.5
"""How far a mark's middle may lie from where another one foretells it, in sides of a mark: a
homography from one mark alone is good to about a tenth of one across the page."""
MAX_MISFIT: Final = 0.1
"""How far, in sides of a mark (4 mm), corners may lie from where the page as a whole has them."""
REFINE_CELLS: Final = 0.4
"""Reach of the search for a corner's exact place, in cells of a mark."""


def find_page(levels: Sequence[NDArray[np.uint8]]) -> SeenPage | None:
    """Look for the reference page in a photo.

    Parameters
    ----------
    levels : sequence of (height, width, 3) uint8
        The photo, RGB and upright, then halves of it (`catalog.image_pyramid`).

    Returns
    -------
    SeenPage or None
        The page of which most marks are seen, turned however it may lie; with a single mark where
        no two stand to each other as they are printed; None where there is none.
    """
    pixels = levels[0]
    step = max(1, round(max(pixels.shape[:2]) / SEARCH_SIDE_PX))
    size = (max(1, pixels.shape[1] // step), max(1, pixels.shape[0] // step))
    grey = _searched(levels, size)
    numbers, quads = _marks_in(grey)
    best = _together(numbers, quads)
    if len(best) == 1:
        numbers, quads = _marks_in(grey, STRICT_CORRECTION)
        best = _together(numbers, quads)
    if not best:
        return None
    layout = _layout_with(numbers[best[0]])
    places = [layout.numbers.index(numbers[one]) for one in best]
    marks = quads[best] * np.array([pixels.shape[1] / size[0], pixels.shape[0] / size[1]])
    if step > 1:
        marks = _refined(pixels, marks)
    printed = np.array([corners_of(layout.marks[place]) for place in places])
    return _located(layout, marks, printed)


def _searched(levels: Sequence[NDArray[np.uint8]], size: tuple[int, int]) -> Grey:
    """Return the photo in grey at a size, from the level next larger: less than half is lost."""
    import cv2

    grey = cv2.cvtColor(smallest_of(levels, max(size)), cv2.COLOR_RGB2GRAY)
    if grey.shape[::-1] != size:
        grey = cv2.resize(grey, size, interpolation=cv2.INTER_LINEAR)
    return np.asarray(grey, np.uint8)


def _marks_in(grey: Grey, correction: float = 0.6) -> tuple[list[int], Floats]:
    """Return the numbers and corners, (n, 4, 2), of our marks; (0, 0) is a corner of a pixel."""
    import cv2

    search = cv2.aruco.DetectorParameters()
    search.adaptiveThreshWinSizeMin, search.adaptiveThreshWinSizeMax = THRESHOLD_WINDOWS[:2]
    search.adaptiveThreshWinSizeStep = THRESHOLD_WINDOWS[2]
    search.minMarkerPerimeterRate = 4.0 * MIN_MARK_PX / max(grey.shape)
    search.errorCorrectionRate = correction
    search.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    quads, found, _ = cv2.aruco.ArucoDetector(our_marks(), search).detectMarkers(grey)
    if found is None or not len(quads):
        return [], np.zeros((0, 4, 2))
    numbers = [number_of(int(one)) for one in np.ravel(found)]
    corners = np.array(quads, np.float64).reshape(-1, 4, 2) + 0.5
    order = np.lexsort((corners[:, 0, 0], corners[:, 0, 1], np.array(numbers)))
    return [numbers[one] for one in order], corners[order]


def _together(numbers: list[int], quads: Floats) -> list[int]:
    """Return which marks are one page: the most that agree."""
    agreeing = [
        _agreeing(_layout_with(number), seed, numbers, quads) for seed, number in enumerate(numbers)
    ]
    return max(agreeing, key=len, default=[])


def _layout_with(number: int) -> PrintedLayout:
    return next(layout for layout in LAYOUTS if number in layout.numbers)


def _agreeing(layout: PrintedLayout, seed: int, numbers: list[int], quads: Floats) -> list[int]:
    """Return which marks lie where one of them foretells them; the nearest where one is twice."""
    import cv2

    boxes = dict(zip(layout.numbers, layout.marks, strict=True))
    to_page = cv2.getPerspectiveTransform(
        quads[seed].astype(np.float32), corners_of(boxes[numbers[seed]]).astype(np.float32)
    )
    away: dict[int, tuple[float, int]] = {}
    for index, number in enumerate(numbers):
        if number not in boxes:
            continue
        flat = cv2.perspectiveTransform(quads[index][None], to_page)[0]
        off = np.linalg.norm(flat - corners_of(boxes[number]), axis=1).mean() / boxes[number][2]
        if off < MAX_MISPLACED:
            away[number] = min(away.get(number, (np.inf, -1)), (float(off), index))
    return [away[number][1] for number in layout.numbers if number in away]


def _refined(pixels: NDArray[np.uint8], marks: Floats) -> Floats:
    """Return the corners as the photo's own pixels show them."""
    import cv2

    found = []
    for mark in marks:
        side = float(np.linalg.norm(mark - np.roll(mark, 1, axis=0), axis=1).mean())
        reach = max(2, round(REFINE_CELLS * side / MARK_CELLS))
        low = np.maximum(np.floor(mark.min(axis=0)).astype(int) - 3 * reach, 0)
        high = np.ceil(mark.max(axis=0)).astype(int) + 3 * reach
        part = cv2.cvtColor(pixels[low[1] : high[1], low[0] : high[0]], cv2.COLOR_RGB2GRAY)
        corners = np.ascontiguousarray((mark - low - 0.5)[:, None], np.float32)
        stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.01)
        better = cv2.cornerSubPix(part, corners, (reach, reach), (-1, -1), stop)
        found.append(better[:, 0] + low + 0.5)
    return np.array(found, np.float64)


def _located(layout: PrintedLayout, marks: Floats, printed: Floats) -> SeenPage | None:
    """Return the page, unless its marks don't fit each other on one flat sheet."""
    import cv2

    to_photo, _ = cv2.findHomography(printed.reshape(-1, 2), marks.reshape(-1, 2), 0)
    if to_photo is None or not np.isfinite(to_photo).all():
        return None
    page = SeenPage(layout.paper, marks, printed, np.asarray(to_photo, np.float64))
    side = np.linalg.norm(marks - np.roll(marks, 1, axis=1), axis=2).mean()
    off = np.linalg.norm(page.shown(printed) - marks, axis=2).max()
    return page if off <= MAX_MISFIT * side else None
