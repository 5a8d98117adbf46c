"""What a reference page in a photo says of the squares' size, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from statistics import median
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from catalog.models import Found, SeenPage, Swatch

MARK: Final = Fraction(1, 32)
"""Inches to which sizes are told, and up to which they agree with what was said: 19 of 20 are told
nearer than that with a page (see `catalog/reference_page/README.md`)."""
MAX_SMALL: Final = Fraction(1, 16)
"""Inches up to which a contradiction is small: cutting and cloth make as much."""
MAX_APART: Final = 0.02
"""Part by which bar and edges of the paper may disagree: more than either is off."""
CURE: Final = 'If they do, count again with --square "{side}".'
"""What to do about a wrong side of photos that are counted as they are."""
CURE_KEPT: Final = 'If they do, they want a bundle of their own, added with --square "{side}".'
"""The same of photos in a bundle that is kept."""
MEASURE_BAR: Final = (
    "Or the page wasn't printed at its size: measure its bar, and if it is off say what it "
    "measures with --reference-bar."
)


_ONE_MARK: Final = (
    "only one mark of a reference page is seen, so it says nothing: leave two and more uncovered."
)
_BENT: Final = (
    "a reference page is found, but it doesn't lie flat, so it says nothing of sizes: smooth it "
    "out, or print a new one."
)


def page_lines(photos: Mapping[str, Found]) -> list[str]:
    """Say where a reference page is no rule, or was printed at another size than it was drawn.

    Parameters
    ----------
    photos : mapping from a photo's name
        What was found in it.
    """
    lines = []
    for name, found in photos.items():
        page = found.page
        if page is None or not found.squares:
            continue
        if not page.placed:
            lines.append(f"{name}: {_ONE_MARK}")
        elif found.scale_doubt is None:
            lines.append(f"{name}: {_BENT}")
        elif page.stretch == page.by_edges != 1.0:
            lines.append(f"{name}: {_printed_at(page)}")
        elif page.by_edges is not None and abs(page.by_edges / page.stretch - 1.0) > MAX_APART:
            lines.append(f"{name}: {_unlike_bar(page)}")
    return lines


def _printed_at(page: SeenPage) -> str:
    return (
        f"by the edges of its paper the reference page was printed at {100 * page.stretch:.0f} %, "
        f"and sizes are told by that. Its bar should measure {_bar(page.stretch, page)}: if it "
        "doesn't, say what it does with --reference-bar."
    )


def _unlike_bar(page: SeenPage) -> str:
    by_edges = page.by_edges or 1.0
    return (
        "sizes are told by what you say of the reference page's bar, but by the edges of its paper "
        f"it should measure {_bar(by_edges, page)}: measure it once more."
    )


def _bar(stretch: float, page: SeenPage) -> str:
    """What the bar of a page measures that was printed so, as people of its paper measure."""
    if page.paper == "A4":
        return f"{15 * stretch:.1f} cm"
    from catalog.lengths import show_length

    return show_length(Fraction(round(6 * stretch / MARK)) * MARK, step=MARK)


def reference_lines(
    swatches: Sequence[Swatch],
    side: Fraction,
    *,
    cure: str,
    photos: Mapping[str, Found] | None = None,
) -> list[str]:
    """Say what the squares measure by a reference page, photo by photo.

    Parameters
    ----------
    swatches : sequence of Swatch
    side : Fraction
        What they are said to measure, inches.
    cure : str
        What to do where that is plainly wrong; ``{side}`` stands for what they measure.
    photos : mapping from a photo's name, optional
        What was found in it: where the edges of the paper bear the page out, its bar does too.

    Returns
    -------
    list of str
        Nothing for photos without such a page.
    """
    sizes: dict[str, list[float]] = {}
    for one in swatches:
        if one.square.absolute:
            middle = (one.square.width_in + one.square.height_in) / 2.0
            sizes.setdefault(one.photo, []).append(middle)
    lines = []
    for photo, across in sizes.items():
        measured = Fraction(round(median(across) / MARK)) * MARK
        advice = cure if _borne_out((photos or {}).get(photo)) else f"{cure} {MEASURE_BAR}"
        told = _told(measured, side, advice)
        lines.append(f"{photo}: reference page found, so sizes are true inches. {told}")
    return lines


def _borne_out(found: Found | None) -> bool:
    """Tell whether the edges of the paper say that the page was printed as large as is taken."""
    page = found.page if found else None
    if page is None or page.by_edges is None:
        return False
    return abs(page.by_edges / page.stretch - 1.0) <= MAX_APART


def _told(measured: Fraction, side: Fraction, cure: str) -> str:
    from catalog.lengths import show_length

    apart = measured - side
    shown, said = (show_length(one, step=MARK) for one in (measured, side))
    if not apart:
        return f"The squares measure {shown}, as you said."
    if abs(apart) <= MARK:
        return f"The squares measure {shown}, which bears out the {said} that you said."
    differ = f"{show_length(abs(apart), step=MARK)} {'more' if apart > 0 else 'less'}"
    told = f"The squares measure {shown}, {differ} than the {said} that you said."
    if abs(apart) <= MAX_SMALL:
        return told
    typed = show_length(measured, step=MARK, mark=False)
    return f"{told} {cure.format(side=typed)}"
