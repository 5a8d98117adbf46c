"""What is to be done on the wall so that it hangs as planned."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MoveKind = Literal[
    "exchange",
    "round",
    "bring",
    "twice",
    "other set",
    "stranger",
    "missing",
    "turn",
    "sides",
    "can't tell",
]
"""Two blocks hang at each other's place; three or more at the next one's; one at another's place;
one hangs that hangs elsewhere too; one of another set; one of none; an empty place; a block turned;
its cloths on each other's side; and what can't be told."""


@dataclass(frozen=True)
class WallMove:
    """One thing to put right, or to look at again."""

    kind: MoveKind
    places: tuple[str, ...]
    """Where it hangs; then, one after the other, where what hangs at the one before belongs."""
    sure: float
    """Probability, 0 to 1, that it is so."""
    turned_deg: int = 0
    """Clockwise against the plan, of what hangs there: 0, 90, 180 or 270."""
    set_number: int | None = None
    """The set whose cloth hangs there instead of the planned one's."""
    onto_empty: bool = False
    """Whether nothing hangs where it belongs."""
    moved: bool = False
    """Whether another move takes the same block elsewhere."""
    why: str = ""
    """Why it can't be told, or what it could be mistaken for."""
