"""What a pattern takes from matched sets, where they are all the squares that there are."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from fractions import Fraction

from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.quilt import PieceKind
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import post_count
from catalog.cutting.quilt_sizes.set_supply import Shortage, Supply


@dataclass(frozen=True)
class SetsInHand(Supply):
    """Matched sets, and nothing beside them.

    All that the pattern takes from the bundle comes from them, each kind of piece from sets of its
    own; small pieces from the squares of the sets left over. Families and values don't matter.
    """

    ours: AdaptedQuilt = field(kw_only=True)

    def shortage(self, layout: Layout) -> Shortage:
        """Return what a layout lacks or leaves of the sets."""
        found = super().shortage(layout)
        at = replace(self.ours, layout=layout)
        never = tuple(
            (kind.name, self._count(kind, at))
            for kind in self._kinds("left over")
            if not at.pieces_each(kind)
        )
        return replace(found, pieces=never, left_over=0 if never else found.left_over)

    def wanted(self, layout: Layout) -> int:
        """Return the sets that a layout takes."""
        at = replace(self.ours, layout=layout)
        size = max((kind.match for kind in self._kinds("bundle")), default=1)
        taken = 0
        for kind in self._kinds("bundle"):
            from_one = size * max(1, at.pieces_each(kind)) // kind.match
            taken += -(-self._count(kind, at) // (kind.match * from_one))
        small = sum(
            -(-self._count(kind, at) // each)
            for kind in self._kinds("left over")
            if (each := at.pieces_each(kind))
        )
        return taken + -(-small // size)

    def _kinds(self, source: str) -> list[PieceKind]:
        return [kind for kind in self.ours.quilt.kinds if kind.source == source]

    def _count(self, kind: PieceKind, at: AdaptedQuilt) -> int:
        """Return the pieces that the pattern asks for where it is written for a layout.

        Of posts of the sashing it may ask for more than there are places.
        """
        quilt, number = at.quilt, at.count_of(kind)
        if at.is_post(kind) and kind.per_block is None:
            before = post_count(replace(at.layout, rows=quilt.rows, columns=quilt.columns))
            after = post_count(at.layout)
            grown = Fraction(kind.count * after, before) if before and after else kind.count
            return max(number, math.ceil(grown))
        return -(-number // kind.match) * kind.match
