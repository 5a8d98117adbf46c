"""What a photograph of the design wall shows against the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from catalog.models.squares import Corners

PlaceState = Literal[
    "as planned", "other", "turned", "sides", "missing", "can't tell", "not in the photo"
]
"""What hangs at a place: what the plan says; another block; the planned one turned; the planned one
with its cloths on each other's side; nothing; and two ways of not knowing."""


@dataclass(frozen=True)
class SeenPlace:
    """One place of the plan as a photo of the wall shows it."""

    place: str
    """Its name in the plan, such as ``A1``."""
    state: PlaceState
    shows: str | None = None
    """The place whose planned block hangs here, where it is another's; None where no place's."""
    turned_deg: int = 0
    """Clockwise against the plan: 0, 90, 180 or 270."""
    sure: float = 0.0
    """Probability, 0 to 1, that `state` (with `shows` and `turned_deg`) is right."""
    photo: str = ""
    """Name of the photo that shows it; empty where none does."""
    outline: Corners | None = None
    """Where it hangs in that photo, px, clockwise from its top left; None where it isn't seen."""
    set_number: int | None = None
    """The set whose cloth hangs here where it isn't the planned one and can be told."""
    near: str = ""
    """Why it can't be told, or what it could be mistaken for, in a plain sentence; empty else."""
    joined_to: tuple[str, ...] = ()
    """Places beside it whose blocks are sewn to this one, as the photo shows."""


@dataclass(frozen=True)
class WallCheck:
    """A wall checked against its plan, over all photos."""

    places: tuple[SeenPlace, ...]
    """One for each place of the plan, in its order."""
    wall_found: bool
    """Whether any photo shows blocks of the plan at all."""
