"""Pieces longer than the cloth is wide, cut from strips sewn end to end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.yardage.bolt import Bolt, shown
from catalog.cutting.yardage.strip_counts import join_loss, strips_to_join
from catalog.errors import ClothError
from catalog.models import Piece


@dataclass(frozen=True)
class Joined:
    """Strips of one height sewn end to end, and what is cut from the long strip."""

    height: Fraction
    """Inches."""
    strips: int
    """Strips in it, the last one cut to the length of `part`."""
    length: Fraction
    """Length wanted once joined, inches."""
    part: Piece
    """What the last strip gives to it; the rest of that strip is free for other pieces."""
    pieces: tuple[Piece, ...]
    words: str


def join_long(
    pieces: Sequence[Piece], cloth: Bolt, *, join: bool
) -> tuple[list[Piece], list[Joined]]:
    """Put the pieces that no strip holds into long strips, one for each height.

    Returns
    -------
    tuple
        The pieces that strips hold, with the last part of each long strip among them, and the
        long strips.
    """
    short: list[Piece] = []
    long: dict[Fraction, list[Piece]] = {}
    for piece in pieces:
        sides = {piece.width} if cloth.directional else {piece.width, piece.length}
        fits = min(sides) <= cloth.width
        if fits and (not join or max(sides) <= cloth.width):
            short.append(piece)
        elif not join:
            raise ClothError(
                f"{piece.name} is {shown(piece.width)} wide and the cloth {shown(cloth.width)}",
                "allow strips to be joined, or use wider cloth",
            )
        else:
            height = piece.length if cloth.directional else min(piece.width, piece.length)
            long.setdefault(height, []).append(piece)
    joined = [_chain(height, long[height], cloth) for height in sorted(long, reverse=True)]
    return short + [one.part for one in joined], joined


def _chain(height: Fraction, pieces: Sequence[Piece], cloth: Bolt) -> Joined:
    loss = join_loss(cloth.seam, height, slanted=False)
    length = sum((_long_side(piece, cloth) * piece.count for piece in pieces), Fraction(0))
    strips = strips_to_join(length, cloth.width, loss)
    last = length + (strips - 1) * loss - (strips - 1) * cloth.width
    names = " and ".join(piece.name for piece in pieces)
    joins = f"{strips - 1} join" + ("s" if strips != 2 else "")
    words = (
        f"{names}: {strips} strips of {shown(height)} sewn end to end ({joins}, "
        f"{shown(loss)} lost at each) make {shown(length)}"
    )
    part = Piece(f"length to join for {names}", last, height, 1)
    return Joined(height, strips, length, part, tuple(pieces), words)


def _long_side(piece: Piece, cloth: Bolt) -> Fraction:
    return piece.width if cloth.directional else max(piece.width, piece.length)
