"""Sets, squares and blocks that a person moves: what hangs where then, if it can be."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.errors import UsageError
from catalog.models import SquareSet
from catalog.wall.put_right.taken_blocks import TakenBlock
from catalog.wall.rehanging.square_groups import (
    SquareGroup,
    group_with,
    groups_of,
    in_their_place,
)

Hand = tuple[str, str]
"""A place of the wall, and the label of a square there."""


def exchanged_groups(
    wall: WallPlan, sets: Sequence[SquareSet], one: Hand, other: Hand
) -> tuple[TakenBlock, ...]:
    """Let the sets (or single squares) that two squares are in change places.

    Parameters
    ----------
    wall : WallPlan
        As it hangs.
    sets : sequence of SquareSet
        All that are numbered.
    one, other : (str, str)

    Raises
    ------
    UsageError
        They aren't there, or the pattern takes other pieces in one place than in the other.
    """
    here, there = block_at(wall, one[0]), block_at(wall, other[0])
    own = _group(here, sets, one[1])
    theirs = _group(there, sets, other[1])
    if own.labels == theirs.labels:
        raise UsageError("that is the same set", "choose another one")
    if own.kinds != theirs.kinds:
        raise UsageError(
            f"the pattern takes other pieces at {there.place} than at {here.place} there",
            "choose a set of the same kind",
        )
    instead = dict(zip(own.labels, theirs.labels, strict=True))
    instead |= dict(zip(theirs.labels, own.labels, strict=True))
    blocks = {block.place: block for block in (here, there)}
    return tuple(
        TakenBlock(block.place, in_their_place(block, instead), block.turn)
        for block in blocks.values()
    )


def exchanged_squares(wall: WallPlan, one: Hand, other: Hand) -> tuple[TakenBlock, ...]:
    """Let two squares of a block change places in it.

    Raises
    ------
    UsageError
        They are of two blocks, or are cut into other pieces.
    """
    block = block_at(wall, one[0])
    if one[0] != other[0]:
        raise UsageError(
            "squares change places within their block only",
            "move the set, or exchange squares between sets on the page of pairs",
        )
    patch = {label: patch for patch, label in block.squares}
    if one[1] not in patch or other[1] not in patch or one[1] == other[1]:
        raise UsageError(f"those squares don't hang at {block.place}", "choose two that do")
    if patch[one[1]].kind != patch[other[1]].kind:
        raise UsageError(
            "the pattern cuts these two into other pieces", "choose two that are cut alike"
        )
    instead = {one[1]: other[1], other[1]: one[1]}
    return (TakenBlock(block.place, in_their_place(block, instead), block.turn),)


def turned_block(wall: WallPlan, layout: Layout, place: str) -> tuple[TakenBlock, ...]:
    """Turn a block by a quarter clockwise; one that is no square by half.

    Raises
    ------
    UsageError
        Nothing hangs there.
    """
    block = block_at(wall, place)
    if not block.squares:
        raise UsageError(f"nothing hangs at {place} yet", "turn a block with squares")
    step = 90 if layout.block == layout.tall else 180
    labels = tuple(label for _, label in block.squares)
    return (TakenBlock(place, labels, (block.turn + step) % 360),)


def block_at(wall: WallPlan, place: str) -> WallBlock:
    """Return the block at a place.

    Raises
    ------
    UsageError
        The wall has no such place.
    """
    found = next((block for block in wall.blocks if block.place == place), None)
    if found is None:
        raise UsageError(f"the wall has no place {place[:20]}", "load the page again")
    return found


def _group(block: WallBlock, sets: Sequence[SquareSet], label: str) -> SquareGroup:
    found = group_with(groups_of(block, sets), label)
    if found is None:
        raise UsageError(f"that square doesn't hang at {block.place}", "load the page again")
    return found
