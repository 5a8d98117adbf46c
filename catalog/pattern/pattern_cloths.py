"""The cloths of a pattern file: how each is sold, and whether its print has an up and a down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from catalog.cutting.layouts.precuts import find_precut
from catalog.cutting.quilt import PieceKind, Quilt, QuiltCloth
from catalog.errors import UsageError
from catalog.pattern.toml_table import TomlTable

CLOTH_FIELDS: Final = ("name", "sold_as", "directional")
BY_THE_YARD: Final = "yardage"


def read_cloths(top: TomlTable) -> tuple[QuiltCloth, ...]:
    """Return the cloths that are bought ready cut.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    found: dict[str, QuiltCloth] = {}
    names = set()
    for table in top.tables("cloth"):
        table.only(CLOTH_FIELDS)
        name = table.text("name")
        if name in names:
            again = f'"{name}" is there already'
            table.refuse("name", again, "give another name", table.gone())
        names.add(name)
        sold_as = table.text("sold_as", BY_THE_YARD)
        if sold_as != BY_THE_YARD:
            try:
                find_precut(sold_as)
            except UsageError as error:
                table.refuse("sold_as", error.problem, f'{error.cure}, or "{BY_THE_YARD}"')
            found[name] = QuiltCloth(name, sold_as)
    return tuple(found.values())


def with_directions(top: TomlTable, kinds: Sequence[PieceKind]) -> tuple[PieceKind, ...]:
    """Return pieces with the direction that the print of their cloth is said to have."""
    printed = {
        table.text("name") for table in top.tables("cloth") if table.flag("directional", False)
    }
    return tuple(
        replace(kind, directional=True)
        if kind.source == "yardage" and kind.cut_from in printed
        else kind
        for kind in kinds
    )


def check_cloths(top: TomlTable, quilt: Quilt) -> None:
    """Refuse a cloth that nothing is cut from."""
    used = {kind.cut_from for kind in quilt.kinds if kind.source == "yardage"} | {quilt.edge_cloth}
    for border in quilt.borders:
        used |= {*border.fabrics, border.spacer, border.post_cloth}
    if quilt.sashing:
        used |= {quilt.sashing.cloth, quilt.sashing.post_cloth}
    finish = quilt.finishing
    used |= {one.cloth for one in (quilt.binding, finish.sleeve, finish.label) if one}
    for table in top.tables("cloth"):
        name = table.text("name")
        if name not in used:
            table.refuse(
                "name",
                f'nothing is cut from "{name}"',
                f'write cloth = "{name}" at a piece that is, or leave it out',
                table.gone(),
            )
