"""A counted bundle to a quilt: the pattern adapted, then the wall, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from catalog.bundle.families import rainbow_order
from catalog.count_request import DEFAULT_ARRANGEMENT, CountRequest
from catalog.count_results import Count
from catalog.cutting.adapted.adaptation import AdaptedPattern, adapt_pattern, with_offers
from catalog.cutting.plans import ChosenCloth, WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.larger_quilts import CountedStock, Promised, promised
from catalog.models import SquareSet
from catalog.squares_used import as_used, sides_said
from catalog.system.progress import Progress, unreported
from catalog.wall.contrast import Advice, lost_blocks, suggest_background
from catalog.wall.print_ways import with_ways_on_wall, with_ways_to_cut
from catalog.wall.set_grid import quilt_of_sets
from catalog.wall.wall_plan import plan_wall


@dataclass(frozen=True, eq=False)
class Planned:
    """A counted bundle planned as a quilt."""

    quilt: Quilt
    layout: Layout
    """As it will be sewn."""
    adapted: AdaptedPattern | None
    """None where sets hang alone, without a pattern."""
    wall: WallPlan
    advice: Advice | None
    """Which ground serves; None where no square is used."""
    lost: tuple[tuple[str, float], ...]
    """Blocks that would be lost on their background squares: place, step of L*."""
    cloths: Mapping[str, ChosenCloth] = field(default_factory=dict)
    """What somebody chose for the cloths that are bought, by their names."""


def plan(result: Count, request: CountRequest) -> Planned | None:
    """Make a pattern over to a counted bundle, hang its sets, and see how far the rest would go."""
    planned = plan_quilt(result, request)
    if planned is None or planned.adapted is None:
        return planned
    return with_reach(planned, reach_of(planned.adapted, result, request))


def plan_quilt(result: Count, request: CountRequest) -> Planned | None:
    """Make a pattern over to a counted bundle and hang its sets, or hang sets alone.

    Parameters
    ----------
    result : Count
        Of the request's needs.
    request : CountRequest

    Returns
    -------
    Planned or None
        None where no set serves, or nothing tells how to build the quilt. It isn't told yet what
        is left over and how far that would go: see `reach_of`.
    """
    serving = serving_sets(result)
    if not serving or not request.asks_plan:
        return None
    quilt = request.quilt
    if quilt is None:
        need = request.needs[0]
        quilt, layout = quilt_of_sets(len(serving), need.match, need.name, request.side)
        return _hung(result, request, quilt, layout, None)
    adapted = adapt_pattern(
        quilt,
        square=request.usable_side,
        seam=request.seam,
        cloth=request.cloth,
        stock=request.stock,
    )
    adapted = as_used(
        with_offers(adapted), result.tally, sides_said(result.bundle.swatches, request.side)
    )
    return _hung(result, request, quilt, adapted.layout, adapted)


def reach_of(
    adapted: AdaptedPattern, result: Count, request: CountRequest, tell: Progress = unreported
) -> Promised:
    """Return what a planned quilt leaves over, and how much further the bundle goes.

    That counts several larger quilts, which takes some times as long as the plan.

    Parameters
    ----------
    adapted : AdaptedPattern
        As it was planned from this count.
    result : Count
        Of the request.
    request : CountRequest
    tell : callable
        Told what is being done each time that one is counted; may raise to end it.
    """
    return promised(CountedStock(result, request, tell), adapted.layout)


def with_reach(planned: Planned, reach: Promised) -> Planned:
    """Return a plan of a pattern with how much further its bundle goes."""
    if planned.adapted is None:
        return planned
    told = replace(planned.adapted, chosen=reach.chosen, fills=reach.fills, steps=reach.steps)
    return replace(planned, adapted=told)


def serving_sets(result: Count) -> tuple[SquareSet, ...]:
    """The sets that serve a need, numbered as in `Count.sets`; single squares have number 0."""
    return (*result.counting, *result.singles)


def _small(result: Count, quilt: Quilt) -> dict[str, list[str]]:
    """Return for what is cut from squares left over, and for posts, the square of each piece."""
    post = quilt.sashing.post_kind if quilt.sashing else None
    names = {
        name: kind.name
        for kind in quilt.kinds
        if kind.source == "left over" or kind.name == post
        for name in kind.needs
    }
    small: dict[str, list[str]] = {}
    for line in result.tally.lines:
        if line.need.name in names:
            own = small.setdefault(names[line.need.name], [])
            for label, number in zip(line.swatches, line.pieces, strict=True):
                own += [label] * number
    return small


def _hung(
    result: Count,
    request: CountRequest,
    quilt: Quilt,
    layout: Layout,
    adapted: AdaptedPattern | None,
) -> Planned:
    """Hang the sets that serve in the quilt's places."""
    swatches = result.bundle.swatches
    arrangement = request.arrangement or DEFAULT_ARRANGEMENT
    ordered = rainbow_order(swatches)
    if arrangement == "light-to-dark":
        ordered = tuple(sorted(ordered, key=lambda swatch: (-swatch.lab[0], swatch.label)))
    small = _small(result, quilt)
    bundle = {swatch.label: swatch for swatch in swatches}
    wall = plan_wall(quilt, layout, serving_sets(result), ordered, arrangement, small)
    if adapted is not None:
        wall = with_ways_on_wall(quilt, wall, bundle)
        cuts = with_ways_to_cut(adapted.cuts, quilt, wall, bundle)
        adapted = replace(adapted, cuts=cuts)
    figure = {
        label: bundle[label].lab[0]
        for block in wall.blocks
        for patch, label in block.squares
        if quilt.kind(patch.kind).role == "feature"
    }
    advice = suggest_background(figure) if figure else None
    return Planned(quilt, layout, adapted, wall, advice, lost_blocks(quilt, wall, bundle))
