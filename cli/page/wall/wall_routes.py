"""The wall on the page: the quilt to be drawn, and the pictures of its squares."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import Response

from cli.page.routes.http_answers import NotThereError, PageRequest, told
from cli.page.routes.picture_routes import ASK_AGAIN, FOR_GOOD
from cli.page.routes.plan_routes import Plan, PlanRoutes
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.planning import Planned


class WallRoutes:
    """The answers about what hangs on the wall."""

    def __init__(self, state: ServerState, plans: PlanRoutes) -> None:
        self.state, self.plans = state, plans

    def quilt(self, asked: PageRequest) -> Response:
        """Answer with every face of the quilt."""
        from cli.page.wall.wall_view import quilt_view

        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, asked.body)
        planned = hanging(plan)
        key = ("quilt", *stamp(kept), plan.wall, plan.request)
        return told(self.state.answers.of(key, lambda: quilt_view(self.state, kept, plan, planned)))

    def trial(self, asked: PageRequest) -> Response:
        """Answer what a move would do to the wall, before it is made."""
        from cli.page.wall.wall_trial import trial_view
        from cli.page.wall.wall_view import cloth_names

        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, asked.body)
        planned = hanging(plan)
        key = ("cloth names", *stamp(kept), plan.wall, plan.request)
        names = self.state.answers.of(key, lambda: cloth_names(kept, planned))
        return told(trial_view(kept, plan, planned, names, asked.body))

    def cloth_trial(self, asked: PageRequest) -> Response:
        """Answer how a bought cloth would look, and which sets stand out from it."""
        from cli.page.wall.cloth_trial import cloth_trial_view

        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, asked.body)
        return told(cloth_trial_view(self.state, kept, plan, hanging(plan), asked.body))

    def squares(self, asked: PageRequest) -> Response:
        """Answer with the pictures of all squares on one sheet."""
        from cli.page.wall.wall_view import sheet_mark

        kept = self.state.kept(asked.number("bundle"))
        mark = sheet_mark(kept)
        jpeg = self.state.pictures.of(("squares", mark), lambda: self._sheet(kept))
        good = asked.query.get("v") == mark
        headers = {"Cache-Control": FOR_GOOD if good else ASK_AGAIN}
        return Response(jpeg, media_type="image/jpeg", headers=headers)

    def _sheet(self, kept: StoredBundle) -> bytes:
        from catalog.report.pictures.crop_sheet import crop_sheet
        from cli.page.wall.wall_view import sheet_squares

        with self.state.catalogue() as catalogue:
            crops = catalogue.crops(kept)
        labels = {one.id: label for label, one in kept.by_label.items()}
        return crop_sheet([crops.get(labels[number]) for number in sheet_squares(kept)])


def hanging(plan: Plan) -> Planned:
    """Return what hangs on a plan's wall.

    Raises
    ------
    NotThereError
        Nothing does.
    """
    if plan.planned is None:
        raise NotThereError("no set hangs on the wall yet", "choose a pattern that sets serve")
    return plan.planned
