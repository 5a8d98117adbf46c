"""The marks: eight of the open family tag36h11, as OpenCV carries it.

Olson, "AprilTag: A robust and flexible visual fiducial system", ICRA 2011; any two of its 587 marks
differ, in any turn, in 11 of their 36 cells at least. Only our eight are looked for, which takes a
fifth of the time that all of them do, and makes mistakes rarer.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from catalog.reference_page.printed_layout import FIRST_MARK, LAYOUTS

if TYPE_CHECKING:
    import cv2

CELLS: Final = 6
"""Cells along the side of a mark, its border aside."""
MAX_WRONG_CELLS: Final = 5
"""Cells that may be misread and the mark still be known: half of the least difference."""
_FIRST: Final = min(FIRST_MARK.values())


def mark_picture(number: int, side_px: int) -> NDArray[np.uint8]:
    """Return a mark with its black border, (side_px, side_px): 0 and 255."""
    import cv2

    return np.asarray(cv2.aruco.generateImageMarker(_whole_family(), number, side_px), np.uint8)


@cache
def our_marks() -> cv2.aruco.Dictionary:
    """Return the family of our marks alone; the first of them is its number 0."""
    import cv2

    last = max(layout.numbers[-1] for layout in LAYOUTS)
    ours = np.ascontiguousarray(_whole_family().bytesList[_FIRST : last + 1])
    return cv2.aruco.Dictionary(ours, CELLS, MAX_WRONG_CELLS)


def number_of(found: int) -> int:
    """Return a mark's number in the whole family from that among our marks."""
    return found + _FIRST


def _whole_family() -> cv2.aruco.Dictionary:
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36H11)
