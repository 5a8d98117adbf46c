"""The wall as planned, with every patch of cloth in its place: what a photo is held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Block, Cell, Patch, Quilt
from catalog.cutting.quilt_units import kind_of, label_of
from catalog.cutting.unit_faces import turned
from catalog.cutting.units.face_shapes import WHOLE, Polygon
from catalog.models import Point

BOUGHT = -1
"""Slot of a patch whose cloth is bought."""


@dataclass(frozen=True)
class PlannedPatch:
    """One patch of cloth that shows of a block."""

    polygon: tuple[Point, ...]
    """Convex, clockwise, finished size: inches from the block's middle, x to the right and y down
    as the block hangs (turned as planned). On point: along the block's own sides."""
    slot: int
    """Which of its block's ``squares`` it is cut from, from 0; `BOUGHT` for cloth by the yard."""
    bought: str = ""
    """Name of the bought cloth; empty for a square of the bundle."""


@dataclass(frozen=True)
class PlannedBlock:
    """One place of the plan and what is to hang there."""

    place: str
    """Its name, such as ``B3``."""
    x: float
    """Of its middle on the quilt, inches from the left edge; rows apart as they will be sewn."""
    y: float
    """From the top edge, downwards."""
    width: float
    """Finished, as it hangs, inches."""
    height: float
    patches: tuple[PlannedPatch, ...]
    """Those of the block; none where the place stays empty."""
    squares: tuple[str, ...]
    """Label of the square in each slot: those of its first set, darkest first, then the next, then
    those left over; empty text where one is wanting."""
    units: tuple[tuple[Point, ...], ...] = ()
    """Outlines of its units, like ``patches``."""
    kind: int = 0
    """Which of the quilt's blocks it is: blocks of one kind can change places."""
    set_number: int | None = None
    """Its first set; None where it has none."""
    turn: int = 0
    """Degrees clockwise by which ``patches`` are turned against the pattern's block."""


@dataclass(frozen=True)
class SpareSet:
    """A set of the bundle that is to hang nowhere."""

    number: int
    squares: tuple[str, ...]
    """Labels, darkest first."""


@dataclass(frozen=True)
class PlannedWall:
    """Every place of the plan, in its order."""

    blocks: tuple[PlannedBlock, ...]
    on_point: bool = False
    """Whether blocks hang on their corners: their sides run at 45 degrees to x and y."""
    spare: tuple[SpareSet, ...] = ()
    """What can hang in a wrong place though the plan has no place for it."""


def planned_wall(quilt: Quilt, wall: WallPlan) -> PlannedWall:
    """Return what each patch of a plan's blocks is cut from and where it lies.

    Parameters
    ----------
    quilt : Quilt
        How the blocks are built, in the sizes that they will be sewn in.
    wall : WallPlan
        Which squares hang where.
    """
    size = (float(quilt.finished_block), float(quilt.finished_length))
    return PlannedWall(tuple(_planned(quilt, hung, size) for hung in wall.blocks), quilt.on_point)


def _planned(quilt: Quilt, hung: WallBlock, size: tuple[float, float]) -> PlannedBlock:
    block = quilt.blocks[hung.kind]
    squares = [label for _, label in hung.squares]
    faces = list(_faces(quilt, block, hung, squares)) if squares or hung.bought else []
    across = size[::-1] if hung.turn % 180 else size
    return PlannedBlock(
        place=hung.place,
        x=hung.x,
        y=hung.y,
        width=across[0],
        height=across[1],
        patches=tuple(
            PlannedPatch(_corners(block, cell, face, hung.turn, across), slot, bought)
            for cell, face, slot, bought in faces
        ),
        squares=tuple(squares),
        units=tuple(_corners(block, cell, WHOLE, hung.turn, across) for cell in block.cells),
        kind=hung.kind,
        set_number=hung.sets[0] if hung.sets else None,
        turn=hung.turn,
    )


def _faces(
    quilt: Quilt, block: Block, hung: WallBlock, squares: list[str]
) -> Iterator[tuple[Cell, Polygon, int, str]]:
    """Yield what shows of a block: cell, polygon, slot and bought cloth; fill ``squares``."""
    slots = {patch: number for number, (patch, _) in enumerate(hung.squares)}
    scraps = {patch: _slots(labels, squares) for patch, labels in hung.scraps}
    shown = list(_shown(block))
    total = {patch: sum(other == patch for _, other, _ in shown) for _, patch, _ in shown}
    seen: dict[Patch, int] = {}
    for cell, patch, face in shown:
        number = seen.get(patch, 0)
        seen[patch] = number + 1
        if patch in slots:
            yield cell, face, slots[patch], ""
        elif scraps.get(patch):
            own = scraps[patch]
            yield cell, face, own[number * len(own) // total[patch]], ""
        else:
            yield cell, face, BOUGHT, quilt.kind(patch.kind).cut_from


def _slots(labels: tuple[str, ...], squares: list[str]) -> list[int]:
    """Return the slot of each label, those new to the block added to its squares."""
    squares += [label for label in dict.fromkeys(labels) if label not in squares]
    return [squares.index(label_of(k, len(labels), labels)) for k in range(len(labels))]


def _shown(block: Block) -> Iterator[tuple[Cell, Patch, Polygon]]:
    for cell in block.cells:
        unit = block.units[cell.unit]
        for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
            for face in part.polygons:
                yield cell, patch, face


def _corners(
    block: Block, cell: Cell, face: Polygon, turn: int, across: tuple[float, float]
) -> tuple[Point, ...]:
    """Return a face's corners in inches from the middle of the block as it hangs."""
    corners = []
    for x, y in face:
        u, v = turned((float(x), float(y)), cell.turn)
        spot = (
            (cell.column + u * cell.wide) / block.across,
            (cell.row + v * cell.high) / block.down,
        )
        u, v = turned(spot, turn)
        corners.append(((u - 0.5) * across[0], (v - 0.5) * across[1]))
    return tuple(corners)
