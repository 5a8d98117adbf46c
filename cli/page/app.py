"""The addresses of the page's server, and what answers at each."""

from __future__ import annotations

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.routing import Route
from starlette.types import ASGIApp

from cli.page.answers.doubt_routes import DoubtRoutes
from cli.page.answers.preview_routes import PreviewRoutes
from cli.page.answers.thumb_routes import ThumbRoutes
from cli.page.assets.static_files import StaticFiles
from cli.page.guard import Guard, Keys
from cli.page.patterns.check_routes import CheckRoutes
from cli.page.photo_jobs import Jobs
from cli.page.routes.block_routes import drawing_received, known_blocks_told
from cli.page.routes.bundle_routes import BundleRoutes
from cli.page.routes.downloads import DownloadRoutes
from cli.page.routes.http_answers import answering, no_such_address, told
from cli.page.routes.keeping_routes import KeepingRoutes
from cli.page.routes.pairing_routes import PairingRoutes
from cli.page.routes.pattern_routes import PatternRoutes
from cli.page.routes.picture_routes import PictureRoutes
from cli.page.routes.plan_routes import PlanRoutes
from cli.page.routes.search_routes import SearchRoutes
from cli.page.routes.table_routes import TableRoutes
from cli.page.routes.upload_routes import UploadRoutes
from cli.page.routes.wall_check_routes import WallCheckRoutes
from cli.page.routes.word_routes import read_words
from cli.page.server_state import ServerState
from cli.page.table.table_door import TableDoor
from cli.page.uploads.resumable_routes import ResumableRoutes
from cli.page.wall.wall_routes import WallRoutes


def make_app(state: ServerState, jobs: Jobs, keys: Keys, port: int, door: TableDoor) -> ASGIApp:
    """Return the server's application.

    Parameters
    ----------
    state : ServerState
    jobs : Jobs
    keys : Keys
        That let the browser in.
    port : int
        On which it will be asked.
    door : TableDoor
        The second, which its owner opens and shuts.
    """
    statics, bundles, pairing = StaticFiles(), BundleRoutes(state, jobs), PairingRoutes(state, jobs)
    pictures, plans, uploads = PictureRoutes(state), PlanRoutes(state), UploadRoutes(state, jobs)
    along, walls = DownloadRoutes(state, plans, pictures), WallCheckRoutes(state, plans)
    patterns, checks = PatternRoutes(state), CheckRoutes(state)
    hung = WallRoutes(state, plans)
    previews, doubts = PreviewRoutes(state, pairing), DoubtRoutes(state)
    here, one = "/api/bundle/{bundle:int}", "/api/patterns/{pattern}"
    quick = {
        "/": statics.index,
        "/static/{name:path}": statics.file,
        "/api/here": lambda _: told({}),
        "/api/start": bundles.start,
        "/api/blocks": known_blocks_told,
        here: bundles.show,
        "/api/crop/{square:int}.jpg": pictures.crop,
        "/api/jobs/{job}": uploads.progress,
        "/api/patterns/parts": checks.parts,
        "/api/wall-checks/{check}.jpg": walls.picture,
        "/api/patterns": patterns.list,
        f"{one}/file": patterns.file,
    }
    slow = {
        f"{here}/sets": pairing.sets,
        f"{here}/others": pairing.others,
        f"{here}/find": pairing.find,
        f"{here}/better": previews.better,
        f"{here}/doubts": doubts.doubts,
        f"{here}/wall.jpg": along.wall,
        f"{here}/squares.jpg": hung.squares,
        f"{here}/cutting-plan.jpg": along.cutting,
        f"{here}/files/{{name}}": along.file,
        "/api/photo/{photo:int}.jpg": pictures.photo,
        f"{here}/fits": patterns.made_by,
        "/api/patterns/fits": patterns.tried_on,
        one: patterns.show,
    }
    posts = {
        "/api/bundles": bundles.check,
        "/api/words": read_words,
        "/api/patterns/check": checks.check,
        "/api/patterns/rescale": checks.rescale,
        f"{here}/deeds": bundles.do,
        f"{here}/undo": bundles.undo,
        f"{here}/redo": bundles.redo,
        f"{here}/propose": bundles.propose,
        f"{here}/preview": previews.preview,
        f"{here}/stop": pairing.stop,
        f"{here}/plan": plans.show,
        f"{here}/reach": plans.reach,
        f"{here}/quilt": hung.quilt,
        f"{here}/wall-trial": hung.trial,
        f"{here}/cloth-trial": hung.cloth_trial,
        f"{here}/rename": bundles.rename,
        f"{here}/wall-checks/{{check}}/take": walls.take,
        f"{here}/wall-checks/{{check}}/tick": walls.tick,
        "/api/patterns": patterns.keep,
        "/api/patterns/{pattern:int}": patterns.write,
        f"{one}/copy": patterns.copy,
        f"{one}/rename": patterns.rename,
        f"{one}/undo": patterns.undo,
        f"{one}/redo": patterns.redo,
    }
    routes = [
        Route("/api/patterns/drawing", drawing_received, methods=["POST"]),
        *(Route(at, answering(tell, quick=True), methods=["GET"]) for at, tell in quick.items()),
        *(Route(at, answering(tell), methods=["GET"]) for at, tell in slow.items()),
        *(Route(at, answering(tell), methods=["POST"]) for at, tell in posts.items()),
        Route(here, answering(bundles.remove), methods=["DELETE"]),
        Route(one, answering(patterns.remove), methods=["DELETE"]),
        Route("/api/events", state.events.answer, methods=["GET"]),
        Route("/api/photos", uploads.receive, methods=["POST"]),
        *ResumableRoutes(state, jobs).routes(),
        *ThumbRoutes(state, pictures).routes(),
        *TableRoutes(door).routes(),
        *SearchRoutes(state).routes(),
        *KeepingRoutes(state, jobs).routes(),
        Route(f"{here}/wall-checks", walls.receive, methods=["POST"]),
    ]
    handlers = {HTTPException: no_such_address, ValueError: no_such_address}
    app = Starlette(routes=routes, exception_handlers=handlers)
    app.router.redirect_slashes = False
    return Guard(app, keys, port)
