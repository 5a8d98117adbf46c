"""Squares freed of one light that they may have been taken in, and what that light is judged by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from catalog.light.border_samples import Laid
from catalog.light.candidates.shading import Shading, shading_of
from catalog.light.candidates.similarity import Likeness, likeness_of


@dataclass(frozen=True, eq=False)
class Freed:
    """Squares laid flat, freed of one light."""

    laid: Laid

    @cached_property
    def looks(self) -> Likeness:
        """How like one another they look."""
        return likeness_of(self.laid)

    @cached_property
    def shading(self) -> Shading:
        """How light still falls off within them."""
        return shading_of(self.laid)
