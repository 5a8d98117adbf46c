"""The canvas that a quilt is drawn on, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.unit_faces import FACES
from catalog.models import Lab
from catalog.report.pictures.block_face import FINER
from catalog.report.pictures.cloth_texture import Pixels

LONG_SIDE: Final = 2000
"""Pixels on the quilt's longer side."""
MARGIN: Final = 0.045
"""Round the quilt, of its longer side, for the letters of rows and the numbers of columns."""
WALL: Final[Lab] = (88.0, 0.0, 1.0)


class QuiltCanvas:
    """Pixels, `FINER` times finer than the picture, that lengths in inches are drawn on."""

    def __init__(self, layout: Layout) -> None:
        wide, long = float(layout.width), float(layout.length)
        self.scale = FINER * LONG_SIDE / max(wide, long)
        margin = MARGIN * max(wide, long)
        self.left = self.top = margin
        size = (round((long + 2 * margin) * self.scale), round((wide + 2 * margin) * self.scale), 3)
        self.canvas = np.full(size, lab_to_srgb8(WALL), np.uint8)

    def fill(self, x: float, y: float, wide: float, long: float, colour: Lab) -> None:
        """Fill a rectangle of the quilt, inches from its upper left corner."""
        x0, x1 = (round((self.left + one) * self.scale) for one in (x, x + wide))
        y0, y1 = (round((self.top + one) * self.scale) for one in (y, y + long))
        self.canvas[max(y0, 0) : y1, max(x0, 0) : x1] = lab_to_srgb8(colour)

    def draw_unit(self, x: float, y: float, side: float, unit: str, tones: Sequence[Lab]) -> None:
        """Draw a unit in plain tones, one for each of its parts, with its corner at a place."""
        import cv2

        for tone, faces in zip(tones, FACES[unit], strict=True):
            colour = [int(one) for one in lab_to_srgb8(tone)]
            for face in faces:
                points = [
                    ((self.left + x + float(a) * side), (self.top + y + float(b) * side))
                    for a, b in face
                ]
                corners = np.rint(np.array(points) * self.scale).astype(np.int32)
                cv2.fillConvexPoly(self.canvas, corners, colour)

    def paste(self, picture: Pixels, x: int, y: int) -> None:
        """Lay a picture with its upper left corner at a pixel, as far as the canvas reaches."""
        high, wide, _ = picture.shape
        here = self.canvas[max(y, 0) : y + high, max(x, 0) : x + wide]
        here[:] = picture[: here.shape[0], : here.shape[1]]

    def paste_on_point(self, face: Pixels, x: float, y: float) -> None:
        """Turn a block an eighth and lay it with its middle at a point."""
        import cv2

        side = len(face)
        half = int(np.ceil(side * np.sqrt(0.5))) + 1
        x0, y0 = round(x) - half, round(y) - half
        turn = cv2.getRotationMatrix2D(((side - 1) / 2, (side - 1) / 2), -45.0, 1.0)
        turn[:, 2] += np.array([x - x0 - side / 2, y - y0 - side / 2])
        size = (2 * half, 2 * half)
        laid = cv2.warpAffine(face, turn, size, flags=cv2.INTER_LINEAR)
        mask = cv2.warpAffine(np.full(face.shape[:2], 255, np.uint8), turn, size)
        clip_x, clip_y = max(0, -x0), max(0, -y0)
        here = self.canvas[y0 + clip_y : y0 + 2 * half, x0 + clip_x : x0 + 2 * half]
        shown = (slice(clip_y, clip_y + here.shape[0]), slice(clip_x, clip_x + here.shape[1]))
        here[mask[shown] > 127] = laid[shown][mask[shown] > 127]
