"""What comes of photographs and of a count, as frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from catalog.models import NOT_COUNTED, Found, Light, Matching, Photo, SquareSet, Swatch, Tally


@dataclass(frozen=True, eq=False)
class PhotoResult:
    """What one photo gave."""

    photo: Photo
    found: Found
    light: Light | None
    """None where no squares were found."""


@dataclass(frozen=True, eq=False)
class Bundle:
    """The squares of one bundle, over all its photos."""

    photos: tuple[PhotoResult, ...]
    swatches: tuple[Swatch, ...]
    """In reading order, photo by photo; fabric, family and value told."""


@dataclass(frozen=True, eq=False)
class Count:
    """A bundle matched and counted."""

    bundle: Bundle
    matching: Matching
    tally: Tally
    notes: tuple[str, ...] = ()
    """What a person's locks came to, each a sentence or two."""
    numbers: Mapping[int, int] = field(default_factory=dict)
    """The number that each set of several squares has kept or been given, by the one that it was
    matched under; empty where they are counted from 1."""

    @cached_property
    def sets(self) -> tuple[SquareSet, ...]:
        """The sets of two squares and more by their numbers; flagged where they don't count."""
        return tuple(
            one if counts else replace(one, flags=(*one.flags, NOT_COUNTED))
            for one, counts in self._numbered
        )

    @property
    def counting(self) -> tuple[SquareSet, ...]:
        """Those of `sets` that serve a need."""
        return tuple(one for one, counts in self._numbered if counts)

    @property
    def singles(self) -> tuple[SquareSet, ...]:
        """The single squares that serve a need in which none must match, with number 0."""
        serving = self._serving
        alone = (one for one in self.matching.sets if len(one.swatches) == 1)
        return tuple(replace(one, number=0) for one in alone if one.number in serving)

    @property
    def _serving(self) -> frozenset[int]:
        return frozenset(number for line in self.tally.lines for number in line.sets)

    @property
    def _numbered(self) -> list[tuple[SquareSet, bool]]:
        """The sets of several squares by their numbers, each with whether it serves a need."""
        serving = self._serving
        several = (one for one in self.matching.sets if len(one.swatches) > 1)
        numbered = [
            (replace(one, number=self.numbers.get(one.number, place)), one.number in serving)
            for place, one in enumerate(several, 1)
        ]
        return sorted(numbered, key=lambda one: one[0].number) if self.numbers else numbered
