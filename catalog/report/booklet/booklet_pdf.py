"""The booklet as a PDF: the order of its sections, and nothing else."""

from __future__ import annotations

from catalog.report.booklet.assembly_section import assembly_section, finishing_section
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import FlowingPages
from catalog.report.booklet.shopping_section import (
    cutting_section,
    shopping_section,
    students_section,
)
from catalog.report.booklet.squares_section import squares_section
from catalog.report.booklet.title_section import safety_section, title_section
from catalog.report.booklet.unit_section import units_section
from catalog.report.booklet.wall_section import wall_section

SECTIONS = (
    title_section,
    students_section,
    shopping_section,
    safety_section,
    cutting_section,
    units_section,
    assembly_section,
    squares_section,
    wall_section,
    finishing_section,
)


def booklet_pdf(booklet: Booklet) -> bytes:
    """Return the pages to sew a pattern from.

    Parameters
    ----------
    booklet : Booklet
        Letters that the pages' font lacks are written another way (see `font_text`).

    Returns
    -------
    bytes
        A PDF without colours but for the bundle's own cloth.
    """
    printed = booklet.printed
    with FlowingPages(printed.paper, booklet.title, printed.larger, booklet.crops) as pages:
        for section in SECTIONS:
            section(pages, booklet)
        return pages.finished()
