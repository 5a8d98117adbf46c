"""A square's colours and print as members of a JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.catalogue.search.bundle_search import FoundSquare
    from catalog.models import ColourTerms, Swatch
    from catalog.report.palette_bars import BarPart


def print_object(
    swatch: Swatch | FoundSquare | None, terms: ColourTerms = "standard"
) -> dict[str, Any]:
    """Return a square's colours with their shares, and how its print is built.

    Empty for a square that isn't measured, or was kept without them.
    """
    from catalog.report.palette_bars import bars_of

    look = swatch.look if swatch else None
    palettes = (swatch.palette, swatch.palette_at_wall) if swatch else ((), ())
    hand, wall = (bars_of((one,), terms)[0] if one else () for one in palettes)
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
