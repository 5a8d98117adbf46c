"""What a move does to the wall, in numbers and in sentences, before it is made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import SquareSet, Swatch
from catalog.phrases import joined
from catalog.wall.contrast import lost_blocks
from catalog.wall.rehanging.neighbour_differences import Beside, differences_beside, sets_apart


@dataclass(frozen=True)
class MoveEffects:
    """What a wall is like after a move, beside what it was."""

    changed: tuple[str, ...]
    """Places at which other squares hang, or the same turned."""
    beside: tuple[Beside, ...]
    """Of these places, to their neighbours, after the move."""
    lines: tuple[str, ...]
    """In sentences."""


def move_effects(
    quilt: Quilt,
    layout: Layout,
    walls: tuple[WallPlan, WallPlan],
    bundle: Mapping[str, Swatch],
    sets: Sequence[SquareSet],
) -> MoveEffects:
    """Compare a wall before and after a move.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        That both were planned for.
    walls : (WallPlan, WallPlan)
        Before and after.
    bundle : mapping from label to Swatch
    sets : sequence of SquareSet
        All that are numbered.
    """
    before, after = walls
    moved = changed_places(before, after)
    was, now = (differences_beside(quilt, layout, wall, bundle, moved) for wall in walls)
    lines = [_beside_words(place, _of(place, was), _of(place, now)) for place in moved]
    at = {block.place: block for block in before.blocks}
    for block in after.blocks:
        if block.place in moved:
            apart = sets_apart(at[block.place], sets, bundle), sets_apart(block, sets, bundle)
            lines.append(_apart_words(block.place, *apart))
    lost = lost_blocks(quilt, before, bundle), lost_blocks(quilt, after, bundle)
    lines.append(_lost_words(*(dict(one) for one in lost)))
    return MoveEffects(moved, now, tuple(filter(None, lines)))


def changed_places(before: WallPlan, after: WallPlan) -> tuple[str, ...]:
    """Return the places at which something else hangs, or the same turned."""
    at = {block.place: (block.squares, block.turn, block.scraps) for block in before.blocks}
    return tuple(
        block.place
        for block in after.blocks
        if at.get(block.place) != (block.squares, block.turn, block.scraps)
    )


def _of(place: str, told: Sequence[Beside]) -> list[float]:
    return [one.difference for one in told if place in {one.place, one.other}]


def _beside_words(place: str, was: Sequence[float], now: Sequence[float]) -> str:
    """Say how far neighbours are; nothing where that stays as it was."""
    if not now or [round(one, 1) for one in was] == [round(one, 1) for one in now]:
        return ""
    before = f"; {_span(was)} before" if was else ""
    return f"{place}: {_span(now)} from its neighbours{before}."


def _span(values: Sequence[float]) -> str:
    low, high = min(values), max(values)
    return f"{low:.1f}" if f"{low:.1f}" == f"{high:.1f}" else f"{low:.1f} to {high:.1f}"


def _apart_words(place: str, was: float | None, now: float | None) -> str:
    if now is None or (was is not None and round(was, 1) == round(now, 1)):
        return ""
    before = f"; {was:.1f} before" if was is not None else ""
    return f"The sets in {place} are {now:.1f} apart{before}."


def _lost_words(was: Mapping[str, float], now: Mapping[str, float]) -> str:
    """Say which blocks fade into their background by the move."""
    fresh = [place for place in now if place not in was]
    if not fresh:
        return ""
    return f"{joined(fresh)} would hardly stand out from the background there."
