"""A quilt with the squares in hand and the seam really sewn: what is cut, how large, how many."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from catalog.cutting.adapted.adapted_block import AdaptedBlock
from catalog.cutting.adapted.unit_cuts import UnitCut
from catalog.cutting.quilt import PieceKind, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import post_count
from catalog.cutting.units.straight_units import squares_from_square
from catalog.lengths import EIGHTH


@dataclass(frozen=True)
class AdaptedQuilt:
    """A pattern's quilt as it will be sewn; lengths in inches."""

    quilt: Quilt
    block: AdaptedBlock
    layout: Layout
    """Its rows and columns, with the finished sizes as sewn."""
    seam: Fraction
    square: Fraction | None
    """Side of the squares in hand; None for those that the pattern asks for."""
    mark: Fraction = EIGHTH
    """The ruler's marks."""

    @cached_property
    def piece_cuts(self) -> dict[str, UnitCut]:
        """How each kind of piece in the blocks is cut, the largest where units differ."""
        cuts: dict[str, UnitCut] = {}
        for unit in self.block.units:
            for cut in unit.cuts:
                before = cuts.get(cut.kind.name)
                if before is None or before.width < cut.width:
                    cuts[cut.kind.name] = cut
        return cuts

    def is_post(self, kind: PieceKind) -> bool:
        """Say whether a kind of piece is the posts of the sashing."""
        return self.quilt.sashing is not None and self.quilt.sashing.post_kind == kind.name

    def count_of(self, kind: PieceKind) -> int:
        """Return how many pieces of a kind it takes; posts by their number, else as written."""
        if kind.per_block is not None:
            return self.quilt.count_of(kind, self.layout)
        if self.is_post(kind):
            return post_count(self.layout)
        written = replace(self.layout, rows=self.quilt.rows, columns=self.quilt.columns)
        return math.ceil(Fraction(kind.count * self.layout.blocks, written.blocks))

    def cut_sides(self, kind: PieceKind) -> tuple[Fraction, Fraction]:
        """Return width and height to which pieces of a kind are cut; posts as wide as strips."""
        if cut := self.piece_cuts.get(kind.name):
            return cut.width, cut.height
        side = self.layout.sashing + 2 * self.seam if self.is_post(kind) else kind.size
        return side, side

    def pieces_each(self, kind: PieceKind) -> int:
        """Return how many pieces of a kind come from a square.

        Where none is given, the bundle's pieces come one from each of the squares that the pattern
        asks for, and small ones from the largest of those.
        """
        side, _ = self.cut_sides(kind)
        if self.square is not None:
            return squares_from_square(self.square, side)
        if kind.source == "bundle":
            return 1
        whole = (one.size for one in self.quilt.kinds if one.source == "bundle")
        return squares_from_square(max(whole, default=side), side)
