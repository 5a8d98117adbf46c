"""Frozen values of a quilt as a pattern describes it: block, units, sashing, borders, binding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.yardage.binding import Grain
from catalog.cutting.yardage.borders import Corners
from catalog.models import Role, Source

QUARTER_TURN: Final = 90
"""Degrees; blocks and units are turned by whole quarters."""


@dataclass(frozen=True)
class PieceKind:
    """One kind of piece that the pattern counts, over all its quotas."""

    name: str
    """As ``name`` in the pattern file."""
    role: Role
    size: Fraction
    """Side of the square that is cut, inches, as published."""
    per_block: int | None
    """Squares in each block; None where they are counted in all."""
    match: int
    source: Source
    needs: tuple[str, ...]
    """Names of the needs that the kind was split into."""
    directional: bool = False
    """Whether the print has an up and a down."""
    count: int = 0
    """Pieces in the whole quilt as published."""
    cloth: str = ""
    """Cloth by the yard that other pieces are cut from too; empty for one of its own."""

    @property
    def cut_from(self) -> str:
        """Name of the cloth by the yard that it is cut from, if it is."""
        return self.cloth or self.name

    @property
    def sets_per_block(self) -> int:
        """Sets (single squares, where none must match) in each block; 0 where counted in all."""
        return (self.per_block or 0) // self.match


@dataclass(frozen=True)
class Patch:
    """What one part of a unit is cut from."""

    kind: str
    """Name of the `PieceKind`."""
    which: int = 1
    """Which of the block's squares of that kind, from 1: those of the first set, darkest first,
    then those of the next."""


@dataclass(frozen=True)
class BlockUnit:
    """A unit of the block."""

    mark: str
    """Letter by which the block's grid calls it."""
    unit: str
    """Name as `catalog.cutting.units` knows it."""
    at_a_time: int | None
    """None for the usual way."""
    patches: tuple[Patch, ...]
    """In the order of the unit's parts (see `unit_faces`)."""
    wide: int = 1
    """Cells of the grid across, before it is turned."""
    high: int = 1
    """Cells of the grid up and down, before it is turned."""
    trim: Fraction | None = None
    """Unfinished width as published, inches; None where the seam and finished size tell it."""


@dataclass(frozen=True)
class Cell:
    """One unit in its place in the block."""

    unit: int
    """Which of the block's units, from 0."""
    row: int
    """Of its top left cell, from 0."""
    column: int
    wide: int
    """Cells that it covers across, turned as it lies."""
    high: int
    turn: int = 0
    """Degrees clockwise: 0, 90, 180 or 270."""


@dataclass(frozen=True)
class Block:
    """A square block of units on a grid of equal cells."""

    across: int
    """Cells in a row, and rows."""
    units: tuple[BlockUnit, ...]
    cells: tuple[Cell, ...]
    """In reading order; they cover the block and don't overlap."""

    def patches(self) -> Iterator[tuple[Cell, Patch]]:
        """Yield every part of every unit with its cell."""
        for cell in self.cells:
            for patch in self.units[cell.unit].patches:
                yield cell, patch


@dataclass(frozen=True)
class Sashing:
    """Strips between the blocks."""

    width: Fraction
    """Finished, inches."""
    posts: bool = True
    outer: bool = False
    """Whether strips run round the outside too."""
    post_kind: str | None = None
    """Kind of piece that the posts are; None where they are cut from yardage."""
    cloth: str = ""
    """What the strips are cut from; empty for a cloth of their own."""
    post_cloth: str = ""
    """What posts from yardage are cut from; empty for a cloth of their own."""


@dataclass(frozen=True)
class QuiltBorder:
    """One border."""

    width: Fraction
    """Finished, inches."""
    corners: Corners = "butted"
    pieced: str | None = None
    """Unit that it is pieced of, as wide as the border; None for plain strips."""
    fabrics: tuple[str, ...] = ()
    """What each part of the unit is cut from, or the one fabric of plain strips; none where the
    pattern names none."""


@dataclass(frozen=True)
class QuiltBinding:
    """The binding."""

    strip: Fraction
    """Width to cut, inches."""
    grain: Grain = "straight"
    cloth: str = ""
    """What it is cut from; empty for a cloth of its own."""


@dataclass(frozen=True)
class QuiltCloth:
    """A cloth of the pattern that is bought ready cut."""

    name: str
    sold_as: str
    """Name of the precut, such as ``fat quarters``."""


@dataclass(frozen=True)
class Quilt:
    """A quilt as it was published."""

    rows: int
    columns: int
    finished_block: Fraction
    """Inches."""
    block: Block
    kinds: tuple[PieceKind, ...]
    seam: Fraction = QUARTER_SEAM
    """For which it was written, inches."""
    on_point: bool = False
    turn_rows: int = 0
    """Degrees clockwise by which each row is turned more than the row above."""
    turn_columns: int = 0
    """Degrees clockwise by which each column is turned more than the one to its left."""
    sashing: Sashing | None = None
    borders: tuple[QuiltBorder, ...] = ()
    binding: QuiltBinding | None = None
    edge_cloth: str = ""
    """What the triangles at the edge of a quilt on point are cut from; empty for a cloth of their
    own."""
    cloths: tuple[QuiltCloth, ...] = ()
    """Those that are bought ready cut; the rest is bought by the yard."""

    def kind(self, name: str) -> PieceKind:
        """Return a kind of piece by its name."""
        return next(kind for kind in self.kinds if kind.name == name)

    def is_directional(self, cloth: str) -> bool:
        """Say whether a cloth's print has an up and a down."""
        return any(kind.directional for kind in self.kinds if kind.cut_from == cloth)

    def turn_at(self, row: int, column: int) -> int:
        """Return how far the block at a place is turned, degrees clockwise; both from 0."""
        return (row * self.turn_rows + column * self.turn_columns) % 360

    @property
    def cell(self) -> Fraction:
        """Finished side of a cell of the block, inches."""
        return self.finished_block / self.block.across

    @property
    def sets_per_block(self) -> int:
        """Sets of feature squares in each block, 1 or more."""
        return max(1, sum(k.sets_per_block for k in self.kinds if k.role == "feature"))
