"""A square's print: its colours in the hand and at the wall, and how it is built."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.measuring.print_looks import look_of
from catalog.measuring.print_palettes import colours_of
from catalog.measuring.print_patches import PRINT_PX
from catalog.measuring.seen_from_wall import seen_from_wall
from catalog.models import Palette, PrintLook

Floats = NDArray[np.float32]


WITHOUT_GROUND: Final = ("stripe", "check")
"""Kinds of print in which no colour lies behind the others."""


@dataclass(frozen=True, eq=False)
class SquareCloth:
    """A square laid flat."""

    even: Floats
    """(side, side, 3) linear light."""
    shown: Floats
    """(side, side) 0 where it isn't the square's cloth."""
    fine: Floats
    """(`PRINT_PX`, `PRINT_PX`, 3) linear light."""


@dataclass(frozen=True)
class SquarePrint:
    """What is told of a square's print."""

    palette: Palette
    palette_at_wall: Palette
    look: PrintLook


def read_print(cloth: SquareCloth, width_in: float, *, plain: bool) -> SquarePrint:
    """Tell a square's print.

    Parameters
    ----------
    cloth : SquareCloth
        The square laid flat.
    width_in : float
        Inches of cloth along a side.
    plain : bool
        Whether its colours spread no more than those of a plain.
    """
    import cv2

    seen = cloth.shown > 0
    fine_seen = cv2.resize(cloth.shown, (PRINT_PX, PRINT_PX), interpolation=cv2.INTER_NEAREST) > 0
    fine = lab_planes(cloth.fine)
    told = colours_of(fine, fine_seen)
    look = look_of(fine, fine_seen, told, width_in, plain=plain)
    if len(told.palette) == 1:
        return SquarePrint(told.palette, told.palette, look)
    far = colours_of(lab_planes(seen_from_wall(cloth.even, seen, width_in)), seen)
    if look.motif in WITHOUT_GROUND:
        told, far = told.without_ground(), far.without_ground()
    return SquarePrint(told.palette, far.palette, look)


def lab_planes(linear: Floats) -> Floats:
    """Return L*, a* and b*, (3, side, side), of linear light (side, side, 3)."""
    return np.ascontiguousarray(lab.many_pixels_to_lab(linear).transpose(2, 0, 1))
