"""What a person said or did about a bundle, in plain words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from msgspec import structs

from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.records import RecordedEvent, StoredBundle
from catalog.phrases import joined

MAX_LISTED: Final = 6
"""Squares named one by one; of more only the first are."""
TAKEN_BACK: Final = "a square taken back"
"""A square that a person drew and whose drawing was undone since."""


def words_of(one: RecordedEvent, kept: StoredBundle) -> str:
    """Say what an event is.

    Parameters
    ----------
    one : RecordedEvent
        Holding, undone, or not yet done.
    kept : StoredBundle
        The bundle that it belongs to; squares are called by the labels that they have in it.

    Returns
    -------
    str
        A clause without a full stop, such as ``R3C4 is no square``, fit to stand after "Undo:".
    """
    return one.event.words(Names(kept, one))


class Names:
    """What squares and photos of a bundle are called in a sentence about one of its events."""

    def __init__(self, kept: StoredBundle, one: RecordedEvent) -> None:
        self._kept, self._one = kept, one
        self._squares = kept.state.squares

    @property
    def rules_before(self) -> StandingRules:
        """The rules that held when the event was done."""
        events, one = self._kept.events, self._one
        earlier = events[: one.number - 1] if one.number else events
        held = (
            other.event
            for other in reversed(earlier)
            if isinstance(other.event, StandingRules) and not 0 < other.undone <= one.made
        )
        return next(held, StandingRules())

    def square(self, number: int) -> str:
        """Return a square's label; of one that is out and lost its place, what the photo said."""
        if number not in self._squares:
            return TAKEN_BACK
        one = self._squares[number]
        if one.dropped and one.square.row is None:
            seen = (s.label for s in self._kept.seen if s.id == number and s.square is not None)
            return next(seen, one.label)
        return one.label

    def squares(self, numbers: Sequence[int]) -> str:
        """Name squares in a sentence."""
        return _listed([self.square(number) for number in numbers])

    def told(self, says: str, event: Event) -> str:
        """Fill the fields of an event into its sentence (see `Event.says`)."""
        fields = structs.asdict(event)
        one, _, many = says.partition("|")
        subject = fields.get("squares", fields.get("sets", ()))
        template = many if many and len(subject) != 1 else one
        told = {name: self._named(name, value) for name, value in fields.items()
                if "{" + name in template}  # fmt: skip
        return template.format_map(told)

    def _named(self, name: str, value: Any) -> Any:  # noqa: ANN401 - any field
        """Return what stands in a sentence for a field."""
        tell: dict[str, Callable[[Any], str]] = {
            "square": self.square,
            "squares": self.squares,
            "sets": self.sets,
            "pairs": self.pairs,
            "photo": self.photo,
        }
        return tell[name](value) if name in tell else value

    def one_set(self, numbers: Sequence[int]) -> str:
        """Name a set."""
        return " + ".join(self.square(number) for number in numbers)

    def sets(self, sets: Sequence[Sequence[int]]) -> str:
        """Name sets."""
        return _listed([self.one_set(one) for one in sets])

    def pairs(self, pairs: Sequence[Sequence[int]]) -> str:
        """Name pairs of squares."""
        return _listed([" and ".join(map(self.square, pair)) for pair in pairs])

    def photo(self, number: int) -> str:
        """Return a photo's name."""
        photos = (*self._kept.photos, *self._kept.gone_photos)
        return next((one.name for one in photos if one.id == number), "a photo")


def _listed(names: Sequence[str]) -> str:
    if len(names) > MAX_LISTED:
        shown = names[: MAX_LISTED - 1]
        return f"{', '.join(shown)} and {len(names) - len(shown)} more"
    return joined(names) or "nothing"
