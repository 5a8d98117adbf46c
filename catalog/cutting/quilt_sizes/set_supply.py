"""The sets that a quilt's blocks can be made from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol

from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.errors import UsageError


@dataclass(frozen=True)
class Shortage:
    """What a layout lacks, or leaves."""

    sets: tuple[tuple[str, int], ...] = ()
    """Sets wanting by family, and their value ("" for any)."""
    pieces: tuple[tuple[str, int], ...] = ()
    """Pieces wanting beside them, by what they are."""
    left_over: int = 0
    """Sets that it doesn't use; 0 where anything is wanting."""
    squares_over: int | None = None
    """Squares that it doesn't use; None where the blocks take pairs only, told as sets."""

    @property
    def enough(self) -> bool:
        """Whether nothing is wanting."""
        return not self.sets and not self.pieces


class QuiltSupply(Protocol):
    """What there is for a quilt."""

    def shortage(self, layout: Layout) -> Shortage:
        """Return what a layout lacks."""


@dataclass(frozen=True)
class Supply:
    """The sets that there are for the blocks."""

    sets: Mapping[str, int]
    """Sets within tolerance by colour family; one entry under any name where families don't
    matter."""
    per_block: int = 1
    """Sets that a block takes."""
    shares: Mapping[str, Fraction] = field(default_factory=dict)
    """Part of all sets that must be of a family, 0 to 1; what the shares leave is free."""

    def __post_init__(self) -> None:
        if self.per_block < 1 or min(self.sets.values(), default=0) < 0:
            raise UsageError("a number of sets is below 0", "count the sets again")
        if min(self.shares.values(), default=0) < 0 or sum(self.shares.values()) > 1:
            raise UsageError(
                "the families' shares come to more than the whole quilt",
                "write shares that add up to 1 at most",
            )

    @property
    def total(self) -> int:
        """Sets of all families."""
        return sum(self.sets.values())

    def wanted(self, layout: Layout) -> int:
        """Return the sets that a layout takes, never fewer for more rows or columns."""
        return layout.blocks * self.per_block

    def shortage(self, layout: Layout) -> Shortage:
        """Return what a layout lacks or leaves of the sets."""
        wanted = self.wanted(layout)
        missing = tuple(sorted(self._missing(wanted).items()))
        return Shortage(missing, left_over=0 if missing else self.total - wanted)

    def missing(self, blocks: int) -> dict[str, int]:
        """Return the sets that a number of blocks lacks, by family.

        Each family lacks what its share, rounded up, is over what there is; a free one comes under
        the name "" and may be of any family. The shares' roundings never ask for more than all.
        """
        return self._missing(blocks * self.per_block)

    def _missing(self, wanted: int) -> dict[str, int]:
        short, held, left = {}, 0, wanted
        for family in sorted(self.shares):
            share = min(left, math.ceil(wanted * self.shares[family]))
            left -= share
            here = min(share, self.sets.get(family, 0))
            held += here
            if share > here:
                short[family] = share - here
        spare = self.total - held
        if left > spare:
            short[""] = left - spare
        return short
