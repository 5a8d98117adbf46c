"""Sashing that is pieced of units, drawn strip by strip in plain tones."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.quilt import Quilt
from catalog.cutting.units.face_shapes import quarter_turned
from catalog.cutting.units.units_by_name import find_unit
from catalog.models import Lab
from catalog.report.pictures.block_face import FINER, SEAM_SHADE, Box, Tones
from catalog.report.pictures.border_tones import known_tones
from catalog.report.pictures.cloth_texture import Pixels


class PiecedStrips:
    """Paints strips of sashing on pixels, each one unit."""

    def __init__(self, quilt: Quilt, tones: Tones) -> None:
        sashing = quilt.sashing
        self.unit = find_unit(sashing.pieced) if sashing and sashing.pieced else None
        known, self.tones = known_tones(quilt, tones), list[Lab]()
        if self.unit is not None and sashing is not None:
            by_turns = (tones.sashing, tones.ground)
            self.tones = [known[name] for name in sashing.fabrics] or [
                by_turns[part % 2] for part in range(len(self.unit.parts))
            ]

    def paint(self, pixels: Pixels, boxes: Sequence[Box]) -> None:
        """Paint a strip in each box (left, top, right, bottom, px); nothing if they are plain.

        A strip that stands is the lying one turned a quarter clockwise.
        """
        for box in boxes if self.unit else ():
            self._strip(pixels, box)

    def _strip(self, pixels: Pixels, box: Box) -> None:
        import cv2

        left, top, right, bottom = box
        wide, high = right - left, bottom - top
        if self.unit is None or min(wide, high) < 1:
            return
        unit = self.unit.in_proportion(Fraction(*sorted((wide, high))))
        for part, tone in zip(unit.parts, self.tones, strict=True):
            faces = part.polygons if wide >= high else quarter_turned(part.polygons)
            colour = [int(value) for value in lab_to_srgb8(tone)]
            edge = [int(value * SEAM_SHADE) for value in colour]
            for face in faces:
                points = [(left + float(x) * wide, top + float(y) * high) for x, y in face]
                corners = np.rint(points).astype(np.int32)
                cv2.fillConvexPoly(pixels, corners, colour)
                cv2.polylines(pixels, [corners], True, edge, FINER, cv2.LINE_8)


def round_a_block(wide: int, high: int, strip: int) -> tuple[Box, Box, Box, Box]:
    """Return the strips round a block whose corner is at (0, 0): above, right, below, left."""
    return (
        (0, -strip, wide, 0),
        (wide, 0, wide + strip, high),
        (0, high, wide, high + strip),
        (-strip, 0, 0, high),
    )


def moved(box: Box, x: int, y: int) -> Box:
    """Return a box at another place."""
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y
