"""What a booklet is made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from catalog.cutting.adapted.adaptation import AdaptedPattern
from catalog.cutting.adapted.unit_cuts import AdaptedUnit
from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Patch
from catalog.models import Paper, Swatch

LARGE_PRINT: Final = 1.5
"""Times the usual size; 16 points and more, as is asked of large print: "Clear Print" guidelines of
societies for the blind name 16 to 18 points against 12 (value from memory)."""


@dataclass(frozen=True)
class BookletPrint:
    """How a booklet is printed and for whom."""

    paper: Paper = "A4"
    large: bool = False
    students: int = 0
    """For how many it says what they need, none of the bundle's squares in it; 0 for the bundle's
    owner."""

    @property
    def larger(self) -> float:
        """How many times as large as usual words and drawings are."""
        return LARGE_PRINT if self.large else 1.0


@dataclass(frozen=True, eq=False)
class Booklet:
    """An adapted pattern, and the bundle that it is sewn from."""

    title: str
    """Of the pattern."""
    bundle: str
    """Its name."""
    adapted: AdaptedPattern
    wall: WallPlan
    wall_jpeg: bytes | None
    """The quilt in the bundle's own cloth; None where it isn't to be shown."""
    cautions: tuple[str, ...]
    printed: BookletPrint
    swatches: tuple[Swatch, ...] = ()
    """The bundle's squares."""
    crops: Mapping[str, bytes] = field(default_factory=dict)
    """JPEG of each square's cloth by label."""

    @property
    def own(self) -> bool:
        """Whether the bundle's squares are in it."""
        return not self.printed.students

    def units_of(self, block: int) -> tuple[AdaptedUnit, ...]:
        """Return the units of one of the quilt's blocks."""
        return self.adapted.block.by_block[block]

    def unit_count(self, block: int, unit: int) -> int:
        """Return how many of a unit the whole quilt takes."""
        cells = self.adapted.quilt.blocks[block].cells
        each = sum(cell.unit == unit for cell in cells)
        return each * sum(one.kind == block for one in self.wall.blocks)


def cloth_name(booklet: Booklet, patch: Patch) -> str:
    """Say what a part of a unit is cut from: ``wheel, the darker``, ``background``."""
    kind = booklet.adapted.quilt.kind(patch.kind)
    if kind.match == 2 and kind.role == "feature":
        place = (patch.which - 1) % 2
        own = f"{kind.name} {(patch.which + 1) // 2}" if kind.sets_per_block > 1 else kind.name
        return f"{own}, {'the lighter' if place else 'the darker'}"
    several = (kind.per_block or 0) > 1 and kind.source != "yardage"
    return f"{kind.name} {patch.which}" if several else kind.name
