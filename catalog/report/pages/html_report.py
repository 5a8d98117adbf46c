"""A bundle as one page to print and to look at, which needs nothing from elsewhere."""

from __future__ import annotations

import base64
import hashlib
import re
import unicodedata
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from catalog.cutting.layouts.precut_offers import least_lost
from catalog.lengths import unit_shown
from catalog.phrases import count_of
from catalog.report.drawings.drawing_svg import drawing_svg
from catalog.report.drawings.plan_picture import drawings_of
from catalog.report.pages import html_views as views
from catalog.report.pages import plan_sections
from catalog.report.pages.photo_views import photo_view
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.pictures.crops import (
    PhotoPicture,
    Picture,
    photo_pictures,
    smaller,
    square_pictures,
)

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES: Final = Path(__file__).with_name("templates")
PHOTO_BYTES: Final = 900_000
"""For all photos together; with the others and a third more for base64 a bundle of 100 squares
stays under 3 MB."""
SQUARE_BYTES: Final = 7_500
"""For each square."""
MIN_SQUARE_BUDGET: Final = 100
"""Fewer squares share as many bytes as these."""
WALL_BYTES: Final = 320_000
MAX_WALL_PX: Final = 1400
"""Most pixels across the quilt's picture."""


def html_report(sheets: Sheets) -> str:
    """Return the page as HTML.

    Pictures lie inside it as ``data:`` addresses, each once however often it is shown; there are
    no scripts, and its policy lets a browser fetch nothing and run nothing.

    Parameters
    ----------
    sheets : Sheets
        All text in it may come from people and is escaped.

    Returns
    -------
    str
        At most 3 MB for 100 squares, whatever the size of the photos.
    """
    crops = square_pictures(
        sheets.swatches,
        sheets.photos,
        sheets.crops,
        SQUARE_BYTES * max(MIN_SQUARE_BUDGET, len(sheets.swatches)),
    )
    photos = photo_pictures(sheets.photos, sheets.swatches, PHOTO_BYTES)
    wall = smaller(sheets.wall_jpeg, MAX_WALL_PX, WALL_BYTES) if sheets.wall_jpeg else None
    return _filled(_context(sheets, crops, photos, wall))


def _context(
    sheets: Sheets, crops: Mapping[str, bytes], photos: Sequence[PhotoPicture], wall: Picture | None
) -> dict[str, Any]:
    """Return what the templates show."""
    from markupsafe import Markup

    squares = views.square_views(sheets.swatches, sheets.marks, sheets.terms)
    shown = [
        photo_view(photo, picture, f"p{number}", sheets, squares)
        for number, (photo, picture) in enumerate(zip(sheets.photos, photos, strict=True))
    ]
    return {
        "sheets": sheets,
        "cloths": [
            (one, _address(crops[label]) if label in crops else "")
            for label, one in squares.items()
        ],
        "photos": shown,
        "photo_addresses": [_address(one.jpeg) for one in photos],
        "families": [
            (name, [squares[one.label] for one in members]) for name, members in sheets.families
        ],
        "fabrics": len({one.fabric for one in sheets.swatches if one.fabric}),
        "sets": [views.set_view(one, sheets, squares) for one in sheets.sets],
        "set_meanings": views.meanings(flag for one in sheets.sets for flag in one.flags),
        "doubtful": [one for one in squares.values() if one.doubts],
        "meanings": views.meanings(flag for one in squares.values() for flag in one.doubts),
        "unit": unit_shown(),
        "plans": [Markup(drawing_svg(one)) for one in drawings_of(sheets.buys)],
        "wall": wall,
        "wall_address": _address(wall.jpeg) if wall else "",
        "sewing": [plan_sections.sew_view(one, squares) for one in sheets.wall.blocks]
        if sheets.wall
        else [],
        "left_over": [squares[one.label] for one in sheets.left_over],
        "set_aside": [squares[one.label] for one in sheets.set_aside],
    }


def _filled(context: Mapping[str, Any]) -> str:
    from markupsafe import Markup

    style = (TEMPLATES / "report.css").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode("ascii")
    page = _templates().get_template("report.html")
    return page.render(**context, style=Markup(style), style_hash=digest)


@cache
def _templates() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_fit_to_write,
    )
    made.filters["capital"] = _capital
    made.filters["counted"] = count_of
    made.filters["unbroken"] = _unbroken
    made.filters["size"] = views.size_words
    made.filters["ruler"] = views.length_words
    made.filters["least_lost"] = least_lost
    made.filters["standing"] = plan_sections.standing
    return made


def _capital(words: str) -> str:
    """Begin with a capital letter."""
    return words[:1].upper() + words[1:]


def _unbroken(words: str) -> str:
    """Let no line end between a number and its unit, or inside a number."""
    return re.sub(r"(?<=\d) (?=\d|%|in\b|cm\b)", "\u00a0", words)


def _fit_to_write(shown: object) -> object:
    """Put a question mark for what no page in UTF-8 may hold: control signs, halves of letters."""
    if type(shown) is not str or shown.isprintable():  # what is markup has been through here
        return shown
    letters = (
        "?" if unicodedata.category(one) in {"Cc", "Cs"} and one not in "\t\n" else one
        for one in shown
    )
    return "".join(letters)


def _address(jpeg: bytes) -> str:
    return "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")
