"""What became of photos that were added, in words or as JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from catalog.phrases import count_of, joined
from cli import console
from cli.bundles.open_bundle import quoted
from cli.bundles.show import light_lines
from cli.reference_words import CURE_KEPT, reference_lines
from cli.wording import doubts_of, families

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.errors import CalicountError
    from catalog.models import Swatch
    from cli.options import Manner

MAX_PAIRS_TOLD = 8
"""Pairs of squares told one by one; more are only counted."""


@dataclass(frozen=True, eq=False)
class Outcome:
    """A bundle after photos were added, and what became of each."""

    kept: StoredBundle
    added: tuple[str, ...]
    """Names of photos."""
    known: tuple[str, ...]
    empty: tuple[str, ...]
    bad: tuple[CalicountError, ...]
    pairings: tuple[tuple[str, str, float], ...]
    """Labels of squares that look like one piece of cloth, and how sure, 0 to 1."""
    pages: tuple[str, ...] = ()
    """What is to be said of reference pages in the photos."""


def tell_added(outcome: Outcome, manner: Manner) -> None:
    """Say what became of the photos."""
    console.answer(
        manner, lambda: _object(outcome), lambda: console.tell_lines(added_lines(outcome))
    )
    for name in outcome.empty:
        console.complain(f"{name}: no squares found, so it wasn't added.")


def added_lines(outcome: Outcome) -> list[str]:
    """What was added, what the bundle is now, and what to look at again."""
    kept = outcome.kept
    lines = []
    if outcome.added:
        number = count_of(len(_fresh(outcome)), "square")
        lines.append(f"{kept.name}: {number} added from {named(outcome.added)}.")
    if outcome.known:
        lines.append(
            f"{named(outcome.known)} {be(outcome.known)} in "
            f"{kept.name} already; nothing is added twice.{_gone(outcome)}"
        )
    fabrics = len({swatch.fabric for swatch in kept.swatches})
    if not outcome.added:
        return lines
    lines.append(
        f"In all {count_of(len(kept.swatches), 'square')} of {count_of(fabrics, 'fabric')} by "
        f"their looks, in {families(kept.swatches)}."
    )
    sizes = reference_lines(_fresh(outcome), kept.side, cure=CURE_KEPT)
    return [
        *lines,
        *_doubts(outcome),
        *light_lines(kept),
        *sizes,
        *outcome.pages,
        *_offers(outcome),
    ]


def _added_names(outcome: Outcome) -> set[str]:
    """Names that the bundle gave the photos; another may have had theirs before."""
    return {photo.name for photo in outcome.kept.photos[-len(outcome.added) :]}


def named(names: tuple[str, ...]) -> str:
    """Photos in a sentence, counted where they are many."""
    if len(names) > MAX_PAIRS_TOLD:
        return count_of(len(names), "photo")
    return joined(names)


def be(names: tuple[str, ...]) -> str:
    """The verb that goes with them."""
    return "is" if len(names) == 1 else "are"


def _gone(outcome: Outcome) -> str:
    """Say how a photo that was taken out comes back."""
    from catalog.catalogue.events.photo_events import DroppedPhoto

    gone = {photo.id for photo in outcome.kept.gone_photos if photo.name in outcome.known}
    number = next(
        (
            one.number
            for one in outcome.kept.events
            if isinstance(one.event, DroppedPhoto) and not one.undone and one.event.photo in gone
        ),
        None,
    )
    if number is None:
        return ""
    return f" It was taken out; calicount undo {quoted(outcome.kept.name)} {number} brings it back."


def _fresh(outcome: Outcome) -> list[Swatch]:
    """The squares of the photos that were added."""
    fresh = _added_names(outcome)
    return [one for one in outcome.kept.swatches if one.photo in fresh]


def _doubts(outcome: Outcome) -> list[str]:
    number, lines = doubts_of(_fresh(outcome))
    return [f"Look again at {count_of(number, 'square')}:", *lines] if number else []


def _offers(outcome: Outcome) -> list[str]:
    name = quoted(outcome.kept.name)
    lines = [
        f"{one} and {other} look like one piece of cloth: "
        f"calicount square same {name} {one} {other}"
        for one, other, _ in outcome.pairings[:MAX_PAIRS_TOLD]
    ]
    more = len(outcome.pairings) - len(lines)
    if more > 0:
        lines.append(f"{count_of(more, 'more pair')} look alike too; --json lists them all.")
    if len(outcome.pairings) > 1:
        lines.append(f"If all of them are: calicount square same {name} --all")
    return lines


def _object(outcome: Outcome) -> dict[str, Any]:
    from cli.bundles.bundle_json import bundle_object

    return {
        "added": list(outcome.added),
        "known": list(outcome.known),
        "without_squares": list(outcome.empty),
        "not_read": [str(error) for error in outcome.bad],
        "one_piece": [
            {"squares": [one, other], "sure": round(sure, 2)}
            for one, other, sure in outcome.pairings
        ],
        "bundle": bundle_object(outcome.kept),
    }
