"""Instructions that were read, in words and as JSON: values in, lines or one object out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from catalog.cutting.yardage.bolt import YARD
from catalog.lengths import CENTIMETRES_PER_INCH, SIXTEENTH, centimetres_shown, show_length
from catalog.phrases import count_of, sentence

if TYPE_CHECKING:
    from catalog.pattern.words.instruction_values import ReadBuy, ReadInstructions, ReadPiece

TRIANGLES: Final = {1: 2, 2: 4}
"""From a square, by how often it is cut from corner to corner."""
UNNAMED: Final = "cloth that isn't named"
DECIMALS: Final = 4
"""Of inches and yards in JSON; millimetres come back whole."""


def read_lines(read: ReadInstructions) -> list[str]:
    """Return all that was read, each piece with the words that it comes from."""
    with centimetres_shown(read.metric):
        lines = [*_pieces(read), *_buys(read)]
    lines += _listed("Look at these again:", [sentence(one) for one in read.doubts])
    lines += _listed("Not understood; read it yourself:", read.unread)
    lines += _listed("Read, and nothing to cut:", [f"{text} ({what})" for text, what in read.noted])
    if read.usable_width:
        with centimetres_shown(read.metric):
            lines += ["", f"Usable width of the cloth: {_length(read.usable_width)}."]
    return lines


def read_view(read: ReadInstructions) -> dict[str, Any]:
    """Return all that was read for the page, each piece beside the words it comes from."""
    with centimetres_shown(read.metric):
        return {
            "pieces": [
                {"cloth": piece.cloth or UNNAMED, "says": piece_words(piece), "text": piece.text}
                for piece in read.pieces
            ],
            "buys": [
                {
                    "cloth": buy.cloth or UNNAMED,
                    "says": _amount(buy, metric=read.metric),
                    "text": buy.text,
                }
                for buy in read.buys
            ],
            "doubts": [sentence(one) for one in read.doubts],
            "unread": list(read.unread),
        }


def _pieces(read: ReadInstructions) -> Iterator[str]:
    if not read.pieces:
        yield "No piece to cut was read."
        return
    cloths = dict.fromkeys(piece.cloth for piece in read.pieces)
    for number, cloth in enumerate(cloths):
        if number:
            yield ""
        yield cloth or UNNAMED
        for piece in read.pieces:
            if piece.cloth == cloth:
                yield f"  {piece_words(piece)}"
                yield f"      read from: {piece.text}"


def piece_words(piece: ReadPiece) -> str:
    """Say what a piece is: ``64 squares 2 1/2 in, from 4 strips 2 1/2 in wide``."""
    label = f"{piece.label}: " if piece.label else ""
    words = f"{label}{count_of(piece.count, piece.shape)} {_size(piece)}"
    if piece.strips:
        strips = " or ".join(
            f"{count_of(one.count, 'strip')} {_length(one.width)} wide" for one in piece.strips
        )
        words += f", from {strips}"
    if piece.diagonal_cuts:
        ways = "once" if piece.diagonal_cuts == 1 else "twice"
        triangles = piece.count * TRIANGLES[piece.diagonal_cuts]
        words += f", each cut {ways} from corner to corner: {triangles:,} triangles"
    return words


def _size(piece: ReadPiece) -> str:
    if piece.across:
        return f"{_length(piece.width)} across the width of the fabric"
    if piece.along:
        return f"{_length(piece.width)} along the length of the fabric"
    if piece.length is None:
        return f"{_length(piece.width)} wide"
    if piece.length == piece.width:
        return _length(piece.width)
    return f"{_length(piece.width)} x {_length(piece.length)}"


def _length(length: Fraction) -> str:
    exact = not length % Fraction(1, 64)
    return show_length(length, step=None if exact else SIXTEENTH)


def _buys(read: ReadInstructions) -> Iterator[str]:
    if not read.buys:
        return
    yield ""
    yield "To buy"
    for buy in read.buys:
        yield f"  {buy.cloth or UNNAMED}: {_amount(buy, metric=read.metric)}"
        yield f"      read from: {buy.text}"


def _amount(buy: ReadBuy, *, metric: bool) -> str:
    if metric:
        return f"{float(buy.yards * YARD * CENTIMETRES_PER_INCH / 100):g} m"
    return f"{show_length(buy.yards, mark=False)} yd{' in all' if buy.fat else ''}"


def _listed(head: str, lines: Sequence[str]) -> list[str]:
    return ["", head, *(f"  {line}" for line in lines)] if lines else []


def read_json(read: ReadInstructions) -> dict[str, Any]:
    """Return all that was read; lengths in inches, cloth in yards."""
    return {
        "pieces": [_piece_json(piece) for piece in read.pieces],
        "buys": [
            {"cloth": buy.cloth, "yards": _number(buy.yards), "text": buy.text} for buy in read.buys
        ],
        "unread": list(read.unread),
        "doubts": [sentence(one) for one in read.doubts],
        "noted": [{"text": text, "what": what} for text, what in read.noted],
        "usable_width_in": _number(read.usable_width),
    }


def _piece_json(piece: ReadPiece) -> dict[str, Any]:
    return {
        "cloth": piece.cloth,
        "shape": piece.shape,
        "count": piece.count,
        "width_in": _number(piece.width),
        "length_in": _number(piece.length),
        "diagonal_cuts": piece.diagonal_cuts,
        "text": piece.text,
        "label": piece.label,
        "strips": [
            {
                "count": one.count,
                "width_in": _number(one.width),
                "length_in": _number(one.length),
            }
            for one in piece.strips
        ],
    }


def _number(length: Fraction | None) -> float | None:
    return None if length is None else round(float(length), DECIMALS)
