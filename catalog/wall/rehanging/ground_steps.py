"""How far the sets of a wall stand out from a cloth that is bought for the blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Block, Patch, Quilt
from catalog.models import SquareSet, Swatch
from catalog.phrases import joined
from catalog.wall.contrast import LOST_BELOW
from catalog.wall.rehanging.square_groups import groups_of

MAX_NAMED = 8
"""Sets named one by one (choice of ours)."""


@dataclass(frozen=True)
class GroundStep:
    """How far a set stands out."""

    place: str
    number: int
    """Of the set; 0 for a square of none."""
    squares: tuple[str, ...]
    step: float
    """L* from the cloth to the square of the set that is nearest to it."""

    @property
    def lost(self) -> bool:
        """Whether it hardly stands out."""
        return self.step < LOST_BELOW

    @property
    def called(self) -> str:
        """The set by its number, or a square by its label."""
        return f"set {self.number}" if self.number else joined(self.squares)


def ground_steps(
    quilt: Quilt,
    wall: WallPlan,
    sets: Sequence[SquareSet],
    bundle: Mapping[str, Swatch],
    cloth: str,
    lightness: float,
) -> tuple[GroundStep, ...]:
    """Return for every set beside a cloth how far it stands out from it.

    Parameters
    ----------
    quilt : Quilt
    wall : WallPlan
    sets : sequence of SquareSet
        All that are numbered.
    bundle : mapping from label to Swatch
    cloth : str
        Name of the bought cloth.
    lightness : float
        Its L*.

    Returns
    -------
    tuple of GroundStep
        Of features that share a unit with the cloth; in blocks whose units are of one cloth each,
        of all features. None where the cloth lies in no block.
    """
    found = []
    for block in wall.blocks:
        beside = _beside(quilt, quilt.blocks[block.kind], cloth)
        for group in groups_of(block, sets):
            labs = [bundle[label].lab[0] for patch, label in group.squares if patch in beside]
            if labs:
                step = min(abs(own - lightness) for own in labs)
                found.append(GroundStep(block.place, group.number, group.labels, step))
    return tuple(found)


def ground_lines(before: Sequence[GroundStep], after: Sequence[GroundStep]) -> tuple[str, ...]:
    """Say which sets hardly stand out from a cloth, beside how many did before."""
    if not after:
        return ()
    lost = sorted((one for one in after if one.lost), key=lambda one: one.step)
    was = sum(one.lost for one in before)
    told = f"; {was or 'none'} did before" if before else ""
    if not lost:
        least = min(one.step for one in after)
        told = f"; {was} hardly did before" if was else ""
        return (f"All stand out from it, by {least:.0f} of 100 in lightness and more{told}.",)
    named = [f"{one.called} ({one.step:.0f})" for one in lost[:MAX_NAMED]]
    more = f" and {len(lost) - MAX_NAMED} more" if len(lost) > MAX_NAMED else ""
    how = f"{len(lost)} of {len(after)} would hardly stand out from it"
    return (f"{how} (steps of lightness, of 100): {', '.join(named)}{more}{told}.",)


def _beside(quilt: Quilt, block: Block, cloth: str) -> set[Patch]:
    """Return the features of a block that lie beside a cloth."""

    def bought(patch: Patch) -> bool:
        kind = quilt.kind(patch.kind)
        return kind.source == "yardage" and kind.cut_from == cloth

    def features(patches: Sequence[Patch]) -> set[Patch]:
        return {patch for patch in patches if quilt.kind(patch.kind).role == "feature"}

    units = [unit.patches for unit in block.units]
    with_cloth = [patches for patches in units if any(map(bought, patches))]
    shared = set[Patch]().union(*(features(patches) for patches in with_cloth))
    if shared or not with_cloth:
        return shared
    return features([patch for patches in units for patch in patches])
