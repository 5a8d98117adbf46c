"""All that is cut against what is bought, what blocks take, and the way round the quilt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from catalog.cutting.yardage.bolt import YARD, Bolt, show_yards
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.errors import ClothError
from catalog.lengths import CENTIMETRES_PER_INCH, SIXTEENTH, show_length, unit_shown
from catalog.models import Piece
from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.doubts.piece_doubts import WIDEST_USABLE
from catalog.pattern.words.draft_values import diagonals_of, fabrics_named, sides_of, times_of
from catalog.pattern.words.instruction_values import ReadBuy, ReadInstructions

MAX_KINDS: Final = 8
"""Sizes cut from one cloth up to which they are planned; more are held against its area."""
FAT_WIDTH: Final = Fraction(22)
"""Inches: half of the widest cloth, 44."""
ONCE: Final = Fraction(7, 8)
"""Inches by which a square exceeds the finished side of two triangles (HST001 and others of
``tests/trade_checks/units.csv``); 1 1/4 where it gives four."""
TWICE: Final = Fraction(5, 4)
TRIMMED: Final = (Fraction(1, 8), Fraction(1, 4))
"""Inches more, where units are cut larger and trimmed: 1 and 1 1/2 in all (`common practice`)."""
MAX_GRID: Final = 12
"""Units along a block, of which a triangle takes one or two."""
SMALL_GRID: Final = 5
"""Units along a block, of which a triangle may take any number."""


def cloth_doubts(
    state: ReadingState, drafts: Sequence[Draft], read: ReadInstructions
) -> Iterator[str]:
    """Yield what doesn't go together in the text as a whole."""
    for buy in read.buys:
        yield from _too_little(state, drafts, buy)
    yield from _blocks(state, read)
    yield from _binding(state, drafts)
    yield from _triangles(state, drafts)
    flat = sum(piece.count for piece in read.pieces if piece.shape != "strip")
    if state.all_pieces and state.all_pieces != flat:
        yield f"{state.all_pieces} pieces are said in all, but those read come to {flat}"


def _cut_from(state: ReadingState, drafts: Sequence[Draft], buy: ReadBuy) -> list[Draft]:
    """Return what is cut from a cloth; nothing where another bought cloth may be meant too."""
    names = {buy.cloth, buy.purpose, *_shorter(state, drafts, buy)} - {""}
    named = [one for one in drafts if _named(state, one) in names]
    return [one for one in named if not one.strips]


def _shorter(state: ReadingState, drafts: Sequence[Draft], buy: ReadBuy) -> set[str]:
    """Return names that leave a word of what is bought out, as "white" for "white solid" does."""
    bought = [set(one.cloth.split()) for one in state.buys]
    cut = {_named(state, one) for one in drafts} - {one.cloth for one in state.buys}
    return {
        name for name in cut
        if name and set(name.split()) < set(buy.cloth.split())
        and sum(set(name.split()) < words for words in bought) == 1
    }  # fmt: skip


def _named(state: ReadingState, draft: Draft) -> str:
    name = draft.cloth or ""
    return fabrics_named(state, name)[0] if draft.each else name


def _too_little(state: ReadingState, drafts: Sequence[Draft], buy: ReadBuy) -> Iterator[str]:
    cut = _cut_from(state, drafts, buy)
    if not cut or sum(one.cloth == buy.cloth for one in state.buys) > 1:
        return
    bought = buy.yards * YARD
    taken = _area(state, cut) / FAT_WIDTH / 2 if buy.fat else _length(state, cut, bought)
    if taken > bought:
        yield (
            f'"{buy.text}": what is cut from it takes {show_length(taken, step=SIXTEENTH)} of '
            f"cloth ({_amount(taken)}), {_amount(bought)} is bought"
        )


def _amount(length: Fraction) -> str:
    """Write a length of cloth in yards or, where centimetres are shown, in metres."""
    if unit_shown() == "cm":
        return f"{float(length * CENTIMETRES_PER_INCH / 100):.2f} m"
    return show_yards(length)


def _length(state: ReadingState, cut: Sequence[Draft], bought: Fraction) -> Fraction:
    """Return the least length of cloth that pieces take, inches; 0 where what is bought will do."""
    width = state.usable or WIDEST_USABLE
    across = sum((one.sides[0] * one.count * times_of(state, one) for one in cut if one.across or
                  sides_of(state, one)[1] is None), Fraction(0))  # fmt: skip
    kinds = _kinds(state, cut)
    area = sum((a * b * count for (a, b), count in kinds.items()), Fraction(0)) / width
    if not kinds or len(kinds) > MAX_KINDS or any(max(sides) > width for sides in kinds):
        return across + area
    strips = _strips(kinds, width)
    if across + strips <= bought:
        return Fraction(0)
    pieces = [Piece(f"piece {n}", a, b, count) for n, ((a, b), count) in enumerate(kinds.items())]
    try:
        return across + min(strip_plan(pieces, Bolt(width, spare=Fraction(0))).least, strips)
    except ClothError:
        return across + area


def _kinds(state: ReadingState, cut: Sequence[Draft]) -> dict[tuple[Fraction, Fraction], int]:
    """Return how many there are of each size that doesn't go across the cloth."""
    kinds: dict[tuple[Fraction, Fraction], int] = {}
    for one in cut:
        first, second, _ = sides_of(state, one)
        if second is not None and not one.across:
            sides = (first, second)
            kinds[sides] = kinds.get(sides, 0) + one.count * times_of(state, one)
    return kinds


def _strips(kinds: dict[tuple[Fraction, Fraction], int], width: Fraction) -> Fraction:
    """Return the length that each size takes in strips of its own, inches."""
    total = Fraction(0)
    for (a, b), count in kinds.items():
        total += min(x * -(-count // (width // y)) for x, y in ((a, b), (b, a)) if y <= width)
    return total


def _area(state: ReadingState, cut: Sequence[Draft]) -> Fraction:
    total = Fraction(0)
    for one in cut:
        first, second, _ = sides_of(state, one)
        total += first * (second or FAT_WIDTH) * one.count * times_of(state, one)
    return total


def _blocks(state: ReadingState, read: ReadInstructions) -> Iterator[str]:
    """Hold what each block is said to take against what is cut."""
    if not state.blocks:
        return
    for number, words in state.needs:
        cut = [
            one
            for one in read.pieces
            if set(words.split()) & {*one.cloth.split(), one.label.lower()}
        ]
        total = sum(one.count for one in cut)
        if cut and total != number * state.blocks:
            yield (
                f"{state.blocks} blocks of {number} {words} need {number * state.blocks}, "
                f"{total} are cut"
            )


def _binding(state: ReadingState, drafts: Sequence[Draft]) -> Iterator[str]:
    """Hold strips of binding against the way round the quilt."""
    if not state.quilt_sides:
        return
    round_it = 2 * sum(state.quilt_sides, Fraction(0))
    for one in drafts:
        binds = "binding" in {*one.part.split(), *one.purpose, *(one.cloth or "").split()}
        if not binds or one.shape == "square" or one.strips:
            continue
        long = (sides_of(state, one)[1] or WIDEST_USABLE) * one.count * times_of(state, one)
        if long < round_it and one.is_strip:
            yield (
                f'"{one.shown(state.text)}": the strips come to {show_length(long)}, the way round '
                f"the quilt is {show_length(round_it)}"
            )


def _triangles(state: ReadingState, drafts: Sequence[Draft]) -> Iterator[str]:
    """Hold squares that are cut across against the finished block."""
    if not state.finished_block:
        return
    for one in drafts:
        ways = diagonals_of(one, times_of(state, one))
        if not ways or one.used_up:
            continue
        more = ONCE if ways == 1 else TWICE
        sides = [one.sides[0] - more - extra for extra in (Fraction(0), TRIMMED[ways - 1])]
        if not any(_fits_block(side, state.finished_block) for side in sides):
            shown = show_length(sides[0], step=SIXTEENTH)
            yield (
                f'"{one.shown(state.text)}": its triangles finish at {shown}, which doesn\'t go '
                f"into a block of {show_length(state.finished_block)}"
            )


def _fits_block(side: Fraction, block: Fraction) -> bool:
    """Tell whether a side is a part of the block in some grid."""
    part = side / block
    few = part.denominator <= SMALL_GRID
    return 0 < part <= 1 and (few or (part.numerator <= 2 and part.denominator <= MAX_GRID))
