"""Pieces cut from squares left over: which goes into which block, and to which post."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Final

from catalog.cutting.quilt import Patch, Quilt
from catalog.cutting.quilt_sizes.block_places import Crossing, Place
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import squares_per_block

WANTING: Final = ""
"""Stands for the label of a square that there isn't."""

CORNER_NAMES: Final = ("upper left", "upper right", "lower right", "lower left")


def dealt_scraps(
    quilt: Quilt, blocks: Sequence[int], small: Mapping[str, Sequence[str]]
) -> list[tuple[tuple[Patch, tuple[str, ...]], ...]]:
    """Deal small pieces out to blocks in the order of sewing.

    Parameters
    ----------
    quilt : Quilt
    blocks : sequence of int
        Which of the quilt's blocks each is.
    small : mapping
        By the name of a kind of piece the label of the square that each piece is cut from.

    Returns
    -------
    list
        For each block its patches that are cut from squares left over, with a label for each piece
        that a patch takes. Where it can be those of one patch are of one square.
    """
    kinds = {kind.name for kind in quilt.kinds if kind.source == "left over"}
    own = []
    for block in quilt.blocks:
        taken = {p: many for p, many in squares_per_block(block).items() if p.kind in kinds}
        own.append(sorted(taken.items(), key=lambda one: (one[0].kind, one[0].which)))
    left = {name: Counter(small.get(name, ())) for name in kinds}
    return [
        tuple((patch, _taken(left[patch.kind], math.ceil(many))) for patch, many in own[block])
        for block in blocks
    ]


def _taken(left: Counter[str], number: int) -> tuple[str, ...]:
    """Take pieces, of one square if one has as many."""
    whole = next((label for label, pieces in left.items() if pieces >= number), None)
    labels = [] if whole is None else [whole] * number
    if whole is None:
        labels = list(left.elements())[:number]
    left.subtract(labels)
    return (*labels, *(WANTING for _ in range(number - len(labels))))


def dealt_posts(
    quilt: Quilt, layout: Layout, spots: Sequence[Place], small: Mapping[str, Sequence[str]]
) -> dict[Crossing, str]:
    """Deal the posts' pieces out to the crossings of the sashing, one square after another.

    Returns
    -------
    dict
        Empty where posts are bought, or there are none.
    """
    sashing = quilt.sashing
    if sashing is None or sashing.post_kind is None:
        return {}
    if quilt.kind(sashing.post_kind).source == "yardage":
        return {}
    crossings = sorted(
        {(spot.row + r, spot.column + c) for spot in spots for r in (0, 1) for c in (0, 1)}
    )
    if not layout.framed:
        crossings = [(r, c) for r, c in crossings if 0 < r < layout.rows and 0 < c < layout.columns]
    pieces = Counter(small.get(sashing.post_kind, ()))
    turn = [
        label
        for again in range(max(pieces.values(), default=0))
        for label, number in pieces.items()
        if number > again
    ]
    return {
        crossing: turn[place] if place < len(turn) else WANTING
        for place, crossing in enumerate(crossings)
    }
