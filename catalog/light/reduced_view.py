"""A smaller copy of the photo with its squares marked: all that the light is judged by."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.models import Found, Photo
from catalog.reference_page.printed_layout import layout_of

WORKING_SIDE_PX = 1500
"""Longer side of the working copy, px: a gap of 1/10 in. is still 2 px wide at 100 squares."""
GRID_CELLS = 500
"""Cells along the longer side of the grid on which shadows are looked for: 40 or more a square."""
MAX_DISTANCE = 1.0
"""How far outside the squares the ground still counts, in sides of a square."""
MAX_SURFACE_SAMPLES = 8_000
"""Ground pixels used."""
OUTLINE_MARGIN_IN = 0.08
"""Inches kept away from an outline on both sides: corners are good to 1/16 in., edges curl and
cast shadows."""


@dataclass(frozen=True, eq=False)
class ReducedView:
    """A smaller copy of the photo with its squares marked."""

    pixels: NDArray[np.uint8]
    """(height, width, 3), sRGB."""
    scale: float
    """Working pixels per pixel of the photo."""
    outside: NDArray[np.float32]
    """(height, width) distance to the nearest square, working px; 0 on squares and margins, and on
    a reference page."""
    inside: NDArray[np.uint16]
    """(height, width) 1 within the first square's margin, 2 the second's and so on; else 0."""
    centres: NDArray[np.float64]
    """(n, 2) of the squares, working px."""
    side: float
    """Median side of a square, working px."""
    inches: float
    """The same in inches."""
    tone: camera_response.CameraResponse = field(default_factory=camera_response.CameraResponse)
    """What the camera is taken to have made of linear light."""

    @cached_property
    def surface(self) -> NDArray[np.intp]:
        """Flat indices of ground near the squares, thinned out."""
        near = np.flatnonzero((self.outside > 0) & (self.outside < MAX_DISTANCE * self.side))
        return thinned(near, MAX_SURFACE_SAMPLES)

    @cached_property
    def grid_light(self) -> NDArray[np.float32]:
        """Linear light, (rows, columns, 3), on a grid of at most `GRID_CELLS` a side."""
        import cv2

        size = [max(2, round(px * self.grid_scale)) for px in self.pixels.shape[1::-1]]
        small = cv2.resize(self.pixels, size, interpolation=cv2.INTER_AREA)
        return self.tone.linear(np.asarray(small, np.uint8))

    @property
    def grid_scale(self) -> float:
        """Cells of that grid to a working px."""
        return float(min(1.0, GRID_CELLS / max(self.pixels.shape[:2])))

    def light_at(self, picked: NDArray[np.intp]) -> NDArray[np.float64]:
        """Return linear light, (n, 3), of pixels given by their flat index (n,)."""
        return self.tone.linear(self.pixels.reshape(-1, 3)[picked]).astype(np.float64)

    def points_at(self, picked: NDArray[np.intp]) -> NDArray[np.float64]:
        """Return the centres, (n, 2) x and y in working px, of pixels given by their flat index."""
        ys, xs = np.divmod(picked, self.pixels.shape[1])
        return np.stack([xs, ys], axis=-1) + 0.5


def reduce_photo(photo: Photo, found: Found) -> ReducedView:
    """Make the working copy and mark the squares in it."""
    import cv2

    height, width = photo.pixels.shape[:2]
    step = max(1, round(max(height, width) / WORKING_SIDE_PX))
    size = (max(1, width // step), max(1, height // step))
    pixels = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    scale = size[0] / width
    quads = np.array([square.corners for square in found.squares], np.float64) * scale
    free = np.full(pixels.shape[:2], 255, np.uint8)
    inside = np.zeros(pixels.shape[:2], np.uint16)
    widths = np.array([square.width_in for square in found.squares])
    share = 2.0 * OUTLINE_MARGIN_IN / np.maximum(widths, 8 * OUTLINE_MARGIN_IN)[:, None, None]
    outer, inner = _scaled(quads, 1.0 + share), _scaled(quads, 1.0 - share)
    for number, (beyond, within) in enumerate(zip(outer, inner, strict=True), start=1):
        cv2.fillConvexPoly(free, beyond, 0, shift=4)
        cv2.fillConvexPoly(inside, within, number, shift=4)
    outside = cv2.distanceTransform(free, cv2.DIST_L2, 3)
    if found.page is not None and found.page.placed:
        outline = layout_of(found.page.paper).outline
        cv2.fillConvexPoly(outside, _scaled(found.page.shown(outline) * scale, 1.0), 0.0, shift=4)
    side = float(np.median(np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2)))
    return ReducedView(
        np.asarray(pixels, np.uint8),
        scale,
        np.asarray(outside, np.float32),
        inside,
        quads.mean(axis=1),
        max(side, 1.0),
        float(np.median([max(square.width_in, 0.5) for square in found.squares])),
    )


def _scaled(quads: NDArray[np.float64], factor: NDArray[np.float64] | float) -> NDArray[np.int32]:
    """Scale quadrilaterals (..., 4, 2) about their middles, for OpenCV: sixteenths of pixels."""
    middle = quads.mean(axis=-2, keepdims=True)
    return np.asarray(np.round((middle + (quads - middle) * factor - 0.5) * 16), np.int32)


def thinned(picked: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    """Thin out flat indices evenly, to about ``most``."""
    return picked[:: max(1, len(picked) // most)]
