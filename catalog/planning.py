"""A counted bundle to a quilt: the pattern made over, then the wall, and nothing else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.ciede2000 import as_shown
from catalog.contrast import Advice, lost_blocks, suggest_ground
from catalog.families import rainbow_order
from catalog.made_over import Layout, MadeOver, make_over, supply_of
from catalog.matching import match_requests
from catalog.models import MatchRules, Need, SquareSet
from catalog.pipeline import Count
from catalog.plans import Order, WallPlan
from catalog.quilt import Quilt
from catalog.tally import requests_of
from catalog.wall import plan_wall, quilt_of_sets
from catalog.yardage import Cloth


@dataclass(frozen=True, eq=False)
class Planned:
    """A counted bundle planned as a quilt."""

    quilt: Quilt
    layout: Layout
    """As it will be sewn."""
    made: MadeOver | None
    """None where sets hang alone, without a pattern."""
    wall: WallPlan
    advice: Advice | None
    """Which ground serves; None where no square is used."""
    lost: tuple[tuple[str, float], ...]
    """Blocks that would be lost on their background squares: place, step of L*."""


def plan_quilt(
    result: Count,
    quilt: Quilt,
    needs: Sequence[Need],
    order: Order,
    *,
    square: Fraction,
    seam: Fraction | None,
    cloth: Cloth,
    rules: MatchRules,
    within: float,
) -> Planned:
    """Make a pattern over to a counted bundle and hang its sets.

    Parameters
    ----------
    result : Count
    quilt : Quilt
        How the pattern is built.
    needs : sequence of Need
        Of the pattern.
    order : Order
        In which the sets hang.
    square, seam : Fraction
        Of the squares in hand and really sewn, inches; the pattern's seam if None.
    cloth : Cloth
        What is bought.
    rules : MatchRules
        Of the count; the squares left over make more sets by them.
    within : float
        CIEDE2000 up to which those count.
    """
    serving = serving_sets(result)
    by_need = Counter(
        one.need for one in (*serving, *_more_sets(result, quilt, needs, rules, within))
    )
    supply = supply_of(quilt, needs, by_need.total(), by_need)
    made = make_over(quilt, square=square, seam=seam, supply=supply, cloth=cloth)
    return _planned(result, quilt, made.layout, made, serving, order)


def _more_sets(
    result: Count, quilt: Quilt, needs: Sequence[Need], rules: MatchRules, within: float
) -> tuple[SquareSet, ...]:
    """The pairs (and single squares) that what is left over gives for a larger quilt."""
    own = {name for kind in quilt.kinds if kind.role == "feature" for name in kind.needs}
    rules = replace(rules, within=within)
    stay = {label for lock in rules.locked for label in lock}
    unused = set(result.tally.unused) - stay
    left = [swatch for swatch in result.bundle.swatches if swatch.label in unused]
    more: list[SquareSet] = []
    for need in needs:
        if need.name not in own or need.match > 2 or not left:
            continue
        (request,) = requests_of([replace(need, count=0)], left)
        matching = match_requests(left, [request], rules.among({one.label for one in left}))
        found = [one for one in matching.sets if as_shown(one.difference) <= within]
        more += found
        taken = {label for one in found for label in one.swatches}
        left = [swatch for swatch in left if swatch.label not in taken]
    return tuple(more)


def hang_sets(result: Count, order: Order, *, size: int, need: str, square: Fraction) -> Planned:
    """Hang the sets of a bundle alone, in a plain grid."""
    serving = serving_sets(result)
    quilt, layout = quilt_of_sets(max(1, len(serving)), size, need, square)
    return _planned(result, quilt, layout, None, serving, order)


def serving_sets(result: Count) -> tuple[SquareSet, ...]:
    """The sets that serve a need, numbered as in `Count.sets`; single squares have number 0."""
    return (*result.counting, *result.singles)


def _planned(
    result: Count,
    quilt: Quilt,
    layout: Layout,
    made: MadeOver | None,
    serving: Sequence[SquareSet],
    order: Order,
) -> Planned:
    swatches = result.bundle.swatches
    ordered = rainbow_order(swatches)
    if order == "light-to-dark":
        ordered = tuple(sorted(ordered, key=lambda swatch: (-swatch.lab[0], swatch.label)))
    wall = plan_wall(quilt, layout, serving, ordered, order)
    bundle = {swatch.label: swatch for swatch in swatches}
    figure = {
        label: bundle[label].lab[0]
        for block in wall.blocks
        for patch, label in block.squares
        if quilt.kind(patch.kind).role == "feature"
    }
    advice = suggest_ground(figure) if figure else None
    return Planned(quilt, layout, made, wall, advice, lost_blocks(quilt, wall, bundle))
