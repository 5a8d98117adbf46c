"""One photographed square as catalogued."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from catalog.models.palettes import Lab, Palette, PaletteColour, PrintLook, SeenFrom
from catalog.models.squares import Square

Value = Literal["light", "medium", "dark"]
"""Lightness relative to the bundle."""
BundleRole = Literal["", "feature", "background"]
"""What a person says a square is for; empty where it may serve as either."""


@dataclass(frozen=True)
class Swatch:
    """One photographed square as catalogued."""

    label: str
    """Unique in its bundle: ``R3C4`` in rows, else ``S017``."""
    photo: str
    """Name of the photo."""
    square: Square
    lab: Lab
    """Mean colour in linear light, with the photo's light removed."""
    print_kind: str
    """``plain``, ``tonal`` or ``busy``."""
    busyness: float
    """Spread of the print's colours round their mean, CIEDE2000."""
    colour_name: str = ""
    value: Value = "medium"
    fabric: str = ""
    """The same for squares that are taken to be cut from one fabric."""
    family: str = ""
    """Name of the colour family."""
    flags: tuple[str, ...] = ()
    signature: NDArray[np.float32] = field(
        default_factory=lambda: np.zeros(0, np.float32), repr=False, compare=False
    )
    """The print's colours and structure as numbers, for telling fabrics apart."""
    uncertainty: float = 0.0
    """CIEDE2000 within which the true colour lies nine times in ten; 0 where it wasn't judged."""
    own_uncertainty: float = 0.0
    """The part of it that the photo's other squares don't share."""
    role: BundleRole = ""
    """What it is for, where a person said so."""
    palette: Palette = ()
    """The print's colours as seen in the hand; empty where a bundle was kept without them."""
    palette_at_wall: Palette = ()
    """Its colours as seen from 2 m, where small figures run together; empty likewise."""
    look: PrintLook | None = None
    """How the print is built; None where a bundle was kept without it."""

    def colours_seen(self, seen_from: SeenFrom = "wall") -> Palette:
        """Return the print's colours from that far: its mean alone where no palette is kept."""
        seen = self.palette_at_wall if seen_from == "wall" else self.palette
        return seen or (PaletteColour(self.lab, 1.0, ground=True),)
