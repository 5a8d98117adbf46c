"""A bundle and its plan to the files that are taken along: report, cards, tables, pictures."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

from catalog.errors import CatalogueError

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.count_results import Count, PhotoResult
    from catalog.report.pages.set_cards import Paper
    from catalog.report.pages.sheet_contents import Sheets
    from cli.page.routes.plan_routes import Plan

EVERYTHING: Final = "everything.zip"


@dataclass(frozen=True, eq=False)
class DownloadContents:
    """What files are made from."""

    kept: StoredBundle
    plan: Plan
    decoded: Callable[[], tuple[PhotoResult, ...]]
    """Decodes the photos, which takes time and memory, and which no table needs."""
    crops: Mapping[str, bytes]
    paper: Paper = "A4"
    """What the cards are printed on."""

    @cached_property
    def result(self) -> Count:
        """The plan's count, with the photos' pixels."""
        from catalog.count_results import Bundle

        count = self.plan.count
        return replace(count, bundle=Bundle(self.decoded(), count.bundle.swatches))

    @cached_property
    def sheets(self) -> Sheets:
        """What the report and the cards show."""
        from cli.counting.report_pages import sheets_for

        plan = self.plan
        wall = wall_picture_of(self) if plan.planned else None
        return sheets_for(self.kept, plan.request, self.result, plan.planned, self.crops, wall)

    @cached_property
    def of_plan(self) -> Mapping[str, bytes | str]:
        """The plan's files by name; none without a plan."""
        from cli.counting.count_plan import plan_contents

        return plan_contents(self.plan.planned, self.result) if self.plan.planned else {}


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
