"""A reference page beside the squares: no square itself, and a rule laid into their plane."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.finding.detector import Detections
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import KnownPoints, Plane
from catalog.models import SeenPage
from catalog.reference_page.mark_detection import find_page
from catalog.reference_page.paper_edges import stretch_by_edges
from catalog.reference_page.printed_layout import BAR_MM, corners_of, layout_of

Array = NDArray[np.float64]

MM_PER_INCH: Final = 25.4
PAGE_ERROR_IN: Final = 0.06
"""Usual error of a mark's corner in the squares' plane, inches: paper bulges by some hundredths.
With half as much a fold in the page bends the plane of thirty squares; with twice as much sizes are
no nearer on the scenes in `catalog/reference_page/README.md`."""
MAX_EDGE_ERROR: Final = 0.015
"""Part by which a size told by the edges of the paper may be off: ISO 216 allows 2 mm of 210, and a
shadow beside the paper passes for paper by up to half a millimetre."""
PRINTER_DOUBT: Final = 0.003
"""Part by which printers miss the size that they are told to print (common practice)."""

MIN_SQUARES: Final = 6
"""Squares that tell the plane beside them, too: by fewer a fold in the page isn't noticed."""
SQUARES_ERROR: Final = 0.01
"""Usual error of a square's corner, in sides (see `CORNER_ERROR` in `edges.corner_refinement`)."""
MARK_ERROR: Final = 0.01
"""Part by which the size of a single mark is misread: half a pixel of sixty."""
MAX_SCALE_DOUBT: Final = 0.0125
"""Doubt beyond which the page says nothing of sizes: 1/16 in of a square of 5 in."""


def page_as_printed(levels: Sequence[NDArray[np.uint8]], bar_in: float | None) -> SeenPage | None:
    """Look for the page, and tell how large it was printed.

    Parameters
    ----------
    levels : sequence of (height, width, 3) uint8
        The photo, then halves of it.
    bar_in : float, optional
        What the bar on the page measures, inches; else the edges of its paper tell, where they
        contradict what was drawn beyond doubt.
    """
    page = find_page(levels)
    if page is None or not page.placed:
        return page
    by_edges = stretch_by_edges(levels[0], page)
    stretch = 1.0
    if bar_in is not None:
        stretch = bar_in * MM_PER_INCH / BAR_MM[page.paper]
    elif by_edges is not None and abs(by_edges - 1.0) > MAX_EDGE_ERROR:
        stretch = by_edges
    return replace(page, stretch=stretch, by_edges=by_edges)


def known_points(page: SeenPage | None) -> KnownPoints | None:
    """Return the marks' corners, px, and where they lie on the paper, inches."""
    if page is None or not page.placed:
        return None
    inches = page.printed * (page.stretch / MM_PER_INCH)
    return KnownPoints(page.marks.reshape(-1, 2), inches.reshape(-1, 2), PAGE_ERROR_IN)


def inches_borne_out(
    plane: Plane, quads: Array, weight: Array, page: SeenPage
) -> tuple[float, float]:
    """Return what the plane's unit is in inches, and the part by which that may be off.

    Where there are squares enough to tell the plane without the page, they must bear it out: a
    sheet with a fold in it would bend the plane to itself.

    Parameters
    ----------
    plane : Plane
        Fitted to squares and page.
    quads : (n, 4, 2)
        The squares, px.
    weight : (n, 4)
        How well each corner is known, 0 to 1.
    page : SeenPage
    """
    inches, doubt = inches_of(plane, page)
    if len(quads) < MIN_SQUARES:
        return inches, doubt
    shape = (round(2 * plane.middle[1]), round(2 * plane.middle[0]))
    alone = fit_plane(quads, weight, shape, SQUARES_ERROR, replace(plane, known=None))
    by_squares, apart = inches_of(alone, page)
    return inches, max(doubt, apart, abs(by_squares / inches - 1.0))


def inches_of(plane: Plane, page: SeenPage) -> tuple[float, float]:
    """Return what the plane's unit is in inches, and the part by which that may be off.

    The doubt is that of the printer, of how the distances between marks, two by two, disagree (the
    range: a fold shortens those one way and leaves the others), and of how they disagree with the
    marks' own sizes: a sheet that isn't flat draws them together.
    """
    seen, there = plane.to_plane(page.marks), page.printed * (page.stretch / MM_PER_INCH)
    apart, inches = (_distances(corners.mean(axis=1)) for corners in (seen, there))
    own, drawn = (_sides(corners) for corners in (seen, there))
    together = inches.sum() / apart.sum()
    alone = float(np.median(drawn / own)) / together - 1.0
    doubts = (PRINTER_DOUBT, np.ptp(inches / apart) / together, max(0.0, abs(alone) - MARK_ERROR))
    return float(together), float(np.linalg.norm(doubts))


def _distances(points: Array) -> Array:
    """Return the distances between points (n, 2), two by two."""
    one, two = np.triu_indices(len(points), 1)
    return np.asarray(np.linalg.norm(points[one] - points[two], axis=1))


def _sides(quads: Array) -> Array:
    """Return the mean side, (n,), of quadrilaterals."""
    return np.asarray(np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2).mean(axis=1))


def outline_px(page: SeenPage | None) -> Array:
    """Return the paper's outline in px as quadrilaterals, (0 or 1, 4, 2)."""
    if page is None or not page.placed:
        return np.zeros((0, 4, 2))
    return page.shown(layout_of(page.paper).outline)[None]


def on_page(quads: Array, page: SeenPage | None) -> NDArray[np.bool_]:
    """Which quadrilaterals (n, 4, 2), px, are the page or a part of it.

    Those in which a mark is seen, and those whose middle lies on its paper; but one that lies over
    a mark that isn't seen is something on the page, such as a square that covers its corner.
    """
    inside = np.zeros(len(quads), bool)
    if page is None:
        return inside
    layout = layout_of(page.paper)
    seen = {tuple(corners[0]) for corners in page.printed}
    hidden = [
        page.shown(corners.mean(axis=0))
        for corners in map(corners_of, layout.marks)
        if tuple(corners[0]) not in seen
    ]
    marks = page.marks.mean(axis=1)
    for index, quad in enumerate(quads):
        part = any(_holds(outline, quad.mean(axis=0)) for outline in outline_px(page))
        part = part and not any(_holds(quad, one) for one in hidden)
        inside[index] = part or any(_holds(quad, one) for one in marks)
    return inside


def without_page(found: Detections, page: SeenPage | None) -> Detections:
    """Leave out what the detector took for squares on the page."""
    keep = ~on_page(found.quads, page)
    return replace(found, quads=found.quads[keep], scores=found.scores[keep])


def _holds(quad: Array, point: Array) -> bool:
    import cv2

    return (
        cv2.pointPolygonTest(quad.astype(np.float32)[:, None], tuple(map(float, point)), False) > 0
    )
