"""How a quilt is built, in the few words that a list of patterns has room for."""

from __future__ import annotations

from typing import Final

from catalog.cutting.quilt import Quilt

COUNTED_ONLY: Final = "squares counted, not built"
"""Of a pattern that doesn't say how its quilt is built."""


def construction_of(quilt: Quilt | None) -> str:
    """Return how a quilt is built: how its blocks are set, and what stands round them.

    Such as ``blocks on point, two borders``; nothing is said of what every quilt has.
    """
    if quilt is None:
        return COUNTED_ONLY
    told = [_blocks(quilt)]
    if quilt.sashing is not None:
        told.append("sashing with posts" if quilt.sashing.posts else "sashing")
    if quilt.borders:
        told.append(_borders(quilt))
    return ", ".join(told)


def _blocks(quilt: Quilt) -> str:
    if quilt.rows == quilt.columns == 1:
        return "a medallion" if len(quilt.borders) > 1 else "one panel"
    if len(quilt.blocks) > 1:
        count = {2: "two", 3: "three"}.get(len(quilt.blocks), str(len(quilt.blocks)))
        blocks = f"{count} blocks by turns"
    else:
        blocks = "strips" if _is_strips(quilt) else "one block"
    if quilt.on_point:
        return f"{blocks} on point"
    if quilt.offset:
        return f"{blocks} in offset rows"
    if quilt.columns == 1:
        return f"{blocks} in one row"
    return f"{blocks} in rows"


def _is_strips(quilt: Quilt) -> bool:
    """Whether all of its units are of strips sewn side by side."""
    return all(unit.unit.startswith("rails") for unit in quilt.units)


def _borders(quilt: Quilt) -> str:
    count = len(quilt.borders)
    pieced = "pieced " if any(border.pieced for border in quilt.borders) else ""
    return f"{pieced}border" if count == 1 else f"{count} {pieced}borders"
