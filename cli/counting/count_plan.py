"""What ``count`` adds where it can: the pattern made over, what to cut and buy, and the wall."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, cast

from catalog.phrases import listed
from cli.counting.count_request import Order, needs_of, side_of
from cli.cutting.remake_request import cloth_of, seam_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from catalog.cutting import plans
    from catalog.cutting.yardage.bolt import Bolt
    from catalog.models import MatchRules, Need
    from catalog.pattern.patterns import Pattern
    from catalog.pipeline import Count
    from catalog.planning import Planned

CUT_FILES: Final = ("cutting.csv", "buying.csv")
WALL_FILES: Final = ("wall.csv", "wall.jpg")
DEFAULT_ORDER: Final = "rainbow-diagonal"
LEAST_SPARE: Final = 2
"""Squares left over in a family from which it is named as the one to buy a partner for."""


@dataclass(frozen=True)
class Wish:
    """What is to be planned, checked before any photo is looked at."""

    pattern: Pattern | None
    """None to hang sets alone."""
    needs: Sequence[Need]
    """Of the sizes that are cut."""
    order: plans.Arrangement
    square: Fraction
    seam: Fraction | None
    cloth: Bolt
    set_size: int


def wish_of(order: Order) -> Wish | None:
    """Return what is to be planned; None for nothing, where no pattern tells how to build it."""
    pattern = None
    _, needs = needs_of(order)
    if order.pattern is not None:
        from catalog.pattern.patterns import load_pattern

        pattern = load_pattern(order.pattern)
    quilt = pattern.quilt if pattern else None
    square = side_of(order.square)
    seam, cloth = seam_of(order.seam, None, order.square), cloth_of(order.width, spare=order.spare)
    if quilt is None and (order.pattern is not None or order.order is None):
        return None
    hung = cast("plans.Arrangement", order.order or DEFAULT_ORDER)
    if quilt is not None:
        from catalog.cutting.adapted.cut_needs import as_cut

        needs = as_cut(needs, quilt, square, seam)
    return Wish(pattern, needs, hung, square, seam, cloth, order.set_size)


def plan(wish: Wish, result: Count, rules: MatchRules, within: float) -> Planned | None:
    """Plan a counted bundle; None where it gives not one set."""
    from catalog import planning

    if not planning.serving_sets(result):
        return None
    if wish.pattern is None:
        need = wish.needs[0].name
        return planning.hang_sets(
            result, wish.order, size=wish.set_size, need=need, square=wish.square
        )
    return planning.plan_quilt(
        result,
        wish.pattern,
        wish.order,
        square=wish.square,
        seam=wish.seam,
        cloth=wish.cloth,
        rules=rules,
        within=within,
    )


def unplanned_lines(order: Order, wish: Wish | None) -> list[str]:
    """Say what to do where a pattern could be planned and no set serves it."""
    if wish is None or wish.pattern is None:
        return []
    return [
        "No set serves the pattern as it is written. What it becomes with squares of another size "
        f'tells: calicount remake {order.pattern} --square "{order.square}"'
    ]


def plan_contents(planned: Planned, result: Count) -> Mapping[str, bytes | str]:
    """Return the files by name."""
    from catalog.cutting.adapted.cautions import CAUTIONS
    from catalog.report.pictures.wall_picture import tones_of, wall_jpeg, wall_picture
    from catalog.report.tables.plan_csv import buying_csv, cutting_csv, wall_csv

    contents: dict[str, bytes | str] = {}
    if planned.made:
        contents["cutting.csv"] = cutting_csv(planned.made.cuts, CAUTIONS)
        contents["buying.csv"] = buying_csv(planned.made.buys)
    contents["wall.csv"] = wall_csv(planned.wall)
    labs = {swatch.label: swatch.lab for swatch in result.bundle.swatches}
    used = [labs[label] for block in planned.wall.blocks for _, label in block.squares]
    ground = planned.advice.lightness if planned.advice else 93.0
    picture = wall_picture(
        planned.quilt,
        planned.layout,
        planned.wall,
        result.bundle.swatches,
        [one.photo for one in result.bundle.photos],
        tones_of(ground, used),
    )
    contents["wall.jpg"] = wall_jpeg(picture)
    return contents


def plan_lines(planned: Planned, result: Count) -> list[str]:
    """Say what to know of the plan before anything is cut."""
    lines = []
    made = planned.made
    if made:
        lines += [
            f"{row.piece}: {row.yours} instead of {row.written}, {row.remark}."
            for row in made.rows
            if not row.fits
        ]
        if made.chosen:
            lines.append(f"The quilt: {made.chosen.words}.{_spare(result, made.chosen.missing)}")
            lines += [f"  Your bundle could fill: {one.words}." for one in made.fills]
        lines += [f"  A step further: {one.words}." for one in made.steps]
    if planned.lost:
        named = listed([f"{place} ({step:.0f})" for place, step in planned.lost])
        lines.append(
            f"Too little contrast between feature and background (of 100): {named}. "
            "Swap their backgrounds, or set them where they may fade."
        )
    elif planned.advice and made:
        lines.append(planned.advice.words)
    near = planned.wall.nearest
    if planned.wall.arrangement == "scattered" and near and round(near[2], 1) < _LIKE:
        lines.append(f"{near[0]} and {near[1]} still touch and are alike ({near[2]:.1f}).")
    return lines


_LIKE: Final = 5.0
"""CIEDE2000 from which two touching blocks are told apart without doubt: a small step."""


def _spare(result: Count, missing: Sequence[tuple[str, int]]) -> str:
    """Name the family in which single squares wait for a partner, where sets are wanting."""
    if not missing or any(family for family, _ in missing):
        return ""
    families = {swatch.label: swatch.family for swatch in result.bundle.swatches}
    spare = Counter(families[label] for label in result.tally.unused)
    if not spare:
        return ""
    family, number = min(spare.items(), key=lambda item: (-item[1], item[0]))
    if number < LEAST_SPARE:
        return ""
    return f" {number} {family} lie spare, so partners for those come nearest to it."


def plan_object(planned: Planned) -> dict[str, Any]:
    """Return the plan for the JSON object."""
    from cli.cutting.remake_json import buy_object, cut_object

    made = planned.made
    return {
        "cut": [cut_object(cut) for cut in made.cuts] if made else [],
        "buy": [buy_object(buy) for buy in made.buys] if made else [],
        "ground": planned.advice.ground if planned.advice else None,
        "lost": [{"place": place, "step": round(step, 1)} for place, step in planned.lost],
        "order": planned.wall.arrangement,
        "wall": [
            {
                "sew": block.number,
                "place": block.place,
                "row": block.row,
                "column": block.column,
                "sets": list(block.sets),
                "darker": block.darker or None,
                "darker_goes": block.darker_goes or None,
                "lighter": block.lighter or None,
                "lighter_goes": block.lighter_goes or None,
                "squares": [label for _, label in block.squares],
                "pieces": [{"square": label, "goes": goes} for label, goes in block.pieces],
                "posts": [{"square": label, "corner": corner} for corner, label in block.posts_go],
                "turned": block.turn,
                "press_inside": block.press_inside,
                "press_to_next": block.press_to_next,
                "press_row": block.press_row,
                "press_before": block.press_before,
                "press_strips": block.press_strips,
                "press_edge": block.press_edge,
            }
            for block in planned.wall.blocks
        ],
    }
