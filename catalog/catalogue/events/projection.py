"""What the photos said, and all that a person said since, to the bundle as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Any, Literal

from catalog.catalogue.events.event_base import PhotoEvent
from catalog.catalogue.events.set_events import ordered
from catalog.catalogue.events.standing_events import standing_of
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.records import (
    TAKEN_OUT,
    Project,
    RecordedEvent,
    SaidOfWall,
    SeenSquare,
    State,
    StoredSquare,
)
from catalog.models import Ground, Square, label_of


def replay(
    seen: Sequence[SeenSquare],
    events: Iterable[RecordedEvent],
    choices: Sequence[RecordedEvent] = (),
) -> State:
    """Apply what holds of a person's events to what the photos said.

    Parameters
    ----------
    seen : sequence of SeenSquare
        All squares that ever came into the bundle.
    events : iterable of RecordedEvent
        In the order in which they were done; those undone are passed over.
    choices : sequence of RecordedEvent
        Sets that were chosen, in the order in which they were.

    Returns
    -------
    State
        Its ``notes`` tell what can no longer hold, such as a lock on a square that was cut since.

    Raises
    ------
    KeyError
        An event is of a kind that isn't known.

    Notes
    -----
    What is said of photos and outlines comes first, as it was done; then what is said of pieces of
    cloth, which holds of a piece whichever of its squares was named.
    """
    now = Projection({one.id: one.label for one in seen})
    for one in seen:
        if one.square is not None:
            now.squares[one.id] = StoredSquare(one.id, one.photo, one.label, one.square)
    events = tuple(events)
    holding = [one.event for one in events if not one.undone]
    for event in holding:
        if isinstance(event, PhotoEvent):
            event.apply(now)
    stands = now.choose_stand_ins()
    for event in holding:
        if not isinstance(event, PhotoEvent):
            meant = event.renumbered(lambda n: stands.get(n, n)) if stands else event
            meant.apply(now)
    standing = standing_of(choices, events, lambda number: stands.get(number, number))
    return replace(now.settled(), standing=standing)


@dataclass
class Projection:
    """A bundle while events are applied to it."""

    labels: Mapping[int, str]
    """That squares came into the catalogue with."""
    squares: dict[int, StoredSquare] = field(default_factory=dict)
    fabrics: list[tuple[Literal["one", "own"], tuple[int, ...]]] = field(default_factory=list)
    locks: list[tuple[int, ...]] = field(default_factory=list)
    forbidden: set[tuple[int, int]] = field(default_factory=set)
    white: int | None = None
    grey: int | None = None
    grounds: dict[int, Ground] = field(default_factory=dict)
    lamps: dict[int, bool] = field(default_factory=dict)
    rules: StandingRules = field(default_factory=StandingRules)
    projects: dict[str, Project] = field(default_factory=dict)
    dropped_photos: set[int] = field(default_factory=set)
    pieces: list[list[int]] = field(default_factory=list)
    """Squares that are one piece of cloth each, the one that stands for it first."""
    wall: dict[str, SaidOfWall] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    asked_anew: int = 0
    rule_notes: list[str] = field(default_factory=list)
    """What of the rules that stand can't be meant."""

    def label(self, number: int) -> str:
        """Return a square's label, for a sentence."""
        return self.squares[number].label if number in self.squares else "a square taken back"

    def change(self, numbers: Iterable[int], **new: Any) -> None:  # noqa: ANN401 - any field
        """Replace fields of squares; those that aren't there (their event was undone) pass."""
        for number in numbers:
            if number in self.squares:
                self.squares[number] = replace(self.squares[number], **new)

    def settle_in(self, number: int, square: Square) -> None:
        """Give a square its place and label; one that has them already takes its old ones."""
        one = self.squares[number]
        label = label_of(square, 0)
        for other in list(self.squares.values()):
            if other.id != number and other.label == label:
                old = one.square
                given = replace(other.square, row=old.row, col=old.col)
                self.change([other.id], square=given, label=one.label)
        self.change([number], square=square, label=label)

    def choose_stand_ins(self) -> dict[int, int]:
        """Settle which square stands for each piece that is shown twice; give it for the others."""
        stands = {}
        for piece in self.pieces:
            live = [n for n in piece if n in self.squares and not self.squares[n].dropped]
            if live:
                self.change(live[1:], twin_of=live[0])
                stands.update(dict.fromkeys(piece, live[0]))
        return stands

    def lock(self, sets: Iterable[Iterable[int]]) -> None:
        """Keep sets together; what speaks against it goes."""
        for said in sets:
            one = tuple(dict.fromkeys(said))
            if len(one) < 2:
                self.notes.append(f"{self.label(one[0])} is one piece of cloth, and no set")
                continue
            self.locks = [lock for lock in self.locks if not set(lock) & set(one)]
            self.locks.append(one)
            self.forbidden -= {ordered(a, b) for a, b in combinations(one, 2)}

    def forbid(self, said: Iterable[tuple[int, int]]) -> None:
        """Keep pairs out of sets; locks on them go."""
        pairs = {ordered(a, b) for a, b in said if a != b}
        self.forbidden |= pairs
        self.locks = [
            lock
            for lock in self.locks
            if not pairs & {ordered(a, b) for a, b in combinations(lock, 2)}
        ]

    def can_be_reserved(self, number: int) -> bool:
        """Whether a project may take a square; one that left the bundle keeps its set together."""
        one = self.squares.get(number)
        return one is not None and not one.marks and not one.project

    def settled(self) -> State:
        """Let go of what can no longer hold, and return what is left."""
        self._drop_lost_locks()
        self.notes += self.rule_notes
        self._note_lost_squares()
        return State(
            squares=self.squares,
            fabrics=tuple(self.fabrics),
            locks=tuple(self.locks),
            forbidden=tuple(sorted(self.forbidden)),
            white=self.white,
            grey=self.grey,
            grounds=self.grounds,
            lamps=self.lamps,
            rules=self.rules,
            projects=self.projects,
            dropped_photos=frozenset(self.dropped_photos),
            wall=self.wall,
            notes=tuple(self.notes),
            asked_anew=self.asked_anew,
        )

    def _drop_lost_locks(self) -> None:
        kept = []
        taken = [set(one.squares) for project in self.projects.values() for one in project.sets]
        for lock in self.locks:
            if any(one >= set(lock) for one in taken):
                continue  # the set has gone to a project whole, as it was meant to
            lost = [n for n in lock if n not in self.squares or not self.squares[n].free]
            if not lost:
                kept.append(lock)
                continue
            named = " + ".join(self.label(n) for n in lock)
            why = ", ".join(self._loss(n) for n in lost)
            self.notes.append(f"the lock on {named} can no longer hold: {why}")
        self.locks = kept

    def _note_lost_squares(self) -> None:
        for project in self.projects.values():
            for member in (n for one in project.sets for n in one.squares):
                if member in self.squares and self.squares[member].dropped:
                    why = self.squares[member].dropped
                    said = f"{self.label(member)}, which {project.name} has, is out of the bundle"
                    self.notes.append(f"{said}: {why}")
        for word, number in (("white", self.white), ("grey", self.grey)):
            if number is not None and (number not in self.squares or self.squares[number].dropped):
                self.notes.append(f"{self.label(number)} can no longer tell what is {word}")
                setattr(self, word, None)

    def _loss(self, number: int) -> str:
        label = self.label(number)
        if number not in self.squares:
            return f"{label} is not there"
        why = self.squares[number].why_not_free
        return f"the photo of {label} was taken out" if why == TAKEN_OUT else f"{label} is {why}"
