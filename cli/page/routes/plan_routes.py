"""Counting and planning on the page: a pattern against the bundle, what to cut, and the wall."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, cast

from starlette.responses import Response

from catalog.catalogue.bundle_count import count_kept, hung_by_hand, request_for
from catalog.catalogue.events.wall_events import YOUR_PATTERN
from catalog.count_request import DEFAULT_ARRANGEMENT, needs_for
from catalog.cutting.plans import ARRANGEMENTS
from catalog.errors import PatternError, UsageError
from catalog.system.progress import Progress, unreported
from cli.page.routes.http_answers import PageRequest, object_of, told
from cli.page.server_state import ServerState, ShownPlan, counted_stamp, stamp

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import StoredBundle
    from catalog.count_request import CountRequest
    from catalog.count_results import Count
    from catalog.cutting.layouts.stock import Stock
    from catalog.cutting.plans import Arrangement
    from catalog.pattern.patterns import Pattern
    from catalog.planning import Planned

ORDER_WORDS: Final[Mapping[str, str]] = {
    "rainbow-diagonal": "rainbow from corner to corner",
    "rainbow-across": "rainbow from left to right",
    "rainbow-down": "rainbow from top to bottom",
    "light-to-dark": "from light to dark, top to bottom",
    "scattered": "scattered, with unlike neighbours",
}
MAX_PLAN_ROWS: Final = 200
MAX_PATTERN_LETTERS: Final = 200_000
"""Letters of a pattern file that the page sends."""


@dataclass(frozen=True, eq=False)
class Plan:
    """A bundle counted for a pattern and planned."""

    request: CountRequest
    count: Count
    planned: Planned | None
    """None where no set serves, or the pattern doesn't say how it is built."""
    wall: str = ""
    """Name of its wall."""
    done: frozenset[str] = frozenset()
    """Places on it that are sewn."""
    unmoved: Planned | None = None
    """As it was planned, before hands came to it."""


class PlanRoutes:
    """The answers about patterns."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def show(self, asked: PageRequest) -> Response:
        """Answer with the tally, what to cut and buy, and the wall."""
        from cli.page.plan_view import plan_view

        kept = self.state.kept(asked.number("bundle"))
        with self.state.working(kept) as tell:
            plan = self.plan(kept, asked.body, tell)
        view = plan_view(kept, plan)
        self.state.show_plan(kept.id, ShownPlan(asked.body, mark_of(plan.request)))
        return told(view)

    def reach(self, asked: PageRequest) -> Response:
        """Answer with how far the bundle would go, which takes longer than the plan."""
        from cli.page.plan_view import reach_view

        kept = self.state.kept(asked.number("bundle"))
        with self.state.working(kept) as tell:
            plan = self.reached(kept, asked.body, tell)
        return told(reach_view(plan))

    def reached(
        self, kept: StoredBundle, query: Mapping[str, Any], tell: Progress = unreported
    ) -> Plan:
        """Return a plan with how far its bundle would go."""
        from catalog.planning import reach_of, with_reach

        plan = self.plan(kept, query, tell)
        adapted = plan.planned.adapted if plan.planned else None
        if plan.planned is None or adapted is None:
            return plan
        key = ("reach", *counted_stamp(kept), plan.request)
        reach = self.state.answers.of(
            key, lambda: reach_of(adapted, plan.count, plan.request, tell)
        )
        return replace(plan, planned=with_reach(plan.planned, reach))

    def plan(
        self, kept: StoredBundle, query: Mapping[str, Any], tell: Progress = unreported
    ) -> Plan:
        """Return a plan, from memory where nothing has changed since."""
        with self.state.catalogue() as catalogue:
            request = request_from(query, kept, catalogue)
        key = ("plan", *stamp(kept), request)
        return self.state.answers.of(
            key, lambda: hung_as_said(kept, self._counted(kept, request, tell))
        )

    def _counted(self, kept: StoredBundle, request: CountRequest, tell: Progress) -> Plan:
        """Return a plan before hands came to its wall; what is said of a wall changes no count."""
        key = ("counted", *counted_stamp(kept), request)
        return self.state.answers.of(key, lambda: planned_for(kept, request, tell))


def mark_of(asked: object) -> str:
    """Return what tells one plan asked for from another."""
    return hashlib.sha256(repr(asked).encode("utf-8", "replace")).hexdigest()[:16]


def query_of(query: Mapping[str, str]) -> dict[str, Any]:
    """Return a plan's query as the address of a picture or file has it.

    ``pattern`` is a name, or the JSON of what the page would send in its place.
    """
    found: dict[str, Any] = {
        key: query[key]
        for key in ("pattern", "seam", "order", "precut", "pinked")
        if query.get(key)
    }
    for key in ("rows", "columns"):
        if query.get(key):
            if not query[key].isdecimal() or len(query[key]) > 6:
                raise UsageError(f"{key} {query[key][:20]} can't be meant", "give a whole number")
            found[key] = int(query[key])
    if found.get("pattern", "").startswith("{"):
        found["pattern"] = object_of(found["pattern"].encode())
    return found


def request_from(
    query: Mapping[str, Any], kept: StoredBundle, catalogue: Catalogue
) -> CountRequest:
    """Return what the page asks for, checked.

    Parameters
    ----------
    query : mapping
    kept : StoredBundle
    catalogue : Catalogue
        In which a pattern of one's own is looked for.

    Raises
    ------
    CalicountError
        No such pattern, or numbers that can't be meant.
    """
    from cli.cutting.cloth_options import seam_of

    arrangement = query.get("order") or DEFAULT_ARRANGEMENT
    if arrangement not in ARRANGEMENTS:
        raise UsageError(
            "there is no such order of the wall", f"use one of {', '.join(ARRANGEMENTS)}"
        )
    text = query.get("seam")
    if text is not None and not isinstance(text, str | int | float):
        raise UsageError("that seam is no length", "write it like 1/4")
    seam = seam_of(str(text)) if text not in {None, ""} else None
    pattern = _pattern(query, catalogue)
    request = request_for(kept, pattern, seam=seam, arrangement=cast("Arrangement", arrangement))
    request = replace(request, stock=_stock(query))
    if request.usable_side == request.side:
        return request
    return replace(request, needs=needs_for(pattern, request.rules, request.usable_side, seam))


def _stock(query: Mapping[str, Any]) -> Stock:
    """Return what the page says of precuts: what to buy cloth as, and where edges are measured."""
    from catalog.cutting.layouts.precuts import find_precut
    from catalog.cutting.layouts.stock import SoldAs, Stock

    name = query.get("precut") or ""
    if not isinstance(name, str):
        raise UsageError("that is no precut", "choose one of the list")
    sold_as = (SoldAs(find_precut(name)),) if name else ()
    return Stock(sold_as=sold_as, pinked="tips" if query.get("pinked") == "tips" else "valleys")


def _pattern(query: Mapping[str, Any], catalogue: Catalogue) -> Pattern | None:
    from catalog.catalogue.patterns.named_patterns import known_pattern
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.pattern.patterns import read_pattern

    asked = query.get("pattern")
    if asked in (None, ""):
        return None
    size = _rows_and_columns(query)
    if not isinstance(asked, str):
        return read_pattern(_text_sent(asked), YOUR_PATTERN, size)
    found = known_pattern(asked, OwnPatterns(catalogue))
    if found is None:
        raise PatternError(
            f'no pattern is called "{asked[:60]}"', "choose one of the list, or open a file"
        )
    return found.of_size(*size) if size else found


def _text_sent(asked: object) -> str:
    """Return the text of a pattern that the page sent."""
    text = asked.get("text") if isinstance(asked, dict) else None
    if not isinstance(text, str) or len(text) > MAX_PATTERN_LETTERS:
        raise PatternError("that is no pattern", "choose one of the list, or draw one")
    return text


def _rows_and_columns(query: Mapping[str, Any]) -> tuple[int, int] | None:
    given = [query.get("rows"), query.get("columns")]
    if given == [None, None]:
        return None
    for value in given:
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MAX_PLAN_ROWS:
            raise UsageError(
                "rows and columns can't be meant so", f"give both, from 1 to {MAX_PLAN_ROWS}"
            )
    return cast("tuple[int, int]", tuple(given))


def planned_for(kept: StoredBundle, request: CountRequest, tell: Progress = unreported) -> Plan:
    """Count a bundle for a pattern and plan it, before anybody hung anything otherwise."""
    from catalog.planning import plan_quilt

    count = count_kept(kept, request, tell, doubts=False)
    tell("planning")
    planned = plan_quilt(count, request)
    return Plan(request, count, planned, unmoved=planned)


def hung_as_said(kept: StoredBundle, plan: Plan) -> Plan:
    """Hang a plan's blocks as a person said."""
    if plan.unmoved is None:
        return plan
    hung, wall, done = hung_by_hand(kept, plan.request, plan.unmoved, plan.count.sets)
    return replace(plan, planned=hung, wall=wall, done=done)
