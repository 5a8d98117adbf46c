"""What a reference page in a photo says of the squares' size, in words."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from statistics import median
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from catalog.count_results import PhotoResult
    from catalog.models import Swatch

MARK: Final = Fraction(1, 32)
"""Inches to which sizes are told, and up to which they agree with what was said."""
MAX_SMALL: Final = Fraction(1, 16)
"""Inches up to which a contradiction is small: cutting and cloth make as much."""

BAR: Final = (
    "Or the page wasn't printed at its size: measure its bar, and if it is off say what it "
    "measures with --reference-bar."
)
CURE: Final = 'If they do, count again with --square "{side}". ' + BAR
"""For photos that are counted as they are."""
CURE_KEPT: Final = (
    'If they do, they want a bundle of their own, added with --square "{side}". ' + BAR
)
"""For those in a bundle that is kept."""


def bent_lines(photos: Sequence[PhotoResult]) -> list[str]:
    """Say where a reference page is no rule, as it doesn't lie flat."""
    return [
        f"{one.photo.name}: a reference page is found, but it doesn't lie flat, so it says nothing "
        "of sizes: print a new one, or smooth it out."
        for one in photos
        if one.found.page is not None and one.found.squares and one.found.scale_doubt is None
    ]


def reference_lines(swatches: Sequence[Swatch], side: Fraction, *, cure: str) -> list[str]:
    """Say what the squares measure by a reference page, photo by photo.

    Parameters
    ----------
    swatches : sequence of Swatch
    side : Fraction
        What they are said to measure, inches.
    cure : str
        What to do where that is plainly wrong; ``{side}`` stands for what they measure.

    Returns
    -------
    list of str
        Nothing for photos without such a page.
    """
    sizes: dict[str, list[float]] = {}
    for one in swatches:
        if one.square.absolute:
            across = (one.square.width_in + one.square.height_in) / 2.0
            sizes.setdefault(one.photo, []).append(across)
    return [
        f"{photo}: reference page found, so sizes are true inches and its paper is a white. "
        + _told(Fraction(round(median(found) / MARK)) * MARK, side, cure)
        for photo, found in sizes.items()
    ]


def _told(measured: Fraction, side: Fraction, cure: str) -> str:
    from catalog.lengths import show_length

    apart = measured - side
    shown, said = (show_length(one, step=MARK) for one in (measured, side))
    if abs(apart) < MARK:
        return f"The squares measure {shown}, as you said."
    differ = f"{show_length(abs(apart), step=MARK)} {'more' if apart > 0 else 'less'}"
    told = f"The squares measure {shown}, {differ} than the {said} that you said."
    if abs(apart) <= MAX_SMALL:
        return told
    typed = show_length(measured, step=MARK, mark=False)
    return f"{told} {cure.format(side=typed)}"
