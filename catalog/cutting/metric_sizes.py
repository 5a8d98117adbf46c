"""A pattern written in inches, with its sizes on the marks of a centimetre ruler.

What is trimmed or cut as wide as written goes to the nearest millimetre, what has to be large
enough up to one; finished sizes are what the seams leave of those. So every figure that is cut is
one that a ruler shows, and the figures add up as they are printed.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from catalog.cutting.quilt import PieceKind, Quilt
from catalog.cutting.quilt_units import uses_of
from catalog.cutting.units.cutting_method import HAIR, UnitPiece
from catalog.cutting.units.surd import Surd
from catalog.lengths import MILLIMETRE, round_to


def in_millimetres(quilt: Quilt, square: Fraction | None) -> Quilt:
    """Return a pattern whose sizes lie on a millimetre, as near as can be to those written.

    Parameters
    ----------
    quilt : Quilt
    square : Fraction or None
        Side of the squares in hand, inches: where patches take them whole, they stay whole.
    """
    sashing, binding = quilt.sashing, quilt.binding
    changed = replace(
        quilt,
        finished_block=_width(quilt, square),
        sashing=sashing and replace(sashing, width=_strip(sashing.width, quilt.seam)),
        borders=tuple(replace(one, width=_strip(one.width, quilt.seam)) for one in quilt.borders),
        binding=binding and replace(binding, strip=round_to(binding.strip, MILLIMETRE)),
    )
    return replace(changed, kinds=tuple(_kind(quilt, changed, kind) for kind in quilt.kinds))


def _strip(finished: Fraction, seam: Fraction) -> Fraction:
    """Return the finished width of a strip that is cut to the nearest millimetre."""
    return round_to(finished + 2 * seam, MILLIMETRE) - 2 * seam


def _width(quilt: Quilt, square: Fraction | None) -> Fraction:
    """Return the finished block at which its smallest unit is trimmed to a millimetre.

    Of several blocks that of the first; the others are as large.
    """
    whole = (
        piece.width.at(finished, quilt.seam) == square
        for kind in quilt.kinds
        for method, piece, finished in uses_of(quilt, kind, quilt.finished_block)
        if kind.source == "bundle" and not method.trimmed
    )
    if any(whole):
        return quilt.finished_block
    share = quilt.block.smallest
    unfinished = quilt.finished_block * share + 2 * quilt.seam
    nearest, below = (
        (round_to(unfinished, MILLIMETRE, way) - 2 * quilt.seam) / share
        for way in ("nearest", "down")
    )
    return nearest if _reached(quilt, nearest) else below


def _reached(quilt: Quilt, width: Fraction) -> bool:
    """Say whether the squares that the pattern asks for are large enough for a block."""
    return all(
        kind.size >= piece.width.at(finished, quilt.seam)
        for kind in quilt.kinds
        for method, piece, finished in uses_of(quilt, kind, width)
        if kind.source == "bundle" and method.trimmed and piece.rounding == "up"
    )


def _kind(quilt: Quilt, changed: Quilt, kind: PieceKind) -> PieceKind:
    """Return a kind of piece with its size on a millimetre, and large enough for its units."""
    posts = changed.sashing
    if posts and posts.post_kind == kind.name:
        return replace(kind, size=posts.width + 2 * quilt.seam)
    size = round_to(kind.size, MILLIMETRE)
    for method, piece, finished in uses_of(changed, kind, changed.finished_block):
        exact = piece.width.at(finished, quilt.seam)
        if not method.trimmed and piece.rounding == "up" and _as_written(quilt, kind, piece):
            return replace(kind, size=exact.rational)
        if piece.rounding == "up":
            size = max(size, exact.up_to(MILLIMETRE))
        elif piece.rounding == "down" and size > exact + HAIR:
            size = exact.down_to(MILLIMETRE)
    return replace(kind, size=size)


def _as_written(quilt: Quilt, kind: PieceKind, piece: UnitPiece) -> bool:
    """Say whether a piece that isn't trimmed was written as what its unit takes."""
    exact: list[Surd] = [
        one.width.at(finished, quilt.seam)
        for _, one, finished in uses_of(quilt, kind, quilt.finished_block)
        if one is piece or one == piece
    ]
    return any(abs(kind.size - size) <= HAIR for size in exact)
