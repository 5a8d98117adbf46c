"""The plans of a run as CSV text: what is cut, what is bought, what hangs where."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from catalog.cutting.plans import BuyRow, CutRow, WallBlock, WallPlan
from catalog.report.tables.csv_tables import csv_number, csv_table, csv_text

CUTTING_HEADER: Final = (
    *("cloth", "piece", "count", "width_in", "length_in", "how", "trim", "done"),
)
BUYING_HEADER: Final = (
    "for",
    "buy",
    "bought_in",
    "used_in",
    "usable_width_in",
    "strips",
    "spare_in",
)
WALL_HEADER: Final = (
    *("sew", "place", "row", "column", "set", "darker", "darker_goes", "lighter", "lighter_goes"),
    *("other_squares", "turned", "press_inside", "press_to_next", "press_row", "note", "done"),
    *("pieces", "posts", "press_before", "press_strips", "press_edge"),
)
CAUTION: Final = "before you cut"
"""What stands for the cloth in the rows of cautions."""


def cutting_csv(cuts: Sequence[CutRow], cautions: Sequence[str]) -> str:
    """Return ``cutting.csv``: a row for each kind of piece, then the cautions; ``done`` to tick."""
    rows = [
        [
            csv_text(cut.cloth),
            csv_text(cut.piece),
            str(cut.count),
            _inches(cut.width),
            _inches(cut.length),
            csv_text("; ".join(filter(None, (cut.how, cut.note)))),
            csv_text(cut.trim),
            "",
        ]
        for cut in cuts
    ]
    rows += [[CAUTION, "", "", "", "", csv_text(caution), "", ""] for caution in cautions]
    return csv_table(CUTTING_HEADER, rows)


def buying_csv(buys: Sequence[BuyRow]) -> str:
    """Return ``buying.csv``: a row for each cloth; ``spare_in`` is part of ``bought_in``."""
    return csv_table(
        BUYING_HEADER,
        (
            [
                csv_text(buy.cloth),
                csv_text(buy.words),
                _inches(buy.bought) if buy.bought else "",
                _inches(buy.used) if buy.bought else "",
                _inches(buy.width) if buy.bought else "",
                csv_text("; ".join(buy.plan)),
                _inches(buy.spare) if buy.bought else "",
            ]
            for buy in buys
        ),
    )


def wall_csv(plan: WallPlan) -> str:
    """Return ``wall.csv``: a row for each block in the order of sewing; ``done`` to tick."""
    return csv_table(WALL_HEADER, (_wall_row(block) for block in plan.blocks))


def _wall_row(block: WallBlock) -> list[str]:
    named = {block.darker, block.lighter}
    others = [label for _, label in block.squares if label not in named]
    return [
        str(block.number),
        block.place,
        str(block.row),
        str(block.column),
        ";".join(str(number) for number in block.sets),
        csv_text(block.darker),
        block.darker_goes,
        csv_text(block.lighter),
        block.lighter_goes,
        csv_text(";".join(others)),
        str(block.turn),
        block.press_inside,
        block.press_to_next,
        block.press_row,
        csv_text(block.note),
        "",
        csv_text("; ".join(f"{label}: {goes}" for label, goes in block.pieces)),
        csv_text("; ".join(f"{label}: {corner}" for corner, label in block.posts_go)),
        block.press_before,
        block.press_strips,
        block.press_edge,
    ]


def _inches(length: Fraction) -> str:
    return csv_number(float(length), 4)
