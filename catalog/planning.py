"""A counted bundle to a quilt: the pattern made over, then the wall, and nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.bundle.families import rainbow_order
from catalog.cutting.adapted.adaptation import AdaptedPattern, adapt_pattern
from catalog.cutting.adapted.cut_needs import as_cut
from catalog.cutting.plans import Arrangement, WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.yardage.bolt import Bolt
from catalog.larger_quilts import CountedStock, promised
from catalog.models import MatchRules, SquareSet
from catalog.pattern.patterns import Pattern
from catalog.pipeline import Count
from catalog.wall import plan_wall, quilt_of_sets
from catalog.wall.contrast import Advice, lost_blocks, suggest_ground


@dataclass(frozen=True, eq=False)
class Planned:
    """A counted bundle planned as a quilt."""

    quilt: Quilt
    layout: Layout
    """As it will be sewn."""
    made: AdaptedPattern | None
    """None where sets hang alone, without a pattern."""
    wall: WallPlan
    advice: Advice | None
    """Which ground serves; None where no square is used."""
    lost: tuple[tuple[str, float], ...]
    """Blocks that would be lost on their background squares: place, step of L*."""


def plan_quilt(
    result: Count,
    pattern: Pattern,
    order: Arrangement,
    *,
    square: Fraction,
    seam: Fraction | None,
    cloth: Bolt,
    rules: MatchRules,
    within: float,
) -> Planned:
    """Make a pattern over to a counted bundle and hang its sets.

    Parameters
    ----------
    result : Count
        Of what `as_cut` makes of the pattern's needs.
    pattern : Pattern
        Says how its quilt is built.
    order : Arrangement
        In which the sets hang.
    square, seam : Fraction
        Of the squares in hand and really sewn, inches; the pattern's seam if None.
    cloth : Bolt
        What is bought.
    rules : MatchRules
        Of the count; the squares left over make more sets by them.
    within : float
        CIEDE2000 up to which those count.
    """
    quilt = pattern.quilt
    if quilt is None:
        msg = f"{pattern.name} doesn't say how it is built"
        raise ValueError(msg)
    stock = CountedStock(
        result, pattern, rules, within, lambda one: as_cut(one.needs, one.quilt, square, seam)
    )
    made = adapt_pattern(quilt, square=square, seam=seam, cloth=cloth)
    told = promised(stock, made.layout)
    made = replace(made, chosen=told.chosen, fills=told.fills, steps=told.steps)
    return _planned(result, quilt, made.layout, made, serving_sets(result), order)


def hang_sets(
    result: Count, order: Arrangement, *, size: int, need: str, square: Fraction
) -> Planned:
    """Hang the sets of a bundle alone, in a plain grid."""
    serving = serving_sets(result)
    quilt, layout = quilt_of_sets(max(1, len(serving)), size, need, square)
    return _planned(result, quilt, layout, None, serving, order)


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


def _planned(
    result: Count,
    quilt: Quilt,
    layout: Layout,
    made: AdaptedPattern | None,
    serving: Sequence[SquareSet],
    order: Arrangement,
) -> Planned:
    swatches = result.bundle.swatches
    ordered = rainbow_order(swatches)
    if order == "light-to-dark":
        ordered = tuple(sorted(ordered, key=lambda swatch: (-swatch.lab[0], swatch.label)))
    wall = plan_wall(quilt, layout, serving, ordered, order, _small(result, quilt))
    bundle = {swatch.label: swatch for swatch in swatches}
    figure = {
        label: bundle[label].lab[0]
        for block in wall.blocks
        for patch, label in block.squares
        if quilt.kind(patch.kind).role == "feature"
    }
    advice = suggest_ground(figure) if figure else None
    return Planned(quilt, layout, made, wall, advice, lost_blocks(quilt, wall, bundle))
