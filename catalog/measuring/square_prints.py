"""A square's print: its colours in the hand and at the wall, how it is built, its fabric's look."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.measuring.fabric_looks import cloth_px, fabric_looks
from catalog.measuring.print_looks import look_of
from catalog.measuring.print_palettes import colours_of
from catalog.measuring.print_patches import PRINT_PX, print_patch
from catalog.measuring.rectified_patches import cloth_shown_in
from catalog.measuring.seen_from_wall import seen_from_wall
from catalog.models import Light, Palette, Photo, PrintLook, Square

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
    white: Floats
    """(side, side, 3) what a white thing would show there."""


@dataclass(frozen=True)
class SquarePrint:
    """What is told of a square's print."""

    palette: Palette
    palette_at_wall: Palette
    look: PrintLook
    fabric: Floats
    """(65,) what the fabric network says of it."""


def read_print(
    photo: Photo, square: Square, light: Light, cloth: SquareCloth, *, plain: bool
) -> SquarePrint:
    """Tell a square's print.

    Parameters
    ----------
    photo, square, light
        The picture, the square and the photo's light.
    cloth : SquareCloth
        The square laid flat, coarsely.
    plain : bool
        Whether its colours spread no more than those of a plain.
    """
    import cv2

    seen, width_in = cloth.shown > 0, cloth_shown_in(square)
    fine_seen = cv2.resize(cloth.shown, (PRINT_PX, PRINT_PX), interpolation=cv2.INTER_NEAREST) > 0
    even = print_patch(photo, square, light, cloth.white)
    fine = lab.many_pixels_to_lab(even)
    told = colours_of(fine, fine_seen)
    look = look_of(fine, fine_seen, told, width_in, plain=plain)
    px = cloth_px(width_in)
    finer = print_patch(photo, square, light, cloth.white, px) if px > PRINT_PX else even
    fabric = fabric_looks(finer, cloth.shown, width_in)
    if len(told.palette) == 1:
        return SquarePrint(told.palette, told.palette, look, fabric)
    far = colours_of(lab.many_pixels_to_lab(seen_from_wall(cloth.even, seen, width_in)), seen)
    if look.motif in WITHOUT_GROUND:
        told, far = told.without_ground(), far.without_ground()
    return SquarePrint(told.palette, far.palette, look, fabric)
