"""A photo of the wall, sent to be held against the plan, and what a person makes of the answer."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, NoReturn

from starlette.requests import Request
from starlette.responses import Response

from catalog.errors import UsageError
from catalog.phrases import sentence
from cli.page.event_input import version_of
from cli.page.memory import Memory
from cli.page.routes.http_answers import (
    NotThereError,
    PageRequest,
    told,
)
from cli.page.routes.plan_routes import PlanRoutes, query_of
from cli.page.routes.upload_routes import answer_to_photo, file_name
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.models import WallMove
    from cli.checking.wall_changes import WallChanges
    from cli.checking.wall_run import CheckedWall

MAX_CHECKS: Final = 6
"""Checks kept, each with a picture of some 2 MB; of older ones the photo is sent again."""


@dataclass(frozen=True, eq=False)
class _PageCheck:
    """A wall that was checked for the page; its photo is let go."""

    bundle: int
    version: int
    """Of the bundle by whose plan it was checked."""
    done: CheckedWall
    jpeg: bytes
    taken: tuple[str, ...] = ()
    """Places at which the plan follows the wall by now."""


class WallCheckRoutes:
    """The answers about photos of the wall."""

    def __init__(self, state: ServerState, plans: PlanRoutes) -> None:
        self.state, self.plans = state, plans
        self._checks = Memory(MAX_CHECKS)

    async def receive(self, request: Request) -> Response:
        """Take a photo of the wall and answer what differs from the plan."""
        return await answer_to_photo(request, self._checked)

    def picture(self, asked: PageRequest) -> Response:
        """Answer with the photo in which the moves are drawn."""
        return Response(self._known(asked).jpeg, media_type="image/jpeg")

    def take(self, asked: PageRequest) -> Response:
        """Let the plan follow the wall as it was checked."""
        from cli.checking.wall_changes import taken_as_is

        def changes(kept: StoredBundle, one: _PageCheck) -> WallChanges:
            if one.taken:
                raise UsageError("the plan follows the wall already", "leave it as it is")
            return taken_as_is(kept, one.done.hung, one.done.check)

        return self._change(asked, changes)

    def tick(self, asked: PageRequest) -> Response:
        """Tick what looks sewn on the sewing list."""
        from cli.checking.checking_options import TickChoice
        from cli.checking.wall_changes import WallChanges, sewn_in_photo, with_ticks

        def changes(kept: StoredBundle, one: _PageCheck) -> WallChanges:
            sewn = sewn_in_photo(one.done.hung, one.done.check, one.taken)
            before = WallChanges(one.done.hung, one.taken)
            return with_ticks(kept, before, sewn, TickChoice.yes)

        return self._change(asked, changes)

    def _checked(self, content: bytes, asked: PageRequest) -> Response:
        from catalog.catalogue.hung_plan import HungPlan
        from catalog.catalogue.seen_wall import numbered_sets, seen_wall
        from catalog.photo import decode_photo
        from cli.checking.checking_options import CHECKED
        from cli.checking.wall_run import check_contents, checked
        from cli.counting.bundle_run import photos_of

        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, query_of(asked.query))
        if plan.planned is None:
            raise NotThereError("no set hangs on the wall yet", "choose a pattern that sets serve")
        photo = decode_photo(content, file_name(asked.query.get("name", "")))
        with self.state.catalogue() as catalogue:
            own = photos_of(catalogue, kept, lambda _: None)
            hung = HungPlan(plan.planned, plan.request, plan.count, plan.wall, plan.done)
            sets = numbered_sets(catalogue, kept, hung)
        check = seen_wall(kept, own, plan.planned, [photo], sets)
        done = checked(hung, [photo], check)
        picture = check_contents(done)[f"{CHECKED}.jpg"]
        number = secrets.token_hex(8)
        held = _PageCheck(*_stamp(kept), replace(done, photos=()), _bytes(picture))
        self._checks.put(number, held)
        return told({"check": number, **_view(done)})

    def _known(self, asked: PageRequest) -> _PageCheck:
        def gone() -> NoReturn:
            raise NotThereError(
                "that check of the wall is no longer at hand", "send the photo again"
            )

        known: _PageCheck = self._checks.of(asked.path["check"], gone)
        return known

    def _change(self, asked: PageRequest, changes_of: Any) -> Response:  # noqa: ANN401 - see `take`
        from cli.page.bundle_view import bundle_view

        one, seen = self._known(asked), version_of(asked.body)
        kept = self.state.kept(asked.number("bundle"))
        if (one.bundle, one.version) != _stamp(kept):
            raise UsageError(
                "the bundle was changed since the wall was checked", "send the photo again"
            )
        made: WallChanges = changes_of(kept, one)
        if not made.events:
            raise UsageError("all is so already", "leave it as it is")
        after = self.state.change(
            kept.id, lambda all_, name: all_.do(name, made.events, seen_version=seen)
        )
        done = replace(one.done, hung=made.hung)
        held = replace(one, version=after.version, done=done, taken=made.taken)
        self._checks.put(asked.path["check"], held)
        return self.state.told.answer(bundle_view(after), asked.since)


def _stamp(kept: StoredBundle) -> tuple[int, int]:
    return kept.id, kept.version


def _bytes(picture: bytes | str) -> bytes:
    return picture if isinstance(picture, bytes) else picture.encode()


def _view(done: CheckedWall) -> Mapping[str, Any]:
    """Return what the page shows of a check."""
    from cli.checking.check_words import beside_lines, differs, summary_line
    from cli.checking.wall_changes import sewn_in_photo

    wall = done.hung.planned.wall
    return {
        "line": summary_line(done.check),
        "moves": [_move(move, done) for move in done.moves],
        "beside": beside_lines(done.check),
        "differs": differs(done.moves),
        "sewn": list(sewn_in_photo(done.hung, done.check)),
        "places": len(wall.blocks),
    }


def _move(move: WallMove, done: CheckedWall) -> Mapping[str, Any]:
    from catalog.wall.put_right.move_words import sure_words, words_of_move

    says = sentence(words_of_move(move, done.hung.planned.wall))
    told_sure = "" if move.kind == "can't tell" else sure_words(move.sure)
    return {"says": says, "sure": told_sure, "places": list(move.places)}
