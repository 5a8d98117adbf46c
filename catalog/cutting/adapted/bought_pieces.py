"""What is cut from cloth by the yard beside the blocks: sashing, posts, edges and borders."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_lengths import BorderPlan, border_plans, on_marks
from catalog.cutting.edge_pieces import (
    HALF_POST_SQUARE,
    edge_triangles,
    half_blocks,
    sashing_of,
)
from catalog.cutting.quilt import BlockUnit, Quilt, QuiltBorder, Sashing
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import method_of, piece_counts, pieces_of
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.near_sizes import even_sizes
from catalog.cutting.units.unit_sizes import UNFINISHED
from catalog.cutting.units.units_by_name import find_unit
from catalog.cutting.yardage.binding import Binding
from catalog.cutting.yardage.borders import Border
from catalog.cutting.yardage.finishing_pieces import label_piece, sleeve_piece
from catalog.lengths import EIGHTH, SIXTY_FOURTH, show_length
from catalog.models import Piece

_POSTS = {"post", HALF_POST_SQUARE}
ALONG_THE_CLOTH: Final = "along the length of the cloth, in one"


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
    found = _sashing_cloths(quilt, layout, seam, mark)
    if edges := edge_triangles(layout, seam, mark) or half_blocks(layout, seam):
        usual = "edge triangles" if layout.on_point else "half blocks"
        found.append(_called(quilt.edge_cloth, usual, edges))
    for one, plan in zip(quilt.borders, border_plans(quilt, layout, seam), strict=True):
        found.extend(_border_cloths(one, plan, seam, mark))
    found += _sleeve_and_label(quilt, layout, seam)
    return tuple(
        _as_printed(quilt, replace(cloth, pieces=on_marks(cloth.pieces, mark))) for cloth in found
    )


def _sleeve_and_label(quilt: Quilt, layout: Layout, seam: Fraction) -> list[ClothPieces]:
    found, finish = [], quilt.finishing
    if sleeve := finish.sleeve:
        strip = sleeve_piece(layout.width, sleeve.depth)
        found.append(_called(sleeve.cloth, "hanging sleeve", [strip]))
    if label := finish.label:
        piece = label_piece(label.width, label.length, seam)
        found.append(_called(label.cloth, "label", [piece]))
    return found


def _called(cloth: str, otherwise: str, pieces: Sequence[Piece]) -> ClothPieces:
    """Return pieces of the cloth that the pattern names for them, else of one of their own."""
    return ClothPieces(cloth or otherwise, tuple(pieces), named=bool(cloth))


def _sashing_cloths(
    quilt: Quilt, layout: Layout, seam: Fraction, mark: Fraction
) -> list[ClothPieces]:
    strips, sashing = sashing_of(quilt, layout, seam, mark), quilt.sashing
    if not strips or sashing is None:
        return []
    long = [piece for piece in strips if piece.name not in _POSTS]
    posts = [piece for piece in strips if piece.name in _POSTS]
    if sashing.pieced:
        found = _strip_cloths(sashing, long, seam, mark)
    else:
        found = [_called(sashing.cloth, "sashing", long)] if long else []
    if posts and sashing.post_kind is None:
        found.append(_called(sashing.post_cloth, "posts", posts))
    return found


def _strip_cloths(
    sashing: Sashing, strips: Sequence[Piece], seam: Fraction, mark: Fraction
) -> list[ClothPieces]:
    """Return the pieces of strips that are each one unit, cloth by cloth."""
    cut: dict[str, Counter[tuple[str, Fraction, Fraction]]] = {}
    called = [strip.name if len(strips) > 1 else "sashing" for strip in strips]
    for strip, name in zip(strips, called, strict=True):
        high, wide = sorted((strip.width - 2 * seam, strip.length - 2 * seam))
        unit = find_unit(sashing.pieced or "").in_proportion(high / wide)
        method = unit.ways[0]
        counts = unit.piece_counts(method)
        cloths = sashing.fabrics or tuple(
            f"sashing, fabric {part}" for part in range(1, len(unit.parts) + 1)
        )
        for cloth, part, each in zip(cloths, unit.parts, counts, strict=True):
            piece = method.pieces[part.piece]
            long = piece.width.at(wide, seam).up_to(mark)
            short = piece.height.at(wide, seam).up_to(mark) if piece.height else long
            of_cloth = cut.setdefault(cloth, Counter())
            of_cloth[f"{piece.what} for {name}", long, short] += math.ceil(each * strip.count)
    return [
        ClothPieces(
            cloth,
            tuple(Piece(what, long, short, count) for (what, long, short), count in counts.items()),
            named=bool(sashing.fabrics),
        )
        for cloth, counts in cut.items()
    ]


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
    one: QuiltBorder, plan: BorderPlan, seam: Fraction, mark: Fraction
) -> list[ClothPieces]:
    """Return the pieces of a border and of the spacer inside it, cloth by cloth."""
    found = []
    if plan.spacer and plan.spacer.pieces:
        found.append(ClothPieces(one.spacer, plan.spacer.pieces, named=True))
    own = [piece for piece in plan.border.pieces if not piece.name.endswith("post")]
    posts = tuple(piece for piece in plan.border.pieces if piece.name.endswith("post"))
    if one.pieced is None:
        found.append(_plain_strips(one, plan.name, own if one.post_cloth else plan.border.pieces))
    else:
        found += _units_of(one, plan, seam, mark)
    if posts and one.post_cloth:
        found.append(ClothPieces(one.post_cloth, posts, named=True))
    return found


def _plain_strips(one: QuiltBorder, name: str, pieces: Sequence[Piece]) -> ClothPieces:
    """Return the strips of a plain border; lengthwise ones lie along the cloth."""
    (cloth,) = one.fabrics or (name,)
    if one.strips == "crosswise":
        return ClothPieces(cloth, tuple(pieces), named=bool(one.fabrics))
    upright = tuple(
        replace(piece, width=min(sides), length=max(sides))
        for piece in pieces
        for sides in ((piece.width, piece.length),)
    )
    lay = {piece.name: ALONG_THE_CLOTH for piece in upright if piece.width != piece.length}
    return ClothPieces(cloth, upright, directional=True, named=bool(one.fabrics), lay=lay)


def _units_of(
    one: QuiltBorder, plan: BorderPlan, seam: Fraction, mark: Fraction
) -> list[ClothPieces]:
    """Return the pieces of a border of units.

    Along a side lie as many whole ones as fit; what is left of its length, where no spacer makes
    them fit, is one plain piece, which like the posts is cut from the first fabric.
    """
    name, width, unit = plan.name, plan.width, one.pieced or ""
    units, plain = units_along(plan.border, width, seam, fitted=bool(one.spacer))
    if one.post_cloth:
        plain = [piece for piece in plain if not piece.name.endswith("post")]
    cut: dict[str, dict[tuple[str, Fraction], Fraction]] = {}
    method, parts = _unit_parts(unit)
    cloths = one.fabrics or tuple(
        f"{name}, fabric {part}" if len(parts) > 1 else name for part in range(1, len(parts) + 1)
    )
    for cloth, (piece, each) in zip(cloths, parts, strict=True):
        key = piece.what, piece.width.at(width, seam).up_to(mark)
        counts = cut.setdefault(cloth, {})
        counts[key] = counts.get(key, Fraction(0)) + units * each
    told = _off_marks(unit, method, plan, seam, mark)
    raw = show_length(width + 2 * seam, step=SIXTY_FOURTH)
    trim = f"{unit.replace('-', ' ')} to {raw}" if method.trimmed else ""
    found = []
    for cloth, counts in cut.items():
        pieces = [
            Piece(f"{what} for {name}", side, side, math.ceil(count))
            for (what, side), count in counts.items()
            if count
        ]
        trims = dict.fromkeys((piece.name for piece in pieces), trim)
        pieces += plain if cloth == cloths[0] else []
        named = bool(one.fabrics)
        words = told if cloth == cloths[0] else ()
        found.append(ClothPieces(cloth, tuple(pieces), named=named, trims=trims, words=words))
    return [cloth for cloth in found if cloth.pieces]


def _off_marks(
    unit: str, method: Method, plan: BorderPlan, seam: Fraction, mark: Fraction
) -> tuple[str, ...]:
    """Say where a border's units come out larger than its width, and can't be trimmed."""
    if method.trimmed:
        return ()
    sizes = [size for size, _ in even_sizes(method, plan.width, seam=seam, mark=mark)]
    if not sizes or sizes[-1] <= plan.width or any(size.root for size in sizes):
        return ()
    wide = show_length(plan.width, step=SIXTY_FOURTH)
    near = " or ".join(show_length(size.rational, step=SIXTY_FOURTH) for size in sizes)
    large = show_length(sizes[-1].rational, step=SIXTY_FOURTH)
    return (
        f"{plan.name}: each {unit.replace('-', ' ')} is cut to a mark of the ruler and finishes at "
        f"{large} instead of {wide}, and can't be trimmed, so a row of them comes out too long: "
        f"make the border {near} wide",
    )


def _unit_parts(unit: str) -> tuple[Method, list[tuple[UnitPiece, Fraction]]]:
    """Return how a unit is made, and for each part its piece and how many of it one unit takes."""
    plain = BlockUnit("", unit, None, ())
    method = method_of(plain)
    parts = zip(pieces_of(plain, method), piece_counts(plain, method), strict=True)
    return method, list(parts)


def units_along(
    plan: Border, width: Fraction, seam: Fraction, *, fitted: bool = False
) -> tuple[int, list[Piece]]:
    """Return the units of a pieced border, and the plain pieces beside them: fillers and posts.

    Where a spacer makes them fit, what rounding to millimetres leaves is eased in.
    """
    units, plain = 0, []
    cut = UNFINISHED.at(width, seam).rational
    for piece in plan.pieces:
        if piece.name.endswith("post"):
            plain.append(piece)
            continue
        upright = piece.length > piece.width
        long = max(piece.width, piece.length) - 2 * seam
        whole = round(long / width) if fitted else int(long // width)
        units += whole * piece.count
        if (left := long - whole * width) and not fitted:
            sides = (cut, left + 2 * seam) if upright else (left + 2 * seam, cut)
            plain.append(Piece(f"filler of {piece.name}", *sides, piece.count))
    return units, plain
