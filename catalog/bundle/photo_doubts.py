"""Doubts that so many of a photo's squares have that they are the photo's, and told of it once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final, TypeVar

if TYPE_CHECKING:
    from catalog.models import Square, Swatch

PhotoKey = TypeVar("PhotoKey", int, str)

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
    from catalog.models import RIGHT_AS_FOUND  # loads numpy, which no list of flags needs

    open_ = [() if RIGHT_AS_FOUND in one.flags else one.flags for one in squares]
    return shared_by_many(open_, PHOTO_DOUBTS)


def shared_by_many(marks: Sequence[Sequence[str]], among: Iterable[str]) -> tuple[str, ...]:
    """Return the doubts that so many of a photo's squares have that they are the photo's.

    Parameters
    ----------
    marks : sequence of sequence of str
        Of each square of the photo.
    among : iterable of str
        The doubts that may be.
    """
    marked = Counter(flag for flags in marks for flag in dict.fromkeys(flags))
    return tuple(
        flag
        for flag in among
        if marked[flag] >= MIN_SQUARES and marked[flag] > MAX_OWN_SHARE * len(marks)
    )


def with_own_flags(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Leave each square of a bundle those flags that aren't its photo's."""
    shared = doubts_by_photo((one.photo, one.square) for one in swatches)
    return tuple(
        replace(
            one,
            flags=_without(one.flags, shared[one.photo]),
            square=own_doubts(one.square, shared[one.photo]),
        )
        if shared[one.photo]
        else one
        for one in swatches
    )


def doubts_by_photo(squares: Iterable[tuple[PhotoKey, Square]]) -> dict[PhotoKey, frozenset[str]]:
    """Return the flags that are doubts of each photo rather than of its squares.

    Parameters
    ----------
    squares : iterable of (photo, Square)
        What tells a photo from others, and each of its squares.
    """
    own: dict[PhotoKey, list[Square]] = {}
    for photo, square in squares:
        own.setdefault(photo, []).append(square)
    return {photo: frozenset(photo_doubts(those)) for photo, those in own.items()}


def own_doubts(square: Square, shared: frozenset[str]) -> Square:
    """Return a square without the doubts that are its photo's."""
    return replace(square, flags=_without(square.flags, shared)) if shared else square


def _without(flags: tuple[str, ...], shared: frozenset[str]) -> tuple[str, ...]:
    return tuple(flag for flag in flags if flag not in shared)
