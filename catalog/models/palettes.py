"""A print's colours, its scale and its kind."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Lab = tuple[float, float, float]
"""CIELAB L* 0-100, a*, b*; D65, 2 degree observer."""
PrintScale = Literal["plain", "tonal", "small", "medium", "large"]
"""Plain: one colour. Tonal: shades of one. Then by how large the print's figures are."""
Motif = Literal["", "stripe", "check", "dots"]
"""Kind of print where it is one of these."""
ColourTerms = Literal["standard", "everyday"]
"""What colours are called by: terms of the ISCC-NBS system, or everyday words."""
SeenFrom = Literal["wall", "hand"]
"""From how far a square is looked at: 2 m, as it hangs, or 40 cm."""


@dataclass(frozen=True)
class PaletteColour:
    """One of the colours of a print."""

    lab: Lab
    share: float
    """Of the square's cloth, 0-1; those of one palette add up to 1."""
    ground: bool = False
    """Whether it is the print's ground, which lies behind its figures; one at most of a palette."""


Palette = tuple[PaletteColour, ...]
"""One to five colours, the largest share first; empty where none was measured."""


@dataclass(frozen=True)
class PrintLook:
    """How a print is built."""

    scale: PrintScale = "plain"
    motif: Motif = ""
    directional: bool = False
    """Whether it has an up and a down, or a way in which it runs, so that a quarter turn shows."""
    repeat_in: tuple[float, float] | None = None
    """After how many inches the print comes again, across and down, 0 where it runs on unchanged;
    None where it isn't seen."""
