"""A square's print: its colours in the hand and at the wall, and how it is built."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.measuring.print_looks import look_of
from catalog.measuring.print_palettes import palette_of
from catalog.measuring.print_patches import PRINT_PX, print_patch
from catalog.measuring.rectified_patches import cloth_shown_in
from catalog.measuring.seen_from_wall import seen_from_wall
from catalog.models import Light, Palette, Photo, PrintLook, Square

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class SquarePrint:
    """What is told of a square's print."""

    palette: Palette
    palette_at_wall: Palette
    look: PrintLook


def read_print(
    photo: Photo, square: Square, light: Light, even: Floats, shown: Floats, white: Floats
) -> SquarePrint:
    """Tell a square's print.

    Parameters
    ----------
    photo, square, light
        The picture, the square and the photo's light.
    even : (side, side, 3)
        Linear light of the square laid flat.
    shown : (side, side)
        0 where it isn't the square's cloth.
    white : (side, side, 3)
        What a white thing would show there.
    """
    import cv2

    seen = shown > 0
    width_in = cloth_shown_in(square)
    fine_seen = cv2.resize(shown, (PRINT_PX, PRINT_PX), interpolation=cv2.INTER_NEAREST) > 0
    fine = print_patch(photo, square, light, white)
    palette = palette_of(fine, fine_seen)
    look = look_of(fine[::2, ::2], fine_seen[::2, ::2], palette, width_in)
    if len(palette) == 1:
        return SquarePrint(palette, palette, look)
    far = lab.many_pixels_to_lab(seen_from_wall(even, seen, width_in))
    return SquarePrint(palette, palette_of(far, seen), look)
