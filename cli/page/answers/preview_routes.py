"""What a change would do to the sets, told before it is done, and whether there are better ones."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from catalog.catalogue.standing.set_change_words import better_words, would_change
from catalog.catalogue.standing.set_changes import (
    PairedBundle,
    as_standing,
    better_choice,
    change_between,
    total_of,
)
from cli.page.event_input import events_of, version_of
from cli.page.routes.bundle_routes import stale
from cli.page.routes.http_answers import PageRequest, told
from cli.page.routes.pairing_routes import PairingRoutes, chosen, set_view, why_alone
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.catalogue.standing.set_changes import SetsChange, SetsTotal
    from cli.page.routes.pairing_routes import ChosenSets

View = dict[str, Any]


class PreviewRoutes:
    """The answers about what would be."""

    def __init__(self, state: ServerState, pairing: PairingRoutes) -> None:
        self.state, self.pairing = state, pairing

    def preview(self, asked: PageRequest) -> Response:
        """Answer with what deeds would do to the sets; nothing is done."""
        kept, seen = self.state.kept(asked.number("bundle")), version_of(asked.body)
        if kept.version != seen:
            return stale(kept)
        events = events_of(asked.body, kept)
        before = self._paired(kept)
        with self.state.catalogue() as catalogue:
            after = catalogue.preview(as_standing(before), events)
        found = chosen(after, doubts=False)
        change = change_between(before, PairedBundle(after, found.count))
        view = change_view(change, found)
        if asked.body.get("better") is True:
            view["better"] = better_view(better_choice(change.after))
        return told(view)

    def better(self, asked: PageRequest) -> Response:
        """Answer with what choosing all sets anew would give; nothing where that is no better."""
        kept = self.state.kept(asked.number("bundle"))
        key = ("better", *stamp(kept))
        view = self.state.answers.of(key, lambda: better_view(better_choice(self._paired(kept))))
        return told({"version": kept.version, "better": view})

    def _paired(self, kept: StoredBundle) -> PairedBundle:
        return PairedBundle(kept, self.pairing.chosen(kept, doubts=False).count)


def change_view(change: SetsChange, found: ChosenSets) -> View:
    """Return what would change, and what that comes to."""
    before, after = change.before, change.after
    was, now = total_of(before.count.sets), total_of(after.count.sets)
    return {
        "version": before.kept.version,
        "before": total_view(was),
        "after": total_view(now),
        "breaks": [set_view(one, before.kept) for one in change.gone],
        "new": [set_view(one, after.kept) for one in change.new],
        "left_alone": [
            {"square": number, "why": _why(after.kept, number, found)}
            for number in change.left_alone
        ],
        "found_partner": list(change.found_partner),
        "worse": was.better_than(now),
        "words": would_change(change),
        "better": None,
    }


def total_view(total: SetsTotal) -> View:
    """Return what sets come to."""
    return {
        "sets": total.sets,
        "counting": total.counting,
        "total": round(total.total, 1),
        "worst": round(total.worst, 1),
    }


def better_view(change: SetsChange | None) -> View | None:
    """Return how much better sets chosen anew would be; None where they wouldn't."""
    if change is None:
        return None
    was, now = total_of(change.before.count.sets), total_of(change.after.count.sets)
    return {
        **total_view(now),
        "more": now.counting - was.counting,
        "less": round(was.total - now.total, 1),
        "changes": len(change.gone),
        "words": better_words(change),
    }


def _why(kept: StoredBundle, number: int, found: ChosenSets) -> str:
    square = kept.state.squares.get(number)
    if square is None:
        return "not there"
    return square.why_not_free or why_alone(square.label, found)
