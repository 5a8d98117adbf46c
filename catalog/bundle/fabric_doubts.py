"""Which fabrics the photos can't tell, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from catalog.bundle.fabrics import MAY_BE, SEVERAL
from catalog.phrases import listed

if TYPE_CHECKING:
    from catalog.models import Swatch

FEW: Final = 3
"""Squares named of a fabric, and pairs of fabrics named."""


def fabric_doubts(swatches: Sequence[Swatch]) -> list[str]:
    """Say of which fabrics the photos can't tell whether they are one, or one with another.

    Parameters
    ----------
    swatches : sequence of Swatch
        A whole bundle, its fabrics told.
    """
    squares: dict[str, list[str]] = {}
    for one in swatches:
        squares.setdefault(one.fabric, []).append(one.label)
    several = dict.fromkeys(one.fabric for one in swatches if SEVERAL in one.flags)
    pairs = dict.fromkeys(
        tuple(sorted((one.fabric, flag.removeprefix(MAY_BE))))
        for one in swatches
        for flag in one.flags
        if flag.startswith(MAY_BE) and flag.removeprefix(MAY_BE) in squares
    )
    lines = []
    if several:
        each = _listed(f"{name} ({listed(squares[name], FEW)})" for name in several)
        lines.append(
            f"Can't tell: {each} may each be one fabric or several, whose colours lie nearer to "
            "each other than the photo can tell. Hold them together in daylight."
        )
    if pairs:
        each = _listed(
            f"{one} and {two} ({squares[one][0]}, {squares[two][0]})" for one, two in pairs
        )
        lines.append(f"Can't tell whether these are two fabrics or one: {each}.")
    return lines


def fabric_doubt(swatch: Swatch) -> str:
    """Say what is open of one square's fabric; empty where nothing is."""
    others = [flag.removeprefix(MAY_BE) for flag in swatch.flags if flag.startswith(MAY_BE)]
    return " or ".join(
        f"may be {'several' if f'{MAY_BE}{one}' == SEVERAL else one}" for one in others
    )


def _listed(names: Iterable[str]) -> str:
    return listed(list(names), FEW)
