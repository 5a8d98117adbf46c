"""A pattern made over as one JSON object.

Lengths with ``_in`` are inches, decimal; ``written`` and ``yours`` are text as people write them.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.layouts.precut_offers import PrecutOffer
    from catalog.cutting.plans import BuyRow, ComparisonRow, CutRow, PackRow
    from catalog.cutting.quilt_sizes.filled_layout import Filled
    from catalog.cutting.quilt_sizes.quilt_layout import Layout
    from catalog.cutting.quilt_sizes.standard_sizes import UsualSize


def adapted_json(title: str, adapted: AdaptedPattern) -> str:
    """Return everything as text."""
    from catalog.cutting.adapted.cautions import CAUTIONS

    found = {
        "title": title,
        "fits": adapted.fits,
        "seam_in": _number(adapted.seam),
        "square_in": _number(adapted.square),
        "block_finished_in": _number(adapted.block.finished),
        "largest_block_in": _number(adapted.block.largest),
        "written": _layout(adapted.written),
        "yours": _layout(adapted.layout),
        "rows": [_row(row) for row in adapted.rows],
        "cut": [cut_object(cut) for cut in adapted.cuts],
        "buy": [buy_object(buy) for buy in adapted.buys],
        "sets": _filled(adapted.chosen) if adapted.chosen else None,
        "fills": [_filled(one) for one in adapted.fills],
        "next": [_filled(one) for one in adapted.steps],
        "usual": [_filled(one) for one in adapted.usual],
        "bed": _bed(adapted.bed) if adapted.bed else None,
        "cautions": list(CAUTIONS),
        "packs": [pack_object(row) for row in adapted.packs],
        "pinked": adapted.stock.pinked,
    }
    return json.dumps(found, indent=1, ensure_ascii=False, allow_nan=False)


def cut_object(cut: CutRow) -> dict[str, Any]:
    """Return one line of what to cut."""
    return {
        "cloth": cut.cloth,
        "piece": cut.piece,
        "count": cut.count,
        "width_in": _number(cut.width),
        "length_in": _number(cut.length),
        "how": cut.how,
        "trim": cut.trim,
        "note": cut.note,
    }


def buy_object(buy: BuyRow) -> dict[str, Any]:
    """Return one line of what to buy."""
    return {
        "cloth": buy.cloth,
        "bought_in": _number(buy.bought),
        "used_in": _number(buy.used),
        "usable_width_in": _number(buy.width),
        "words": buy.words,
        "plan": list(buy.plan),
        "spare_in": _number(buy.spare),
        "stacked": buy.stacked,
        "precuts": [offer_object(offer) for offer in buy.offers],
    }


def offer_object(offer: PrecutOffer) -> dict[str, Any]:
    """Return pieces as cut from precuts of one kind; ``waste`` is a part, from 0 to 1."""
    return {
        "precut": offer.precut.plural,
        "number": offer.number,
        "packs": offer.packs,
        "in_a_pack": offer.pack,
        "left_over": offer.left_over,
        "from_each": offer.each,
        "waste": float(offer.waste),
        "words": offer.words,
    }


def pack_object(row: PackRow) -> dict[str, Any]:
    """Return squares of the bundle as they are sold."""
    return {
        "precut": row.precut,
        "number": row.wanted,
        "packs": row.packs,
        "in_a_pack": row.pack,
        "left_over": row.left_over,
        "waste": float(row.waste),
        "words": row.words,
    }


def _bed(bed: UsualSize) -> dict[str, Any]:
    return {"width_in": _number(bed.width), "length_in": _number(bed.length)}


def _layout(layout: Layout) -> dict[str, Any]:
    return {
        "rows": layout.rows,
        "columns": layout.columns,
        "blocks": layout.blocks,
        "on_point": layout.on_point,
        "width_in": _number(layout.width),
        "length_in": _number(layout.length),
    }


def _row(row: ComparisonRow) -> dict[str, Any]:
    return {
        "piece": row.piece,
        "written": row.written,
        "yours": row.yours,
        "remark": row.remark,
        "written_in": _number(row.written_in),
        "yours_in": _number(row.yours_in),
        "fits": row.fits,
    }


def _filled(filled: Filled) -> dict[str, Any]:
    return {
        **_layout(filled.layout),
        "near": filled.usual.name,
        "missing": [{"family": family, "sets": number} for family, number in filled.missing],
        "left_over": filled.left_over,
        "wanting": [{"piece": piece, "number": number} for piece, number in filled.wanting],
        "words": filled.words,
    }


def _number(length: Fraction | None) -> float | None:
    return None if length is None else float(length)
