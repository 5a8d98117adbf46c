"""What is asked of a square or a photo that is in doubt, why, and what each answer does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from catalog.catalogue.events.answer_events import RightAsFound
from catalog.catalogue.events.photo_events import PhotoGround, PhotoLamp
from catalog.catalogue.events.square_events import MarkedSquares, NotASquare
from catalog.lengths import show_length

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.light_questions import LightAnswer
    from catalog.models import Square

FAINT: Final = "faint"
"""Stands for what has no flag: the finder itself is not sure of an outline."""


@dataclass(frozen=True)
class DoubtAnswer:
    """An answer: events that say it, or where else it is to be said."""

    words: str
    events: tuple[Event, ...] = ()
    opens: Literal["", "corners", "photo"] = ""
    """What has to be opened to say it."""


@dataclass(frozen=True)
class AskedOfSquare:
    """Why a square is asked about, and what."""

    reason: str
    """A sentence; ``{size}`` and ``{usual}`` stand for what it and its bundle's squares measure."""
    question: str


OF_A_SQUARE: Final[Mapping[str, AskedOfSquare]] = {
    "unsure": AskedOfSquare(
        "The photo hardly shows whether this is a square of cloth at all.",
        "Is it one of your squares?",
    ),
    "odd size": AskedOfSquare(
        "It measures {size}, where the bundle's squares measure {usual}.",
        "Is it really of another size, with its outline where the cloth ends?",
    ),
    FAINT: AskedOfSquare(
        "The photo hardly shows where this square ends.", "Is its outline where the cloth ends?"
    ),
    "side not seen": AskedOfSquare(
        "A side of it doesn't show, so its size is a guess.", "Is its outline where the cloth ends?"
    ),
    "partly covered": AskedOfSquare(
        "Something lies on a part of it.", "Is enough of it seen to tell its colour and print?"
    ),
}
"""By flag, the heaviest first."""
OF_A_PHOTO: Final[Mapping[str, tuple[str, str]]] = {
    "unsure": (
        "{many} of this photo are hard to make out.",
        "Are they all squares of yours, with their outlines where the cloth ends?",
    ),
    "odd size": (
        "{many} of this photo measure otherwise than the bundle's squares.",
        "Are they really of another size, with their outlines where the cloth ends?",
    ),
    FAINT: (
        "The photo hardly shows where {many} end.",
        "Are their outlines where the cloth ends?",
    ),
    "side not seen": (
        "The sides of {many} don't show, so their sizes are guessed.",
        "Are their outlines where the cloth ends?",
    ),
    "partly covered": (
        "Something lies on a part of {many} of this photo.",
        "Is enough of them seen to tell their colours and prints?",
    ),
}
"""By flag, why and what is asked of a photo; ``{many}`` stands for its squares in doubt."""


def square_reason(flag: str, square: Square, side: Fraction) -> str:
    """Say why a square is asked about."""
    sides = [show_length(Fraction(one)) for one in (square.width_in, square.height_in)]
    return OF_A_SQUARE[flag].reason.format(
        size=" x ".join(dict.fromkeys(sides)), usual=show_length(side)
    )


def square_answers(flag: str, number: int) -> tuple[DoubtAnswer, ...]:
    """Return the answers about one square."""
    right = DoubtAnswer("Right as found", (RightAsFound((number,)),))
    corners = DoubtAnswer("Move its corners", opens="corners")
    if flag == "partly covered":
        aside = DoubtAnswer(
            "No, leave it out of the sets", (MarkedSquares((number,), "held back"),)
        )
        return right, corners, aside
    return right, corners, DoubtAnswer("It is no square", (NotASquare((number,)),))


def photo_answers(squares: Sequence[int]) -> tuple[DoubtAnswer, ...]:
    """Return the answers about the squares of a photo that share a doubt."""
    right = DoubtAnswer("Right as found, all of them", (RightAsFound(tuple(squares)),))
    return right, DoubtAnswer("Look at each of them", opens="photo")


def light_answer(photo: int, one: LightAnswer) -> DoubtAnswer:
    """Return an answer about the light of a photo."""
    said = PhotoLamp(photo, one.lamp) if one.ground is None else PhotoGround(photo, one.ground)
    return DoubtAnswer(one.words, (said,))
