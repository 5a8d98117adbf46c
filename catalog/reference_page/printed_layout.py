"""What stands where on the reference page; millimetres from the paper's upper left corner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models import Paper

Points = NDArray[np.float64]
Box = tuple[float, float, float, float]
"""Left, top, width and height."""

MARK_MM: Final = 40.0
"""Side of a mark, its black border included: eight cells, which in a photo 55 inches wide show 5 px
each on a copy 1,500 px wide."""
MARK_CELLS: Final = 8
MARGIN_MM: Final = 12.0
"""White left round all that is printed: home printers leave 5 mm and more blank (common practice),
and a mark needs a cell's width of white round it."""
GAP_MM: Final = 6.0
PATCH_MM: Final = 22.0
FIRST_MARK: Final = {"A4": 40, "Letter": 44}
"""Number of the upper left mark in the family tag36h11; the others follow clockwise."""
PAPER_MM: Final[dict[Paper, tuple[float, float]]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""ISO 216 and ANSI/ASME Y14.1."""
BAR_MM: Final[dict[Paper, float]] = {"A4": 150.0, "Letter": 152.4}
"""15 cm, and 6 inches."""
BAR_HIGH_MM: Final = 5.0
GREY_INK: Final = 0.5
"""How dark the two grey patches are printed, 0 for paper, 1 for all the ink there is."""
UNIT_SQUARE: Final = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


@dataclass(frozen=True)
class PrintedLayout:
    """The page on one kind of paper."""

    paper: Paper

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper."""
        return PAPER_MM[self.paper]

    @property
    def numbers(self) -> tuple[int, ...]:
        """The marks' numbers in their family, clockwise from the upper left one."""
        first = FIRST_MARK[self.paper]
        return tuple(range(first, first + 4))

    @property
    def marks(self) -> tuple[Box, ...]:
        """Of the four marks, in the order of `numbers`."""
        left, top = MARGIN_MM, MARGIN_MM
        right, low = (length - MARGIN_MM - MARK_MM for length in self.size)
        places = ((left, top), (right, top), (right, low), (left, low))
        return tuple((x, y, MARK_MM, MARK_MM) for x, y in places)

    @property
    def field(self) -> Box:
        """The part that stays empty."""
        top = MARGIN_MM + MARK_MM + PATCH_MM + 3 * GAP_MM
        low = self.bar[1] - 3 * GAP_MM
        return (MARGIN_MM, top, self.size[0] - 2 * MARGIN_MM, low - top)

    @property
    def bar(self) -> Box:
        """The bar that is measured."""
        long = BAR_MM[self.paper]
        top = self._lower_patches - GAP_MM - 13.0 - BAR_HIGH_MM
        return ((self.size[0] - long) / 2.0, top, long, BAR_HIGH_MM)

    @property
    def black(self) -> Box:
        """The patch of solid black."""
        return (self.size[0] - MARGIN_MM - PATCH_MM, self._upper_patches, PATCH_MM, PATCH_MM)

    @property
    def greys(self) -> tuple[Box, Box]:
        """The two patches of one grey, far from each other."""
        upper = (MARGIN_MM, self._upper_patches, PATCH_MM, PATCH_MM)
        right = self.size[0] - MARGIN_MM - PATCH_MM
        return upper, (right, self._lower_patches, PATCH_MM, PATCH_MM)

    @property
    def _upper_patches(self) -> float:
        return MARGIN_MM + MARK_MM + GAP_MM

    @property
    def _lower_patches(self) -> float:
        return self.size[1] - MARGIN_MM - MARK_MM - GAP_MM - PATCH_MM

    @property
    def outline(self) -> Points:
        """Corners of the paper, (4, 2)."""
        return corners_of((0.0, 0.0, *self.size))


def corners_of(box: Box) -> Points:
    """Return a box's corners, (4, 2), clockwise from the upper left one."""
    left, top, wide, high = box
    return np.asarray((left, top) + UNIT_SQUARE * (wide, high))


LAYOUTS: Final = (PrintedLayout("A4"), PrintedLayout("Letter"))


def layout_of(paper: Paper) -> PrintedLayout:
    """Return the page as it is on a kind of paper."""
    return next(one for one in LAYOUTS if one.paper == paper)
