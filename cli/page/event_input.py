"""What the page sends, checked and made into events; nothing is believed of its shape."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, Final, get_type_hints

from msgspec import structs

from catalog.catalogue.events.drawn_squares import fit_outline
from catalog.catalogue.events.event_base import SQUARE_FIELDS
from catalog.catalogue.events.event_fields import form_limits, sayable
from catalog.catalogue.events.event_kinds import CLASSES, tag_of
from catalog.catalogue.events.project_events import ReservedSets
from catalog.catalogue.events.set_events import LockedSets, SwappedSquares
from catalog.catalogue.events.square_events import MissedSquare, SamePiece
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.events.wall_events import ExchangedBlocks
from catalog.errors import UsageError
from cli.page.input_checks import AGAIN, Args, Version, read, unfit

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import StoredBundle, StoredPhoto

MAX_EVENTS: Final = 200
"""Events of one request."""
LISTS_OF_SQUARES: Final = {*SQUARE_FIELDS, "first", "second"}


def events_of(body: Args, kept: StoredBundle) -> list[Event]:
    """Return the events that the page asks for.

    Raises
    ------
    CalicountError
        One that is none, or that makes no sense for this bundle.
    """
    asked = body.get("deeds")
    if not isinstance(asked, list) or not 1 <= len(asked) <= MAX_EVENTS:
        raise unfit("deeds", f"a list of 1 to {MAX_EVENTS}")
    return [_event(one, kept) for one in asked]


def version_of(body: Args) -> int:
    """Return the bundle's version that the page saw last."""
    version: int = read(body, "version", Version)
    return version


def limits() -> dict[str, dict[str, Any]]:
    """Return by kind of event and field, as JSON schemas, what can be said in the page's forms."""
    return {
        tag: {name: form_limits(held) for name, (held, _) in fields_of(of).items()}
        for tag, of in CLASSES.items()
    }


@cache
def fields_of(of: type[Event]) -> Mapping[str, tuple[Any, bool]]:
    """Return what is said of an event of a class: by name its type, and whether it may be left out.

    These are what its ``of`` takes, or its own fields where it has none. What is left out may stand
    for nothing, never for yes.
    """
    make = getattr(of, "of", of)
    hints = get_type_hints(make, include_extras=True)
    given = inspect.signature(make).parameters.items()
    return {name: (hints[name], one.default not in {one.empty, True}) for name, one in given}


def _event(asked: object, kept: StoredBundle) -> Event:
    tag = tag_of(asked.get("kind"), asked) if isinstance(asked, dict) else ""
    if not isinstance(asked, dict) or not tag:
        raise UsageError("that can't be done to a bundle", AGAIN)
    of = CLASSES[tag]
    given = {name: _different(value) if name in LISTS_OF_SQUARES else value
             for name, value in asked.items()}  # fmt: skip
    if of is StandingRules:
        return _rules(given, kept.state.rules)
    said = {
        name: read(given, name, sayable(held))
        for name, (held, may_lack) in fields_of(of).items()
        if given.get(name) is not None or not may_lack
    }
    _refuse_strange(said, kept)
    if "corners" in said:
        _refuse_outside(said, kept)
    make: Callable[..., Event] = getattr(of, "of", of)
    event = make(**said)
    _refuse_senseless(event, kept)
    return event


def _rules(given: Args, now: StandingRules) -> StandingRules:
    """Return the standing rules with those that were sent; null stands for none."""
    said = {
        name: read(given, name, sayable(held))
        for name, (held, _) in fields_of(StandingRules).items()
        if name in given
    }
    rules = structs.replace(now, **said)
    if rules.most_step is not None and rules.most_step < rules.least_step:
        raise UsageError("the most step is less than the least step", "turn them round")
    return rules


def _refuse_strange(said: Args, kept: StoredBundle) -> None:
    """Refuse squares and photos that aren't in the bundle."""
    if "photo" in said:
        photo_in(kept, said["photo"])
    named = _numbers_in([said[name] for name in LISTS_OF_SQUARES & said.keys()])
    if any(number not in kept.state.squares for number in named):
        raise UsageError("that square is not in the bundle", AGAIN)


def photo_in(kept: StoredBundle, number: int) -> StoredPhoto:
    """Return the photo of a number, refused where the bundle has none."""
    found = next((one for one in kept.photos if one.id == number), None)
    if found is None:
        raise UsageError("that photo is not in the bundle", AGAIN)
    return found


def _refuse_outside(said: Args, kept: StoredBundle) -> None:
    """Refuse corners that don't lie on their photo, or go round no square."""
    number = said["photo"] if "photo" in said else kept.state.squares[said["square"]].photo
    photo = next((one for one in kept.photos if one.id == number), None)
    if photo is None:
        raise UsageError("its photo was taken out of the bundle", AGAIN)
    fit_outline(said["corners"], photo.wide, photo.high)


def _refuse_senseless(event: Event, kept: StoredBundle) -> None:
    """Refuse what can't be done to the squares that are meant as they stand."""
    match event:
        case MissedSquare(row=int(), col=None):
            raise unfit("col", "a whole number")
        case SamePiece():
            _refuse_used(kept, event.squares, "live")
        case LockedSets():
            for one in event.sets:
                if len(one) != kept.state.rules.set_size:
                    raise _other_size(kept, one)
            _refuse_used(kept, event.about, "free")
        case SwappedSquares() | ReservedSets():
            _refuse_used(kept, event.about, "free")
        case ExchangedBlocks() if event.swap[0] == event.swap[1]:
            raise unfit("swap", "two different places")


def _refuse_used(kept: StoredBundle, squares: Iterable[int], must_be: str) -> None:
    for square in (kept.state.squares[number] for number in squares):
        if not getattr(square, must_be):
            raise UsageError(f"{square.label} is {square.why_not_free}", "choose another")


def _other_size(kept: StoredBundle, squares: Iterable[int]) -> UsageError:
    size = kept.state.rules.set_size
    labels = " + ".join(map(kept.label, squares))
    return UsageError(
        f"{labels} can't be kept together: sets are of {size} squares now",
        f"choose {size} squares, or change the size of the sets",
    )


def _numbers_in(value: object) -> list[int]:
    """Return the whole numbers in nested lists."""
    if isinstance(value, list | tuple):
        return [number for one in value for number in _numbers_in(one)]
    return [value] if isinstance(value, int) else []


def _different(value: object) -> object:
    """Return lists of whole numbers without those that stand there already."""
    if not isinstance(value, list):
        return value
    if all(type(one) is int for one in value):
        return list(dict.fromkeys(value))
    return [_different(one) for one in value]
