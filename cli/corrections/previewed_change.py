"""What a command would change of a bundle's sets, said without doing it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from catalog.phrases import sentence
from cli import console
from cli.bundles.open_bundle import opened

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import StoredBundle
    from catalog.catalogue.standing.set_changes import PairedBundle, SetsChange
    from catalog.models import SquareSet
    from cli.options import Manner


def would_change(
    name: str, manner: Manner, events_of: Callable[[Catalogue, StoredBundle], Sequence[Event]]
) -> None:
    """Say what events would change of a bundle's sets; see `cli.bundles.open_bundle.change`."""
    from catalog.catalogue.standing.set_changes import as_standing, change_between, paired

    with opened(manner, reading=True) as catalogue, console.progress() as tell:
        kept = catalogue.bundle(name)
        events = events_of(catalogue, kept)
        before = paired(kept)
        after = paired(catalogue.preview(as_standing(before), events, tell))
    change = change_between(before, after)

    def say() -> None:
        for line in would_change_lines(change):
            console.tell(line)

    console.answer(manner, lambda: change_object(change), say)


def would_change_lines(change: SetsChange) -> list[str]:
    """Return in words what would change."""
    from catalog.catalogue.standing import set_change_words

    told = set_change_words.would_change(change) or ["every set would stay as it is"]
    name = change.before.kept.name
    return [f"{name}: nothing is done yet.", *(f"  {sentence(line)}" for line in told)]


def change_object(change: SetsChange) -> dict[str, Any]:
    """Return what would change as an object."""
    return {
        "bundle": change.before.kept.name,
        "version": change.before.kept.version,
        "gone": [_set(one) for one in change.gone],
        "new": [_set(one) for one in change.new],
        "left_alone": _labels(change.before, change.left_alone),
        "found_partner": _labels(change.after, change.found_partner),
    }


def _set(one: SquareSet) -> dict[str, Any]:
    return {
        "set": one.number,
        "swatches": list(one.swatches),
        "difference": round(float(one.difference), 3),
    }


def _labels(of: PairedBundle, numbers: Sequence[int]) -> list[str]:
    return [of.kept.label(number) for number in numbers]
