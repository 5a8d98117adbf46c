"""One unit of the block: what it is cut from and trimmed to, at the seam really sewn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.cutting.quilt import BlockUnit, PieceKind, Quilt
from catalog.cutting.quilt_units import kind_of, method_of, pieces_of
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit, sized
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.surd import Surd


@dataclass(frozen=True)
class UnitCut:
    """Squares of one kind for one unit; lengths in inches."""

    kind: PieceKind
    what: str
    """In the trade's words, singular."""
    width: Fraction
    height: Fraction
    exact: Surd
    """The least width that would do."""
    as_it_is: bool = False
    """Whether the square in hand is used whole."""


@dataclass(frozen=True)
class AdaptedUnit:
    """One unit of the block, with its sizes."""

    unit: BlockUnit
    method: Method
    cuts: tuple[UnitCut, ...]
    trim: Fraction
    """Unfinished width, inches."""
    trim_height: Fraction
    sewn: Surd
    """Unfinished width as it comes from the sewing."""


def sized_as_adapted(adapted: AdaptedUnit, seam: Fraction) -> SizedUnit:
    """Return an adapted unit with its sizes, as the steps of its sewing take them.

    Parameters
    ----------
    adapted : AdaptedUnit
    seam : Fraction
        At which it was adapted, inches.
    """
    method = adapted.method
    trim = sorted((adapted.trim, adapted.trim_height), reverse=True)
    finished = trim[0] - 2 * seam
    plain = size_from_finished(method, finished, seam=seam)
    cuts = list(plain.cuts)
    for part, cut in zip(kind_of(adapted.unit).parts, adapted.cuts, strict=True):
        cuts[part.piece] = replace(cuts[part.piece], width=cut.width, height=cut.height)
    return sized(method, tuple(cuts), seam, (trim[0], trim[1]), finished)


def adapt_unit(
    quilt: Quilt,
    unit: BlockUnit,
    cell: Fraction,
    square: Fraction | None,
    seam: Fraction,
    mark: Fraction,
    *,
    written: bool,
) -> AdaptedUnit:
    """Return a unit with the sizes that it has in a block whose cells finish at `cell` inches."""
    method = method_of(unit)
    finished = cell * max(unit.wide, unit.high)
    pieces = pieces_of(unit, method)
    kinds = [quilt.kind(patch.kind) for patch in unit.patches]
    cuts: list[UnitCut] = []
    for kind, piece in zip(kinds, pieces, strict=True):
        # Pieces that are sewn face to face before they are cut apart have to be of one size.
        together = [k for k, p in zip(kinds, pieces, strict=True) if p is piece]
        exact = piece.width.at(finished, seam)
        if cuts and piece is not method.main:
            exact += method.makes_up(cuts[0].width, finished, seam)
        width, whole = _cut(
            piece, exact, together, square, mark, written=written, trimmed=method.trimmed
        )
        height = width
        if piece.height is not None:
            height = piece.height.at(finished, seam).up_to(mark)
        as_it_is = whole and kind.source == "bundle"
        cuts.append(UnitCut(kind, piece.what, width, height, exact, as_it_is))
    trim = (cell * unit.wide + 2 * seam, cell * unit.high + 2 * seam)
    sewn = method.sewn(cuts[0].width, seam)
    if method.points:
        sewn = trim[0] + (cuts[-1].width - cuts[-1].exact) / method.points
    return AdaptedUnit(unit, method, tuple(cuts), *trim, sewn)


def _cut(
    piece: UnitPiece,
    exact: Surd,
    kinds: Sequence[PieceKind],
    square: Fraction | None,
    mark: Fraction,
    *,
    written: bool,
    trimmed: bool,
) -> tuple[Fraction, bool]:
    """Return the side to cut, and whether that is the square in hand as it is."""
    size = max(kind.size for kind in kinds)
    bound = square if any(kind.source == "bundle" for kind in kinds) else None
    width = piece.on_mark(exact, mark)
    if written and piece.height is None and piece.fits(size, exact, trimmed=trimmed):
        width = size
    if bound is not None and width > bound:
        width = bound
    return width, bound is not None and width == bound
