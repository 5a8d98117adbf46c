"""Counting and planning on the page: a pattern against the bundle, what to cut, and the wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final, cast

from starlette.responses import Response

from catalog.catalogue.bundle_count import rules_of, within_of
from catalog.catalogue.events.wall_events import (
    SETS_ALONE,
    YOUR_PATTERN,
    as_hung,
    name_of_text,
    wall_name,
)
from catalog.cutting.plans import ARRANGEMENTS
from catalog.errors import PatternError, UsageError
from cli.page.routes.http_answers import PageRequest, object_of, told
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.catalogue.records import Kept
    from catalog.cutting.plans import Arrangement
    from catalog.models import MatchRules, Need
    from catalog.pattern.patterns import Pattern
    from catalog.pipeline import Count
    from catalog.planning import Planned

ORDER_WORDS: Final[Mapping[str, str]] = {
    "rainbow-diagonal": "rainbow from corner to corner",
    "rainbow-across": "rainbow from left to right",
    "rainbow-down": "rainbow from top to bottom",
    "light-to-dark": "from light to dark, top to bottom",
    "scattered": "scattered, with unlike neighbours",
}
MAX_PLAN_ROWS: Final = 200
LARGEST_PATTERN: Final = 200_000
"""Letters of a pattern file that the page sends."""


@dataclass(frozen=True)
class Wish:
    """What is to be counted and planned."""

    name: str
    """By which the pattern is known; of one that isn't shipped, with a mark of its text."""
    pattern: Pattern | None
    """None to hang sets alone."""
    seam: Fraction | None
    order: Arrangement


@dataclass(frozen=True, eq=False)
class Plan:
    """A bundle counted for a pattern and planned."""

    wish: Wish
    count: Count
    rules: MatchRules
    planned: Planned | None
    """None where no set serves, or the pattern doesn't say how it is built."""
    wall: str
    """Name of its wall."""
    done: frozenset[str]
    """Places on it that are sewn."""


class PlanRoutes:
    """The answers about patterns."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def show(self, asked: PageRequest) -> Response:
        """Answer with the tally, what to cut and buy, and the wall."""
        from cli.page.plan_view import plan_view

        kept = self.state.kept(asked.number("bundle"))
        return told(plan_view(kept, self.plan(kept, asked.body)))

    def plan(self, kept: Kept, query: Mapping[str, Any]) -> Plan:
        """Return a plan, from memory where nothing has changed since."""
        wish = wish_of(query, kept)
        key = ("plan", *stamp(kept), wish.name, _size(wish), wish.seam, wish.order)
        return self.state.answers.of(key, lambda: planned_for(kept, wish))


def query_of(query: Mapping[str, str]) -> dict[str, Any]:
    """Return a plan's query as the address of a picture or file has it.

    ``pattern`` is a name, or the JSON of what the page would send in its place.
    """
    found: dict[str, Any] = {
        key: query[key] for key in ("pattern", "seam", "order") if query.get(key)
    }
    for key in ("rows", "columns"):
        if query.get(key):
            if not query[key].isdecimal() or len(query[key]) > 6:
                raise UsageError(f"{key} {query[key][:20]} can't be meant", "give a whole number")
            found[key] = int(query[key])
    if found.get("pattern", "").startswith("{"):
        found["pattern"] = object_of(found["pattern"].encode())
    return found


def wish_of(query: Mapping[str, Any], kept: Kept) -> Wish:
    """Return what the page asks for, checked.

    Raises
    ------
    CalicountError
        No such pattern, or numbers that can't be meant.
    """
    from cli.cutting.remake_request import seam_of

    order = query.get("order") or ORDERS_FIRST
    if order not in ARRANGEMENTS:
        raise UsageError(
            "there is no such order of the wall", f"use one of {', '.join(ARRANGEMENTS)}"
        )
    text = query.get("seam")
    if text is not None and not isinstance(text, str | int | float):
        raise UsageError("that seam is no length", "write it like 1/4")
    seam = seam_of(str(text), None, None) if text not in {None, ""} else None
    name, pattern = _pattern(query, kept, seam)
    return Wish(name, pattern, seam, cast("Arrangement", order))


ORDERS_FIRST: Final = "rainbow-diagonal"


def _pattern(
    query: Mapping[str, Any], kept: Kept, seam: Fraction | None
) -> tuple[str, Pattern | None]:
    from catalog.pattern.pattern_file import pattern_text, shipped_files
    from catalog.pattern.patterns import read_pattern
    from cli.page.pattern_form import pattern_text_of

    asked = query.get("pattern")
    if asked in (None, ""):
        return SETS_ALONE, None
    size = _rows_and_columns(query)
    if isinstance(asked, str):
        if asked not in shipped_files():
            raise PatternError(
                f'no pattern is called "{asked[:60]}"', "choose one of the list, or open a file"
            )
        return asked, read_pattern(pattern_text(asked), asked, size)
    form, text = _given(asked, "form", dict), _given(asked, "text", str)
    if form is not None:
        text = pattern_text_of(form, kept.side, seam or Fraction(1, 4))
    if text is None or len(text) > LARGEST_PATTERN:
        raise PatternError("that is no pattern", "choose one of the list, or fill in the form")
    return name_of_text(text), read_pattern(text, YOUR_PATTERN, size)


def _given(asked: object, name: str, kind: type) -> Any:  # noqa: ANN401 - of the kind asked for
    value = asked.get(name) if isinstance(asked, dict) else None
    return value if isinstance(value, kind) else None


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


def _size(wish: Wish) -> tuple[int | None, int | None]:
    return (wish.pattern.rows, wish.pattern.columns) if wish.pattern else (None, None)


def planned_for(kept: Kept, wish: Wish) -> Plan:
    """Count a bundle for a pattern and plan it, as a person hung it."""
    from catalog.bundle.tally import sets_need
    from catalog.cutting.adapted.cut_needs import as_cut
    from cli.page.routes.pairing_routes import counted

    rules = rules_of(kept)
    if wish.pattern is None:
        title: str = "Matched sets"
        needs: Sequence[Need] = (sets_need(rules.size, None),)
    else:
        title = wish.pattern.title
        needs = as_cut(wish.pattern.needs, wish.pattern.quilt, kept.side, wish.seam)
    count = counted(kept, title, needs, rules)
    planned = _planned(kept, wish, count, needs, rules)
    if planned is None:
        return Plan(wish, count, rules, None, "", frozenset())
    wall = wall_name(wish.name, planned)
    hung, done = as_hung(planned, wall, kept)
    return Plan(wish, count, rules, hung, wall, done)


def _planned(
    kept: Kept, wish: Wish, count: Count, needs: Sequence[Need], rules: MatchRules
) -> Planned | None:
    from catalog import planning
    from catalog.cutting.yardage.bolt import Bolt

    if not planning.serving_sets(count):
        return None
    if wish.pattern is None:
        need = needs[0]
        return planning.hang_sets(
            count, wish.order, size=need.match, need=need.name, square=kept.side
        )
    if wish.pattern.quilt is None:
        return None
    return planning.plan_quilt(
        count,
        wish.pattern,
        wish.order,
        square=kept.side,
        seam=wish.seam,
        cloth=Bolt(),
        rules=rules,
        within=within_of(kept),
    )
