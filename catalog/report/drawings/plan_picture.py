"""The picture of all cutting plans, as a file."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.cutting.plans import BuyRow
from catalog.report.drawings.drawing import Drawing, below_one_another
from catalog.report.drawings.drawing_jpeg import drawing_jpeg
from catalog.report.drawings.plan_drawing import plan_drawings, scale_bar, scale_of


def drawings_of(buys: Sequence[BuyRow]) -> tuple[Drawing, ...]:
    """Return the drawing of each cloth that is cut into pieces, and a scale; none without any."""
    layouts = [buy.layout for buy in buys if buy.layout]
    return (*plan_drawings(layouts), scale_bar(scale_of(layouts))) if layouts else ()


def cutting_plan_jpeg(buys: Sequence[BuyRow]) -> bytes | None:
    """Return how everything that is bought is cut up, drawn to scale; None where nothing is."""
    drawings = drawings_of(buys)
    return drawing_jpeg(below_one_another(drawings)) if drawings else None
