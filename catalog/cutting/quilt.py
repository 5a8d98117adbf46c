"""Frozen values of a quilt as a pattern describes it: block, units, sashing, borders, binding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt_finishing import USUAL_FINISHING, Finishing, QuiltBinding
from catalog.cutting.quilt_sizes.block_map import ONE_BLOCK, BlockMap
from catalog.cutting.quilt_sizes.block_places import Place
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.yardage.borders import Corners, StripGrain
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
    """Squares in each block, of several blocks in the one that takes most; None where they are
    counted in all."""
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
    in_blocks: tuple[int, ...] = ()
    """Squares in each of the quilt's blocks in turn; none where there is one block, or they are
    counted in all."""
    any_way: bool = False
    """Whether the pattern says that its print has no up and down, whatever a photo shows."""

    @property
    def cut_from(self) -> str:
        """Name of the cloth by the yard that it is cut from, if it is."""
        return self.cloth or self.name

    @property
    def sets_per_block(self) -> int:
        """Sets (single squares, where none must match) in a block; 0 where counted in all.

        Of several blocks in the one that takes most.
        """
        return (self.per_block or 0) // self.match

    def in_block(self, block: int) -> int:
        """Return the squares that one of the quilt's blocks takes; 0 where counted in all."""
        return self.in_blocks[block] if self.in_blocks else self.per_block or 0


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
    """A block of units on a grid of equal square cells."""

    across: int
    """Cells in a row."""
    units: tuple[BlockUnit, ...]
    cells: tuple[Cell, ...]
    """In reading order; they cover the block and don't overlap."""
    rows: int | None = None
    """Of cells; None for as many as are across."""
    mark: str = ""
    """Letter by which the quilt's map calls it; empty where the quilt has but one."""

    @property
    def down(self) -> int:
        """Rows of cells."""
        return self.across if self.rows is None else self.rows

    @property
    def smallest(self) -> Fraction:
        """Shorter side of its smallest unit, as a share of the block's width."""
        return Fraction(min(min(unit.wide, unit.high) for unit in self.units), self.across)

    def patches(self) -> Iterator[tuple[Cell, Patch]]:
        """Yield every part of every unit with its cell."""
        return ((cell, patch) for cell, _, patch in self.parts())

    def parts(self) -> Iterator[tuple[Cell, int, Patch]]:
        """Yield every part of every unit with its cell and its number in the unit."""
        for cell in self.cells:
            for part, patch in enumerate(self.units[cell.unit].patches):
                yield cell, part, patch


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
    half_posts: bool = False
    """Whether a quilt on point ends through the middle of the posts at its edge."""
    pieced: str | None = None
    """Unit that the strips are pieced of, one to a strip; None for plain strips."""
    fabrics: tuple[str, ...] = ()
    """What each part of that unit is cut from; none where the pattern names none."""


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
    strips: StripGrain = "crosswise"
    """How plain strips are cut."""
    spacer: str = ""
    """Cloth of the plain strips inside it that make its units fit; empty for no such strips."""
    post_cloth: str = ""
    """What the posts in its corners are cut from; empty for its first fabric."""


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
    """Width of a block, inches."""
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
    """What triangles at the edge of a quilt on point, or half blocks of offset rows, are cut from;
    empty for a cloth of their own."""
    cloths: tuple[QuiltCloth, ...] = ()
    """Those that are bought ready cut; the rest is bought by the yard."""
    others: tuple[Block, ...] = ()
    """Its other blocks, all as large as the first."""
    map: BlockMap = ONE_BLOCK
    """Which block lies where."""
    offset: bool = False
    """Whether every second row is shifted by half a block."""
    finishing: Finishing = USUAL_FINISHING

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Its different blocks."""
        return (self.block, *self.others)

    @property
    def units(self) -> tuple[BlockUnit, ...]:
        """The units of all its blocks in turn."""
        return tuple(unit for block in self.blocks for unit in block.units)

    @property
    def finished_length(self) -> Fraction:
        """Of a block, inches."""
        return self.cell * self.block.down

    def kind(self, name: str) -> PieceKind:
        """Return a kind of piece by its name."""
        return next(kind for kind in self.kinds if kind.name == name)

    def is_directional(self, cloth: str) -> bool:
        """Say whether a cloth's print has an up and a down."""
        return any(kind.directional for kind in self.kinds if kind.cut_from == cloth)

    def turn_at(self, spot: Place) -> int:
        """Return how far the block at a place is turned, degrees clockwise."""
        turn = spot.row * self.turn_rows + spot.column * self.turn_columns
        return (turn + self.map.at(spot).turn) % 360

    def block_at(self, spot: Place) -> int:
        """Return which of its blocks lies at a place, from 0."""
        return self.map.at(spot).block

    def count_of(self, kind: PieceKind, layout: Layout) -> int:
        """Return how many pieces of a kind the blocks of a layout take."""
        return sum(kind.in_block(n) * many for n, many in self.map.counts(layout).items())

    @property
    def cell(self) -> Fraction:
        """Finished side of a cell of the first block, inches."""
        return self.finished_block / self.block.across

    @property
    def sets_per_block(self) -> int:
        """Sets of feature squares in a block, 1 or more; of several in the one that takes most."""
        return max(1, *(self._sets_in(number) for number in range(len(self.blocks))))

    def blocks_for(self, sets: int) -> int:
        """Return how many further blocks so many sets of feature squares can fill at most."""
        places = [one.block for line in self.map.lines for one in line]
        taken = sum(self._sets_in(block) for block in places)
        return sets * len(places) // max(1, taken) + len(places) - 1

    def _sets_in(self, block: int) -> int:
        figure = (k for k in self.kinds if k.role == "feature" and k.source == "bundle")
        return sum(kind.in_block(block) // kind.match for kind in figure)
