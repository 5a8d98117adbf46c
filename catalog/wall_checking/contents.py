"""What can hang at places of one kind: each block's squares, in each order of sewing them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.planned_wall import BOUGHT, PlannedBlock, PlannedPatch, PlannedWall

MAX_PERMUTED = 3
"""Squares of a set in all orders of which its cloths may have changed sides; of more, two have."""
SAME_SPOT_IN = 0.05
"""Inches within which two patches lie in one place."""
Look = tuple[str, ...]
"""By patch of the planned block what shows there: a label, or a bought cloth."""


@dataclass(frozen=True, eq=False)
class Contents:
    """What can hang at the places of one kind, m of them."""

    source: NDArray[np.intp]
    """(m,) which block of the plan it is; of a spare set its place among them after the blocks."""
    exchanged: NDArray[np.bool_]
    """(m,) whether its squares have changed sides."""
    squares: tuple[tuple[str, ...], ...]
    """m times the label in each slot."""
    blocks: int = 0
    """How many the plan has."""

    @property
    def spare(self) -> NDArray[np.bool_]:
        """(m,) whether it is a set that is to hang nowhere."""
        return self.source >= self.blocks


def contents_of(plan: PlannedWall, kind: int, slots: int) -> Contents:
    """Return what can hang at places of a kind.

    Parameters
    ----------
    plan : PlannedWall
    kind : int
        As in `PlannedBlock`.
    slots : int
        Squares that its blocks take.
    """
    rows = [
        (number, place > 0, squares)
        for number, block in enumerate(plan.blocks)
        if block.kind == kind and block.patches and len(block.squares) == slots
        for place, squares in enumerate(_orders(block.squares))
    ]
    blocks = len(plan.blocks)
    rows += [
        (number, False, squares)
        for number, one in enumerate(plan.spare, blocks)
        if rows and len(one.squares) == slots
        for squares in _orders(one.squares)
    ]
    return Contents(
        np.array([row[0] for row in rows], np.intp),
        np.array([row[1] for row in rows], np.bool_),
        tuple(row[2] for row in rows),
        blocks,
    )


def _orders(squares: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield squares as planned, then in the orders in which they may have been sewn wrongly."""
    count = len(squares)
    orders = list(permutations(range(count))) if count <= MAX_PERMUTED else _with_one_swap(count)
    seen = dict.fromkeys(tuple(squares[k] for k in order) for order in orders)
    yield from seen


def _with_one_swap(count: int) -> list[tuple[int, ...]]:
    """Return the order as it is and those in which the first has changed sides with another."""
    found = [tuple(range(count))]
    for other in range(1, count):
        order = list(range(count))
        order[0], order[other] = order[other], order[0]
        found.append(tuple(order))
    return found


def turns_of(block: PlannedBlock) -> tuple[int, ...]:
    """Return the turns, degrees, after which a block still fills its place."""
    square = abs(block.width - block.height) < SAME_SPOT_IN
    return (0, 90, 180, 270) if square else (0, 180)


def look_of(block: PlannedBlock, squares: Sequence[str], turn: int) -> Look:
    """Return what a block of these squares shows, patch by patch of the planned one.

    Parameters
    ----------
    block : PlannedBlock
    squares : sequence of str
        Labels by slot.
    turn : int
        Degrees clockwise against the plan. Where then no patch lies where a planned one does, the
        look says so and is like no other.
    """
    cloths = [
        f"bought {patch.bought}" if patch.slot == BOUGHT else squares[patch.slot]
        for patch in block.patches
    ]
    moved = _moved(block.patches, turn)
    return (f"turned {turn}", *cloths) if moved is None else tuple(cloths[k] for k in moved)


@lru_cache(maxsize=256)
def _moved(patches: tuple[PlannedPatch, ...], turn: int) -> tuple[int, ...] | None:
    """Return for each patch which of the turned block lies in its place; None if some has none."""
    spots = np.array([_spot(patch, 0) for patch in patches])
    there = np.array([_spot(patch, turn) for patch in patches])
    far = np.abs(spots[:, None] - there).max(axis=-1)
    if far.min(axis=1).max() > SAME_SPOT_IN:
        return None
    return tuple(int(k) for k in far.argmin(axis=1))


def _spot(patch: PlannedPatch, turn: int) -> tuple[float, float, float]:
    """Return the middle of a patch after a turn, and how large it is."""
    corners = np.array(patch.polygon)
    x, y = corners.mean(axis=0)
    for _ in range(turn // 90):
        x, y = -y, x
    return float(x), float(y), float(np.linalg.norm(corners - corners.mean(axis=0), axis=1).sum())


def same_look(one: Look, two: Look, near: Mapping[tuple[str, str], bool]) -> bool:
    """Say whether two looks can't be told apart.

    Parameters
    ----------
    one, two : Look
    near : mapping
        Whether the cloths of two labels look alike; missing where they don't.
    """
    return len(one) == len(two) and all(
        a == b or near.get((a, b), False) for a, b in zip(one, two, strict=True)
    )
