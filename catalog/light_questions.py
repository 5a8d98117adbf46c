"""What is asked of the light, in words, and what each answer says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from catalog.models import Ground, LightQuestion


@dataclass(frozen=True)
class LightAnswer:
    """An answer to a question."""

    words: str
    """On a button."""
    option: str
    """That says it to a command."""
    ground: Ground | None = None
    lamp: bool | None = None


@dataclass(frozen=True)
class AskedOfLight:
    """A question whose answer would change a photo's colours, and its answers."""

    words: str
    answers: tuple[LightAnswer, ...]

    def options(self) -> str:
        """Return the answers as they are typed."""
        *first, last = (f"{one.option} ({one.words.lower()})" for one in self.answers)
        return f"{', '.join(first)} or {last}"


LIGHT_QUESTIONS: Final[dict[LightQuestion, AskedOfLight]] = {
    "sheet": AskedOfLight(
        "Is that a white sheet under the squares?",
        (
            LightAnswer("Yes, white", "--ground white", ground="white"),
            LightAnswer("No, grey", "--ground grey", ground="grey"),
            LightAnswer("No, another colour", "--ground other", ground="other"),
        ),
    ),
    "lamp": AskedOfLight(
        "Was a lamp on?",
        (
            LightAnswer("Yes", "--lamp", lamp=True),
            LightAnswer("No, daylight", "--no-lamp", lamp=False),
        ),
    ),
}
"""What each question says."""
