"""The squares of a bundle that need a person, the most doubtful first, and doubts of whole photos.

What a person has said to be right as found is asked no more. A doubt that many squares of a photo
share is asked once, of the photo, so that the squares that differ from the others can be seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from catalog.bundle.photo_doubts import shared_by_many
from catalog.catalogue.doubts.questions import (
    FAINT,
    OF_A_PHOTO,
    OF_A_SQUARE,
    DoubtAnswer,
    light_answer,
    photo_answers,
    square_answers,
    square_reason,
)
from catalog.light_questions import LIGHT_QUESTIONS
from catalog.models import RIGHT_AS_FOUND
from catalog.phrases import count_of, joined
from catalog.report.pictures.outlines import DOUBTFUL_BELOW
from catalog.report.tables.csv_tables import look_again

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle, StoredPhoto, StoredSquare
    from catalog.models import Swatch

FLAG_DOUBT: Final = 0.3
"""Doubt that each flag leaves (choice of ours: two flags go before a confidence of 1/2)."""
WHOLE_DOUBT: Final = 20.0
"""CIEDE2000 of uncertainty at which nothing is known of a colour: between a red and a pink."""


@dataclass(frozen=True)
class Doubt:
    """One thing that a person is asked."""

    photo: int
    squares: tuple[int, ...]
    """Of which it is asked; all of the photo's that share it."""
    weight: float
    """From 0 to 1: how much is in doubt."""
    reason: str
    """A sentence."""
    question: str
    answers: tuple[DoubtAnswer, ...]


@dataclass(frozen=True)
class DoubtQueue:
    """What is to be asked."""

    photos: tuple[Doubt, ...]
    squares: tuple[Doubt, ...]
    """Of one square each, the most doubtful first."""

    @property
    def asked(self) -> frozenset[int]:
        """The squares that are asked about each by itself."""
        return frozenset(number for one in self.squares for number in one.squares)

    @property
    def words(self) -> str:
        """How much there is to be asked."""
        photos = len({one.photo for one in self.photos})
        parts = [count_of(number, noun) for number, noun in
                 ((len(self.squares), "square"), (photos, "photo")) if number]  # fmt: skip
        if not parts:
            return "Nothing wants a look."
        one = len(self.squares) + photos == 1
        return f"{joined(parts)} {'wants' if one else 'want'} a look."


def doubt_of(square: StoredSquare, swatch: Swatch | None) -> float:
    """Return how much a square wants to be looked at again, from 0 to 1.

    A doubt is what is left when every sign alone is taken away: what the finder isn't sure of,
    each flag, and a colour that may be far off. Of one that is right as found none is left.
    """
    if swatch is None or square.right:
        return 0.0
    sure = square.square.confidence
    sure *= (1.0 - FLAG_DOUBT) ** len(look_again(swatch))
    sure *= 1.0 - min(swatch.own_uncertainty / WHOLE_DOUBT, 1.0)
    return round(1.0 - sure, 3)


def doubt_queue(kept: StoredBundle) -> DoubtQueue:
    """Return what of a bundle needs a person."""
    flags = {
        square.id: _flags_of(square, swatch)
        for swatch in kept.swatches
        if (square := kept.by_label[swatch.label]).free
    }
    photos: list[Doubt] = []
    for photo in kept.photos:
        photos += _of_light(photo)
        own = {n: those for n, those in flags.items() if kept.state.squares[n].photo == photo.id}
        shared = shared_by_many(list(own.values()), OF_A_PHOTO)
        photos += [_of_photo(photo, flag, [n for n in own if flag in own[n]]) for flag in shared]
        for number, those in own.items():
            flags[number] = tuple(flag for flag in those if flag not in shared)
    alone = [
        _of_square(kept, swatch, flags[number])
        for swatch in kept.swatches
        if flags.get(number := kept.by_label[swatch.label].id)
    ]
    return DoubtQueue(tuple(photos), tuple(sorted(alone, key=lambda one: -one.weight)))


def _flags_of(square: StoredSquare, swatch: Swatch) -> tuple[str, ...]:
    """Return what is in doubt of a square, its photo's doubts among it."""
    if RIGHT_AS_FOUND in square.square.flags:
        return ()
    found = dict.fromkeys((*square.square.flags, *look_again(swatch)))
    if square.square.confidence < DOUBTFUL_BELOW:
        found[FAINT] = None
    return tuple(flag for flag in OF_A_SQUARE if flag in found)


def _of_light(photo: StoredPhoto) -> list[Doubt]:
    if photo.question is None:
        return []
    asked = LIGHT_QUESTIONS[photo.question]
    reason = f"Its colours are judged by {photo.evidence}; the answer would change all of them."
    answers = tuple(light_answer(photo.id, one) for one in asked.answers)
    return [Doubt(photo.id, (), 1.0, reason, asked.words, answers)]


def _of_photo(photo: StoredPhoto, flag: str, squares: Sequence[int]) -> Doubt:
    reason, question = OF_A_PHOTO[flag]
    many = count_of(len(squares), "square")
    return Doubt(
        photo.id, tuple(squares), 1.0, reason.format(many=many), question, photo_answers(squares)
    )


def _of_square(kept: StoredBundle, swatch: Swatch, flags: Sequence[str]) -> Doubt:
    square = kept.by_label[swatch.label]
    flag = flags[0]
    return Doubt(
        square.photo,
        (square.id,),
        doubt_of(square, swatch),
        square_reason(flag, swatch.square, kept.side),
        OF_A_SQUARE[flag].question,
        square_answers(flag, square.id),
    )
