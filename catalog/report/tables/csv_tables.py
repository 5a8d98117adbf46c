"""The tables of a run as CSV text (RFC 4180): swatches, sets, tally."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence

from catalog.bundle.tally_notes import words_for_difference
from catalog.colour.lab import chroma, hue_angle, lab_to_hex, munsell_value
from catalog.models import SquareSet, Swatch, Tally, TallyLine

_FORMULA = re.compile(
    "^(?=[\\t\\r\\n])"
    "|(?:^|(?<=[;|\\t\\r\\n]))(?=[\\s\"']*[-=+@\N{FULLWIDTH HYPHEN-MINUS}\N{FULLWIDTH EQUALS SIGN}"
    "\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH COMMERCIAL AT}])"
)
"""Where a spreadsheet would find a cell that it runs, or whose start it looks past: one that begins
with such a sign, full-width ones too, or with a tab or line end (OWASP, CSV injection). Where the
spreadsheet separates cells otherwise than by commas, one may begin within a cell of ours."""

_SWATCH_HEADER = (
    "swatch",
    "photo",
    "row",
    "col",
    "x1",
    "y1",
    "x2",
    "y2",
    "x3",
    "y3",
    "x4",
    "y4",
    "width_in",
    "height_in",
    "L",
    "a",
    "b",
    "C",
    "h",
    "hex",
    "colour_name",
    "family",
    "value",
    "print",
    "fabric",
    "confidence",
    "flags",
    "uncertainty",
    "munsell_value",
)
_SET_LETTERS = "abcd"
_SET_FACTS = (
    "difference",
    "value_step",
    "family",
    "same_fabric",
    "flags",
    "need",
    "difference_in_words",
)
_TALLY_HEADER = (
    "need",
    "role",
    "piece",
    "size_in",
    "family",
    "value",
    "needed",
    "on_hand",
    "short",
    "left_over",
    "swatches",
    "note",
    "pieces_of_each",
)


def swatches_csv(swatches: Sequence[Swatch]) -> str:
    """Return ``swatches.csv``: a row for each swatch, in the order given.

    Corners are in pixels of the upright photo, sizes in inches, colours CIELAB D65 with chroma
    and hue angle in degrees.
    """
    return csv_table(_SWATCH_HEADER, (_swatch_row(swatch) for swatch in swatches))


def sets_csv(sets: Sequence[SquareSet]) -> str:
    """Return ``sets.csv``: a row for each set, its darkest square first.

    There are as many ``swatch_`` columns as the largest set has squares, at least two.
    """
    width = max([2, *(len(square_set.swatches) for square_set in sets)])
    header = ["set", *(f"swatch_{letter}" for letter in _SET_LETTERS[:width]), *_SET_FACTS]
    return csv_table(header, (_set_row(square_set, width) for square_set in sets))


def tally_csv(tally: Tally) -> str:
    """Return ``tally.csv``: a row for each need of the pattern."""
    return csv_table(_TALLY_HEADER, (_tally_row(line) for line in tally.lines))


def joined_flags(swatch: Swatch) -> list[str]:
    """Return the doubts about a swatch and about its square, each once."""
    return list(dict.fromkeys((*swatch.square.flags, *swatch.flags)))


def in_words(square_set: SquareSet) -> str:
    """Return what a set's difference means; nothing where it isn't known."""
    known = math.isfinite(square_set.difference)
    if not known:
        return ""
    return words_for_difference(square_set.difference, square_set.k_lightness)


def hue_of(swatch: Swatch) -> float:
    """Return the hue angle in degrees; not a number where chroma, as printed, is none."""
    return float(hue_angle(swatch.lab)) if chroma(swatch.lab) >= 0.005 else math.nan


def csv_table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return CSV text."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def _swatch_row(swatch: Swatch) -> list[str]:
    square = swatch.square
    return [
        csv_text(swatch.label),
        csv_text(swatch.photo),
        "" if square.row is None else str(square.row),
        "" if square.col is None else str(square.col),
        *(csv_number(value, 2) for corner in square.corners for value in corner),
        csv_number(square.width_in, 3),
        csv_number(square.height_in, 3),
        *(csv_number(value, 2) for value in swatch.lab),
        csv_number(float(chroma(swatch.lab)), 2),
        csv_number(hue_of(swatch), 1),
        lab_to_hex(swatch.lab),
        csv_text(swatch.colour_name),
        csv_text(swatch.family),
        swatch.value,
        csv_text(swatch.print_kind),
        csv_text(swatch.fabric),
        csv_number(square.confidence, 3),
        _list(joined_flags(swatch)),
        csv_number(swatch.uncertainty or math.nan, 1),
        csv_number(munsell_value(swatch.lab[0]), 1),
    ]


def _set_row(square_set: SquareSet, width: int) -> list[str]:
    labels = [csv_text(label) for label in square_set.swatches]
    return [
        str(square_set.number),
        *labels,
        *[""] * (width - len(labels)),
        csv_number(square_set.difference, 1),
        csv_number(square_set.value_step, 2),
        csv_text(square_set.family),
        "yes" if square_set.same_fabric else "no",
        _list(square_set.flags),
        csv_text(square_set.need),
        in_words(square_set),
    ]


def _tally_row(line: TallyLine) -> list[str]:
    need = line.need
    return [
        csv_text(need.name),
        need.role,
        csv_text(need.piece),
        csv_number(float(need.size), 4),
        csv_text(need.family or ""),
        need.value or "",
        str(need.count),
        str(line.on_hand),
        str(line.short),
        str(line.left_over),
        _list(line.swatches),
        csv_text(line.note),
        _list(str(number) for number in line.pieces),
    ]


def csv_number(value: float, places: int) -> str:
    """Write a number with a point and no more zeros than it needs; nothing for no number."""
    rounded = round(value, places)
    if not math.isfinite(rounded):
        return ""
    text = f"{rounded + 0.0:.{places}f}"
    return text.rstrip("0").rstrip(".")


def _list(words: Iterable[str]) -> str:
    return csv_text(";".join(words))


def csv_text(words: str) -> str:
    """Keep a cell from being run as a formula, by the apostrophe that spreadsheets know."""
    return _FORMULA.sub("'", words)
