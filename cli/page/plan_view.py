"""A plan to what the page shows of it; results in, plain JSON values out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.cutting.layouts.precut_offers import least_lost
from catalog.cutting.plans import ARRANGEMENTS
from catalog.lengths import show_length
from catalog.report.drawings.plan_picture import drawings_of
from catalog.report.pages.html_views import length_words, size_words, turn_words
from cli import wording
from cli.counting.count_plan import lines_before_reach, plan_lines, reach_lines
from cli.cutting.remake_json import buy_object, cut_object
from cli.page.routes.pairing_routes import set_view
from cli.page.routes.plan_routes import ORDER_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.catalogue.records import StoredBundle
    from catalog.cutting.plans import BuyRow, CutRow, WallBlock
    from catalog.models import TallyLine
    from catalog.planning import Planned
    from cli.page.routes.plan_routes import Plan

View = dict[str, Any]


def plan_view(kept: StoredBundle, plan: Plan) -> View:
    """Return the tally, what to cut and to buy, and the wall."""
    tally, planned, pattern = plan.count.tally, plan.planned, plan.request.pattern
    adapted = planned.adapted if planned else None
    lines = wording.tally_lines(tally, asked=pattern is not None)
    lines += plan.count.notes
    if planned:
        lines += plan_lines(planned, plan.count)
    elif pattern is not None and pattern.quilt is not None:
        lines.append("No set serves the pattern as it is written.")
    return {
        "title": tally.title,
        "enough": tally.enough,
        "rows": planned.layout.rows if planned else (pattern.rows if pattern else None),
        "columns": planned.layout.columns if planned else (pattern.columns if pattern else None),
        "tally": [_line(line, kept) for line in tally.lines],
        "lines": [line.strip() for line in lines],
        "before_reach": lines_before_reach(adapted, plan.count, plan.request) if adapted else [],
        "sets": [set_view(one, kept) for one in plan.count.sets],
        "left_over": [kept.by_label[label].id for label in tally.unused],
        "cut": [_cut(row) for row in adapted.cuts] if adapted else [],
        "buy": [_buy(row) for row in adapted.buys] if adapted else [],
        "cut_up": _cut_up(adapted.buys) if adapted else "",
        "caution": list(CAUTIONS),
        "wall": _wall(kept, plan, planned) if planned else None,
        "orders": [{"name": name, "says": ORDER_WORDS[name]} for name in ARRANGEMENTS],
    }


def reach_view(plan: Plan) -> View:
    """Return what the plan's quilt leaves over, and how far that would go."""
    adapted = plan.planned.adapted if plan.planned else None
    lines = reach_lines(adapted, plan.count) if adapted else []
    return {"lines": [line.strip() for line in lines]}


def _line(line: TallyLine, kept: StoredBundle) -> View:
    need = line.need
    return {
        "need": need.name,
        "role": need.role,
        "piece": need.piece,
        "size": show_length(need.size, step=None) if need.size else "",
        "bought": need.source == "yardage",
        "needed": need.count,
        "on_hand": line.on_hand,
        "short": line.short,
        "left_over": line.left_over,
        "note": line.note,
        "squares": [kept.by_label[label].id for label in line.swatches],
    }


def _cut(row: CutRow) -> View:
    return {**cut_object(row), "size": size_words(row)}


def _buy(row: BuyRow) -> View:
    instead = [offer.words for offer in least_lost(row.offers)] if row.bought else []
    spare = length_words(row.spare) if row.spare else ""
    return {**buy_object(row), "spare": spare, "instead": instead}


def _cut_up(buys: Sequence[BuyRow]) -> str:
    """Return what the picture of the cutting plans shows; nothing where there is none."""
    return " ".join(one.says for one in drawings_of(buys))


def _wall(kept: StoredBundle, plan: Plan, planned: Planned) -> View:
    layout, wall = planned.layout, planned.wall
    return {
        "key": plan.wall,
        "order": wall.arrangement,
        "rows": layout.rows,
        "columns": layout.columns,
        "on_point": layout.on_point,
        "block_in": float(layout.block),
        "block_long_in": float(layout.tall),
        "sashing_in": float(layout.sashing),
        "wide_in": float(layout.middle[0]),
        "long_in": float(layout.middle[1]),
        "size": f"{show_length(layout.width, mark=False)} x {show_length(layout.length)}",
        "blocks": [_block(block, kept, plan) for block in wall.blocks],
    }


def _block(block: WallBlock, kept: StoredBundle, plan: Plan) -> View:
    def number(label: str) -> int | None:
        return kept.by_label[label].id if label else None

    return {
        "sew": block.number,
        "place": block.place,
        "row": block.row,
        "column": block.column,
        "x": round(block.x, 3),
        "y": round(block.y, 3),
        "turn": block.turn,
        "turned": turn_words(block.turn),
        "sets": list(block.sets),
        "squares": [kept.by_label[label].id for _, label in block.squares],
        "darker": number(block.darker),
        "darker_goes": block.darker_goes,
        "lighter": number(block.lighter),
        "lighter_goes": block.lighter_goes,
        "besides": [
            {"square": number(label), "goes": goes}
            for label, goes in block.pieces
            if label not in {block.darker, block.lighter}
        ],
        "press_inside": block.press_inside,
        "press_to_next": block.press_to_next,
        "press_row": block.press_row,
        "note": block.note,
        "mark": block.mark,
        "bought": block.bought,
        "done": block.place in plan.done,
    }
