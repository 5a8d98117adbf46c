"""``calicount report``: a kept bundle as pages to look at and to print."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, cast

import typer

from catalog.errors import EXIT_SHORT
from cli.counting.bundle_run import count_bundle
from cli.counting.count_request import WallOrder
from cli.options import (
    BundleName,
    CatalogueOption,
    JsonFlag,
    Manner,
    QuietFlag,
    ReplaceFlag,
    SpareOption,
)

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import Kept
    from catalog.pipeline import Count
    from catalog.planning import Planned
    from cli.counting.count_run import Ready

FILES = ("report.html", "cards.pdf")


class Paper(StrEnum):
    """What the cards are printed on."""

    a4 = "A4"
    letter = "Letter"


def report(
    name: BundleName,
    pattern: Annotated[
        str | None,
        typer.Option(help="A pattern by its name, or a pattern file.", metavar="NAME|FILE"),
    ] = None,
    sets: Annotated[
        int | None,
        typer.Option(
            help="How many sets you want; else as many as there can be.", metavar="NUMBER"
        ),
    ] = None,
    seam: Annotated[
        str | None,
        typer.Option(help="The seam you sew; else the pattern's.", metavar="LENGTH"),
    ] = None,
    order: Annotated[
        WallOrder | None,
        typer.Option(help="How the sets hang on the wall; else rainbow-diagonal."),
    ] = None,
    width: Annotated[
        str, typer.Option(help="Usable width of the fabric you buy.", metavar="LENGTH")
    ] = "40",
    spare: SpareOption = None,
    paper: Annotated[Paper, typer.Option(help="What the cards are printed on.")] = Paper.a4,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the files; else a new calicount-report.", metavar="FOLDER"),
    ] = None,
    replace: ReplaceFlag = False,
    catalogue: CatalogueOption = None,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Make pages of a bundle to look at and to print.

    They are report.html and cards.pdf, to cut out and clip on; the tables of count come with them.

    For example:

    calicount report blues

    calicount report blues --pattern pinwheel --paper Letter --out runner
    """
    typed = {
        "pattern": pattern,
        "sets": sets,
        "seam": seam,
        "order": None if order is None else order.value,
        "width": width,
        "spare": spare,
        "out": out,
        "replace": replace,
        "quiet": quiet,
        "json": json,
        "default_folder": "calicount-report",
    }
    given = {key: value for key, value in typed.items() if value is not None}
    done = count_bundle(
        name, given, Manner(catalogue, quiet, json), FILES, partial(_pages, paper.value)
    )
    if not done.result.tally.enough:
        raise typer.Exit(EXIT_SHORT)


def _pages(
    paper: str,
    catalogue: Catalogue,
    kept: Kept,
    ready: Ready,
    result: Count,
    planned: Planned | None,
    contents: Mapping[str, bytes | str],
) -> dict[str, bytes | str]:
    """Make the pages from a count and the files that were made of it already."""
    from catalog.catalogue.bundle_sheets import sheets_of
    from catalog.report.pages.html_report import html_report
    from catalog.report.pages.set_cards import cards_pdf
    from cli.bundles.show_words import light_lines
    from cli.counting.count_plan import plan_lines

    sheets = sheets_of(
        kept,
        result,
        planned,
        counted=ready.order.pattern is not None or ready.order.sets is not None,
        crops=catalogue.crops(kept),
        sure=light_lines(kept),
        advice=[line.strip() for line in plan_lines(planned, result)] if planned else (),
        wall_jpeg=cast("bytes | None", contents.get("wall.jpg")),
    )
    made = (html_report(sheets), cards_pdf(sheets, cast("Any", paper)))
    return dict(zip(FILES, made, strict=True))
