"""A bundle while what a person said and did is applied to it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from catalog.catalogue.records import KeptSquare, Project, StandingRules
from catalog.models import Ground

Args = Mapping[str, Any]


@dataclass
class Course:
    """The state while deeds are applied."""

    squares: dict[int, KeptSquare] = field(default_factory=dict)
    fabrics: list[tuple[Any, tuple[int, ...]]] = field(default_factory=list)
    locks: list[tuple[int, ...]] = field(default_factory=list)
    forbidden: set[tuple[int, int]] = field(default_factory=set)
    white: int | None = None
    grey: int | None = None
    grounds: dict[int, Ground] = field(default_factory=dict)
    rules: StandingRules = field(default_factory=StandingRules)
    projects: dict[str, Project] = field(default_factory=dict)
    dropped_photos: set[int] = field(default_factory=set)
    pieces: list[list[int]] = field(default_factory=list)
    """Squares that are one piece of cloth each, the one that stands for it first."""
    wall: dict[str, Any] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    rule_notes: list[str] = field(default_factory=list)
    """What of the rules that stand can't be meant."""

    def label(self, number: int) -> str:
        """Return a square's label, for a sentence."""
        return self.squares[number].label if number in self.squares else "a square taken back"

    def change(self, numbers: Iterable[int], **new: Any) -> None:  # noqa: ANN401 - any field
        """Replace fields of squares; those that aren't there (their deed was undone) pass."""
        for number in numbers:
            if number in self.squares:
                self.squares[number] = replace(self.squares[number], **new)
