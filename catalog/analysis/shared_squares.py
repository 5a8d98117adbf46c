"""Squares that two photos of one layout both show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.analysis.layout_alignment import Overlay, overlays
from catalog.analysis.overlap_candidates import PhotoShelf
from catalog.analysis.photo_looks import PhotoLooks, prints_alike, squares_alike
from catalog.analysis.single_photo import PhotoAnalysis
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.system.one_thread import on_one_thread

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Shared = tuple[int, int, float]
"""A square of one photo, the same of another, and how sure that is."""

MIN_OTHER_PIECE_DE00: Final = 8.0
"""CIEDE2000 that contradicts, once the photos' common difference is taken off."""
MIN_OTHER_PIECE_DE00_SHADED: Final = 16.0
"""The same for squares whose prints agree in detail: a shadow's edge may have parted them."""
MIN_DETAIL_CONTRAST: Final = 1.0
"""CIELAB units of contrast in a square's small picture from which its print can be followed."""
MIN_SAME_PRINT_CORRELATION: Final = 0.6
"""Correlation of two such pictures of one piece, at least; measured like `MAX_SAME_PIECE_DE00`: 99
of 100 have 0.65 and more where nothing lies on them, and two pieces of one fabric 0.1 to 0.5 but
for prints that repeat closely."""
MAX_OTHER_PRINT_CORRELATION: Final = 0.45
"""Correlation below which it is another piece."""
MIN_SHARED_SQUARES: Final = 3
"""Squares of distinct look that two photos have to share."""
AGREEING_PER_CONTRADICTION: Final = 10
"""One contradiction or gap is forgiven for so many that agree: something may have been moved."""
MIN_DISTINCT_DE00: Final = 6.0
"""CIEDE2000 from which two squares of one photo are of distinct look."""
MIN_RIVAL_WEIGHT_SHARE: Final = 0.5
"""Share of the best way's weight from which another way to lay the photos over each other leaves
it open which is right, as with rows that repeat."""
MAX_MEDIAN_CORNER_MISS: Final = 0.06
"""Sides by which the corners may miss each other, median: they are found to 0.02, and a lens may
bend as much again."""
SURE_BY_DETAIL: Final = 0.98
SURE_BY_NEIGHBOURS: Final = 0.9
SURE_BY_COLOUR: Final = 0.7
"""How sure a pair is whose print is the same to its detail; one among others of which that can be
said; one of which only colours and places speak. By judgement: the first two never erred on the
sample photos, the last can't tell plain squares from others laid in the same order."""
MIN_LINEAR_LIGHT: Final = 0.004
"""Linear light below which a channel says nothing of the light: one level of an 8-bit photo."""
_MARGIN: Final = 4
"""Pixels by which a picture may be shifted."""


@dataclass(frozen=True)
class SharedSquare:
    """Two squares that seem to be one piece of cloth, seen in two photos."""

    photo_a: int
    """Place of the first photo, from 0."""
    square_a: int
    """Place of the square in it, from 0."""
    photo_b: int
    square_b: int
    sure: float
    """0 to 1."""


@on_one_thread
def same_squares(looked: Sequence[PhotoAnalysis], known: int = 0) -> tuple[SharedSquare, ...]:
    """Find squares that are the same piece of cloth in two photos of one layout.

    Two photos count only if at least `MIN_SHARED_SQUARES` squares of distinct look lie in both in
    the same way to each other, however the camera was held, and hardly any contradicts.

    Parameters
    ----------
    looked : sequence of PhotoAnalysis
        Photos of one bundle.
    known : int
        So many of the first have been compared with each other before, and aren't again.

    Returns
    -------
    tuple of SharedSquare
        By photos and squares; a square is at most once in each pair of photos.
    """
    if len(looked) < 2:
        return ()
    seen = [PhotoLooks(one) for one in looked]
    shelf = PhotoShelf(seen)
    pairs = (
        (a, b, begun) for b in range(known, len(seen)) for a, begun in shelf.may_overlap(b).items()
    )
    return tuple(
        SharedSquare(a, i, b, j, sure)
        for a, b, begun in sorted(pairs, key=itemgetter(0, 1))
        for i, j, sure in _shared(seen[a], seen[b], begun)
    )


def _shared(one: PhotoLooks, two: PhotoLooks, begun: Flags | None) -> list[Shared]:
    """Return the squares that two photos share, and how sure that is.

    ``begun``: see `overlays`.
    """
    if min(len(one.colours), len(two.colours)) < MIN_SHARED_SQUARES:
        return []
    laid = overlays(one.outlines, two.outlines, squares_alike(one, two), begun)
    judged = [_judged(one, two, way) for way in laid]
    judged.sort(key=_weight, reverse=True)
    rivals = judged[1:] if judged else []
    if any(_weight(other) > MIN_RIVAL_WEIGHT_SHARE * _weight(judged[0]) for other in rivals):
        return []
    return judged[0] if judged else []


def _weight(shared: list[Shared]) -> float:
    return sum(sure for _, _, sure in shared)


def _judged(one: PhotoLooks, two: PhotoLooks, laid: Overlay) -> list[Shared]:
    """Return the pairs of an overlay, none where it doesn't hold."""
    if len(laid.one) < MIN_SHARED_SQUARES or float(np.median(laid.off)) > MAX_MEDIAN_CORNER_MISS:
        return []
    apart = _apart_in_one_light(one.colours[laid.one], two.colours[laid.two])
    hidden = one.covered[laid.one] | two.covered[laid.two]
    plain = apart >= MIN_OTHER_PIECE_DE00_SHADED  # whatever their detail says
    if _contradicted(int((plain & ~hidden).sum()) + laid.missed, int((~plain).sum())):
        return []
    detail = np.array(
        [
            _detail(one.picture(i), np.rot90(two.picture(j), turn))
            for i, j, turn in zip(laid.one, laid.two, laid.turns, strict=True)
        ]
    )
    same = detail >= MIN_SAME_PRINT_CORRELATION
    other = (
        (detail < MAX_OTHER_PRINT_CORRELATION)
        | (apart >= np.where(same, MIN_OTHER_PIECE_DE00_SHADED, MIN_OTHER_PIECE_DE00))
        | ~(same | prints_alike(one, two, laid.one, laid.two))
    )
    against = int((other & ~hidden).sum()) + laid.missed
    agree = ~other
    if (
        _contradicted(against, int(agree.sum()))
        or _looks(one.colours[laid.one[agree]]) < MIN_SHARED_SQUARES
    ):
        return []
    exact = agree & same
    others = SURE_BY_NEIGHBOURS if exact.sum() >= MIN_SHARED_SQUARES else SURE_BY_COLOUR
    return sorted(
        (int(i), int(j), SURE_BY_DETAIL if seen else others)
        for i, j, seen, kept in zip(laid.one, laid.two, exact, agree, strict=True)
        if kept
    )


def _contradicted(against: int, agree: int) -> bool:
    return against * AGREEING_PER_CONTRADICTION > agree


def _apart_in_one_light(one: Floats, two: Floats) -> Floats:
    """Return CIEDE2000, (k,), once the middle difference of the two lights is taken off."""
    linear = [np.maximum(lab.lab_to_linear(colours), MIN_LINEAR_LIGHT) for colours in (one, two)]
    common = np.median(np.log(linear[0] / linear[1]), axis=0)
    brought = lab.linear_to_lab(linear[1] * np.exp(common))
    return np.asarray(ciede2000(lab.linear_to_lab(linear[0]), brought))


def _detail(one: Floats, two: Floats) -> float:
    """Return the correlation of two pictures' detail at their best shift, NaN without detail."""
    import cv2

    if min(float(picture.std(axis=(0, 1)).mean()) for picture in (one, two)) < MIN_DETAIL_CONTRAST:
        return float("nan")
    inner = np.ascontiguousarray(two[_MARGIN:-_MARGIN, _MARGIN:-_MARGIN], np.float32)
    whole = np.ascontiguousarray(one, np.float32)
    return float(cv2.matchTemplate(whole, inner, cv2.TM_CCOEFF_NORMED).max())


def _looks(colours: Floats) -> int:
    """Count the distinct looks among squares' colours (k, 3)."""
    kept: list[Floats] = []
    for colour in colours:
        if all(float(ciede2000(colour, other)) >= MIN_DISTINCT_DE00 for other in kept):
            kept.append(colour)
    return len(kept)
