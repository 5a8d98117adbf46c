"""Squares freed of one light that they may have been taken in, and what that light is judged by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from catalog.light.border_samples import RectifiedSquares
from catalog.light.candidates.shading import Shading, shading_of
from catalog.light.candidates.similarity import PrintSimilarity, print_similarity


@dataclass(frozen=True, eq=False)
class RelitSquares:
    """Squares laid flat, freed of one light."""

    rectified: RectifiedSquares

    @cached_property
    def looks(self) -> PrintSimilarity:
        """How like one another they look."""
        return print_similarity(self.rectified)

    @cached_property
    def shading(self) -> Shading:
        """How light still falls off within them."""
        return shading_of(self.rectified)
