"""Every length that hangs on the block: strips, posts, borders, the quilt, binding."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from catalog.cutting.quilt import BlockUnit, Quilt, QuiltBorder
from catalog.cutting.quilt_sizes.quilt_layout import Layout, sashing_pieces
from catalog.cutting.quilt_units import method_of, piece_counts, pieces_of
from catalog.cutting.units.cutting_method import UNFINISHED, Method, UnitPiece, on_inch_ruler
from catalog.cutting.units.setting_triangles import corner_triangle, setting_triangle
from catalog.cutting.yardage.binding import binding_length
from catalog.cutting.yardage.borders import Border, border
from catalog.lengths import EIGHTH, SIXTEENTH, round_to, show_length
from catalog.models import Piece

SIDE_SQUARE: Final = "square for side triangles, cut twice on the diagonal"
CORNER_SQUARE: Final = "square for corner triangles, cut once on the diagonal"


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

    def with_more(self, other: ClothPieces) -> ClothPieces:
        """Return this and what else is cut from the same cloth."""
        return replace(
            self,
            pieces=(*self.pieces, *other.pieces),
            directional=self.directional or other.directional,
            trims={**self.trims, **other.trims},
            lay={**self.lay, **other.lay},
        )


def as_laid_out(
    quilt: Quilt,
    block: Fraction,
    seam: Fraction,
    rows: int,
    columns: int,
    *,
    step: Fraction = SIXTEENTH,
) -> Layout:
    """Return the layout with a finished block and a seam, inches.

    Strips of sashing and borders are cut as wide as written, whatever the seam; so a seam that is
    narrower than the pattern's leaves them wider when finished, as it does the units.
    """
    wider = 2 * (quilt.seam - seam)
    sashing = quilt.sashing
    return Layout(
        rows,
        columns,
        block,
        sashing=sashing.width + wider if sashing else Fraction(0),
        outer=bool(sashing and sashing.outer),
        posts=sashing.posts if sashing else True,
        borders=tuple(one.width + wider for one in quilt.borders),
        on_point=quilt.on_point,
        step=step,
    )


def border_plans(quilt: Quilt, layout: Layout, seam: Fraction) -> tuple[Border, ...]:
    """Return each border round the top before it."""
    inside = replace(layout, borders=())
    wide, long = inside.width + 2 * seam, inside.length + 2 * seam
    done = []
    for number, (one, finished) in enumerate(zip(quilt.borders, layout.borders, strict=True), 1):
        name = border_name(quilt, number)
        done.append(border(wide, long, finished, corners=one.corners, seam=seam, name=name))
        wide, long = done[-1].width, done[-1].length
    return tuple(done)


def border_name(quilt: Quilt, number: int) -> str:
    """Return what a border is called: by its number where there are several."""
    return "border" if len(quilt.borders) == 1 else f"border {number}"


def lengths_of(
    quilt: Quilt, layout: Layout, seam: Fraction, mark: Fraction = EIGHTH
) -> dict[str, tuple[Fraction, Fraction]]:
    """Return the lengths below the units by name, width and length in inches.

    Pieces have the sizes that they are cut to (see `cloths_of`).
    """
    raw = layout.block + 2 * seam
    found = {
        "block, as sewn": (raw, raw),
        "block, finished": (layout.block, layout.block),
    }
    borders = border_plans(quilt, layout, seam)
    pieces = [
        *sashing_pieces(layout, seam),
        *edge_triangles(layout, seam, mark),
        *(piece for one in borders for piece in one.pieces),
    ]
    for piece in on_marks(pieces, mark):
        found[piece.name] = (piece.width, piece.length)
    found["quilt, finished"] = (layout.width, layout.length)
    return found


def on_marks(pieces: Iterable[Piece], mark: Fraction) -> tuple[Piece, ...]:
    """Return pieces as they are cut: up to a millimetre; in inches as they come out.

    Lengths in inches are left as they are, for those on no mark of the ruler are told as such.
    """
    if on_inch_ruler(mark):
        return tuple(pieces)
    return tuple(
        replace(
            piece,
            width=round_to(piece.width, mark, "up"),
            length=round_to(piece.length, mark, "up"),
        )
        for piece in pieces
    )


def edge_triangles(layout: Layout, seam: Fraction, mark: Fraction = EIGHTH) -> tuple[Piece, ...]:
    """Return the squares to cut up for the edges and corners of a quilt on point.

    With sashing they reach over strips and whole posts too. Along the edge the points of the outer
    posts lie the diagonal of a block and a strip apart, so for a side triangle those count as the
    block; the long side of a corner triangle runs along a block and the strips on either side of
    it.
    """
    sides, corners = layout.setting_triangles
    if not corners:
        return ()
    side_reach = layout.block + layout.sashing
    found = []
    for name, method, wanted, reach in (
        (SIDE_SQUARE, setting_triangle(), sides, side_reach),
        (CORNER_SQUARE, corner_triangle(), corners, side_reach + layout.sashing),
    ):
        if wanted:
            side = method.main.least(reach, seam, mark).up_to(mark)
            found.append(Piece(name, side, side, -(-wanted // method.units)))
    return tuple(found)


def binding_of(quilt: Quilt, layout: Layout) -> Fraction | None:
    """Return the length of binding, inches; None where the pattern tells of none."""
    return binding_length(layout.width, layout.length) if quilt.binding else None


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
    found = []
    strips = sashing_pieces(layout, seam)
    sashing = [piece for piece in strips if piece.name != "post"]
    posts = [piece for piece in strips if piece.name == "post"]
    if sashing:
        found.append(ClothPieces("sashing", tuple(sashing)))
    if posts and quilt.sashing and quilt.sashing.post_kind is None:
        found.append(ClothPieces("posts", tuple(posts)))
    if triangles := edge_triangles(layout, seam, mark):
        found.append(ClothPieces("edge triangles", triangles))
    plans = border_plans(quilt, layout, seam)
    for number, (one, plan) in enumerate(zip(quilt.borders, plans, strict=True), 1):
        name = border_name(quilt, number)
        found.extend(_border_cloths(one, plan, name, layout.borders[number - 1], seam, mark))
    return tuple(
        _as_printed(quilt, replace(cloth, pieces=on_marks(cloth.pieces, mark))) for cloth in found
    )


def _as_printed(quilt: Quilt, cloth: ClothPieces) -> ClothPieces:
    """Keep a print of the blocks upright in a border too, and say where its units turn it."""
    if not cloth.named or all(
        kind.name != cloth.cloth or not kind.directional for kind in quilt.kinds
    ):
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
    raw = show_length(width + 2 * seam, step=Fraction(1, 64))
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
