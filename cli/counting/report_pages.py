"""``calicount report``: a kept bundle as pages to look at and to print."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, cast

import typer

from catalog.errors import EXIT_SHORT
from cli.counting.booklet_options import BOOKLET_FILE, NO_BOOKLET, BookletOptions
from cli.counting.bundle_run import count_bundle
from cli.counting.count_options import CountOptions
from cli.counting.output_folder import OutputOptions
from cli.options import (
    ArrangementOption,
    BundleName,
    HaveOption,
    Manner,
    PackOption,
    PaperSize,
    PatternOption,
    PinkedOption,
    PrecutOption,
    ReplaceFlag,
    SeamOption,
    SetsWanted,
    SpareOption,
    WidthOption,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import StoredBundle
    from catalog.count_request import CountRequest
    from catalog.count_results import Count
    from catalog.planning import Planned
    from catalog.report.pages.sheet_contents import Sheets
    from cli.counting.count_run import Files

FILES: Final = ("report.html", "cards.pdf")


def report(
    name: BundleName,
    pattern: PatternOption = None,
    sets: SetsWanted = None,
    seam: SeamOption = None,
    order: ArrangementOption = None,
    width: WidthOption = "40",
    spare: SpareOption = None,
    have: HaveOption = None,
    precut: PrecutOption = None,
    pinked: PinkedOption = None,
    pack: PackOption = None,
    paper: Annotated[
        PaperSize, typer.Option(help="What cards and booklet are printed on.")
    ] = PaperSize.a4,
    booklet: BookletOptions = NO_BOOKLET,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-report.", metavar="FOLDER"),
    ] = None,
    replace: ReplaceFlag = False,
    *,
    manner: Manner,
) -> None:
    """Make pages of a bundle to look at and to print.

    They are report.html and cards.pdf, to cut out and clip on; the tables of count come with them.

    For example:

    calicount report blues

    calicount report blues --pattern pinwheel --paper Letter --out runner

    calicount report blues --pattern pinwheel --booklet --for 12
    """
    booklet.check()
    options = CountOptions(
        pattern=pattern,
        sets=sets,
        seam=seam,
        order=order,
        width=width,
        spare=spare,
        have=have,
        precut=precut,
        pinked=pinked,
        pack=pack,
    )
    output = OutputOptions(out, "calicount-report", replace)
    names = (*FILES, *booklet.files)
    done = count_bundle(name, options, output, manner, names, partial(_pages, paper, booklet))
    if not done.result.tally.enough:
        raise typer.Exit(EXIT_SHORT)


def _pages(
    paper: PaperSize,
    booklet: BookletOptions,
    catalogue: Catalogue,
    kept: StoredBundle,
    request: CountRequest,
    result: Count,
    planned: Planned | None,
    contents: Files,
) -> Files:
    """Make the pages from a count and the files that were made of it already."""
    from catalog.report.pages.html_report import html_report
    from catalog.report.pages.set_cards import cards_pdf

    wall = cast("bytes | None", contents.get("wall.jpg"))
    sheets = sheets_for(kept, request, result, planned, catalogue.crops(kept), wall)
    pages: dict[str, bytes | str] = dict(
        zip(FILES, (html_report(sheets), cards_pdf(sheets, paper.value)), strict=True)
    )
    if booklet.booklet:
        from catalog.catalogue.bundle_sheets import booklet_of
        from catalog.report.booklet.booklet_pdf import booklet_pdf

        made = booklet_of(sheets, request.title, planned, booklet.printed(paper))
        pages[BOOKLET_FILE] = booklet_pdf(made)
    return pages


def sheets_for(
    kept: StoredBundle,
    request: CountRequest,
    result: Count,
    planned: Planned | None,
    crops: Mapping[str, bytes],
    wall_jpeg: bytes | None,
) -> Sheets:
    """Return what the report and the cards show; see `catalog.catalogue.bundle_sheets`."""
    from catalog.catalogue.bundle_sheets import sheets_of
    from cli.bundles.show import light_lines
    from cli.counting.count_plan import plan_lines

    return sheets_of(
        kept,
        result,
        planned,
        counted=request.asks_number,
        crops=crops,
        sure=light_lines(kept),
        advice=[line.strip() for line in plan_lines(planned, result)] if planned else (),
        wall_jpeg=wall_jpeg,
        terms=request.terms,
    )
