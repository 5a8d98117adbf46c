"""The addresses of the second door: all that a device on the table may see or do, and no more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.routing import Route
from starlette.types import ASGIApp

from cli.page.assets.static_files import StaticFiles
from cli.page.routes.http_answers import answering, no_such_address
from cli.page.routes.pairing_routes import PairingRoutes
from cli.page.routes.picture_routes import PictureRoutes
from cli.page.routes.plan_routes import PlanRoutes
from cli.page.routes.upload_routes import UploadRoutes
from cli.page.table.admission import Admission
from cli.page.table.entry_routes import EntryRoutes
from cli.page.table.sewing_routes import SewingRoutes
from cli.page.table.table_events import TableEvents
from cli.page.table.table_guard import ENTER, TableGuard
from cli.page.uploads.resumable_routes import ResumableRoutes
from cli.page.wall.wall_routes import WallRoutes

if TYPE_CHECKING:
    from cli.page.photo_jobs import Jobs
    from cli.page.server_state import ServerState

PAGE = "table/table.html"


def make_table_app(
    state: ServerState, jobs: Jobs, admission: Admission, host: str, cookie_name: str
) -> ASGIApp:
    """Return the second door's application.

    Parameters
    ----------
    state : ServerState
    jobs : Jobs
    admission : Admission
    host : str
        The very address and port that were offered.
    cookie_name : str
    """
    statics, pictures = StaticFiles(), PictureRoutes(state)
    uploads, pairing = UploadRoutes(state, jobs), PairingRoutes(state, jobs)
    plans = PlanRoutes(state)
    sewing = SewingRoutes(state, jobs, plans)
    entry = EntryRoutes(admission, cookie_name)
    here = "/api/bundle/{bundle:int}"
    quick = {
        "/": lambda asked: statics.named(PAGE, asked),
        "/static/{name:path}": statics.file,
        "/api/start": sewing.start,
        f"{here}/now": sewing.now,
        "/api/crop/{square:int}.jpg": pictures.crop,
        "/api/jobs/{job}": uploads.progress,
    }
    slow = {
        here: sewing.bundle,
        f"{here}/sets": pairing.sets,
        f"{here}/plan": sewing.plan,
        f"{here}/quilt": sewing.quilt,
        f"{here}/squares.jpg": WallRoutes(state, plans).squares,
        "/api/photo/{photo:int}.jpg": pictures.photo,
    }
    routes = [
        *(Route(at, answering(tell, quick=True), methods=["GET"]) for at, tell in quick.items()),
        *(Route(at, answering(tell), methods=["GET"]) for at, tell in slow.items()),
        Route("/api/events", TableEvents(state.events, admission.devices, cookie_name).answer),
        Route(f"{here}/ticks", answering(sewing.tick), methods=["POST"]),
        *ResumableRoutes(state, jobs).routes(),
        Route(ENTER, entry.is_in, methods=["GET"]),
        Route(ENTER, entry.enter, methods=["POST"]),
        Route("/api/leave", entry.leave, methods=["POST"]),
    ]
    handlers = {HTTPException: no_such_address, ValueError: no_such_address}
    app = Starlette(routes=routes, exception_handlers=handlers)
    app.router.redirect_slashes = False
    return TableGuard(app, admission.devices, host, cookie_name)
