"""What a square gives where it is larger than the piece that is wanted.

A square counts as the equal pieces that straight cuts of the blade make of it, n along by m
across, as if it had been cut up already: n times m squares of one fabric and one colour. So

- a square may be in several sets, and in one set twice: whether two pieces of one fabric may be a
  set is for the rule on one fabric to say, as it is of two squares of one fabric;
- squares kept apart are so with all their pieces; one that is held back is so whole; a lock makes
  one set and leaves the other pieces free;
- a square is cut to pieces of one size: those that one need leaves may serve another need for
  which it would be cut in the same way, and small pieces come out of them as out of whole squares;
- a square that serves anything is no square left over; what is left of it is told as pieces.

A square of the size of the piece gives one, and counts as it always did.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import product
from typing import Final

from catalog.models import MatchRules, Need, Square, Swatch

SAME_SIZE_WITHIN: Final = 0.06
"""Part of its side by which a square may measure otherwise than the bundle's and pass for one of
them: more tells an odd size beyond doubt (see `catalog.finding.odd_sizes`)."""
ODD_SIZE: Final = "odd size"
"""The flag of a square whose own sides tell another size than the bundle's."""

MAX_SIDES: Final = 1 << 14
"""Sides whose pieces are remembered: of a thousand squares for eight sizes."""
Grid = tuple[int, int]
"""Pieces along a square's width and along its height."""

MEASURING_ALLOWANCE: Final = 0.125
"""Inches by which a square may measure smaller than its piece and still count. Sides read from a
photo are a mean over the cloth's edge, which pinking and creases leave uncertain by about this
much: one mark of the ruler (common practice)."""
TRUE_INCHES_ALLOWANCE: Final = 0.0625
"""The same where a reference page in the photo says how long an inch is: half as much, as what the
middle square measures isn't taken from hearsay then (`catalog/reference_page/README.md`); and of a
square that is told to be of another size, which is known to be smaller (on drawn layouts sizes of
such squares were off by 1/30 in in the median)."""


def allowance_of(square: Square) -> float:
    """Return the inches by which a square may measure smaller than its piece and still count."""
    sure = square.absolute or ODD_SIZE in square.flags
    return TRUE_INCHES_ALLOWANCE if sure else MEASURING_ALLOWANCE


def sides_of(square: Square, said: Fraction) -> tuple[float, float]:
    """Return what a square's width and height count for, inches.

    A side near the length that the squares of its photo (else the bundle's) are said to have counts
    for that at least, unless a reference page tells otherwise or the square is told to be of
    another size.
    """
    measured = square.width_in, square.height_in
    if square.absolute or ODD_SIZE in square.flags:
        return measured
    wide, high = (_side_for(side, square.said_in, said) for side in measured)
    return wide, high


# This and the next are asked of each square for each need many times over, and of a bundle that is
# tried on many patterns still more often.
@lru_cache(MAX_SIDES)
def _side_for(side: float, own: float, said: Fraction) -> float:
    said = Fraction(own) or said
    return max(side, float(said)) if abs(side - said) <= SAME_SIZE_WITHIN * said else side


@lru_cache(MAX_SIDES)
def fitting(
    side: float,
    size: Fraction,
    said: Fraction = Fraction(0),
    allowance: float = MEASURING_ALLOWANCE,
) -> int:
    """Return how many pieces fit along a side, as far as a photo can tell (common practice).

    Parameters
    ----------
    side : float
        Inches, as measured.
    size : Fraction
        Of the pieces, inches; 0 for whatever the square measures.
    said : Fraction
        What the side of the squares in hand is said to be; 0 if that isn't known. A side that
        measures about so much gives no second piece that one of just that length wouldn't.
    allowance : float
        Inches by which it may measure smaller than a piece.
    """
    if not size:
        return 1
    number = math.floor((side + allowance) / float(size))
    if said and abs(side - said) <= SAME_SIZE_WITHIN * said:
        return min(number, max(1, said // size))
    return number


def grid_of(swatch: Swatch, need: Need) -> Grid:
    """Return how many of a need's pieces a square gives along its width and its height."""
    square, said = swatch.square, need.of_square
    wide, high = sides_of(square, said)
    allowance = allowance_of(square)
    return fitting(wide, need.size, said, allowance), fitting(high, need.size, said, allowance)


def pieces_from(swatch: Swatch, need: Need) -> int:
    """Return how many of a need's pieces a square gives; 0 where it is too small."""
    return math.prod(grid_of(swatch, need))


@dataclass(frozen=True, eq=False)
class CutUp:
    """Squares cut up in thought, each piece a swatch of its own."""

    swatches: tuple[Swatch, ...]
    """The first piece of each square bears the square's label."""
    square: Mapping[str, str]
    """From a piece's label to its square's."""
    rules: MatchRules
    """As they hold of the pieces."""


def cut_up(swatches: Sequence[Swatch], numbers: Mapping[str, int], rules: MatchRules) -> CutUp:
    """Cut squares up in thought.

    Parameters
    ----------
    swatches : sequence of Swatch
        Labels unique.
    numbers : mapping from label to int
        Pieces of each, 1 or more; those it lacks stay whole.
    rules : MatchRules
        As they speak of the squares.
    """
    pieces: dict[str, list[Swatch]] = {}
    for one in swatches:
        many = numbers.get(one.label, 1)
        # What is cut from one square is of one fabric, known or not.
        cloth = one.fabric if many == 1 else one.fabric or f"that of {one.label}"
        pieces[one.label] = [
            replace(one, label=_named(one.label, which), fabric=cloth)
            for which in range(1, many + 1)
        ]
    square = {piece.label: label for label, own in pieces.items() for piece in own}

    def all_of(label: str) -> list[str]:
        return [piece.label for piece in pieces[label]] if label in pieces else [label]

    forbidden = tuple(
        both for pair in rules.forbidden for both in product(all_of(pair[0]), all_of(pair[1]))
    )
    held = frozenset(piece for label in rules.held_back for piece in all_of(label))
    return CutUp(
        tuple(piece for own in pieces.values() for piece in own),
        square,
        replace(rules, forbidden=forbidden, held_back=held),
    )


def _named(label: str, which: int) -> str:
    return label if which == 1 else f"{label} piece {which}"
