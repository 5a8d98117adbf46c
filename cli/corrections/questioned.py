"""What a person says and the photo speaks against: asked about once, and done where she insists."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle, StoredSquare
    from catalog.models import Corners

DARKEST_WHITE: Final = 66.0
"""L* below which a square isn't near white. ISCC-NBS calls a neutral white from Munsell value 8.5
(L* 85.4) and light grey down to 6.5 (L* 66.0; NBS Special Publication 440, in L* by the value
function of ASTM D1535). That whole block is left to a photo whose overall lightness is a guess: on
the sample photos no square was told more than 11 too dark or too light."""
MAX_NEUTRAL_CHROMA: Final = 22.0
"""Chroma above which a square is near neither white nor grey: the middle of yellowish white, 8.8
(ISCC-NBS, K. L. Kelly's central notations), and 12.7, the most by which the sample photos were off
in a* and b*."""
MAX_SIDE_RATIO: Final = 2.0
"""How many times as long or short as before a square's sides may become, about: common practice, as
no square of a bundle is a neighbour and a half."""
_INSIST: Final = "or add --yes if it is so all the same"


def question_white(kept: StoredBundle, number: int) -> None:
    """Refuse a square that isn't near white by what the photo says."""
    lightness, chroma, seen = _measured(kept, number)
    if lightness < DARKEST_WHITE or chroma > MAX_NEUTRAL_CHROMA:
        raise UsageError(f"{seen}, which is not near white", f"name another square, {_INSIST}")


def question_grey(kept: StoredBundle, number: int) -> None:
    """Refuse a square that isn't near a neutral grey by what the photo says."""
    _, chroma, seen = _measured(kept, number)
    if chroma > MAX_NEUTRAL_CHROMA:
        raise UsageError(f"{seen}, which is no neutral grey", f"name another square, {_INSIST}")


def question_corners(square: StoredSquare, corners: Corners) -> None:
    """Refuse corners that lie where another square must be, or make another size.

    A square whose middle lies outside where it was is another one.
    """
    was = square.square.corners
    away = math.dist(_middle(was), _middle(corners))
    before, after = _side(was), _side(corners)
    sizes = f"{before:.0f} to {after:.0f} pixels a side"
    if away > before / 2:
        what = f"that lies {away:.0f} pixels from where {square.label} was, more than half its side"
    elif not before / MAX_SIDE_RATIO <= after <= before * MAX_SIDE_RATIO:
        what = f"{square.label} would go from {sizes}"
    else:
        return
    raise UsageError(what, f"look whether that is the right square, {_INSIST}")


def _measured(kept: StoredBundle, number: int) -> tuple[float, float, str]:
    """Return L* and chroma of a square and a sentence's beginning about them."""
    label = kept.label(number)
    swatch = next(one for one in kept.swatches if one.label == label)
    lightness, a, b = swatch.lab
    seen = f"{label} looks {swatch.colour_name} in the photo (lightness {lightness:.0f} of 100)"
    return lightness, math.hypot(a, b), seen


def _middle(corners: Corners) -> tuple[float, float]:
    return sum(x for x, _ in corners) / 4, sum(y for _, y in corners) / 4


def _side(corners: Corners) -> float:
    """Return the mean length of the sides."""
    return sum(math.dist(corners[n - 1], corners[n]) for n in range(4)) / 4
