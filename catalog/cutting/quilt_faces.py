"""What a pattern's quilt shows, as polygons, each with its cloth as the pattern calls it.

In inches, (0, 0) the quilt's upper left corner. Blocks are told once each, in shares of their
sides, with the places where they lie; the rest is told as it lies, what lies below first.
"""

from __future__ import annotations

from dataclasses import dataclass

from catalog.cutting.laid_faces.block_parts import block_parts
from catalog.cutting.laid_faces.laid_face import FaceRole, LaidFace, Point, box_face
from catalog.cutting.laid_faces.round_faces import binding_faces, border_faces
from catalog.cutting.laid_faces.strip_faces import middle_faces
from catalog.cutting.quilt import Block, Quilt, QuiltBorder, Sashing
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout


@dataclass(frozen=True)
class ClothFace:
    """One polygon of one cloth."""

    corners: tuple[Point, ...]
    role: FaceRole
    cloth: str = ""
    """What it is cut from, as the pattern calls it; empty where it has no name."""
    which: int = 1
    """Which of a block's squares of that piece."""


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
    for part in block_parts(block):
        kind = quilt.kind(part.patch.kind)
        cloth = kind.cut_from if kind.source == "yardage" else kind.name
        corners = tuple((x / block.across, y / block.down) for x, y in part.corners)
        found.append(ClothFace(corners, kind.role, cloth, part.patch.which))
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
    below, above = _round_blocks(quilt, layout)
    return QuiltFaces(
        float(layout.width),
        float(layout.length),
        (float(layout.block), float(layout.tall)),
        layout.on_point,
        tuple(block_faces(quilt, block) for block in quilt.blocks),
        spots,
        tuple(_face(quilt, one) for one in below),
        tuple(_face(quilt, one) for one in above),
    )


def _round_blocks(quilt: Quilt, layout: Layout) -> tuple[list[LaidFace], list[LaidFace]]:
    """Return what lies below the blocks, and above them.

    What one plain cloth below all shows is no face of its own, so that a large quilt stays light.
    """
    ground = _ground_role(quilt, layout)
    middle = [
        one for one in middle_faces(quilt, layout) if one.part is not None or one.role != ground
    ]
    below = [one for one in middle if one.role != "post"]
    if ground:
        (left, top), (wide, long) = layout.inset, layout.middle
        face = box_face((float(left), float(top), float(wide), float(long)))
        below.insert(0, LaidFace(face, ground))
    posts = (one for one in middle if one.role == "post")
    binding = binding_faces(layout) if quilt.binding else ()
    return below, [*posts, *border_faces(quilt, layout), *binding]


def _ground_role(quilt: Quilt, layout: Layout) -> FaceRole | None:
    """Return what one face below all shows, where it is plain, of a quilt set straight."""
    if layout.on_point:
        return None
    return "sashing" if quilt.sashing else "edge"


def _face(quilt: Quilt, one: LaidFace) -> ClothFace:
    return ClothFace(one.face.points, one.role, _cloth(quilt, one))


def _cloth(quilt: Quilt, one: LaidFace) -> str:
    """Return what a face outside of blocks is cut from, as the pattern calls it."""
    match one.role:
        case "edge":
            return quilt.edge_cloth
        case "binding":
            return quilt.binding.cloth if quilt.binding else ""
        case "sashing":
            return _strip_cloth(quilt.sashing, one.part) if quilt.sashing else ""
        case "post" if one.crossing is not None and quilt.sashing:
            return quilt.sashing.post_kind or quilt.sashing.post_cloth
        case _:
            return _border_cloth(quilt.borders[one.border], one)


def _strip_cloth(strips: Sashing, part: int | None) -> str:
    if part is None:
        return strips.cloth
    return strips.fabrics[part] if strips.fabrics else f"sashing {part % 2 + 1}"


def _border_cloth(border: QuiltBorder, one: LaidFace) -> str:
    if one.role == "spacer":
        return border.spacer
    if one.role == "post" and border.post_cloth:
        return border.post_cloth
    if border.fabrics:
        return border.fabrics[one.part or 0]
    return f"border {one.border + 1}" if one.part is None else f"border part {one.part + 1}"
