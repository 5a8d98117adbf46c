"""Files to take along from the page: the report, the cards, the tables, the wall's picture."""

from __future__ import annotations

import io
import re
import unicodedata
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final
from urllib.parse import quote

from starlette.responses import Response

from catalog.errors import CatalogueError
from cli.page.routes.http_answers import NotThereError, PageRequest
from cli.page.routes.picture_routes import PictureRoutes
from cli.page.routes.plan_routes import Plan, PlanRoutes, query_of
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from catalog.catalogue.records import Kept
    from catalog.pipeline import Count, PhotoResult
    from catalog.report.pages.set_cards import Paper
    from catalog.report.pages.sheet_contents import Sheets

EVERYTHING: Final = "everything.zip"
KINDS: Final[Mapping[str, str]] = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "jpg": "image/jpeg",
    "zip": "application/zip",
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


@dataclass(frozen=True, eq=False)
class DownloadContents:
    """What files are made from."""

    kept: Kept
    plan: Plan
    decoded: Callable[[], tuple[PhotoResult, ...]]
    """Decodes the photos, which takes time and memory, and which no table needs."""
    crops: Mapping[str, bytes]
    paper: Paper = "A4"
    """What the cards are printed on."""

    @cached_property
    def result(self) -> Count:
        """The plan's count, with the photos' pixels."""
        from catalog.pipeline import Bundle

        count = self.plan.count
        return replace(count, bundle=Bundle(self.decoded(), count.bundle.swatches))

    @cached_property
    def sheets(self) -> Sheets:
        """What the report and the cards show."""
        return sheets_of(self)

    @cached_property
    def of_plan(self) -> Mapping[str, bytes | str]:
        """The plan's files by name; none without a plan."""
        from cli.counting.count_plan import plan_contents

        return plan_contents(self.plan.planned, self.result) if self.plan.planned else {}


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
        key = ("wall", *stamp(kept), plan.wall, plan.wish.seam)
        jpeg = self.state.pictures.of(key, lambda: wall_picture_of(self._contents(kept, plan)))
        return Response(jpeg, media_type="image/jpeg", headers={"Cache-Control": "no-store"})

    def file(self, asked: PageRequest) -> Response:
        """Answer with a file, or with all of them in one."""
        name = asked.path["name"]
        if name not in MAKERS and name != EVERYTHING:
            raise NotThereError(f"there is no file '{name[:80]}'", f"take {', '.join(MAKERS)}")
        kept = self.state.kept(asked.number("bundle"))
        plan = self.plans.plan(kept, query_of(asked.query))
        paper: Paper = "Letter" if asked.query.get("paper") == "Letter" else "A4"
        contents = self._contents(kept, plan, paper)
        content = everything(contents) if name == EVERYTHING else MAKERS[name](contents)
        return _attached(content, f"{kept.name} - {name}")

    def _contents(self, kept: Kept, plan: Plan, paper: Paper = "A4") -> DownloadContents:
        with self.state.catalogue() as catalogue:
            crops = catalogue.crops(kept)
        return DownloadContents(kept, plan, lambda: self._decoded(kept), crops, paper)

    def _decoded(self, kept: Kept) -> tuple[PhotoResult, ...]:
        from catalog.catalogue.derived_swatches import found_of
        from catalog.pipeline import PhotoResult

        return tuple(
            PhotoResult(
                self.pictures.decoded(photo.id), found_of(photo, kept.state.live_in(photo.id)), None
            )
            for photo in kept.photos
        )


def everything(contents: DownloadContents) -> bytes:
    """Return all files that can be made as one zip archive."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, make in MAKERS.items():
            if name not in OF_PLAN or name in contents.of_plan:
                archive.writestr(name, make(contents))
    return out.getvalue()


def wall_picture_of(contents: DownloadContents) -> bytes:
    """Return the quilt to scale as a JPEG file."""
    return _of_plan("wall.jpg")(contents)


def sheets_of(contents: DownloadContents) -> Sheets:
    """Return what the report and the cards show."""
    from catalog.catalogue import bundle_sheets as paper
    from cli.bundles.show_words import light_lines
    from cli.counting.count_plan import plan_lines

    planned = contents.plan.planned
    lines = plan_lines(planned, contents.result) if planned else []
    return paper.sheets_of(
        contents.kept,
        contents.result,
        planned,
        counted=contents.plan.wish.pattern is not None,
        crops=contents.crops,
        sure=light_lines(contents.kept),
        advice=[line.strip() for line in lines],
        wall_jpeg=wall_picture_of(contents) if planned else None,
    )


def _report(contents: DownloadContents) -> bytes:
    from catalog.report.pages.html_report import html_report

    return html_report(contents.sheets).encode("utf-8")


def _cards(contents: DownloadContents) -> bytes:
    from catalog.report.pages.set_cards import cards_pdf

    return bytes(cards_pdf(contents.sheets, contents.paper))


def _swatches(contents: DownloadContents) -> bytes:
    from catalog.report.tables.csv_tables import swatches_csv

    return swatches_csv(contents.kept.swatches).encode("utf-8")


def _sets(contents: DownloadContents) -> bytes:
    from catalog.report.tables.csv_tables import sets_csv

    return sets_csv(contents.plan.count.sets).encode("utf-8")


def _tally(contents: DownloadContents) -> bytes:
    from catalog.report.tables.csv_tables import tally_csv

    return tally_csv(contents.plan.count.tally).encode("utf-8")


def _of_plan(name: str) -> Callable[[DownloadContents], bytes]:
    """Return what makes one of the plan's files."""

    def make(contents: DownloadContents) -> bytes:
        if name not in contents.of_plan:
            raise CatalogueError(
                f"this plan has no {name}", "choose a pattern that tells how the quilt is built"
            )
        content = contents.of_plan[name]
        return content if isinstance(content, bytes) else content.encode("utf-8")

    return make


OF_PLAN: Final = ("cutting.csv", "buying.csv", "wall.csv", "wall.jpg")
MAKERS: Final[Mapping[str, Callable[[DownloadContents], bytes]]] = {
    "report.html": _report,
    "cards.pdf": _cards,
    "swatches.csv": _swatches,
    "sets.csv": _sets,
    "tally.csv": _tally,
    **{name: _of_plan(name) for name in OF_PLAN},
}
"""Each file by its name."""


def _attached(content: bytes, name: str) -> Response:
    """Answer with a file to save, under a name that no system stumbles over."""
    plain = DIRTY.sub("_", unicodedata.normalize("NFC", name)).strip(" .")[:120] or "calicount"
    ascii_name = unicodedata.normalize("NFKD", plain).encode("ascii", "ignore").decode()
    disposition = (
        f'attachment; filename="{ascii_name.strip() or "calicount"}"; '
        f"filename*=UTF-8''{quote(plain, safe='')}"
    )
    return Response(
        content,
        media_type=KINDS[name.rsplit(".", 1)[-1]],
        headers={"Content-Disposition": disposition, "Content-Security-Policy": SANDBOX},
    )
