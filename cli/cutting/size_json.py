"""A unit's sizes as one JSON object."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalog.cutting.adapted.cautions import CAUTIONS
from cli.cutting.remake_json import offer_object
from cli.cutting.size_lengths import cut_sides, shown, shown_sides
from cli.cutting.size_notes import notes

if TYPE_CHECKING:
    from catalog.cutting.layouts.unit_supply import UnitSupply
    from catalog.cutting.units.sized_unit import SizedPiece, SizedUnit
    from cli.cutting.size_request import Answer


def answer_json(answer: Answer) -> str:
    """Return the answer as text.

    Each length stands twice: as people write it (inches without their unit, centimetres with it),
    and with ``_in`` as its exact value in decimal inches; of sides that differ ``_in`` is the
    width and ``_height_in`` the height. Areas are in square inches.
    """
    return json.dumps(_answer(answer), indent=2, ensure_ascii=False)


def _answer(answer: Answer) -> dict[str, Any]:
    sized, cm = answer.sized, answer.cm
    main = sized.cuts[0]
    unfinished = sized.sewn if answer.from_square else sized.trim
    return {
        "unit": sized.method.unit,
        "at_a_time": sized.method.at_a_time,
        "seam": shown(sized.seam, cm),
        "seam_in": float(sized.seam),
        "cut": _cut_text(main, cm),
        "cut_in": float(main.width),
        "cut_least_in": float(main.exact),
        "unfinished": _unfinished_text(answer),
        "unfinished_in": float(unfinished),
        **_sides("trim", sized.trim, sized.trim_height, cm),
        **_sides("finished", sized.finished, sized.finished_height, cm),
        "pieces": sized.units,
        "cuts": [_cut(cut, cm) for cut in sized.cuts],
        "spare_in": float(sized.spare),
        "cloth_sq_in": float(sized.cloth),
        "waste_sq_in": float(sized.waste),
        "bias": sized.method.bias,
        "caution": sized.method.caution,
        "fabrics": _fabrics(sized.method.unit),
        "measured": sized.method.measured,
        "easy": _easy(answer.easy, cm),
        "pattern": _pattern(answer),
        "notes": notes(answer),
        "cautions": list(CAUTIONS),
        "cloth": _supply(answer.supply),
        "pinked": answer.pinked,
    }


def _supply(supply: UnitSupply | None) -> dict[str, Any] | None:
    """Return what cloth the units take."""
    if supply is None:
        return None
    return {
        "number": supply.number,
        "pieces": [
            {"count": one.count, "width_in": float(one.width), "length_in": float(one.length)}
            for one in supply.pieces
        ],
        "bought_in": float(supply.yardage.bought) if supply.yardage else None,
        "precut": supply.precut.plural if supply.precut else None,
        "units_from_one": supply.from_one if supply.precut else None,
        "precuts": [offer_object(offer) for offer in supply.offers],
    }


def _fabrics(name: str) -> list[str]:
    """Return the unit's parts in the order in which a pattern names their fabrics."""
    from catalog.cutting.unit_faces import part_names
    from catalog.cutting.units.units_by_name import find_unit

    return part_names(find_unit(name))


def _sides(name: str, width: Fraction, height: Fraction, cm: bool) -> dict[str, Any]:
    fields: dict[str, Any] = {name: shown_sides(width, height, cm), f"{name}_in": float(width)}
    if height != width:
        fields[f"{name}_height_in"] = float(height)
    return fields


def _unfinished_text(answer: Answer) -> str:
    sized = answer.sized
    if answer.from_square and (sized.spare or sized.trim_height == sized.trim):
        return shown(sized.sewn, answer.cm)
    return shown_sides(sized.trim, sized.trim_height, answer.cm)


def _cut_text(cut: SizedPiece, cm: bool) -> str:
    return shown(cut.width, cm) if cut.shape == "strip" else cut_sides(cut, cm)


def _cut(cut: SizedPiece, cm: bool) -> dict[str, Any]:
    return {
        "what": cut.what,
        "count": cut.count,
        "cut": _cut_text(cut, cm),
        "width_in": float(cut.width),
        "height_in": float(cut.height),
        "least_width_in": float(cut.exact),
    }


def _easy(easy: SizedUnit | None, cm: bool) -> dict[str, Any] | None:
    """Return the largest unit of an easy finished size from the square in hand."""
    if easy is None:
        return None
    return {
        "cut": _cut_text(easy.cuts[0], cm),
        "cut_in": float(easy.cuts[0].width),
        **_sides("trim", easy.trim, easy.trim_height, cm),
        **_sides("finished", easy.finished, easy.finished_height, cm),
    }


def _pattern(answer: Answer) -> dict[str, Any] | None:
    """Return how the unit stands to the pattern's trim size."""
    reached = answer.reached
    if reached is None or reached.wanted is None or reached.cut_needed is None:
        return None
    return {
        "trim": shown(reached.wanted, answer.cm),
        "trim_in": float(reached.wanted),
        "reached": reached.short == 0 and reached.over == 0,
        "short_in": float(reached.short),
        "over_in": float(reached.over),
        "cut_needed": shown(reached.cut_needed, answer.cm),
        "cut_needed_in": float(reached.cut_needed),
    }
