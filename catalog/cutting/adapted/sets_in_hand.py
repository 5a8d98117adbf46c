"""What a pattern takes from matched sets, where they are all the squares that there are."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.cutting.adapted.adapted_block import AdaptedBlock
from catalog.cutting.adapted.buying import count_of, cut_sides, pieces_each
from catalog.cutting.quilt import PieceKind, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout, post_count
from catalog.cutting.quilt_sizes.set_supply import Shortage, Supply


@dataclass(frozen=True)
class SetsInHand(Supply):
    """Matched sets, and nothing beside them.

    All that the pattern takes from the bundle comes from them, each kind of piece from sets of its
    own; small pieces from the squares of the sets left over. Families and values don't matter.
    """

    quilt: Quilt | None = None
    made: AdaptedBlock | None = None
    square: Fraction | None = None
    seam: Fraction = Fraction(1, 4)

    def shortage(self, layout: Layout) -> Shortage:
        """Return what a layout lacks or leaves of the sets."""
        found = super().shortage(layout)
        never = tuple(
            (kind.name, self._count(kind, layout))
            for kind in self._kinds("left over")
            if not self._each(kind, layout)
        )
        return replace(found, pieces=never, left_over=0 if never else found.left_over)

    def wanted(self, layout: Layout) -> int:
        """Return the sets that a layout takes."""
        size = max((kind.match for kind in self._kinds("bundle")), default=1)
        taken = 0
        for kind in self._kinds("bundle"):
            from_one = size * max(1, self._each(kind, layout)) // kind.match
            taken += -(-self._count(kind, layout) // (kind.match * from_one))
        small = sum(
            -(-self._count(kind, layout) // each)
            for kind in self._kinds("left over")
            if (each := self._each(kind, layout))
        )
        return taken + -(-small // size)

    def _kinds(self, source: str) -> list[PieceKind]:
        return [kind for kind in self.quilt.kinds if kind.source == source] if self.quilt else []

    def _each(self, kind: PieceKind, layout: Layout) -> int:
        if self.quilt is None or self.made is None:
            return 1
        side, _ = cut_sides(self.quilt, self.made, kind, layout, self.seam)
        return pieces_each(self.quilt, kind, side, self.square)

    def _count(self, kind: PieceKind, layout: Layout) -> int:
        """Return the pieces that the pattern asks for where it is written for a layout.

        Of posts of the sashing it may ask for more than there are places.
        """
        quilt = self.quilt
        if quilt is None:
            return 0
        number = count_of(quilt, kind, layout)
        if quilt.sashing and quilt.sashing.post_kind == kind.name and kind.per_block is None:
            before = post_count(replace(layout, rows=quilt.rows, columns=quilt.columns))
            after = post_count(layout)
            grown = Fraction(kind.count * after, before) if before and after else kind.count
            return max(number, math.ceil(grown))
        return -(-number // kind.match) * kind.match
