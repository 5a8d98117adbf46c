"""Sets on the page: those chosen by the standing rules, and others that a square could join."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from starlette.responses import Response

from catalog.bundle.tally_notes import (
    DIFFERENCE_STEPS,
    IN_WHAT,
    WORDS_BEYOND_STEPS,
    words_for_difference,
)
from catalog.catalogue.bundle_count import count_kept, free_swatches, request_for
from catalog.catalogue.standing.choices import numbered_sets
from catalog.catalogue.standing.set_change_words import has_changed
from catalog.catalogue.standing.set_changes import PairedBundle, change_between
from catalog.colour.ciede2000 import as_shown
from catalog.errors import CatalogueError, UsageError
from catalog.matching.difference_table import make_table
from catalog.models import NOT_COUNTED
from catalog.report.tables.csv_tables import in_words
from catalog.system.progress import Progress, unreported
from cli import wording
from cli.page.routes.http_answers import PageRequest, told
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from collections.abc import Sequence, Set

    from catalog.catalogue.records import StoredBundle
    from catalog.catalogue.standing.set_changes import SetsChange
    from catalog.count_results import Count
    from catalog.models import MatchRules, SquareSet
    from cli.page.photo_jobs import Jobs

View = dict[str, Any]

MAX_PARTNERS_SHOWN: Final = 8
MAX_SET_SIZE: Final = 4
BRIEFLY: Final = dict(
    zip(
        (*(words for _, words in DIFFERENCE_STEPS), WORDS_BEYOND_STEPS),
        ("alike", "near", "small step", "a step", "different"),
        strict=True,
    )
)
"""What a difference comes to where there is room for a word or two."""
MAX_FIND_LETTERS: Final = 200
"""Of a text in which a colour is looked for; more are left off."""


@dataclass(frozen=True, eq=False)
class ChosenSets:
    """The sets of a bundle by its standing rules."""

    count: Count
    rules: MatchRules


class PairingRoutes:
    """The answers about sets."""

    def __init__(self, state: ServerState, jobs: Jobs) -> None:
        self.state, self.jobs = state, jobs
        self._shown: dict[int, PairedBundle] = {}
        """By bundle, the sets that were shown last, and before them those of another version."""
        self._before: dict[int, PairedBundle] = {}

    def sets(self, asked: PageRequest) -> Response:
        """Answer with the sets; with ``doubts=1`` those that could change are flagged."""
        kept = self.state.kept(asked.number("bundle"))
        doubts = asked.query.get("doubts") == "1"
        with self.state.working(kept) as tell:
            found = self.chosen(kept, doubts, tell)
        kept = self._standing(kept, found)
        change = self._change(PairedBundle(kept, found.count))
        key = ("sets view", *stamp(kept), doubts)
        view = self.state.answers.of(key, lambda: sets_view(kept, found, change))
        return self.state.told.answer(view, asked.since)

    def stop(self, asked: PageRequest) -> Response:
        """Stop what takes long with a bundle; sets and plans can be asked for again."""
        self.state.stop_work(self.state.kept(asked.number("bundle")).id)
        return told({})

    def others(self, asked: PageRequest) -> Response:
        """Answer with other partners for the squares of a set."""
        kept = self.state.kept(asked.number("bundle"))
        wanted = asked.query.get("set", "").split(",")
        squares = list(dict.fromkeys(int(n) for n in wanted if n.isdecimal() and len(n) < 18))
        free = {kept.by_label[one.label].id for one in free_swatches(kept)}
        if not 1 <= len(squares) <= MAX_SET_SIZE or not free.issuperset(squares):
            raise UsageError("that set is not there any more", "load the page again")
        return told(others_view(kept, self.chosen(kept, doubts=False), squares))

    def find(self, asked: PageRequest) -> Response:
        """Answer with the squares that show a colour named in words, and the words beside it."""
        from catalog.catalogue.search.shown_colours import squares_showing

        kept = self.state.kept(asked.number("bundle"))
        found = squares_showing(kept.swatches, asked.query.get("words", "")[:MAX_FIND_LETTERS])
        squares = [kept.by_label[label].id for label in found.labels]
        return told({"colour": found.colour, "rest": found.rest, "squares": squares})

    def _standing(self, kept: StoredBundle, found: ChosenSets) -> StoredBundle:
        """Let sets that are shown stay, once all photos that were sent are there."""
        if kept.state.standing.chosen or self.jobs.busy_with(kept.name):
            return kept
        try:
            with self.state.catalogue() as catalogue:
                kept = catalogue.stand(kept, numbered_sets(kept, found.count.matching.sets))
        except CatalogueError:  # another command writes: they are written down when next asked for
            return kept
        self.state.answers.put(("kept", *stamp(kept)), kept)
        return kept

    def _change(self, now: PairedBundle) -> SetsChange | None:
        """Return how the sets differ from those that were shown before; None where none were."""
        number = now.kept.id
        last = self._shown.get(number)
        if last is not None and last.kept.version < now.kept.version:
            self._before[number] = last
        if last is None or last.kept.version < now.kept.version:
            self._shown[number] = now
        before = self._before.get(number)
        newest = self._shown[number].kept.version == now.kept.version
        return change_between(before, now) if before and newest else None

    def chosen(self, kept: StoredBundle, doubts: bool, tell: Progress = unreported) -> ChosenSets:
        """Return the sets, from memory where nothing has changed since."""
        key = ("sets", *stamp(kept), doubts)
        return self.state.answers.of(key, lambda: chosen(kept, tell, doubts=doubts))


def chosen(kept: StoredBundle, tell: Progress = unreported, *, doubts: bool) -> ChosenSets:
    """Choose a bundle's sets by its standing rules, locks and bans.

    Parameters
    ----------
    kept : StoredBundle
    tell : callable
        Told what is being done; may raise to end it.
    doubts : bool
        Flag the sets that the photo leaves open, which takes several times as long.
    """
    request = request_for(kept)
    return ChosenSets(count_kept(kept, request, tell, doubts=doubts), request.rules)


def sets_view(kept: StoredBundle, found: ChosenSets, change: SetsChange | None = None) -> View:
    """Return the sets, what is left over and why, and what to know of them."""
    fresh = {one.number for one in kept.state.standing.sets if one.since == kept.version}
    summary = wording.set_lines(found.count, where="marked: could change")
    return {
        "version": kept.version,
        "sets": [{**set_view(one, kept), "fresh": one.number in fresh} for one in found.count.sets],
        "unused": _unused(kept, found),
        "summary": [*summary, *found.count.notes],
        "changed": _changed(change, fresh),
    }


def _changed(change: SetsChange | None, fresh: Set[int]) -> View:
    """Return what the last change did to the sets."""
    if change is None:
        return {"new": sorted(fresh), "gone": [], "words": ""}
    return {
        "new": [one.number for one in change.new],
        "gone": [set_view(one, change.before.kept) for one in change.gone],
        "words": " ".join(has_changed(change)),
    }


def set_view(one: SquareSet, kept: StoredBundle) -> View:
    """Return a set."""
    return {
        "number": one.number,
        "squares": [kept.by_label[label].id for label in one.swatches],
        "difference": round(float(one.difference), 1),
        "words": in_words(one),
        "brief": BRIEFLY.get(words_for_difference(one.difference, one.k_lightness), ""),
        "matched_by": one.match_by,
        "value_step": round(float(one.value_step), 1),
        "family": one.family,
        "same_fabric": one.same_fabric,
        "flags": [flag for flag in one.flags if flag not in {"locked", NOT_COUNTED}],
        "locked": "locked" in one.flags,
        "counts": NOT_COUNTED not in one.flags,
        "need": one.need,
    }


def _unused(kept: StoredBundle, found: ChosenSets) -> list[View]:
    return [
        {"square": kept.by_label[label].id, "why": why_alone(label, found)}
        for label in found.count.matching.unused
    ]


def why_alone(label: str, found: ChosenSets) -> str:
    """Say why a square is in no set."""
    held = found.rules.held_back
    if label in held:
        return "held back"
    lonely = sum(one not in held for one in found.count.matching.unused)
    few = lonely < found.rules.size
    return "no square is left to go with it" if few else "nothing left may go with it by your rules"


def others_view(kept: StoredBundle, found: ChosenSets, squares: Sequence[int]) -> list[View]:
    """Return for each square of a set which others come nearest, by the rules that hold.

    Squares that are locked in another set, held back, or kept apart from it are left out.
    """
    table = make_table(found.count.bundle.swatches, (), found.rules)
    away = table.cost(np.arange(len(table.swatches)), stepped=found.rules.size == 2)
    number = {label: one.number for one in found.count.sets for label in one.swatches}
    locked = {label for one in found.count.sets if "locked" in one.flags for label in one.swatches}
    own = [kept.label(square) for square in squares]
    barred = (locked | found.rules.held_back | set(own)).intersection(table.place)
    away[:, [table.place[label] for label in barred]] = np.inf
    rows = [away[table.place[label]] for label in own]
    return [
        {
            "for": square,
            "others": [
                _other(kept, table.swatches[place].label, float(row[place]), number, found.rules)
                for place in np.argsort(row, kind="stable")[:MAX_PARTNERS_SHOWN]
                if np.isfinite(row[place])
            ],
        }
        for square, row in zip(squares, rows, strict=True)
    ]


def _other(
    kept: StoredBundle, label: str, difference: float, number: dict[str, int], rules: MatchRules
) -> View:
    return {
        "square": kept.by_label[label].id,
        "difference": round(difference, 1),
        "words": words_for_difference(difference, rules.likeness.k_lightness)
        + IN_WHAT[rules.match_by],
        "in_set": number.get(label),
        "warning": _warning(difference, rules),
    }


def _warning(difference: float, rules: MatchRules) -> str:
    """Return what is to be heeded of squares that differ by so much; empty for nothing."""
    seen = as_shown(difference)
    if rules.within is not None and seen > rules.within:
        return "too far apart to count"
    return "far apart" if seen > rules.tolerance else ""
