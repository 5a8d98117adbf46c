"""What ``count`` adds where it can: the pattern made over, what to cut and buy, and the wall."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from catalog.phrases import listed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from catalog.count_request import CountRequest
    from catalog.count_results import Bundle, Count
    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.plans import WallBlock
    from catalog.models import Swatch
    from catalog.planning import Planned
    from catalog.report.pictures.block_face import Tones

PLAN_FILES: Final = (
    "cutting.csv",
    "buying.csv",
    "wall.csv",
    "wall.jpg",
    "cutting-plan.jpg",
)
MIN_SPARE: Final = 2
"""Squares left over in a family from which it is named as the one to buy a partner for."""
MAX_ALIKE: Final = 5.0
"""CIEDE2000 from which two touching blocks are told apart without doubt: a small step (see
`catalog.bundle.tally_notes.DIFFERENCE_STEPS`)."""


def unplanned_lines(request: CountRequest) -> list[str]:
    """Say what to do where a pattern could be planned and no set serves it."""
    if request.pattern is None or request.quilt is None:
        return []
    return [
        "No set serves the pattern as it is written. What it becomes with squares of another size "
        f'tells: calicount remake {request.pattern.name} --square "{request.side_typed}"'
    ]


def finishing_wanting(planned: Planned | None, result: Count) -> tuple[str, ...]:
    """Return what of binding and backing wants more squares than are left over."""
    if planned is None or planned.adapted is None:
        return ()
    from catalog.cutting.adapted.finishing import left_over_lines

    lines = left_over_lines(planned.adapted.cuts, len(result.tally.unused))
    return tuple(line.partition(":")[0] for line in lines)


def plan_contents(
    planned: Planned, result: Count, *, pictures: bool = True
) -> Mapping[str, bytes | str]:
    """Return the files by name, with or without those that are drawn."""
    adapted = planned.adapted
    contents = dict(cutting_contents(adapted, pictures=pictures)) if adapted else {}
    return {**contents, **wall_contents(planned, result.bundle, pictures=pictures)}


def wall_contents(
    planned: Planned, bundle: Bundle, *, pictures: bool = True
) -> Mapping[str, bytes | str]:
    """Return the wall as the sewing list and drawn, by the files' names."""
    from catalog.report.tables.plan_csv import wall_csv

    contents: dict[str, bytes | str] = {"wall.csv": wall_csv(planned.wall)}
    return {**contents, "wall.jpg": _wall_jpeg(planned, bundle)} if pictures else contents


def _wall_jpeg(planned: Planned, bundle: Bundle) -> bytes:
    from catalog.report.pictures.outlines import as_jpeg
    from catalog.report.pictures.wall_picture import wall_picture

    picture = wall_picture(
        planned.quilt,
        planned.layout,
        planned.wall,
        bundle.swatches,
        [one.photo for one in bundle.photos],
        tones_bought(planned, bundle.swatches),
    )
    return as_jpeg(picture)


def tones_bought(planned: Planned, swatches: Sequence[Swatch]) -> Tones:
    """Return plain tones for what a plan buys: a ground that shows its squares."""
    from catalog.report.pictures.wall_picture import tones_of

    labs = {swatch.label: swatch.lab for swatch in swatches}
    used = [labs[label] for block in planned.wall.blocks for _, label in block.squares]
    plain = tones_of(planned.advice.lightness if planned.advice else 93.0, used)
    return replace(plain, chosen={name: one.colour for name, one in planned.cloths.items()})


def cutting_contents(
    adapted: AdaptedPattern, *, pictures: bool = True
) -> Mapping[str, bytes | str]:
    """Return what is cut and bought, as tables and drawn, by the files' names."""
    from catalog.cutting.adapted.cautions import CAUTIONS
    from catalog.report.tables.plan_csv import buying_csv, cutting_csv

    contents: dict[str, bytes | str] = {
        "cutting.csv": cutting_csv(adapted.cuts, CAUTIONS),
        "buying.csv": buying_csv(adapted.buys),
    }
    if not pictures:
        return contents
    from catalog.report.drawings.plan_picture import cutting_plan_jpeg

    picture = cutting_plan_jpeg(adapted.buys)
    return {**contents, "cutting-plan.jpg": picture} if picture else contents


def plan_lines(planned: Planned, result: Count) -> list[str]:
    """Say what to know of the plan before anything is cut."""
    lines = _adapted_lines(planned.adapted, result) if planned.adapted else []
    if planned.lost:
        named = listed([f"{place} ({step:.0f})" for place, step in planned.lost])
        lines.append(
            f"Too little contrast between feature and background (of 100): {named}. "
            "Swap their backgrounds, or set them where they may fade."
        )
    elif planned.advice and planned.adapted:
        lines.append(planned.advice.words)
    near = planned.wall.nearest
    if planned.wall.arrangement == "scattered" and near and round(near[2], 1) < MAX_ALIKE:
        lines.append(f"{near[0]} and {near[1]} still touch and are alike ({near[2]:.1f}).")
    return lines


def _adapted_lines(adapted: AdaptedPattern, result: Count) -> list[str]:
    """Say which pieces don't fit as written, and how large a quilt the bundle fills."""
    from catalog.cutting.adapted.finishing import left_over_lines
    from catalog.cutting.adapted.packs import pack_lines

    lines = [
        f"{row.piece}: {row.yours} instead of {row.written}, {row.remark}."
        for row in adapted.rows
        if not row.fits
    ]
    lines += left_over_lines(adapted.cuts, len(result.tally.unused))
    lines += reach_lines(adapted, result)
    return lines + pack_lines(adapted.packs, adapted.stock.pinked, _squares_short(result, adapted))


def reach_lines(adapted: AdaptedPattern, result: Count) -> list[str]:
    """Say how large a quilt the bundle fills, where that was seen."""
    lines = []
    if adapted.chosen:
        lines.append(f"The quilt: {adapted.chosen.words}.{_spare(result, adapted.chosen.missing)}")
        lines += [f"  Your bundle could fill: {one.words}." for one in adapted.fills]
    return lines + [f"  A step further: {one.words}." for one in adapted.steps]


def lines_before_reach(adapted: AdaptedPattern, result: Count, request: CountRequest) -> list[str]:
    """Say what `reach_lines` will speak of, before anything larger is counted."""
    from catalog.cutting.quilt_sizes.filled_layout import near_layout_words
    from catalog.larger_quilts import CountedStock, next_layouts

    steps = next_layouts(CountedStock(result, request), adapted.layout)
    return [
        f"The quilt: {near_layout_words(adapted.layout)}; …",
        *[f"A step further: {near_layout_words(one)}; …" for one in steps],
    ]


def _squares_short(result: Count, adapted: AdaptedPattern) -> int:
    """Return how many squares would hold the pieces that are wanting."""
    kinds = {name: kind for kind in adapted.quilt.kinds for name in kind.needs}
    short = 0
    for line in result.tally.lines:
        if line.short and line.need.name in kinds:
            short += -(-line.short // max(1, adapted.pieces_each(kinds[line.need.name])))
    return short


def _spare(result: Count, missing: Sequence[tuple[str, int]]) -> str:
    """Name the family in which single squares wait for a partner, where sets are wanting."""
    if not missing or any(family for family, _ in missing):
        return ""
    from catalog.bundle.families import MULTICOLOURED

    families = {swatch.label: swatch.family for swatch in result.bundle.swatches}
    spare = Counter(families[label] for label in result.tally.unused)
    spare.pop(MULTICOLOURED, None)  # of which none need be like another
    if not spare:
        return ""
    family, number = min(spare.items(), key=lambda item: (-item[1], item[0]))
    if number < MIN_SPARE:
        return ""
    return f" {number} {family} lie spare, so partners for those come nearest to it."


def plan_object(planned: Planned) -> dict[str, Any]:
    """Return the plan for the JSON object."""
    from cli.cutting.remake_json import buy_object, cut_object, pack_object

    adapted = planned.adapted
    return {
        "cut": [cut_object(cut) for cut in adapted.cuts] if adapted else [],
        "buy": [buy_object(buy) for buy in adapted.buys] if adapted else [],
        "packs": [pack_object(row) for row in adapted.packs] if adapted else [],
        "ground": planned.advice.ground if planned.advice else None,
        "lost": [{"place": place, "step": round(step, 1)} for place, step in planned.lost],
        "order": planned.wall.arrangement,
        "wall": [_block_object(block) for block in planned.wall.blocks],
    }


def _block_object(block: WallBlock) -> dict[str, Any]:
    return {
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
        "block": block.mark or None,
        "done": block.done,
    }
