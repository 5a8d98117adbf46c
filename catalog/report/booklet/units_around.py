"""Units round the blocks: strips of sashing that are each one, and those of borders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from catalog.cutting.quilt_units import units_on_sides
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.unit_kind import UnitKind
from catalog.cutting.units.units_by_name import find_unit
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.cloth_tones import BACKGROUND_GREYS, FEATURE_GREYS
from catalog.report.booklet.told_unit import ToldUnit, plain_name


def units_around(booklet: Booklet) -> Iterator[ToldUnit]:
    """Yield the units of sashing and borders."""
    quilt, layout = booklet.adapted.quilt, booklet.adapted.layout
    if quilt.sashing and quilt.sashing.pieced and layout.sashing:
        for side in dict.fromkeys((layout.block, layout.tall)):
            unit = find_unit(quilt.sashing.pieced).in_proportion(layout.sashing / side)
            heading = f"Sashing: {plain_name(unit.name)}, one for each strip"
            yield _told(booklet, heading, unit, side, quilt.sashing.fabrics)
    for number, border in enumerate(quilt.borders):
        if border.pieced:
            across, down = units_on_sides(layout, border, number)
            heading = (
                f"Border {number + 1}: {plain_name(border.pieced)}, {across} each for top and "
                f"bottom, {down} for each side"
            )
            width = layout.borders[number]
            yield _told(booklet, heading, find_unit(border.pieced), width, border.fabrics)


def _told(
    booklet: Booklet, heading: str, unit: UnitKind, finished: Fraction, fabrics: Sequence[str]
) -> ToldUnit:
    greys = [FEATURE_GREYS[0], BACKGROUND_GREYS[0], *FEATURE_GREYS[1:], *BACKGROUND_GREYS[1:]]
    names = fabrics or tuple(f"fabric {part}" for part in range(1, len(unit.parts) + 1))
    cloths = dict.fromkeys(names)
    tone = {name: greys[place % len(greys)] for place, name in enumerate(cloths)}
    return ToldUnit(
        heading,
        "",
        tuple(tone.items()),
        {part: tone[name] for part, name in enumerate(names)},
        size_from_finished(unit.ways[0], finished, seam=booklet.adapted.seam),
    )
