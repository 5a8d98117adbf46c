"""Doubts that so many of a photo's squares have that they are the photo's, and told of it once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from catalog.models import Square, Swatch

MAX_OWN_SHARE: Final = 0.25
"""Share of a photo's squares up to which a doubt is told of each: of 44 photos with truth the five
stickered faces beyond it have a third to two thirds of their sides hidden, all others a seventh at
most (`tests/bench/doubts.py` counts the marks)."""
MIN_SQUARES: Final = 5
"""Squares that have to be marked for their doubt to be the photo's: fewer are named faster."""
PHOTO_DOUBTS: Final[Mapping[str, str]] = {
    "side not seen": "the sides of many squares don't show, so that their sizes are guessed",
    "unsure": "many squares are hard to make out: see that they are squares at all",
}
"""Flags of squares that may be a photo's, and what they say of it."""


def photo_doubts(squares: Sequence[Square]) -> tuple[str, ...]:
    """Return the flags of one photo's squares that are doubts of the photo."""
    marked = Counter(flag for square in squares for flag in dict.fromkeys(square.flags))
    return tuple(
        flag
        for flag in PHOTO_DOUBTS
        if marked[flag] >= MIN_SQUARES and marked[flag] > MAX_OWN_SHARE * len(squares)
    )


def with_own_flags(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Leave each square of a bundle those flags that aren't its photo's."""
    squares: dict[str, list[Square]] = {}
    for one in swatches:
        squares.setdefault(one.photo, []).append(one.square)
    shared = {photo: frozenset(photo_doubts(those)) for photo, those in squares.items()}
    return tuple(
        replace(
            one,
            flags=_without(one.flags, shared[one.photo]),
            square=replace(one.square, flags=_without(one.square.flags, shared[one.photo])),
        )
        if shared[one.photo]
        else one
        for one in swatches
    )


def _without(flags: tuple[str, ...], shared: frozenset[str]) -> tuple[str, ...]:
    return tuple(flag for flag in flags if flag not in shared)
