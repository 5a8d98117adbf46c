"""A unit's sizes in words: an answer in, lines out."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.phrases import count_of, joined
from cli.cutting.size_lengths import cut_sides, shown, sides_with_unit, with_unit
from cli.cutting.size_notes import notes

if TYPE_CHECKING:
    from catalog.cutting.layouts.precuts import Precut
    from catalog.cutting.layouts.unit_supply import UnitSupply
    from catalog.cutting.units.sized_unit import SizedPiece
    from cli.cutting.size_request import Answer


def answer_lines(answer: Answer) -> list[str]:
    """Return the whole answer."""
    cuts = [_cut_words(cut, answer.cm) for cut in together(answer.sized.cuts)]
    rows = [("" if place else "cut", words) for place, words in enumerate(cuts)]
    rows += _size_rows(answer)
    widest = max(len(label) for label, _ in rows)
    table = [f"  {label:<{widest}}  {text}" for label, text in rows]
    cautions = ("", "Before you cut:", *(f"  {line}" for line in CAUTIONS))
    told = (*notes(answer), *fabric_lines(answer), *supply_lines(answer))
    return [_title(answer), "", *table, "", *told, *cautions]


def fabric_lines(answer: Answer) -> list[str]:
    """Say how a pattern file names the unit and in which order its fabrics."""
    from catalog.cutting.unit_faces import part_names
    from catalog.cutting.units.units_by_name import find_unit

    unit = find_unit(answer.sized.method.unit)
    if not unit.parts:
        return []
    names = part_names(unit)
    told = f'In a pattern file: unit = "{unit.name}"'
    if len(names) > 1:
        told += f", its fabrics in this order: {', '.join(names)}"
    if unit.groups:
        told += f"; or only {', '.join(unit.group_names)}"
    return [f"{told}."]


def supply_lines(answer: Answer) -> list[str]:
    """Say what cloth the units take, and what a precut gives; nothing where none was asked."""
    supply = answer.supply
    if supply is None:
        return []
    from catalog.cutting.adapted.packs import pinked_words

    lines = [""]
    if supply.precut is not None:
        lines.append(_from_one(supply, supply.precut, answer.sized.units))
    if supply.number:
        pieces = " and ".join(
            f"{one.count:,} of {sides_with_unit(one.width, one.length, answer.cm)}"
            for one in supply.pieces
        )
        lines.append(f"For {count_of(supply.number, 'unit')} cut {pieces}.")
    if supply.yardage:
        together = ", all fabrics together" if len(supply.pieces) > 1 else ""
        lines.append(f"By the yard{together}: {supply.yardage.words}.")
    lines += [f"Ready cut: {offer.words}." for offer in supply.offers]
    sold = [offer.precut for offer in supply.offers] + ([supply.precut] if supply.precut else [])
    return [*lines, pinked_words(answer.pinked)] if any(one.pinked for one in sold) else lines


def _from_one(supply: UnitSupply, precut: Precut, units: int) -> str:
    """Say what one precut gives, or how many one set of pieces takes."""
    if not supply.from_one:
        return f"{precut.says(supply.for_one_set)} give {count_of(units, 'unit')}."
    given = count_of(supply.from_one, "unit")
    return f"One {precut.name} gives {given}, all their pieces cut from it."


def together(cuts: tuple[SizedPiece, ...]) -> list[SizedPiece]:
    """Return cuts with those of one size that follow one another under all their names."""
    told: list[SizedPiece] = []
    for _, group in groupby(cuts, lambda cut: (cut.shape, cut.count, cut.width, cut.height)):
        alike = list(group)
        if len(alike) > 1 and alike[0].count == 1:
            what = joined([cut.what for cut in alike])
            told.append(replace(alike[0], what=what))
        else:
            told += alike
    return told


def _title(answer: Answer) -> str:
    method = answer.sized.method
    name = method.title or method.unit.replace("-", " ")
    for part in ("half", "quarter"):
        name = name.replace(f"{part} square triangle", f"{part}-square triangle")
    several = f", {method.at_a_time} at a time" if min(method.at_a_time, method.units) > 1 else ""
    yours = " (measured on your unit)" if answer.seam_measured else ""
    seam = with_unit(answer.sized.seam, answer.cm)
    return f"{name[0].upper()}{name[1:]}{several}, with a seam of {seam}{yours}"


def _cut_words(cut: SizedPiece, cm: bool) -> str:
    if len(cut.what.split(" and ")) > 1 and cut.count == 1:
        return f"{cut.what}, each {cut_sides(cut, cm)}{'' if cm else ' in'}"
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
