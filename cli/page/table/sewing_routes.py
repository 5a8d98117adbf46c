"""What a device on the table sees of a bundle, and the ticks of what is sewn that it sends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from starlette.responses import Response

from catalog.catalogue.events.event_fields import Squares, Text, WallPlace, sayable
from catalog.errors import StaleError
from cli.page.event_input import events_of
from cli.page.input_checks import Args, read
from cli.page.routes.bundle_routes import CAUTION
from cli.page.routes.http_answers import PageRequest, refusal, told
from cli.page.routes.plan_routes import mark_of
from cli.page.server_state import ServerState, ShownPlan, stamp
from cli.page.table.admission import WARNING

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import StoredBundle
    from cli.page.photo_jobs import Jobs
    from cli.page.routes.plan_routes import Plan, PlanRoutes

SEEN: Final = ("id", "name", "version", "side", "photos")
"""Of a bundle; what was done to it, its rules and projects are the first door's."""
SEEN_OF_SQUARES: Final = ("id", "label", "said", "photo", "v", "corners", "hex", "colour_name")
TRIES: Final = 20
"""How often a tick is worked out anew because the bundle was changed meanwhile."""


class SewingRoutes:
    """The answers to a device on the table."""

    def __init__(self, state: ServerState, jobs: Jobs, plans: PlanRoutes) -> None:
        self.state, self.jobs, self.plans = state, jobs, plans

    def start(self, _: PageRequest) -> Response:
        """Answer with what the page shows first."""
        from cli.page.bundle_view import line_view

        with self.state.catalogue() as catalogue:
            lines = catalogue.lines()
        return told(
            {
                "bundles": [line_view(line) for line in lines],
                "open": self.state.shown_last or self.state.opened_with,
                "jobs": self.jobs.under_way,
                "caution": CAUTION,
                "warning": WARNING,
            }
        )

    def bundle(self, asked: PageRequest) -> Response:
        """Answer with a bundle, as much of it as is seen on the table."""
        from cli.page.bundle_view import bundle_view

        whole = bundle_view(self.state.kept(asked.number("bundle")))
        squares = [{name: one[name] for name in SEEN_OF_SQUARES} for one in whole["squares"]]
        view = {**{name: whole[name] for name in SEEN}, "squares": squares}
        return self.state.told.answer(view, asked.since)

    def plan(self, asked: PageRequest) -> Response:
        """Answer with the plan that the computer's page shows, or else with that of last time."""
        from cli.page.table.sewing_view import sewing_view

        kept = self.state.kept(asked.number("bundle"))
        view = sewing_view(kept, self._plan(kept))
        view = {**view, "version": kept.version, "mark": self._shown(kept).mark}
        return self.state.told.answer(view, asked.since)

    def quilt(self, asked: PageRequest) -> Response:
        """Answer with every face of the quilt of that plan."""
        from cli.page.wall.wall_routes import hanging
        from cli.page.wall.wall_view import quilt_view

        kept = self.state.kept(asked.number("bundle"))
        plan = self._plan(kept)
        planned = hanging(plan)
        key = ("quilt", *stamp(kept), plan.wall, plan.request)
        return told(self.state.answers.of(key, lambda: quilt_view(self.state, kept, plan, planned)))

    def now(self, asked: PageRequest) -> Response:
        """Answer how a bundle stands, in few words, for who asks often."""
        kept = self.state.kept(asked.number("bundle"))
        return told({"version": kept.version, "mark": self._shown(kept).mark})

    def tick(self, asked: PageRequest) -> Response:
        """Tick a block of the wall as sewn, or as not sewn after all.

        The block is meant, not the place: where it was hung elsewhere meanwhile, it is ticked
        there. What is so already is not said again.
        """
        number = asked.number("bundle")
        said = {name: read(asked.body, name, held) for name, held in TICK.items()}
        for _ in range(TRIES):
            kept = self.state.kept(number)
            event = self._sewn(kept, said)
            if isinstance(event, Response):
                return event
            try:
                if event is not None:
                    kept = self._done(kept, event)
                return told({"version": kept.version})
            except StaleError:
                continue
        return refusal(409, f"others keep changing {kept.name}", "wait until their work is done")

    def _done(self, kept: StoredBundle, event: Event) -> StoredBundle:
        seen = kept.version
        return self.state.change(
            kept.id, lambda all_, name: all_.do(name, [event], seen_version=seen)
        )

    def _shown(self, kept: StoredBundle) -> ShownPlan:
        """Return which plan is meant: that which the first door shows; else the last that hung."""
        shown = self.state.shown_plans.get(kept.id)
        if shown is None:
            query = self._last(kept)
            shown = ShownPlan(query, mark_of(query))
        return shown

    def _plan(self, kept: StoredBundle) -> Plan:
        return self.plans.plan(kept, self._shown(kept).query)

    def _last(self, kept: StoredBundle) -> Mapping[str, Any]:
        """Return what the plan was last: the pattern of the last count, hung as was said of it."""
        from catalog.catalogue.bundle_count import wall_pattern
        from catalog.catalogue.hung_plan import said_walls
        from catalog.catalogue.last_count import last_count
        from catalog.catalogue.patterns.named_patterns import known_pattern
        from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns

        with self.state.catalogue() as catalogue:
            last = last_count(catalogue, kept)
            name = last.pattern if last else ""
            found = known_pattern(name, OwnPatterns(catalogue)) if name else None
        query: dict[str, Any] = {"pattern": name if found else None}
        wall = wall_pattern(found)[:80]
        hung = next((one for one in said_walls(kept) if one.pattern == wall), None)
        if hung is not None:
            query["order"] = hung.arrangement
            if hung.size:
                query["rows"], query["columns"] = hung.size
        return query

    def _sewn(self, kept: StoredBundle, said: Args) -> Event | Response | None:
        """Return what a tick says of the bundle as it stands; None where it is so already."""
        plan = self._plan(kept)
        place, squares = said["place"], set(said["squares"])
        if plan.planned is not None and plan.wall == said["wall"]:
            ids = {label: one.id for label, one in kept.by_label.items()}
            blocks = plan.planned.wall.blocks
            hangs = [b.place for b in blocks if {ids[label] for _, label in b.squares} == squares]
            if not hangs:
                return refusal(
                    409,
                    f"what hung at {place} hangs there no longer",
                    "look at the wall as it is now",
                )
            place = place if place in hangs else hangs[0]
            if (place in plan.done) == said["on"]:
                return None
        deed = {"kind": "hang", "wall": said["wall"], "done": place, "on": said["on"]}
        (event,) = events_of({"deeds": [{**deed, "squares": list(said["squares"])}]}, kept)
        return event


TICK: Final[Mapping[str, Any]] = {
    "wall": sayable(Text),
    "place": sayable(WallPlace),
    "on": bool,
    "squares": sayable(Squares),
}
"""What a tick says."""
