"""What a quilt shows, as polygons with the cloth of each: its blocks, and all that is round them.

In inches, (0, 0) the quilt's upper left corner. Blocks are told once each, in shares of their
sides, with the places where they lie; the rest is told as it lies, what lies below first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.quilt import Block, Quilt, QuiltBorder
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import kind_of, units_on_sides
from catalog.cutting.unit_faces import FACES, turned
from catalog.cutting.units.face_shapes import Polygon, quarter_turned
from catalog.cutting.units.units_by_name import find_unit

FaceRole = Literal[
    "feature", "background", "small", "edge", "sashing", "post", "spacer", "border", "binding"
]
Corner = tuple[float, float]
SHOWN_BINDING: Final = 0.25
"""Inches of binding that show (common practice)."""
ON_POINT: Final = math.sqrt(0.5)


@dataclass(frozen=True)
class ClothFace:
    """One polygon of one cloth."""

    corners: tuple[Corner, ...]
    role: FaceRole
    cloth: str = ""
    """What it is cut from, as the pattern calls it; empty where it has no name."""
    which: int = 1
    """Which of a block's squares of that piece."""
    unit: int = -1
    """Which of the block's cells it lies in, in reading order; -1 outside of blocks."""


@dataclass(frozen=True)
class BlockSpot:
    """Where a block lies."""

    block: int
    x: float
    """Of its middle."""
    y: float
    turn: int
    """Degrees clockwise, without the eighth of a turn of blocks on point."""


@dataclass(frozen=True)
class QuiltFaces:
    """A quilt as it looks."""

    width: float
    length: float
    block: tuple[float, float]
    """Width and length of each block."""
    on_point: bool
    blocks: tuple[tuple[ClothFace, ...], ...]
    """Of each of its different blocks, in shares of the block's sides."""
    spots: tuple[BlockSpot, ...]
    below: tuple[ClothFace, ...]
    """What lies under the blocks."""
    above: tuple[ClothFace, ...]
    """Posts and borders."""


def block_faces(quilt: Quilt, block: Block) -> tuple[ClothFace, ...]:
    """Return what a block shows, in shares of its sides, before it is turned."""
    found = []
    for number, cell in enumerate(block.cells):
        unit = block.units[cell.unit]
        for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
            kind = quilt.kind(patch.kind)
            cloth = kind.cut_from if kind.source == "yardage" else kind.name
            for polygon in part.polygons:
                points = (turned((float(x), float(y)), cell.turn) for x, y in polygon)
                corners = tuple(
                    (
                        (cell.column + x * cell.wide) / block.across,
                        (cell.row + y * cell.high) / block.down,
                    )
                    for x, y in points
                )
                found.append(ClothFace(corners, kind.role, cloth, patch.which, number))
    return tuple(found)


def quilt_faces(quilt: Quilt, layout: Layout) -> QuiltFaces:
    """Return what a quilt shows.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    """
    left, top = (float(side) for side in layout.inset)
    spots = tuple(
        BlockSpot(quilt.block_at(one), left + one.x, top + one.y, quilt.turn_at(one))
        for one in places(layout)
    )
    strips = list(_strips(quilt, layout, spots))
    return QuiltFaces(
        float(layout.width),
        float(layout.length),
        (float(layout.block), float(layout.tall)),
        layout.on_point,
        tuple(block_faces(quilt, block) for block in quilt.blocks),
        spots,
        (*_middle(quilt, layout), *strips),
        (*_posts(quilt, layout, spots), *_rounds(quilt, layout), *_binding(quilt, layout)),
    )


def _box(x: float, y: float, wide: float, high: float) -> tuple[Corner, ...]:
    return ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def _middle(quilt: Quilt, layout: Layout) -> Iterator[ClothFace]:
    """Yield the ground of the quilt's middle, and the half blocks at the ends of offset rows."""
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    strips = quilt.sashing
    if layout.on_point or not strips:
        yield ClothFace(_box(left, top, wide, long), "edge", quilt.edge_cloth)
        return
    yield ClothFace(_box(left, top, wide, long), "sashing", strips.cloth)
    if layout.offset:
        strip, tall = float(layout.sashing), float(layout.tall)
        rim, half = strip if layout.framed else 0.0, float(layout.block - layout.sashing) / 2
        for row in range(1, layout.rows, 2):
            y = top + rim + row * (tall + strip)
            for x in (left + rim, left + wide - rim - half):
                yield ClothFace(_box(x, y, half, tall), "edge", quilt.edge_cloth)


def _strips(quilt: Quilt, layout: Layout, spots: Sequence[BlockSpot]) -> Iterator[ClothFace]:
    """Yield the strips round each block; of a quilt set straight only those that are pieced."""
    strips, wide = quilt.sashing, float(layout.sashing)
    if strips is None or not wide or (strips.pieced is None and not layout.on_point):
        return
    block, tall = float(layout.block), float(layout.tall)
    sides = (
        (-block / 2, -tall / 2 - wide, block, wide),
        (block / 2, -tall / 2, wide, tall),
        (-block / 2, tall / 2, block, wide),
        (-block / 2 - wide, -tall / 2, wide, tall),
    )
    for spot in spots:
        for side in sides:
            for corners, cloth in _strip(quilt, side):
                if (face := _laid(spot, corners, layout)) is not None:
                    yield ClothFace(face, "sashing", cloth)


def _strip(
    quilt: Quilt, side: tuple[float, float, float, float]
) -> Iterator[tuple[tuple[Corner, ...], str]]:
    """Yield the faces of one strip, from the middle of its block; one that stands is turned."""
    x, y, wide, high = side
    strips = quilt.sashing
    if strips is None or strips.pieced is None:
        yield _box(*side), strips.cloth if strips else ""
        return
    ratio = Fraction(*sorted((round(wide * 64), round(high * 64))))
    unit = find_unit(strips.pieced).in_proportion(ratio)
    names = strips.fabrics or tuple(f"sashing {n % 2 + 1}" for n in range(len(unit.parts)))
    for part, cloth in zip(unit.parts, names, strict=True):
        polygons = part.polygons if wide >= high else quarter_turned(part.polygons)
        for polygon in polygons:
            yield tuple((x + float(a) * wide, y + float(b) * high) for a, b in polygon), cloth


def _laid(spot: BlockSpot, corners: Sequence[Corner], layout: Layout) -> tuple[Corner, ...] | None:
    """Return corners told from a block's middle where they lie; None outside the quilt's middle."""
    if layout.on_point:
        return tuple((spot.x + ON_POINT * (x - y), spot.y + ON_POINT * (x + y)) for x, y in corners)
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    laid = tuple((spot.x + x, spot.y + y) for x, y in corners)
    hair = 1e-6
    inside = all(
        left - hair < x < left + wide + hair and top - hair < y < top + long + hair for x, y in laid
    )
    return laid if inside else None


def _posts(quilt: Quilt, layout: Layout, spots: Sequence[BlockSpot]) -> Iterator[ClothFace]:
    """Yield the posts at the blocks' corners, each once."""
    strips, side = quilt.sashing, float(layout.sashing)
    if strips is None or not side or not layout.posts:
        return
    across, down = float(layout.block) / 2, float(layout.tall) / 2
    cloth = strips.post_kind or strips.post_cloth
    seen: set[Corner] = set()
    for spot in spots:
        for x in (-across - side, across):
            for y in (-down - side, down):
                face = _laid(spot, _box(x, y, side, side), layout)
                if face is None:
                    continue
                key = (round(face[0][0], 3), round(face[0][1], 3))
                if key not in seen:
                    seen.add(key)
                    yield ClothFace(face, "post", cloth)


def _rounds(quilt: Quilt, layout: Layout) -> Iterator[ClothFace]:
    """Yield the borders from the inside, spacers, units and posts too."""
    x, y = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    for number, (border, ring) in enumerate(zip(quilt.borders, layout.rounds, strict=True)):
        sides, ends, width = float(ring.sides), float(ring.ends), float(ring.width)
        if border.spacer:
            x, y, wide, long = x - sides, y - ends, wide + 2 * sides, long + 2 * ends
            yield from _frame((x, y, wide, long), sides, ends, "spacer", border.spacer)
        x, y, wide, long = x - width, y - width, wide + 2 * width, long + 2 * width
        yield from _border(border, layout, number, (x, y, wide, long))


def _border(
    border: QuiltBorder, layout: Layout, number: int, box: tuple[float, float, float, float]
) -> Iterator[ClothFace]:
    (x, y, wide, long), width = box, float(layout.rounds[number].width)
    first = border.fabrics[0] if border.fabrics else f"border {number + 1}"
    if border.corners == "mitred":
        yield from _mitred(box, width, first)
        return
    yield from _frame(box, width, width, "border", first)
    if border.pieced:
        counts = units_on_sides(layout, border, number)
        yield from _units(border, box, width, counts)
    if border.corners == "posts":
        for left in (x, x + wide - width):
            for top in (y, y + long - width):
                cloth = border.post_cloth or first
                yield ClothFace(_box(left, top, width, width), "post", cloth)


def _frame(
    box: tuple[float, float, float, float], sides: float, ends: float, role: FaceRole, cloth: str
) -> Iterator[ClothFace]:
    """Yield the strips along the inside of a box: the sides first, then top and bottom over all."""
    x, y, wide, long = box
    for part in (
        (x, y + ends, sides, long - 2 * ends),
        (x + wide - sides, y + ends, sides, long - 2 * ends),
        (x, y, wide, ends),
        (x, y + long - ends, wide, ends),
    ):
        if min(part[2:]) > 0:
            yield ClothFace(_box(*part), role, cloth)


def _mitred(
    box: tuple[float, float, float, float], width: float, cloth: str
) -> Iterator[ClothFace]:
    x, y, wide, long = box
    outer, inner = _box(*box), _box(x + width, y + width, wide - 2 * width, long - 2 * width)
    for side in range(4):
        after = (side + 1) % 4
        yield ClothFace((outer[side], outer[after], inner[after], inner[side]), "border", cloth)


def _units(
    border: QuiltBorder,
    box: tuple[float, float, float, float],
    width: float,
    counts: tuple[int, int],
) -> Iterator[ClothFace]:
    """Yield a border's units, along top and bottom and along the sides, in the middle of each."""
    x, y, wide, long = box
    faces: Sequence[Sequence[Polygon]] = FACES[border.pieced or "square"]
    names = border.fabrics or tuple(f"border part {n + 1}" for n in range(len(faces)))
    sides = (
        (x, wide, counts[0], (y, y + long - width), True),
        (y, long, counts[1], (x, x + wide - width), False),
    )
    for start, reach, units, ends, across in sides:
        first = start + (reach - units * width) / 2
        for place in range(units):
            for end in ends:
                along = first + place * width
                left, top = (along, end) if across else (end, along)
                for cloth, polygons in zip(names, faces, strict=True):
                    yield from _scaled(polygons, (left, top, width), cloth)


def _scaled(
    polygons: Sequence[Polygon], box: tuple[float, float, float], cloth: str
) -> Iterator[ClothFace]:
    """Yield a part of a border's unit in its place: left, top and side."""
    left, top, side = box
    for polygon in polygons:
        corners = tuple((left + float(a) * side, top + float(b) * side) for a, b in polygon)
        yield ClothFace(corners, "border", cloth)


def _binding(quilt: Quilt, layout: Layout) -> Iterator[ClothFace]:
    if quilt.binding:
        box = (0.0, 0.0, float(layout.width), float(layout.length))
        yield from _frame(box, SHOWN_BINDING, SHOWN_BINDING, "binding", quilt.binding.cloth)
