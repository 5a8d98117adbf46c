"""A unit's sizes in words: an answer in, lines out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog.cutting.adapted.cautions import CAUTIONS
from cli.cutting.size_lengths import cut_sides, shown, sides_with_unit, with_unit
from cli.cutting.size_notes import notes

if TYPE_CHECKING:
    from catalog.cutting.units.sized_unit import SizedPiece
    from cli.cutting.size_request import Answer


def answer_lines(answer: Answer) -> list[str]:
    """Return the whole answer."""
    cuts = [_cut_words(cut, answer.cm) for cut in answer.sized.cuts]
    rows = [("" if place else "cut", words) for place, words in enumerate(cuts)]
    rows += _size_rows(answer)
    widest = max(len(label) for label, _ in rows)
    table = [f"  {label:<{widest}}  {text}" for label, text in rows]
    cautions = ("", "Before you cut:", *(f"  {line}" for line in CAUTIONS))
    return [_title(answer), "", *table, "", *notes(answer), *cautions]


def _title(answer: Answer) -> str:
    method = answer.sized.method
    name = method.unit.replace("-", " ")
    for part in ("half", "quarter"):
        name = name.replace(f"{part} square triangle", f"{part}-square triangle")
    several = f", {method.at_a_time} at a time" if method.at_a_time > 1 else ""
    yours = " (measured on your unit)" if answer.seam_measured else ""
    seam = with_unit(answer.sized.seam, answer.cm)
    return f"{name.capitalize()}{several}, with a seam of {seam}{yours}"


def _cut_words(cut: SizedPiece, cm: bool) -> str:
    what = cut.what if cut.count == 1 else cut.what.replace(cut.shape, f"{cut.shape}s", 1)
    unit = "" if cm else " in"
    if cut.shape == "strip":
        wide, long = shown(cut.width, cm), shown(cut.height, cm)
        return f"{cut.count} {what}, {wide}{unit} wide and {long}{unit} long"
    return f"{cut.count} {what}, {cut_sides(cut, cm)}{unit}"


def _size_rows(answer: Answer) -> list[tuple[str, str]]:
    sized, cm = answer.sized, answer.cm
    makes = ("makes", f"{sized.units} {'unit' if sized.units == 1 else 'units'}")
    if sized.method.fills:
        return [("for blocks", f"of {with_unit(sized.finished, cm)} finished"), makes]
    trim = sides_with_unit(sized.trim, sized.trim_height, cm)
    rows = [("unfinished", trim)]
    if sized.spare > 0:
        wide = "" if sized.method.aspect == 1 else " wide"
        wanted = "trim to" if sized.method.trimmed else "asked for"
        rows = [("sewn", with_unit(sized.sewn, cm) + wide), (wanted, trim)]
    finished = sides_with_unit(sized.finished, sized.finished_height, cm)
    told = f"{finished}, {sized.method.measured}" if sized.method.measured else finished
    return [*rows, ("finished", told), makes]
