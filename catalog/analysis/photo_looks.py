"""What the squares of a photo look like, as two photos are compared by it."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.analysis.layout_alignment import Outlines
from catalog.analysis.single_photo import PhotoAnalysis
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring.print_features import COLOUR_QUANTILES, DIRECTIONS

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.intp]

MAX_SAME_PIECE_DE00: Final = 12.0
"""CIEDE2000 between two measurements of one piece, each in its photo's own light; over six sample
photos and warped views of them at most 6, hard shadows aside."""
MAX_PRINT_DIFFERENCE: Final = (0.8, 0.12)
"""CIELAB units by which the colours of one piece's print may differ, their means set equal, and
that share more for each unit of its spread; measured like `MAX_SAME_PIECE_DE00`: 0.4 at most."""
SMALL: Final = 48
"""Pixels of a picture in which prints are compared."""


class PhotoLooks:
    """What a photo's squares look like, n of them."""

    def __init__(self, looked: PhotoAnalysis) -> None:
        swatches = looked.swatches
        self.crops = looked.crops
        self.outlines = Outlines(
            np.array([one.square.corners for one in swatches], np.float64).reshape(-1, 4, 2)
        )
        self.colours = np.array([one.lab for one in swatches], np.float64).reshape(-1, 3)
        self.covered = np.array(["partly covered" in one.flags for one in swatches], np.bool_)
        terms = len(DIRECTIONS) * COLOUR_QUANTILES
        told = np.array([one.signature[:terms] for one in swatches], np.float64)
        told = told.reshape(-1, len(DIRECTIONS), COLOUR_QUANTILES)
        self.prints = told - told.mean(axis=2, keepdims=True)
        self.spread = self.prints[:, :3].std(axis=2).mean(axis=1)

        self._pictures: dict[int, Floats] = {}

    def picture(self, place: int) -> Floats:
        """Return CIELAB, (48, 48, 3), of a square."""
        if place not in self._pictures:
            self._pictures[place] = _small(self.crops[place])
        return self._pictures[place]


def _small(crop: bytes) -> Floats:
    import cv2

    pixels = cv2.imdecode(np.frombuffer(crop, np.uint8), cv2.IMREAD_COLOR_RGB)
    linear = lab.srgb_to_linear(np.asarray(pixels, np.uint8))
    small = cv2.resize(linear, (SMALL, SMALL), interpolation=cv2.INTER_AREA)
    return np.asarray(lab.linear_to_lab(small), np.float64)


def squares_alike(one: PhotoLooks, two: PhotoLooks) -> Flags:
    """Tell which squares, (n, m), may be one piece of cloth by colour and print."""
    alike = ciede2000(one.colours[:, None], two.colours) < MAX_SAME_PIECE_DE00
    near = np.nonzero(alike)
    alike[near] = prints_alike(one, two, *near)
    return alike


def prints_alike(one: PhotoLooks, two: PhotoLooks, first: Numbers, second: Numbers) -> Flags:
    """Tell which squares (k,) may be of one print by its colours, their means set equal."""
    unlike = np.abs(two.prints[second] - one.prints[first]).mean(axis=(1, 2))
    return prints_agree(unlike, np.minimum(one.spread[first], two.spread[second]))


def prints_agree(unlike: Floats, weaker: Floats) -> Flags:
    """Tell which prints agree that differ by so much, by the weaker spread of both."""
    return np.asarray(unlike < MAX_PRINT_DIFFERENCE[0] * (1.0 + MAX_PRINT_DIFFERENCE[1] * weaker))
