"""Squares that two photos of one layout both show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.analysis.layout_alignment import Outlines, Overlay, overlays
from catalog.analysis.single_photo import PhotoAnalysis
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring.print_features import COLOUR_QUANTILES, DIRECTIONS
from catalog.system.one_thread import on_one_thread

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Shared = tuple[int, int, float]
"""A square of one photo, the same of another, and how sure that is."""

MAX_SAME_PIECE_DE00: Final = 12.0
"""CIEDE2000 between two measurements of one piece, each in its photo's own light; over six sample
photos and warped views of them at most 6, hard shadows aside."""
MAX_PRINT_DIFFERENCE: Final = (0.8, 0.12)
"""CIELAB units by which the colours of one piece's print may differ, their means set equal, and
that share more for each unit of its spread; measured like `MAX_SAME_PIECE_DE00`: 0.4 at most."""
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
_SMALL, _MARGIN = 48, 4
"""Pixels of a picture in which prints are compared, and by which it may be shifted."""


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
    seen = [_PhotoLooks(one) for one in looked]
    pairings: list[SharedSquare] = []
    for a, b in combinations(range(len(seen)), 2):
        if b < known:
            continue
        pairings.extend(SharedSquare(a, i, b, j, sure) for i, j, sure in _shared(seen[a], seen[b]))
    return tuple(pairings)


class _PhotoLooks:
    """What a photo's squares look like, n of them."""

    def __init__(self, looked: PhotoAnalysis) -> None:
        swatches = looked.swatches
        self.crops = looked.crops
        self.outlines = Outlines(
            np.array([one.square.corners for one in swatches], np.float64).reshape(-1, 4, 2)
        )
        self.colours = np.array([one.lab for one in swatches], np.float64).reshape(-1, 3)
        self.covered = np.array(["partly covered" in one.flags for one in swatches], np.bool_)
        terms = len(DIRECTIONS) * COLOUR_QUANTILES
        told = np.array([one.signature[:terms] for one in swatches], np.float64)
        told = told.reshape(-1, len(DIRECTIONS), COLOUR_QUANTILES)
        self.prints = told - told.mean(axis=2, keepdims=True)

    @cached_property
    def pictures(self) -> list[Floats]:
        """CIELAB (48, 48, 3) of each square."""
        return [_small(crop) for crop in self.crops]


def _small(crop: bytes) -> Floats:
    import cv2

    pixels = cv2.imdecode(np.frombuffer(crop, np.uint8), cv2.IMREAD_COLOR_RGB)
    linear = lab.srgb_to_linear(np.asarray(pixels, np.uint8))
    small = cv2.resize(linear, (_SMALL, _SMALL), interpolation=cv2.INTER_AREA)
    return np.asarray(lab.linear_to_lab(small), np.float64)


def _shared(one: _PhotoLooks, two: _PhotoLooks) -> list[Shared]:
    """Return the squares that two photos share, and how sure that is."""
    if min(len(one.colours), len(two.colours)) < MIN_SHARED_SQUARES:
        return []
    away = ciede2000(one.colours[:, None], two.colours)
    alike = (away < MAX_SAME_PIECE_DE00) & _prints_alike(one, two)
    judged = [_judged(one, two, laid) for laid in overlays(one.outlines, two.outlines, alike)]
    judged.sort(key=_weight, reverse=True)
    rivals = judged[1:] if judged else []
    if any(_weight(other) > MIN_RIVAL_WEIGHT_SHARE * _weight(judged[0]) for other in rivals):
        return []
    return judged[0] if judged else []


def _weight(shared: list[Shared]) -> float:
    return sum(sure for _, _, sure in shared)


def _prints_alike(one: _PhotoLooks, two: _PhotoLooks) -> Flags:
    spread = [seen.prints[:, :3].std(axis=2).mean(axis=1) for seen in (one, two)]
    weaker = np.minimum(spread[0][:, None], spread[1])
    unlike = np.array([np.abs(two.prints - mine).mean(axis=(1, 2)) for mine in one.prints])
    return np.asarray(unlike < MAX_PRINT_DIFFERENCE[0] * (1.0 + MAX_PRINT_DIFFERENCE[1] * weaker))


def _judged(one: _PhotoLooks, two: _PhotoLooks, laid: Overlay) -> list[Shared]:
    """Return the pairs of an overlay, none where it doesn't hold."""
    if len(laid.one) < MIN_SHARED_SQUARES or float(np.median(laid.off)) > MAX_MEDIAN_CORNER_MISS:
        return []
    prints = _prints_alike(one, two)[laid.one, laid.two]
    apart = _apart_in_one_light(one.colours[laid.one], two.colours[laid.two])
    detail = np.array(
        [
            _detail(one.pictures[i], np.rot90(two.pictures[j], turn))
            for i, j, turn in zip(laid.one, laid.two, laid.turns, strict=True)
        ]
    )
    hidden = one.covered[laid.one] | two.covered[laid.two]
    same = detail >= MIN_SAME_PRINT_CORRELATION
    other = (
        (detail < MAX_OTHER_PRINT_CORRELATION)
        | (apart >= np.where(same, MIN_OTHER_PIECE_DE00_SHADED, MIN_OTHER_PIECE_DE00))
        | ~(same | prints)
    )
    against = int((other & ~hidden).sum()) + laid.missed
    agree = ~other
    if (
        _looks(one.colours[laid.one[agree]]) < MIN_SHARED_SQUARES
        or against * AGREEING_PER_CONTRADICTION > agree.sum()
    ):
        return []
    exact = agree & same
    others = SURE_BY_NEIGHBOURS if exact.sum() >= MIN_SHARED_SQUARES else SURE_BY_COLOUR
    return sorted(
        (int(i), int(j), SURE_BY_DETAIL if seen else others)
        for i, j, seen, kept in zip(laid.one, laid.two, exact, agree, strict=True)
        if kept
    )


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
