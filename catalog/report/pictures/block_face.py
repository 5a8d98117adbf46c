"""One block drawn, the photographed cloth in its patches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Cell, Patch, Quilt
from catalog.cutting.quilt_units import faces_of, kind_of, label_of
from catalog.cutting.unit_faces import turned
from catalog.models import Lab
from catalog.report.pictures.cloth_texture import Pixels
from catalog.report.pictures.marks.way_arrows import draw_way

Box = tuple[int, int, int, int]
"""Left, top, right and bottom, px."""
FINER: Final = 2
"""Drawn so many times larger and then shrunk, for smooth edges."""
MISSING: Final[Lab] = (75.0, 0.0, 1.0)
"""Where a square of the bundle is wanting."""
SEAM_SHADE: Final = 0.72
"""How light a seam's ditch looks beside its cloth (choice of ours)."""


CLOTH_STEP: Final = 11.0
"""L* between two cloths that are bought for the blocks, so that both show (choice of ours)."""


@dataclass(frozen=True)
class Tones:
    """Colours of what is bought, for the picture alone."""

    ground: Lab
    sashing: Lab
    border: Lab
    chosen: Mapping[str, Lab] = field(default_factory=dict)
    """Those of cloths that somebody chose, by name; they go before all others."""


def cloth_tones(quilt: Quilt, tones: Tones) -> dict[str, Lab]:
    """Return the tone of each cloth that is bought for blocks and edges, the ground's the first."""
    bought = list(dict.fromkeys(k.cut_from for k in quilt.kinds if k.source == "yardage"))
    if quilt.edge_cloth and quilt.edge_cloth not in bought:
        bought.append(quilt.edge_cloth)
    lightness, a, b = tones.ground
    way = -CLOTH_STEP if lightness > 50.0 else CLOTH_STEP
    plain = {
        name: (min(max(lightness + number * way, 15.0), 95.0) if number else lightness, a, b)
        for number, name in enumerate(bought)
    }
    return {name: tones.chosen.get(name, tone) for name, tone in plain.items()}


def block_face(
    quilt: Quilt,
    hung: WallBlock,
    size: tuple[int, int],
    tones: Tones,
    cloth_of: Callable[[str, int, int], Pixels],
) -> Pixels:
    """Return a block's picture before it is turned.

    Parameters
    ----------
    quilt : Quilt
    hung : WallBlock
        Whose squares it shows; where one is wanting it is grey.
    size : (int, int)
        Pixels wide and high.
    tones : Tones
    cloth_of : callable
        Gives the cloth of a label, so many pixels wide and high.
    """
    import cv2

    block, (wide, high) = quilt.blocks[hung.kind], size
    squares: dict[Patch, tuple[str, ...]] = {patch: (label,) for patch, label in hung.squares}
    squares |= dict(hung.scraps)
    faces = {patch: len(faces_of(block, patch)) for patch in squares}
    drawn = Counter[Patch]()
    face = np.empty((high, wide, 3), np.uint8)
    face[:] = lab_to_srgb8(tones.ground)
    seams = np.zeros((high, wide), np.uint8)
    step = wide / block.across, high / block.down
    ways: list[tuple[NDArray[np.int32], int]] = []
    bought = cloth_tones(quilt, tones)
    for cell in block.cells:
        unit, box = block.units[cell.unit], _box(cell, step)
        for patch, part in zip(unit.patches, kind_of(unit).parts, strict=True):
            for polygon in part.polygons:
                label = ""
                if patch in squares:
                    label = label_of(drawn[patch], faces[patch], squares[patch])
                drawn[patch] += 1
                corners = _corners(polygon, cell.turn, box)
                turn = _turn_of(label, cell, hung)
                if label in hung.one_way:
                    ways.append((corners, turn))
                if label:
                    sides = (box[2] - box[0], box[3] - box[1])
                    cloth = cloth_of(label, *(sides[::-1] if turn % 180 else sides))
                    _lay_cloth(face, np.rot90(cloth, -(turn // 90)), corners, box)
                else:
                    tone = bought.get(quilt.kind(patch.kind).cut_from, MISSING)
                    cv2.fillConvexPoly(face, corners, [int(v) for v in lab_to_srgb8(tone)])
                cv2.polylines(seams, [corners], True, 1, FINER, cv2.LINE_8)
    shaded = cv2.LUT(face, (np.arange(256) * SEAM_SHADE).astype(np.uint8))
    cv2.copyTo(shaded, seams, face)
    for corners, turn in ways:
        draw_way(face, corners, turn)
    return face


def _turn_of(label: str, cell: Cell, hung: WallBlock) -> int:
    """Return how cloth is turned in a block before that is: a print that runs one way, upright."""
    upright = label in hung.one_way and label not in hung.on_side
    return -hung.turn % 360 if upright else cell.turn


def framed(face: Pixels, strip: int, tones: Tones, posts: Sequence[Pixels] = ()) -> Pixels:
    """Return a block with its sashing and posts round it.

    Parameters
    ----------
    face : array, (side, side, 3), uint8
    strip : int
        Pixels that the sashing is wide.
    tones : Tones
    posts : sequence of array, (strip, strip, 3), uint8
        Cloth of the posts, clockwise from the upper left; in a plain tone if not given.
    """
    side = len(face) + 2 * strip
    whole = np.empty((side, side, 3), np.uint8)
    whole[:] = lab_to_srgb8(tones.sashing)
    low, high = slice(0, strip), slice(-strip, None)
    for place, corner in enumerate(((low, low), (low, high), (high, high), (high, low))):
        whole[corner] = posts[place] if posts else lab_to_srgb8(tones.border)
    whole[strip:-strip, strip:-strip] = face
    return whole


def _box(cell: Cell, step: tuple[float, float]) -> Box:
    """Return a cell's left, top, right and bottom in the block's picture."""
    (wide, high), right, bottom = step, cell.column + cell.wide, cell.row + cell.high
    return (
        round(cell.column * wide),
        round(cell.row * high),
        round(right * wide),
        round(bottom * high),
    )


def _lay_cloth(face: Pixels, cloth: Pixels, corners: NDArray[np.int32], box: Box) -> None:
    """Lay cloth that is as large as a box into a polygon of it."""
    import cv2

    x0, y0, x1, y1 = box
    mask = np.zeros((y1 - y0, x1 - x0), np.uint8)
    cv2.fillConvexPoly(mask, corners - np.array([x0, y0], np.int32), 1)
    cv2.copyTo(np.ascontiguousarray(cloth), mask, face[y0:y1, x0:x1])


def _corners(
    polygon: Sequence[tuple[Fraction, Fraction]], turn: int, box: Box
) -> NDArray[np.int32]:
    """Return a unit's polygon in the pixels of its box, turned."""
    x0, y0, x1, y1 = box
    points = [turned((float(x), float(y)), turn) for x, y in polygon]
    return np.rint([(x0 + x * (x1 - x0), y0 + y * (y1 - y0)) for x, y in points]).astype(np.int32)
