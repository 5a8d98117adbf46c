"""Each unit step by step, drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalog.cutting.adapted.unit_cuts import AdaptedUnit, sized_as_adapted
from catalog.cutting.quilt import BlockUnit
from catalog.lengths import show_length
from catalog.phrases import joined, sentence
from catalog.report.booklet.booklet_contents import Booklet, cloth_name
from catalog.report.booklet.cloth_tones import tones_of
from catalog.report.booklet.flowing_pages import SMALL, FlowingPages
from catalog.report.booklet.told_unit import ToldUnit, plain_name, show_unit
from catalog.report.booklet.units_around import units_around


@dataclass(frozen=True)
class _Alike:
    """Units that are sewn alike, of one size, from other cloths."""

    block: int
    each: tuple[AdaptedUnit, ...]
    count: int

    @property
    def adapted(self) -> AdaptedUnit:
        """The first, whose cloths the drawings show."""
        return self.each[0]

    @property
    def units(self) -> tuple[BlockUnit, ...]:
        """The units."""
        return tuple(one.unit for one in self.each)


def units_section(pages: FlowingPages, booklet: Booklet) -> None:
    """Show how each unit of each block is sewn; those sewn alike are told together."""
    pages.begin()
    pages.heading("Sew the units")
    pages.paragraph("Dashed: mark. Dotted: sew. Bold: cut. Arrow: press. Hatched: the wrong side.",
                    SMALL)  # fmt: skip
    for number in range(len(booklet.adapted.quilt.blocks)):
        for alike in _alike(booklet, number):
            show_unit(pages, _of_block(booklet, alike))
    for told in units_around(booklet):
        show_unit(pages, told)


def _alike(booklet: Booklet, number: int) -> list[_Alike]:
    groups: dict[object, list[int]] = {}
    units = booklet.units_of(number)
    for place, one in enumerate(units):
        sizes = tuple((cut.width, cut.height) for cut in one.cuts)
        key = one.method.unit, one.method.at_a_time, one.trim, one.trim_height, sizes
        if booklet.unit_count(number, place):
            groups.setdefault(key, []).append(place)
    return [
        _Alike(
            number,
            tuple(units[place] for place in places),
            sum(booklet.unit_count(number, place) for place in places),
        )
        for places in groups.values()
    ]


def _of_block(booklet: Booklet, shown: _Alike) -> ToldUnit:
    block = booklet.adapted.quilt.blocks[shown.block]
    adapted, tones = shown.adapted, tones_of(booklet.adapted.quilt, block)
    marks = joined([unit.mark for unit in shown.units])
    of_block = f" of block {block.mark}" if block.mark else ""
    legend = [
        (f"{unit.mark}: {cloth}" if len(shown.units) > 1 else cloth, tones[patch])
        for unit in shown.units
        for patch in dict.fromkeys(unit.patches)
        for cloth in (cloth_name(booklet, patch),)
    ]
    return ToldUnit(
        f"{marks}{of_block}: {plain_name(adapted.method.unit)}, {shown.count:,} in all",
        sentence(f"from {joined(_cut_words(shown.each))}"),
        tuple(legend),
        {part: tones[patch] for part, patch in enumerate(shown.units[0].patches)},
        sized_as_adapted(adapted, booklet.adapted.seam),
    )


def _cut_words(units: Sequence[AdaptedUnit]) -> list[str]:
    words = []
    for cut in (cut for one in units for cut in one.cuts):
        size = show_length(cut.width)
        if cut.height != cut.width:
            size = f"{show_length(cut.width, mark=False)} x {show_length(cut.height)}"
        words.append(f"{cut.kind.name} {size}")
    return list(dict.fromkeys(words))
