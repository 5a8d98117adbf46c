"""What of a block moves together: its sets, and squares that stand alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Patch
from catalog.models import SquareSet


@dataclass(frozen=True)
class SquareGroup:
    """A set in a block, or a square of no set."""

    number: int
    """Of the set; 0 for a square of none."""
    squares: tuple[tuple[Patch, str], ...]
    """With the patch that each is cut into."""

    @property
    def labels(self) -> tuple[str, ...]:
        """The labels of its squares."""
        return tuple(label for _, label in self.squares)

    @property
    def kinds(self) -> tuple[str, ...]:
        """Which kind of piece each of its squares is."""
        return tuple(patch.kind for patch, _ in self.squares)


def groups_of(block: WallBlock, sets: Sequence[SquareSet]) -> tuple[SquareGroup, ...]:
    """Return the groups of a block, in the order of its patches.

    Parameters
    ----------
    block : WallBlock
    sets : sequence of SquareSet
        All that are numbered.
    """
    by_number = {one.number: one.swatches for one in sets}
    member = {label: number for number in block.sets for label in by_number.get(number, ())}
    found: dict[tuple[int, str], list[tuple[Patch, str]]] = {}
    for patch, label in block.squares:
        number = member.get(label, 0)
        found.setdefault((number, "" if number else label), []).append((patch, label))
    return tuple(SquareGroup(number, tuple(own)) for (number, _), own in found.items())


def group_with(groups: Sequence[SquareGroup], label: str) -> SquareGroup | None:
    """Return the group that a square is in; None for none."""
    return next((one for one in groups if label in one.labels), None)


def in_their_place(block: WallBlock, instead: Mapping[str, str]) -> tuple[str, ...]:
    """Return the labels of a block's patches with some squares in the place of others."""
    return tuple(instead.get(label, label) for _, label in block.squares)
