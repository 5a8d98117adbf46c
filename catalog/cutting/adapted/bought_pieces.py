"""What is cut from cloth by the yard beside the blocks: sashing, posts, edges and borders."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from catalog.cutting.adapted.adapted_lengths import (
    border_name,
    border_plans,
    edge_triangles,
    half_blocks,
    on_marks,
)
from catalog.cutting.quilt import BlockUnit, Quilt, QuiltBorder
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import sashing_pieces
from catalog.cutting.quilt_units import method_of, piece_counts, pieces_of
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.unit_sizes import UNFINISHED
from catalog.cutting.yardage.binding import Binding
from catalog.cutting.yardage.borders import Border
from catalog.lengths import EIGHTH, SIXTY_FOURTH, show_length
from catalog.models import Piece


@dataclass(frozen=True)
class ClothPieces:
    """Pieces that are cut from one cloth."""

    cloth: str
    pieces: tuple[Piece, ...]
    directional: bool = False
    named: bool = False
    """Whether the pattern gives the cloth its name: all that is cut from one such is bought
    together."""
    trims: Mapping[str, str] = field(default_factory=dict)
    """By the name of a piece, to what the unit that it is for is trimmed."""
    lay: Mapping[str, str] = field(default_factory=dict)
    """By the name of a piece, how its print is laid to hang upright."""
    words: tuple[str, ...] = ()
    """What else to know of the pieces, a line each."""

    def with_more(self, other: ClothPieces) -> ClothPieces:
        """Return this and what else is cut from the same cloth."""
        return replace(
            self,
            pieces=(*self.pieces, *other.pieces),
            directional=self.directional or other.directional,
            trims={**self.trims, **other.trims},
            lay={**self.lay, **other.lay},
            words=(*self.words, *other.words),
        )


def cloths_of(
    quilt: Quilt, layout: Layout, seam: Fraction, mark: Fraction = EIGHTH
) -> tuple[ClothPieces, ...]:
    """Return what is cut from yardage for sashing, edges and borders, cloth by cloth.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
    seam, mark : Fraction
        The seam, and the ruler's marks, inches.
    """
    found = _sashing_cloths(quilt, layout, seam)
    if edges := edge_triangles(layout, seam, mark) or half_blocks(layout, seam):
        usual = "edge triangles" if layout.on_point else "half blocks"
        found.append(_called(quilt.edge_cloth, usual, edges))
    plans = border_plans(quilt, layout, seam)
    for number, (one, plan) in enumerate(zip(quilt.borders, plans, strict=True), 1):
        name = border_name(quilt, number)
        found.extend(_border_cloths(one, plan, name, layout.borders[number - 1], seam, mark))
    return tuple(
        _as_printed(quilt, replace(cloth, pieces=on_marks(cloth.pieces, mark))) for cloth in found
    )


def _called(cloth: str, otherwise: str, pieces: Sequence[Piece]) -> ClothPieces:
    """Return pieces of the cloth that the pattern names for them, else of one of their own."""
    return ClothPieces(cloth or otherwise, tuple(pieces), named=bool(cloth))


def _sashing_cloths(quilt: Quilt, layout: Layout, seam: Fraction) -> list[ClothPieces]:
    strips, sashing = sashing_pieces(layout, seam), quilt.sashing
    if not strips or sashing is None:
        return []
    long = [piece for piece in strips if piece.name != "post"]
    posts = [piece for piece in strips if piece.name == "post"]
    found = [_called(sashing.cloth, "sashing", long)] if long else []
    if posts and sashing.post_kind is None:
        found.append(_called(sashing.post_cloth, "posts", posts))
    return found


def binding_pieces(cloth: str, bound: Binding, width: Fraction) -> ClothPieces:
    """Return what binding is cut from, where its cloth is that of other pieces too.

    Parameters
    ----------
    cloth : str
        Its name.
    bound : Binding
    width : Fraction
        Of the cloth under the cutter, inches.
    """
    if bound.grain == "bias":
        piece = Piece("square for bias binding", bound.square, bound.square, bound.squares)
    else:
        piece = Piece("binding strip", width, bound.strip, bound.strips)
    how = bound.words.removesuffix(f": {bound.purchase.words}")
    return ClothPieces(cloth, (piece,), named=True, words=(f"binding: {how}",))


def _as_printed(quilt: Quilt, cloth: ClothPieces) -> ClothPieces:
    """Keep a print of the blocks upright in a border too, and say where its units turn it."""
    if not cloth.named or not quilt.is_directional(cloth.cloth):
        return cloth
    words = "where the border's units have triangles they show the print turned: sew one and look"
    return replace(cloth, directional=True, lay=dict.fromkeys(cloth.trims, words))


def _border_cloths(
    one: QuiltBorder, plan: Border, name: str, width: Fraction, seam: Fraction, mark: Fraction
) -> list[ClothPieces]:
    """Return the pieces of a border, cloth by cloth.

    Along a side of a border of units lie as many whole ones as fit; what is left of its length is
    one plain piece, which like the posts is cut from the first fabric.
    """
    if one.pieced is None:
        (cloth,) = one.fabrics or (name,)
        return [ClothPieces(cloth, plan.pieces, named=bool(one.fabrics))]
    units, plain = units_along(plan, width, seam)
    cut: dict[str, dict[tuple[str, Fraction], Fraction]] = {}
    method, parts = _unit_parts(one.pieced)
    cloths = one.fabrics or tuple(
        f"{name}, fabric {part}" if len(parts) > 1 else name for part in range(1, len(parts) + 1)
    )
    for cloth, (piece, each) in zip(cloths, parts, strict=True):
        key = piece.what, piece.width.at(width, seam).up_to(mark)
        counts = cut.setdefault(cloth, {})
        counts[key] = counts.get(key, Fraction(0)) + units * each
    raw = show_length(width + 2 * seam, step=SIXTY_FOURTH)
    trim = f"{one.pieced.replace('-', ' ')} to {raw}" if method.trimmed else ""
    found = []
    for cloth, counts in cut.items():
        pieces = [
            Piece(f"{what} for {name}", side, side, math.ceil(count))
            for (what, side), count in counts.items()
            if count
        ]
        trims = dict.fromkeys((piece.name for piece in pieces), trim)
        pieces += plain if cloth == cloths[0] else []
        found.append(ClothPieces(cloth, tuple(pieces), named=bool(one.fabrics), trims=trims))
    return [cloth for cloth in found if cloth.pieces]


def _unit_parts(unit: str) -> tuple[Method, list[tuple[UnitPiece, Fraction]]]:
    """Return how a unit is made, and for each part its piece and how many of it one unit takes."""
    plain = BlockUnit("", unit, None, ())
    method = method_of(plain)
    parts = zip(pieces_of(plain, method), piece_counts(plain, method), strict=True)
    return method, list(parts)


def units_along(plan: Border, width: Fraction, seam: Fraction) -> tuple[int, list[Piece]]:
    """Return the units of a pieced border, and the plain pieces beside them: fillers and posts."""
    units, plain = 0, []
    cut = UNFINISHED.at(width, seam).rational
    for piece in plan.pieces:
        if piece.name.endswith("post"):
            plain.append(piece)
            continue
        upright = piece.length > piece.width
        long = max(piece.width, piece.length) - 2 * seam
        whole = int(long // width)
        units += whole * piece.count
        if left := long - whole * width:
            sides = (cut, left + 2 * seam) if upright else (left + 2 * seam, cut)
            plain.append(Piece(f"filler of {piece.name}", *sides, piece.count))
    return units, plain
