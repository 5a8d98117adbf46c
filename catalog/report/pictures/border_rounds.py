"""The borders of a quilt drawn to scale, round after round."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import units_on_sides
from catalog.models import Lab
from catalog.report.pictures.block_face import Tones
from catalog.report.pictures.border_tones import border_tones, known_tones
from catalog.report.pictures.quilt_canvas import QuiltCanvas

Box = tuple[float, float, float, float]
"""Left, top, width and length of what a round lies in, inches from the quilt's corner."""


def draw_rounds(canvas: QuiltCanvas, quilt: Quilt, layout: Layout, tones: Tones) -> None:
    """Draw the borders round the middle, spacers and posts too.

    Parameters
    ----------
    canvas : QuiltCanvas
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    tones : Tones
        Of what is bought.
    """
    known, fabrics = known_tones(quilt, tones), border_tones(quilt, tones)
    left, top = (float(side) for side in layout.inset)
    wide, long = (float(side) for side in layout.middle)
    rounds = zip(quilt.borders, layout.rounds, fabrics, strict=True)
    for number, (border, ring, own) in enumerate(rounds):
        sides, ends, width = float(ring.sides), float(ring.ends), float(ring.width)
        if border.spacer:
            box = (left - sides, top - ends, wide + 2 * sides, long + 2 * ends)
            _frame(canvas, box, sides, ends, known[border.spacer])
            left, top, wide, long = box
        box = (left - width, top - width, wide + 2 * width, long + 2 * width)
        _frame(canvas, box, width, width, own[0])
        if border.pieced:
            counts = units_on_sides(layout, border, number)
            _units(canvas, box, width, counts, border.pieced, own)
        if border.corners == "posts" and border.post_cloth:
            _posts(canvas, box, width, known[border.post_cloth])
        left, top, wide, long = box


def _frame(canvas: QuiltCanvas, box: Box, sides: float, ends: float, tone: Lab) -> None:
    """Fill the strips along the inside of a box."""
    x, y, wide, long = box
    canvas.fill(x, y, wide, ends, tone)
    canvas.fill(x, y + long - ends, wide, ends, tone)
    canvas.fill(x, y, sides, long, tone)
    canvas.fill(x + wide - sides, y, sides, long, tone)


def _posts(canvas: QuiltCanvas, box: Box, width: float, tone: Lab) -> None:
    x, y, wide, long = box
    for left in (x, x + wide - width):
        for top in (y, y + long - width):
            canvas.fill(left, top, width, width, tone)


def _units(
    canvas: QuiltCanvas,
    box: Box,
    width: float,
    counts: tuple[int, int],
    unit: str,
    tones: Sequence[Lab],
) -> None:
    """Draw a border of units, so many along top and bottom and along the sides, in the middle."""
    x, y, wide, long = box
    for start, span, units, (low, high), across in (
        (x, wide, counts[0], (y, y + long - width), True),
        (y, long, counts[1], (x, x + wide - width), False),
    ):
        first = start + (span - units * width) / 2
        for place in range(units):
            for end in (low, high):
                along = first + place * width
                at = (along, end) if across else (end, along)
                canvas.draw_unit(*at, width, unit, tones)
