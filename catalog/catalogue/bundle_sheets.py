"""A kept bundle and its count to what the pages to print are made from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Final

from catalog.bundle.families import rainbow_order
from catalog.catalogue.records import StoredBundle, StoredSquare
from catalog.count_results import Count
from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.errors import UsageError
from catalog.models import ColourTerms
from catalog.planning import Planned
from catalog.report.booklet.booklet_contents import Booklet, BookletPrint
from catalog.report.pages.sheet_contents import Sheets

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def sheets_of(
    kept: StoredBundle,
    result: Count,
    planned: Planned | None,
    *,
    counted: bool,
    crops: Mapping[str, bytes],
    sure: Sequence[str] = (),
    advice: Sequence[str] = (),
    wall_jpeg: bytes | None = None,
    now: datetime | None = None,
    terms: ColourTerms = "standard",
) -> Sheets:
    """Return what report and cards show of a bundle.

    Parameters
    ----------
    kept : StoredBundle
    result : Count
        Of what is free of it, with its photos.
    planned : Planned, optional
        None where there is no plan.
    counted : bool
        Whether a number of sets or a pattern was asked for, so that the tally says something.
    crops : mapping from label to JPEG
    sure, advice : sequence of str
        What the colours rest on, and what to know of the plan; each a sentence.
    wall_jpeg : bytes, optional
        The picture of the quilt.
    now : datetime, optional
        The day that stands on them; today if None.
    terms : {"standard", "everyday"}
        What colours are called by.
    """
    adapted = planned.adapted if planned else None
    return Sheets(
        title=kept.name,
        swatches=tuple(rainbow_order(kept.swatches)),
        photos=tuple(one.photo for one in result.bundle.photos),
        made_on=day_in_words(now or datetime.now().astimezone()),
        sure=tuple(sure),
        crops=crops,
        marks={label: marks_of(one) for label, one in kept.by_label.items() if marks_of(one)},
        sets=result.sets,
        tally=result.tally if counted else None,
        rows=adapted.rows if adapted else (),
        cuts=adapted.cuts if adapted else (),
        buys=adapted.buys if adapted else (),
        cautions=tuple(CAUTIONS) if adapted else (),
        advice=tuple(advice),
        wall=planned.wall if planned else None,
        wall_jpeg=wall_jpeg,
        notes=(
            *(note[:1].upper() + note[1:].rstrip(".") + "." for note in kept.state.notes),
            *result.notes,
        ),
        terms=terms,
    )


def booklet_of(
    sheets: Sheets, title: str, planned: Planned | None, printed: BookletPrint
) -> Booklet:
    """Return what the booklet shows of a planned quilt.

    Parameters
    ----------
    sheets : Sheets
        Of the bundle and its plan.
    title : str
        Of the pattern.
    planned : Planned or None
    printed : BookletPrint

    Raises
    ------
    UsageError
        There is no plan of a pattern.
    """
    if planned is None or planned.adapted is None:
        raise UsageError(
            f"there is no plan of a quilt from {sheets.title} that a booklet could tell",
            "name with --pattern one that tells how its quilt is built and that a set of this "
            "bundle can serve",
        )
    own = not printed.students
    return Booklet(
        title,
        sheets.title,
        planned.adapted,
        planned.wall,
        sheets.wall_jpeg if own else None,
        tuple(CAUTIONS),
        printed,
        sheets.swatches if own else (),
        sheets.crops if own else {},
    )


def marks_of(square: StoredSquare) -> tuple[str, ...]:
    """Say why no set may use a square, each reason by itself."""
    if square.project:
        return (square.why_not_free, *square.marks)
    return square.marks


def day_in_words(day: datetime) -> str:
    """Write a date as ``5 November 2026``, whatever language the computer is set to."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
