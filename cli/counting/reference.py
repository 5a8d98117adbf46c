"""``calicount reference``: a page to print and lay beside the squares."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from cli import console
from cli.options import JsonFlag, Manner, PaperSize, QuietFlag, ReplaceFlag

if TYPE_CHECKING:
    from catalog.models import Paper

FILE: Final = "reference.pdf"


def reference(
    paper: Annotated[PaperSize, typer.Option(help="What you print it on.")] = PaperSize.a4,
    out: Annotated[
        Path | None,
        typer.Option(help="Folder for the file; else the one you are in.", metavar="FOLDER"),
    ] = None,
    replace: ReplaceFlag = False,
    quiet: QuietFlag = False,
    json: JsonFlag = False,
) -> None:
    """Make a page to print and lay beside your squares.

    With it in the photo your squares are measured in true inches, and colours are judged by its
    plain paper.

    For example:

    calicount reference

    calicount reference --paper Letter --out printing
    """
    from catalog.report.output_files import refuse_taken, write_files
    from catalog.report.pages.reference_pdf import reference_pdf

    folder = out or Path()
    if not replace:
        refuse_taken(folder, (FILE,))
    (path,) = write_files(folder, {FILE: reference_pdf(paper.value)}, replace=replace)
    console.answer(
        Manner(quiet=quiet, json=json),
        lambda: {"file": str(path), "paper": paper.value},
        lambda: console.tell_lines(reference_told(path, paper.value)),
    )


def reference_told(path: Path, paper: Paper) -> tuple[str, ...]:
    """Say what was written and how it is used."""
    bar = "6 in" if paper == "Letter" else "15 cm"
    return (
        f"Written: {path}. Print it at 100 % (actual size) on plain white {paper} paper, and "
        f"measure its bar: if it isn't {bar} long, say what it measures with --reference-bar "
        "when you count.",
        "Lay it flat beside your squares, whole in the photo, in the same light.",
    )
