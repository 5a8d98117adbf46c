"""How a quilt is built, in the few words that a list of patterns has room for."""

from __future__ import annotations

from typing import Final

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_units import method_of

RUNNER: Final = 2
"""Times as long as wide from which on a quilt is a runner (common practice, from memory)."""
_NUMBERS: Final = {1: "one", 2: "two", 3: "three", 4: "four", 8: "eight"}
COUNTED_ONLY: Final = "squares counted, not built"
"""Of a pattern that doesn't say how its quilt is built."""


def construction_of(quilt: Quilt | None) -> str:
    """Return how a quilt is built: how its blocks are set, and what stands round them.

    Such as ``one block on point, two borders``; nothing is said of what every quilt has.
    """
    if quilt is None:
        return COUNTED_ONLY
    told = [f"{_blocks(quilt)}, a runner" if _is_runner(quilt) else _blocks(quilt)]
    together = _sewn_together(quilt)
    if together > 2:
        told.append(f"{_NUMBERS.get(together, str(together))} units at a time")
    if quilt.sashing is not None:
        told.append("sashing with posts" if quilt.sashing.posts else "sashing")
    if quilt.borders:
        told.append(_borders(quilt))
    return ", ".join(told)


def _blocks(quilt: Quilt) -> str:
    if quilt.rows == quilt.columns == 1:
        return "a medallion" if len(quilt.borders) > 1 else "one panel"
    number = len(quilt.blocks)
    if number > 1:
        blocks = f"{_NUMBERS.get(number, str(number))} blocks by turns"
    else:
        blocks = "blocks of strips" if _is_strips(quilt) else "one block"
    if quilt.on_point:
        return f"{blocks} on point"
    if quilt.offset:
        return f"{blocks} in offset rows"
    return f"{blocks} in {'one row' if 1 in {quilt.rows, quilt.columns} else 'rows'}"


def _is_strips(quilt: Quilt) -> bool:
    """Whether all of its units are strips, side by side or round a centre."""
    return all(unit.unit.startswith(("rails", "courthouse", "log-")) for unit in quilt.units)


def _sewn_together(quilt: Quilt) -> int:
    """Return how many units are made at once from the same squares, at most."""
    return max(method_of(unit).units for unit in quilt.units)


def _is_runner(quilt: Quilt) -> bool:
    wide, long = sorted((quilt.columns * quilt.finished_block, quilt.rows * quilt.finished_length))
    return not quilt.on_point and long >= RUNNER * wide


def _borders(quilt: Quilt) -> str:
    number, pieced = len(quilt.borders), sum(border.pieced is not None for border in quilt.borders)
    if number == 1:
        return "a pieced border" if pieced else "a border"
    told = f", {_NUMBERS.get(pieced, str(pieced))} of them pieced" if pieced else ""
    return f"{_NUMBERS.get(number, str(number))} borders{told}"
