"""How large a quilt a number of sets makes, and what each further step would need."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.quilt_sizes.filled_layout import Filled, judge
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.set_supply import QuiltSupply, Supply
from catalog.cutting.quilt_sizes.standard_sizes import NAMES, USUAL_SIZES, UsualSize, usual_sizes

Shape = Literal["any", "longer", "shorter", "square"]
"""Which proportion is wanted: any usual one, a quilt longer than the usual sizes, a squat one, or
rows and columns that make it nearly square."""
LONGER: Final = Fraction(3, 2)
SHORTER: Final = Fraction(6, 5)
NEARLY_SQUARE: Final = Fraction(11, 10)
"""Length over width from which a quilt is taken for long, up to which for short, up to which for
square: `common practice`; the lists' own sizes run from 0.9 (king) to 1.67 (crib)."""
MAX_BLOCKS: Final = 10_000
"""More than any pattern may have."""
USUAL_WITHIN: Final = Fraction(6)
"""Inches, width and length together, within which a quilt passes for a usual size: `common
practice`; the lists differ by more than that for one kind of quilt."""


def layouts_filled(
    supply: Supply,
    pattern: Layout,
    *,
    like: str | None = None,
    shape: Shape = "any",
    largest_only: bool = False,
) -> tuple[Filled, ...]:
    """Return every number of rows and columns that the sets fill, nearest to a usual size first.

    Parameters
    ----------
    supply : Supply
        The sets within tolerance.
    pattern : Layout
        Block, sashing, borders and setting; its rows and columns are left open.
    like : str, optional
        Only near the published sizes of that name, such as ``crib`` or ``runner``; without it,
        near any but a runner.
    shape : {"any", "longer", "shorter", "square"}
        Keep only such proportions.
    largest_only : bool
        Leave out layouts to which a row or a column could be added from the sets in hand.

    Returns
    -------
    tuple of Filled
        Empty where the sets don't make one block. Ties: more blocks first, then fewer columns.
    """
    sizes = _sizes(like)
    found = [
        judge(supply, layout, sizes)
        for layout in _affordable(supply, pattern)
        if _has_shape(layout, shape) and not (largest_only and _can_grow(supply, layout))
    ]
    return tuple(
        sorted(found, key=lambda one: (one.distance, -one.layout.blocks, one.layout.columns))
    )


def suggested(
    supply: Supply, pattern: Layout, *, like: str | None = None, shape: Shape = "any"
) -> Filled | None:
    """Return the largest filled layout that passes for a usual size, else the nearest to one.

    The options are those of `layouts_filled`; None where the sets don't make one block.
    """
    found = layouts_filled(supply, pattern, like=like, shape=shape)
    close = [one for one in found if one.distance <= USUAL_WITHIN]
    return max(close, key=lambda one: one.layout.blocks, default=found[0] if found else None)


def next_steps(
    supply: QuiltSupply, layout: Layout, *, like: str | None = None
) -> tuple[Filled, ...]:
    """Return what one more row, one more column and one of each would be, and what they lack."""
    return tuple(
        judge(
            supply, replace(layout, rows=layout.rows + down, columns=layout.columns + across), sizes
        )
        for sizes in (_sizes(like),)
        for down, across in ((1, 0), (0, 1), (1, 1))
    )


def steps_to_usual(supply: Supply, pattern: Layout) -> tuple[Filled, ...]:
    """Return for each kind of quilt the rows and columns nearest to one of its published sizes.

    Returns
    -------
    tuple of Filled
        From the smallest kind to the largest, then the runner, with the sets that it lacks.
    """
    return tuple(
        min(
            (judge(supply, nearest_layout(pattern, size), (size,)) for size in usual_sizes(name)),
            key=lambda one: (one.distance, one.layout.blocks),
        )
        for name in NAMES
    )


def _sizes(like: str | None) -> tuple[UsualSize, ...]:
    if like is not None:
        return usual_sizes(like)
    return tuple(size for size in USUAL_SIZES if size.name != "runner")


def _affordable(supply: Supply, pattern: Layout) -> Iterator[Layout]:
    for rows in range(1, MAX_BLOCKS + 1):
        for columns in range(pattern.least_columns, MAX_BLOCKS // rows + 1):
            layout = replace(pattern, rows=rows, columns=columns)
            if not supply.shortage(layout).enough:
                break
            yield layout
        if columns == pattern.least_columns and not supply.shortage(layout).enough:
            break


def _can_grow(supply: Supply, layout: Layout) -> bool:
    taller, wider = (
        replace(layout, rows=layout.rows + 1),
        replace(layout, columns=layout.columns + 1),
    )
    return supply.shortage(taller).enough or supply.shortage(wider).enough


def _has_shape(layout: Layout, shape: Shape) -> bool:
    if shape == "longer":
        return layout.length >= LONGER * layout.width
    if shape == "shorter":
        return layout.width < layout.length <= SHORTER * layout.width
    if shape == "square":
        sides = sorted((layout.width, layout.length))
        return sides[1] <= NEARLY_SQUARE * sides[0]
    return True


def nearest_layout(pattern: Layout, size: UsualSize) -> Layout:
    """Return the pattern with the rows and columns nearest to a size, at least one of each."""
    one = replace(pattern, rows=1, columns=1)
    many = replace(pattern, rows=1001, columns=1001)
    # Each further block adds the same length, known well from a thousand of them where root 2 is
    # rounded: the best number is next to the quotient.
    columns = (size.width - one.width) / ((many.width - one.width) / 1000)
    rows = (size.length - one.length) / ((many.length - one.length) / 1000)
    return min(
        (
            replace(pattern, rows=max(1, 1 + r), columns=max(pattern.least_columns, 1 + c))
            for r in (math.floor(rows), math.ceil(rows))
            for c in (math.floor(columns), math.ceil(columns))
        ),
        key=lambda one: (abs(one.width - size.width) + abs(one.length - size.length), one.blocks),
    )
