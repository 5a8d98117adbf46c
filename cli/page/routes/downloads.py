"""Files to take along from the page: the report, the cards, the tables, the wall's picture."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final
from urllib.parse import quote

from starlette.responses import Response

from cli.page.download_contents import EVERYTHING, FILES, DownloadContents, everything
from cli.page.routes.http_answers import NotThereError, PageRequest
from cli.page.routes.picture_routes import PictureRoutes
from cli.page.routes.plan_routes import Plan, PlanRoutes, query_of
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.count_results import PhotoResult
    from catalog.models import Paper

KINDS: Final[Mapping[str, str]] = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "jpg": "image/jpeg",
    "zip": "application/zip",
    "toml": "application/toml",
}
SANDBOX: Final = "; ".join(
    (
        "sandbox",
        "default-src 'none'",
        "img-src data:",
        "style-src 'unsafe-inline'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
"""For the report, should a browser show it instead of saving it."""
DIRTY: Final = re.compile(r"[^\w .()+-]+")


class DownloadRoutes:
    """The answers that are files."""

    def __init__(self, state: ServerState, plans: PlanRoutes, pictures: PictureRoutes) -> None:
        self.state, self.plans, self.pictures = state, plans, pictures

    def wall(self, asked: PageRequest) -> Response:
        """Answer with the wall as a picture."""
        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, query_of(asked.query))
        if plan.planned is None:
            raise NotThereError("no set hangs on the wall yet", "choose a pattern that sets serve")
        key = ("wall", *stamp(kept), plan.wall, plan.request.seam, plan.request.usable_side)
        jpeg = self.state.pictures.of(key, lambda: self._contents(kept, plan).file("wall.jpg"))
        return Response(jpeg, media_type="image/jpeg", headers={"Cache-Control": "no-store"})

    def cutting(self, asked: PageRequest) -> Response:
        """Answer with the cutting plans as a picture."""
        from catalog.report.drawings.plan_picture import cutting_plan_jpeg

        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, query_of(asked.query))
        adapted = plan.planned.adapted if plan.planned else None
        jpeg = cutting_plan_jpeg(adapted.buys) if adapted else None
        if jpeg is None:
            raise NotThereError("no cloth is cut up yet", "choose a pattern that sets serve")
        return Response(jpeg, media_type="image/jpeg", headers={"Cache-Control": "no-store"})

    def file(self, asked: PageRequest) -> Response:
        """Answer with a file, or with all of them in one."""
        name = asked.path["name"]
        if name not in FILES and name != EVERYTHING:
            raise NotThereError(f"there is no file '{name[:80]}'", f"take {', '.join(FILES)}")
        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.reached(kept, query_of(asked.query))
        paper: Paper = "Letter" if asked.query.get("paper") == "Letter" else "A4"
        contents = self._contents(kept, plan, paper)
        content = everything(contents) if name == EVERYTHING else contents.file(name)
        return attached(content, f"{kept.name} - {name}")

    def _contents(self, kept: StoredBundle, plan: Plan, paper: Paper = "A4") -> DownloadContents:
        with self.state.catalogue() as catalogue:
            crops = catalogue.crops(kept)
        return DownloadContents(kept, plan, lambda: self._decoded(kept), crops, paper)

    def _decoded(self, kept: StoredBundle) -> tuple[PhotoResult, ...]:
        from catalog.catalogue.derived_swatches import found_of
        from catalog.count_results import PhotoResult

        return tuple(
            PhotoResult(
                self.pictures.decoded(photo.id), found_of(photo, kept.state.live_in(photo.id)), None
            )
            for photo in kept.photos
        )


def attached(content: bytes, name: str) -> Response:
    """Answer with a file to save."""
    headers = attachment(name)
    return Response(content, media_type=KINDS[name.rsplit(".", 1)[-1]], headers=headers)


def attachment(name: str) -> dict[str, str]:
    """Return the headers of a file to save, under a name that no system stumbles over."""
    plain = DIRTY.sub("_", unicodedata.normalize("NFC", name)).strip(" .")[:120] or "calicount"
    ascii_name = unicodedata.normalize("NFKD", plain).encode("ascii", "ignore").decode()
    disposition = (
        f'attachment; filename="{ascii_name.strip() or "calicount"}"; '
        f"filename*=UTF-8''{quote(plain, safe='')}"
    )
    return {"Content-Disposition": disposition, "Content-Security-Policy": SANDBOX}
