"""The quilt drawn to scale, the photographed cloth in its pieces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.laid_faces.round_faces import SHOWN_BINDING
from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Lab, Photo, Swatch
from catalog.report.pictures.block_face import (
    FINER,
    MISSING,
    Box,
    Tones,
    block_face,
    cloth_tones,
    framed,
)
from catalog.report.pictures.border_rounds import draw_rounds
from catalog.report.pictures.border_tones import with_shared_cloths
from catalog.report.pictures.cloth_texture import Pixels, cloth_of, written
from catalog.report.pictures.pieced_strips import PiecedStrips, moved, round_a_block
from catalog.report.pictures.quilt_canvas import LONG_SIDE, MARGIN, WALL, QuiltCanvas

SASHING_STEP: Final = 14.0
"""L* between background and sashing, so that both show (choice of ours)."""


def tones_of(ground: float, features: Sequence[Lab]) -> Tones:
    """Choose plain tones.

    Parameters
    ----------
    ground : float
        L* of the background.
    features : sequence of Lab
        Colours of the features; the border takes their mean, toned down.
    """
    mean = np.mean(features, axis=0) if len(features) else np.array([50.0, 0.0, 0.0])
    step = -SASHING_STEP if ground > 50.0 else SASHING_STEP
    return Tones(
        (ground, 0.5, 3.0),
        (ground + step, 0.5, 4.0),
        (float(np.clip(mean[0], 30, 70)), float(mean[1]) * 0.6, float(mean[2]) * 0.6),
    )


def wall_picture(
    quilt: Quilt,
    layout: Layout,
    plan: WallPlan,
    swatches: Sequence[Swatch],
    photos: Sequence[Photo],
    tones: Tones,
) -> Pixels:
    """Draw the quilt; prints that run one way bear an arrow that shows what was their top.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    plan : WallPlan
        Where a square is wanting the place is grey.
    swatches : sequence of Swatch
    photos : sequence of Photo
        Those that the swatches are in.
    tones : Tones
        Of what is bought.

    Returns
    -------
    array, (height, width, 3), uint8, RGB
    """
    import cv2

    shown = with_shared_cloths(quilt, tones)
    drawing = _Drawing(quilt, layout, swatches, photos, shown)
    drawing.draw_middle()
    for block in plan.blocks:
        drawing.draw_block(block)
    drawing.draw_borders()
    drawing.draw_binding()
    canvas = drawing.canvas
    size = (canvas.shape[1] // FINER, canvas.shape[0] // FINER)
    small = np.asarray(cv2.resize(canvas, size, interpolation=cv2.INTER_AREA), np.uint8)
    drawing.write_places(small, plan)
    return small


class _Drawing(QuiltCanvas):
    """A quilt on its canvas."""

    def __init__(
        self,
        quilt: Quilt,
        layout: Layout,
        swatches: Sequence[Swatch],
        photos: Sequence[Photo],
        tones: Tones,
    ) -> None:
        super().__init__(layout)
        self.quilt, self.layout, self.tones = quilt, layout, tones
        self.strips = PiecedStrips(quilt, tones)
        self.swatches = {swatch.label: swatch for swatch in swatches}
        self.photos = {photo.name: photo for photo in photos}
        across, down = layout.inset
        self.inset = float(across), float(down)
        self.cloths: dict[tuple[str, int, int], Pixels] = {}

    def draw_middle(self) -> None:
        """Draw the ground of the quilt's middle, on which blocks lie."""
        usual = "edge triangles" if self.layout.on_point else "half blocks"
        edges = self.tones.chosen.get(usual, self.tones.ground)
        edges = cloth_tones(self.quilt, self.tones).get(self.quilt.edge_cloth, edges)
        middle = self.tones.sashing if self.layout.sashing else edges
        if self.layout.on_point:
            middle = edges
        (left, top), (wide, long) = self.inset, self.layout.middle
        self.fill(left, top, float(wide), float(long), middle)
        if self.layout.offset and self.layout.sashing:
            self._draw_half_blocks(edges)

    def draw_borders(self) -> None:
        """Draw the wall beyond the quilt where blocks reach over its edge, then the borders."""
        if self.layout.half_posts:
            wide, long = float(self.layout.width), float(self.layout.length)
            beyond = float(self.layout.sashing)
            for x, y, w, h in (
                (-beyond, -beyond, wide + 2 * beyond, beyond),
                (-beyond, long, wide + 2 * beyond, beyond),
                (-beyond, 0.0, beyond, long),
                (wide, 0.0, beyond, long),
            ):
                self.fill(x, y, w, h, WALL)
        draw_rounds(self, self.quilt, self.layout, self.tones)

    def _draw_half_blocks(self, tone: Lab) -> None:
        """Draw the half blocks at the ends of offset rows, where strips lie beside them."""
        layout, (left, top) = self.layout, self.inset
        strip, wide = float(layout.sashing), float(layout.middle[0])
        rim = strip if layout.framed else 0.0
        half, tall = float(layout.block - layout.sashing) / 2, float(layout.tall)
        for row in range(1, layout.rows, 2):
            y = top + rim + row * (tall + strip)
            self.fill(left + rim, y, half, tall, tone)
            self.fill(left + wide - rim - half, y, half, tall, tone)

    def draw_binding(self) -> None:
        """Draw what shows of the binding, over the quilt's edge."""
        wide, long = float(self.layout.width), float(self.layout.length)
        plain = (max(self.tones.border[0] - 20.0, 10.0), *self.tones.border[1:])
        named = (self.quilt.binding.cloth if self.quilt.binding else "") or "binding"
        dark = self.tones.chosen.get(named, plain)
        for x, y, w, h in (
            (0.0, 0.0, wide, SHOWN_BINDING),
            (0.0, long - SHOWN_BINDING, wide, SHOWN_BINDING),
            (0.0, 0.0, SHOWN_BINDING, long),
            (wide - SHOWN_BINDING, 0.0, SHOWN_BINDING, long),
        ):
            self.fill(x, y, w, h, dark)

    def draw_block(self, block: WallBlock) -> None:
        """Draw a block where it hangs."""
        wide, high = (
            max(4, round(float(side) * self.scale))
            for side in (self.layout.block, self.layout.tall)
        )
        strip = round(float(self.layout.sashing) * self.scale)
        posts = [self._post(label, strip) for label in block.posts]
        face = block_face(self.quilt, block, (wide, high), self.tones, self._cloth)
        face = np.rot90(face, -(block.turn // 90))
        x = (self.left + self.inset[0] + block.x) * self.scale
        y = (self.top + self.inset[1] + block.y) * self.scale
        if self.layout.on_point:
            if strip:
                shown = [post for post in posts if post is not None]
                face = framed(face, strip, self.tones, shown)
                boxes = round_a_block(wide, high, strip)
                self.strips.paint(face, [moved(box, strip, strip) for box in boxes])
            self.paste_on_point(np.ascontiguousarray(face), x, y)
            return
        left, top = round(x - wide / 2), round(y - high / 2)
        self.paste(face, left, top)
        if strip:
            self.strips.paint(self.canvas, self._strips_of(block, (left, top, wide, high), strip))
        far = (left - strip, top - strip, left + wide, top + high)
        corners = ((far[0], far[1]), (far[2], far[1]), (far[2], far[3]), (far[0], far[3]))
        for post, corner in zip(posts, corners, strict=False):
            if post is not None:
                self.paste(post, *corner)

    def _strips_of(
        self, block: WallBlock, place: tuple[int, int, int, int], strip: int
    ) -> list[Box]:
        """Return where strips lie at a block's sides, those that it shares with no block before."""
        left, top, wide, high = place
        above, right, below, before = round_a_block(wide, high, strip)
        last_row, last_column = block.row == self.layout.rows, block.column == self.layout.columns
        framed_ = self.layout.framed
        there = (
            (above, framed_ and block.row == 1),
            (right, framed_ or not last_column),
            (below, framed_ or not last_row),
            (before, framed_ and block.column == 1),
        )
        return [moved(box, left, top) for box, is_there in there if is_there]

    def _post(self, label: str | None, side: int) -> Pixels | None:
        """Return a post's cloth, grey where a square is wanting; None where no post is."""
        if label is None or not side:
            return None
        if label:
            return self._cloth(label, side, side)
        return np.full((side, side, 3), lab_to_srgb8(MISSING), np.uint8)

    def _cloth(self, label: str, wide: int, high: int) -> Pixels:
        """Return the cloth of a square, so many pixels wide and high, true to scale."""
        key = (label, wide, high)
        if key not in self.cloths:
            swatch = self.swatches[label]
            photo = self.photos[swatch.photo]
            self.cloths[key] = cloth_of(photo, swatch, wide, high, self.scale)
        return self.cloths[key]

    def write_places(self, picture: Pixels, plan: WallPlan) -> None:
        """Write rows' letters and columns' numbers beside the quilt; on point, places on it."""
        scale = self.scale / FINER
        height = max(8.0, min(MARGIN * LONG_SIDE * 0.3, float(self.layout.block) * scale * 0.3))
        for block in plan.blocks:
            x = (self.left + self.inset[0] + block.x) * scale
            y = (self.top + self.inset[1] + block.y) * scale
            if self.layout.on_point:
                written(picture, block.place, (x, y), min(height, 18.0), plate=True)
                continue
            if block.column == 1:
                written(picture, block.place[:-1], (self.left * scale * 0.5, y), height)
            if block.row == 1:
                written(picture, str(block.column), (x, self.top * scale * 0.5), height)
