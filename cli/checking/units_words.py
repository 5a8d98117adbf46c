"""What is said of trimmed units that were measured: results in, lines or an object out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalog.lengths import SIXTEENTH, show_length
from catalog.phrases import count_of, listed
from cli.reference_words import page_lines

if TYPE_CHECKING:
    from pathlib import Path

    from catalog.models import Found, MeasuredUnit, UnitFit

MAX_UNITS_NAMED = 24
"""Units named one by one: some four lines of a screen."""


def unit_lines(units: Sequence[MeasuredUnit], found: Mapping[str, Found]) -> list[str]:
    """Say which units are too small, which can be trimmed, and by what they were measured."""
    trims = sorted({unit.trim for unit in units})
    sizes = " and ".join(show_length(trim) for trim in trims)
    loose = [unit for unit in units if not unit.sewn_in]
    lines = [f"{count_of(len(loose), 'unit')} measured, against {sizes}."]
    small, large = (_of(units, fit) for fit in ("too small", "larger"))
    if small:
        lines.append(f"Too small, by more than the photo leaves in doubt: {small}.")
    else:
        lines.append("None is too small, as far as the photo can tell.")
    if large:
        lines.append(f"Larger, so there is something to trim off: {large}.")
    if sewn := _of(units, "sewn in", sizes=False):
        lines.append(
            f"Edge to edge with others, as sewn ones lie, so not measured: {sewn}. Lay units that "
            "aren't sewn in yet in rows with gaps between them."
        )
    if not all(unit.square.absolute for unit in units):
        lines.append(
            "Sizes are told against the middle one of your units, as no reference page lies beside "
            "them: if all are too small alike, it isn't seen. calicount reference prints a page."
        )
    doubts = sorted({unit.doubt for unit in units})
    told = " to ".join(show_length(Fraction(doubt), step=None) for doubt in doubts)
    return [*lines, f"What the photo leaves in doubt: {told}.", *page_lines(found)]


def _of(units: Sequence[MeasuredUnit], fit: UnitFit, *, sizes: bool = True) -> str:
    from catalog.report.pictures.checks.units_picture import size_of_unit

    several = len({unit.photo for unit in units}) > 1
    named = [
        f"{f'{unit.photo} ' if several else ''}{unit.label}"
        + (f" ({size_of_unit(unit)})" if sizes else "")
        for unit in units
        if unit.fit == fit
    ]
    return listed(named, MAX_UNITS_NAMED)


def units_object(units: Sequence[MeasuredUnit], written: Sequence[Path]) -> dict[str, Any]:
    """Return the JSON object."""
    return {
        "units": [
            {
                "unit": unit.label,
                "photo": unit.photo,
                "width_in": round(unit.square.width_in, 3),
                "height_in": round(unit.square.height_in, 3),
                "trim_in": float(unit.trim),
                "trim": show_length(unit.trim, step=SIXTEENTH),
                "doubt_in": unit.doubt,
                "fit": unit.fit,
                "true_inches": unit.square.absolute,
            }
            for unit in units
        ],
        "files": [str(path) for path in written],
    }
