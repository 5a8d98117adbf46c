"""A bundle and its plan to the files that are taken along: report, cards, tables, pictures."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

from catalog.errors import CatalogueError
from cli.counting import report_pages
from cli.counting.booklet_options import BOOKLET_FILE
from cli.counting.count_plan import PLAN_FILES, plan_contents
from cli.counting.count_run import table_contents
from cli.counting.output_folder import CSV_FILES

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.count_results import Count, PhotoResult
    from catalog.models import Paper
    from catalog.report.pages.sheet_contents import Sheets
    from cli.page.routes.plan_routes import Plan

EVERYTHING: Final = "everything.zip"
FILES: Final = (*report_pages.FILES, BOOKLET_FILE, *CSV_FILES)


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
        plan = self.plan
        wall = self.file("wall.jpg") if plan.planned else None
        return report_pages.sheets_for(
            self.kept, plan.request, self.result, plan.planned, self.crops, wall
        )

    @cached_property
    def tables(self) -> Mapping[str, bytes | str]:
        """The tables of squares, sets and tally by name."""
        return table_contents(self.kept.swatches, self.plan.count)

    @cached_property
    def of_plan(self) -> Mapping[str, bytes | str]:
        """The plan's files by name; none without a plan."""
        return plan_contents(self.plan.planned, self.result) if self.plan.planned else {}

    def has(self, name: str) -> bool:
        """Say whether one of `FILES` can be made of this plan."""
        if name == BOOKLET_FILE:
            return bool(self.plan.planned and self.plan.planned.adapted)
        return name not in PLAN_FILES or name in self.of_plan

    def file(self, name: str) -> bytes:
        """Return one of `FILES`.

        Raises
        ------
        CatalogueError
            The plan has none of that name.
        """
        content = self._content(name)
        return content.encode("utf-8") if isinstance(content, str) else bytes(content)

    def _content(self, name: str) -> bytes | bytearray | str:
        from catalog.report.pages.html_report import html_report
        from catalog.report.pages.set_cards import cards_pdf

        if name == "report.html":
            return html_report(self.sheets)
        if name == "cards.pdf":
            return cards_pdf(self.sheets, self.paper)
        if name == BOOKLET_FILE:
            return self._booklet()
        if name not in PLAN_FILES:
            return self.tables[name]
        if name not in self.of_plan:
            raise CatalogueError(
                f"this plan has no {name}", "choose a pattern that tells how the quilt is built"
            )
        return self.of_plan[name]

    def _booklet(self) -> bytes:
        from catalog.catalogue.bundle_sheets import booklet_of
        from catalog.report.booklet.booklet_contents import BookletPrint
        from catalog.report.booklet.booklet_pdf import booklet_pdf

        planned, title = self.plan.planned, self.plan.request.title
        return booklet_pdf(booklet_of(self.sheets, title, planned, BookletPrint(self.paper)))


def everything(contents: DownloadContents) -> bytes:
    """Return all files that can be made as one zip archive."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in FILES:
            if contents.has(name):
                archive.writestr(name, contents.file(name))
    return out.getvalue()
