"""A piece against its own strips, its triangles and the totals beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from catalog.lengths import SIXTEENTH, show_length
from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.draft_completion import LARGEST, NO_CLOTH_NAMED
from catalog.pattern.words.draft_values import times_of
from catalog.pattern.words.instruction_values import ReadPiece, StripsCut
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.phrases import count_of

WIDEST_USABLE: Final = Fraction(42)
"""Inches of cloth that strips are held against where the text tells no width: published plans
divide by 40 to 44, magazines by 42 (see `catalog.cutting.customary`); what fits 42 isn't odd."""
HUES: Final = words_in(
    "red blue green yellow orange purple pink brown black white grey gray cream navy teal"
)
"""Colours that beside a number tell its cloth."""
PIECES_OF_A_KIND: Final = 10_000
"""In one quilt; those of the smallest squares hold some thousands (from memory)."""
TRIANGLES_EACH: Final = {1: 2, 2: 4}
"""From a square that is cut once or twice from corner to corner."""


def piece_doubts(
    state: ReadingState, drafts: Sequence[Draft], pieces: Sequence[ReadPiece]
) -> Iterator[str]:
    """Yield what is doubtful of each piece, a sentence each that begins with its words."""
    named = any(piece.cloth for piece in pieces) or bool(state.buys)
    for draft, piece in zip(drafts, pieces, strict=True):
        if named and not piece.cloth:
            yield f'"{piece.text}": {NO_CLOTH_NAMED}'
        for words in (*draft.doubts, *_of_piece(state, draft, piece)):
            alike = sum(one.text == piece.text for one in pieces) > 1 and piece.cloth
            yield f'{piece.cloth}, "{piece.text}": {words}' if alike else f'"{piece.text}": {words}'
    yield from _shared_strips(state, pieces)


def _of_piece(state: ReadingState, draft: Draft, piece: ReadPiece) -> Iterator[str]:
    if not draft.sure:
        yield f"taken to be {piece.count}; the text names a range"
    if not draft.unit_said and state.mixed_units:
        yield f"no unit is written; taken to be {show_length(piece.width, step=SIXTEENTH)}"
    if draft.shape == "square" and len(draft.sides) > 1 and draft.sides[0] != draft.sides[1]:
        yield "called a square, but its sides differ"
    if draft.shape is None and len(draft.sides) == 1 and not (draft.across or draft.along):
        yield "only one side is told; taken to be a square"
    if draft.triangles and draft.shape == "square" and not piece.diagonal_cuts:
        yield "meant for triangles; whether these squares are cut across isn't told"
    elif draft.triangles and draft.shape != "square":
        yield "called triangles; the squares that they are cut from aren't told"
    said = {word for words in draft.names for word in words if word in HUES}
    if piece.cloth and said and not said & set(piece.cloth.split()):
        yield f"{' and '.join(sorted(said))} stands beside it; taken to be of the {piece.cloth}"
    if draft.each < 0 and times_of(state, draft) == 1:
        yield "from each of how many fabrics isn't told; counted once"
    if draft.per_block and not state.blocks:
        yield "how many blocks there are isn't told; counted for one"
    if min(draft.sides) > LARGEST:
        yield "larger than cloth is woven wide"
    if piece.count > PIECES_OF_A_KIND:
        yield f"more than {PIECES_OF_A_KIND:,} of them; the number may have been misread"
    yield from _totals(state, draft, piece)
    yield from _strips_of(state, piece)


def _totals(state: ReadingState, draft: Draft, piece: ReadPiece) -> Iterator[str]:
    """Hold triangles and totals against what is said of them."""
    said, own = draft.said_triangles, (piece.count, draft.count)
    given = TRIANGLES_EACH.get(piece.diagonal_cuts)
    if said > 0 and given and said not in {given * count for count in own}:
        ways = "once" if piece.diagonal_cuts == 1 else "twice"
        yield (
            f"{count_of(piece.count, 'square')} cut {ways} give {given * piece.count} triangles, "
            f"{said} are said"
        )
    elif said > 0 and not given:
        yield f"{said} triangles are said, but {piece.count} squares don't give so many"
    if said < 0 and -said not in own:
        yield f"{piece.count} are cut, {-said} in all are said"


def _strips_of(state: ReadingState, piece: ReadPiece) -> Iterator[str]:
    """Hold a piece against the strips that it alone is cut from."""
    if not piece.strips or piece.length is None:
        return
    most = sum(strips.count * per_strip(state, strips, piece) for strips in piece.strips)
    if most < piece.count:
        number = sum(strips.count for strips in piece.strips)
        width = max(length_of(state, strips) for strips in piece.strips)
        yield (
            f"{count_of(number, 'strip')} across {show_length(width, step=SIXTEENTH)} "
            f"give{'s' if number == 1 else ''} {most}, {piece.count} are said"
        )


def length_of(state: ReadingState, strips: StripsCut) -> Fraction:
    """Return how long a strip is taken to be, inches."""
    return strips.length or state.usable or WIDEST_USABLE


def per_strip(state: ReadingState, strips: StripsCut, piece: ReadPiece) -> int:
    """Return how many pieces a strip gives, lying whichever way gives more."""
    sides, long = (piece.width, piece.length or piece.width), length_of(state, strips)
    ways = ((strips.width // a) * (long // b) for a, b in (sides, sides[::-1]))
    return int(max(ways))


def _shared_strips(state: ReadingState, pieces: Sequence[ReadPiece]) -> Iterator[str]:
    """Hold pieces of several kinds against the strips that all of them are cut from."""
    groups: dict[tuple[str, tuple[StripsCut, ...]], list[ReadPiece]] = {}
    for piece in pieces:
        if len(piece.strips) == 1 and piece.length is not None:
            groups.setdefault((piece.cloth, piece.strips), []).append(piece)
    for (_, (strips,)), group in groups.items():
        area = sum(
            ((one.length or one.width) * one.width * one.count for one in group), Fraction(0)
        )
        alone = all(one.count <= strips.count * per_strip(state, strips, one) for one in group)
        if (
            len(group) > 1
            and alone
            and area > strips.count * strips.width * length_of(state, strips)
        ):
            names = " and ".join(f'"{one.text}"' for one in group)
            yield f"{names}: {count_of(strips.count, 'strip')} can't give all of them"
