"""How many layers may lie under the cutter at once, and where that is safe."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from catalog.cutting.layouts.cloth_layout import LaidPiece, Sheet

MAX_LAYERS: Final = 4
"""Layers of quilting cotton that are cut at once: three or four for those who begin
(http://quilting.avidhobby.com/posts/explore/rotary-cutters.html), four with ease
(https://fabricbias.com/2009/09/10/speedy-rotary-cutting/); the maker of the cutter may say less."""
MIN_STACKED_SIDE: Final = Fraction(3, 2)
"""Inches; narrower pieces give a ruler too little hold on several layers (`common practice`)."""


def layers_of(copies: int, pieces: Iterable[LaidPiece]) -> int:
    """Return how many sheets that are cut alike may lie on one another; 1 where none should."""
    narrowest = min((min(one.width, one.length) for one in pieces), default=Fraction(0))
    return min(copies, MAX_LAYERS) if narrowest >= MIN_STACKED_SIDE else 1


def stacking_words(sheets: Iterable[Sheet], *, directional: bool) -> str:
    """Say what may be cut in layers; nothing where nothing may."""
    layers = max((sheet.layers for sheet in sheets if len(sheet.pieces) > 1), default=1)
    if layers == 1:
        return ""
    way = ", every print the same way up," if directional else ""
    return (
        f"up to {layers} that are cut alike may lie exactly on one another{way} and be cut at "
        "once, if the maker of your cutter allows so many layers"
    )
