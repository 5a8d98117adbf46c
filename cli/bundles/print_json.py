"""A square's colours and print as members of a JSON object."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.catalogue.search.bundle_search import FoundSquare
    from catalog.models import ColourTerms, PrintLook, Swatch
    from catalog.report.palette_bars import Bar, BarPart


def print_object(
    swatch: Swatch | FoundSquare | None, terms: ColourTerms = "standard"
) -> dict[str, Any]:
    """Return a square's colours with their shares, and how its print is built.

    Empty for a square that isn't measured, or was kept without them.
    """
    return print_objects([swatch], terms)[0]


def print_objects(
    swatches: Sequence[Swatch | FoundSquare | None], terms: ColourTerms = "standard"
) -> list[dict[str, Any]]:
    """Return the same of several squares, whose colours are named together."""
    from catalog.report.palette_bars import bars_of

    palettes = [
        palette
        for one in swatches
        for palette in ((one.palette, one.palette_at_wall) if one else ((), ()))
    ]
    named = iter(bars_of(tuple(one for one in palettes if one), terms))
    bars = iter([next(named) if one else () for one in palettes])
    return [_print_object(one.look if one else None, next(bars), next(bars)) for one in swatches]


def _print_object(look: PrintLook | None, hand: Bar, wall: Bar) -> dict[str, Any]:
    return {
        "palette": [_part_object(one) for one in hand],
        "palette_at_wall": [_part_object(one) for one in wall],
        "print_scale": look.scale if look else None,
        "motif": look.motif or None if look else None,
        "directional": look.directional if look else None,
        "repeat_in": list(look.repeat_in) if look and look.repeat_in else None,
    }


def _part_object(part: BarPart) -> dict[str, Any]:
    return {
        "hex": part.colour,
        "name": part.name,
        "share": round(part.share, 3),
        "ground": part.ground,
    }
