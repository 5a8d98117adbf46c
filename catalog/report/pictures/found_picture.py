"""The photo with its squares outlined and labelled and its sets marked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.models import NOT_COUNTED, SquareSet, mean_side
from catalog.report.palette_bars import palette_bars
from catalog.report.pictures.marks.bar_drawing import draw_bar
from catalog.report.pictures.outlines import (
    Pixels,
    Points,
    Shown,
    badge,
    draw_label,
    draw_lines,
    draw_numbers,
    draw_outline,
    edges_of,
    is_doubtful,
    partners,
    stroke,
    window,
)

MAX_SETS_JOINED = 12
"""Sets up to which all are joined by lines; more make a tangle, and only neighbours are."""

MAX_NEIGHBOUR_SIDES = 1.7
"""Sides between the middles of squares that count as neighbours, across corners too."""


def draw_found(shown: Shown, sets: Sequence[SquareSet]) -> Pixels:
    """Draw on a photo what was found in it, and return it.

    Each square is outlined in black and white, dashed and with a question mark where in doubt,
    and bears its label and a bar of its colours, each as wide as its share, the ground first.
    The squares of a set bear its number, white on black on the darkest, black on white on the
    others; each shows a patch of its partners' cloth, and lines join them where those don't make
    a tangle. The number of a set that doesn't count stands in brackets, and nothing else is drawn
    of it.

    Parameters
    ----------
    shown : Shown
        The photo as it is to be drawn on, with its squares (see `shrunk_squares`).
    sets : sequence of SquareSet
        What lies in other photos of them is passed over.

    Returns
    -------
    array, (height, width, 3), uint8, RGB
    """
    picture, here, corners = shown
    counting = [one for one in sets if NOT_COUNTED not in one.flags]
    for patch in [one for each in counting for one in _patches(picture, each, corners)]:
        _lay(picture, patch)
        draw_lines(picture, edges_of(patch.target), 1)
    for label, swatch in here.items():
        draw_outline(picture, corners[label], is_doubtful(swatch))
    reach = np.inf if len(sets) <= MAX_SETS_JOINED else MAX_NEIGHBOUR_SIDES
    for square_set in counting:
        _draw_joins(picture, square_set, corners, reach)
    bars = palette_bars(list(here.values()), terms=None)
    for (label, swatch), bar in zip(here.items(), bars, strict=True):
        draw_bar(picture, corners[label], bar)
        draw_label(picture, corners[label], label, is_doubtful(swatch))
    draw_numbers(picture, sets, corners)
    return picture


def _patches(
    picture: Pixels, square_set: SquareSet, corners: Mapping[str, Points]
) -> Iterator[_Patch]:
    """Yield a patch of each partner's cloth for each square of a set."""
    labels = list(dict.fromkeys(partners(square_set, corners)))
    share = 0.36 if len(square_set.swatches) == 2 else 0.26
    for label in labels:
        others = [other for other in labels if other != label]
        for place, other in enumerate(others):
            right = 0.95 - place * (share + 0.03)
            target = window(corners[label], right - share, 0.95 - share, share)
            source = window(corners[other], 0.5 - share / 2, 0.5 - share / 2, share)
            low, far = _box_of(target, picture)
            if (far > low).all():
                yield _Patch(target, low, _cut(picture, source, target - low, far - low))


@dataclass(frozen=True, eq=False)
class _Patch:
    """A piece of cloth, and where it is laid."""

    target: Points
    low: NDArray[np.intp]
    """Column and row of the pixels' first."""
    pixels: Pixels
    """Of the box round the target."""


def _box_of(target: Points, picture: Pixels) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return where the part of a picture begins and ends that a quadrilateral touches."""
    size = picture.shape[1::-1]
    low, far = np.floor(target.min(axis=0)), np.ceil(target.max(axis=0))
    return np.clip(low, 0, size).astype(np.intp), np.clip(far, 0, size).astype(np.intp)


def _cut(picture: Pixels, source: Points, target: Points, size: NDArray[np.intp]) -> Pixels:
    """Return so many pixels, wide and high, in which what is in one place lies in another."""
    import cv2

    moved = cv2.getPerspectiveTransform(
        (source - 0.5).astype(np.float32), (target - 0.5).astype(np.float32)
    )
    cut = cv2.warpPerspective(picture, moved, size.tolist(), borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(cut, np.uint8)


def _lay(picture: Pixels, patch: _Patch) -> None:
    """Put a patch where it belongs, touching no more of the picture than that."""
    import cv2

    high, wide, _ = patch.pixels.shape
    left, top = patch.low
    mask = np.zeros((high, wide), np.uint8)
    cv2.fillConvexPoly(mask, np.rint(patch.target - patch.low - 0.5).astype(np.int32), 1)
    cv2.copyTo(patch.pixels, mask, picture[top : top + high, left : left + wide])


def _draw_joins(
    picture: Pixels, square_set: SquareSet, corners: Mapping[str, Points], reach: float
) -> None:
    """Join the squares of a set, each to the next darkest, if within reach of it."""
    labels = list(dict.fromkeys(partners(square_set, corners)))
    for one, two in pairwise(labels):
        start, end = badge(corners[one])[0], badge(corners[two])[0]
        if np.linalg.norm(end - start) <= reach * mean_side(corners[one]):
            draw_lines(picture, np.array([[start, end]]), max(1, stroke(corners[one]) // 2))
