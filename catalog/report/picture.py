"""The photo with its squares outlined and labelled and its sets marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from catalog.models import Photo, SquareSet, Swatch
from catalog.report.csv_files import joined_flags

Pixels = NDArray[np.uint8]
Points = NDArray[np.float64]

LONG_SIDE = 2400
"""Most pixels on the picture's longer side: 100 squares stay legible on a laptop's screen."""

DOUBTFUL = 0.5
"""Confidence below which a square is drawn as doubtful."""

JOIN_ALL = 12
"""Sets up to which all are joined by lines; more make a tangle, and only neighbours are."""

NEIGHBOURS = 1.7
"""Sides between the middles of squares that count as neighbours, across corners too."""

_BLACK, _WHITE = (0, 0, 0), (255, 255, 255)
_CAPITALS = 21.0
"""Height of a capital of OpenCV's font at size 1, px."""
_SUBPIXEL = 4
"""Bits after the point in the coordinates given to OpenCV."""


def found_picture(photo: Photo, swatches: Sequence[Swatch], sets: Sequence[SquareSet]) -> Pixels:
    """Return the photo with what was found drawn on it.

    Each square is outlined in black and white, dashed and with a question mark where in doubt,
    and bears its label. The squares of a set bear its number, white on black on the darkest,
    black on white on the others; each shows a patch of its partners' cloth, and lines join
    them where those don't make a tangle.

    Parameters
    ----------
    photo : Photo
    swatches : sequence of Swatch
        Those of other photos are passed over.
    sets : sequence of SquareSet

    Returns
    -------
    array, (height, width, 3), uint8, RGB, at most `LONG_SIDE` on the longer side
    """
    picture, scale = _shrunk(photo.pixels)
    here = {s.label: s for s in swatches if s.photo == photo.name}
    corners = {label: np.array(s.square.corners) * scale for label, s in here.items()}
    cloth = picture.copy()
    for square_set in sets:
        _draw_patches(picture, cloth, square_set, corners)
    for label, swatch in here.items():
        _draw_outline(picture, corners[label], _is_doubtful(swatch))
    reach = np.inf if len(sets) <= JOIN_ALL else NEIGHBOURS
    for square_set in sets:
        _draw_joins(picture, square_set, corners, reach)
    for label, swatch in here.items():
        _draw_label(picture, corners[label], label, _is_doubtful(swatch))
    for square_set in sets:
        _draw_numbers(picture, square_set, corners)
    return picture


def found_jpeg(photo: Photo, swatches: Sequence[Swatch], sets: Sequence[SquareSet]) -> bytes:
    """Return `found_picture` as the bytes of a JPEG file."""
    import cv2

    picture = found_picture(photo, swatches, sets)
    _, encoded = cv2.imencode(".jpg", picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 90])
    return encoded.tobytes()


def _shrunk(pixels: Pixels) -> tuple[Pixels, float]:
    """Return a copy of at most `LONG_SIDE`, and its scale."""
    import cv2

    high, wide, _ = pixels.shape
    scale = min(1.0, LONG_SIDE / max(high, wide))
    if scale == 1.0:
        return pixels.copy(), 1.0
    size = (max(1, round(wide * scale)), max(1, round(high * scale)))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8), scale


def _is_doubtful(swatch: Swatch) -> bool:
    return bool(joined_flags(swatch)) or swatch.square.confidence < DOUBTFUL


def _side(corners: Points) -> float:
    """Return the mean side, px."""
    return float(np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).mean())


def _inside(corners: Points, across: float, down: float) -> Points:
    """Return the point of a square at shares of its width and height."""
    top = corners[0] + across * (corners[1] - corners[0])
    bottom = corners[3] + across * (corners[2] - corners[3])
    point: Points = top + down * (bottom - top)
    return point


def _stroke(corners: Points) -> int:
    """Return the width of the white line, px."""
    return max(2, round(_side(corners) / 90.0))


# ---------------------------------------------------------------- squares


def _draw_outline(picture: Pixels, corners: Points, doubtful: bool) -> None:
    """Outline a square, a white line on a broader black one, just inside its edge."""
    width = _stroke(corners)
    middle = corners.mean(axis=0)
    inset = middle + (corners - middle) * (1.0 - 5.0 * width / max(_side(corners), 1.0))
    pairs = [(inset[i], inset[(i + 1) % 4]) for i in range(4)]
    if doubtful:
        pairs = [dash for start, end in pairs for dash in _dashes(start, end)]
    _draw_lines(picture, pairs, width)


def _dashes(start: Points, end: Points) -> list[tuple[Points, Points]]:
    """Cut a side into five dashes, whole ones at the corners."""
    cuts = np.linspace(0.0, 1.0, 10)
    return [
        (start + a * (end - start), start + b * (end - start))
        for a, b in zip(cuts[::2], cuts[1::2], strict=True)
    ]


def _draw_lines(picture: Pixels, pairs: Sequence[tuple[Points, Points]], width: int) -> None:
    """Draw lines that show on any ground: all in black first, then all in white."""
    import cv2

    for colour, thick in ((_BLACK, 3 * width), (_WHITE, width)):
        for start, end in pairs:
            cv2.line(picture, _fixed(start), _fixed(end), colour, thick, cv2.LINE_AA, _SUBPIXEL)


def _fixed(point: Points) -> tuple[int, int]:
    """Return a point for OpenCV, which counts from the centre of the first pixel."""
    x, y = np.rint((point - 0.5) * 2**_SUBPIXEL).astype(int)
    return int(x), int(y)


def _draw_label(picture: Pixels, corners: Points, label: str, doubtful: bool) -> None:
    """Write the label on a black plate in the square's first corner."""
    import cv2

    text = _ascii(label) + (" ?" if doubtful else "")
    height = max(7.0, _side(corners) * 0.085)
    (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS, 1)
    first = _inside(corners, 0.055, 0.055)
    plate = np.array([wide + 0.9 * height, 1.7 * height])
    cv2.rectangle(picture, _whole(first), _whole(first + plate), _BLACK, -1)
    _write(picture, text, first + np.array([0.45, 1.35]) * height, height, _WHITE)


def _ascii(text: str) -> str:
    """Return text in the letters that OpenCV's font has."""
    return text.encode("ascii", "replace").decode("ascii")


def _write(
    picture: Pixels, text: str, at: Points, height: float, colour: tuple[int, int, int]
) -> None:
    """Write text with capitals of this height, its base line starting at a point."""
    import cv2

    thick = max(1, round(height / 8.0))
    font, size = cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS
    cv2.putText(picture, text, _whole(at), font, size, colour, thick, cv2.LINE_AA)


def _whole(point: Points) -> tuple[int, int]:
    """Return the pixel of a point."""
    return round(float(point[0])), round(float(point[1]))


# ---------------------------------------------------------------- sets


def _partners(square_set: SquareSet, corners: Mapping[str, Points]) -> list[str]:
    """Return the set's squares that this photo shows, darkest first."""
    return [label for label in square_set.swatches if label in corners]


def _draw_patches(
    picture: Pixels, cloth: Pixels, square_set: SquareSet, corners: Mapping[str, Points]
) -> None:
    """Lay a patch of each partner's cloth into each square of a set, for the eye to compare."""
    import cv2

    labels = _partners(square_set, corners)
    share = 0.36 if len(square_set.swatches) == 2 else 0.26
    for label in labels:
        others = [other for other in labels if other != label]
        for place, other in enumerate(others):
            right = 0.95 - place * (share + 0.03)
            target = _window(corners[label], right - share, 0.95 - share, share)
            source = _window(corners[other], 0.5 - share / 2, 0.5 - share / 2, share)
            side = max(2, round(_side(target)))
            square = np.array([(0, 0), (side, 0), (side, side), (0, side)], np.float32) - 0.5
            cut = cv2.getPerspectiveTransform((source - 0.5).astype(np.float32), square)
            patch = cv2.warpPerspective(cloth, cut, (side, side), flags=cv2.INTER_AREA)
            _lay(picture, patch.astype(np.uint8, copy=False), target)
            edge = [(target[i], target[(i + 1) % 4]) for i in range(4)]
            _draw_lines(picture, edge, 1)


def _window(corners: Points, left: float, top: float, share: float) -> Points:
    """Return the corners of a window into a square, all in shares of its side."""
    places = ((left, top), (left + share, top), (left + share, top + share), (left, top + share))
    return np.array([_inside(corners, across, down) for across, down in places])


def _lay(picture: Pixels, patch: Pixels, target: Points) -> None:
    """Put a square patch where a quadrilateral is, touching no more of the picture than that."""
    import cv2

    high, wide, _ = picture.shape
    low = np.clip(np.floor(target.min(axis=0)), 0, (wide, high)).astype(int)
    far = np.clip(np.ceil(target.max(axis=0)), 0, (wide, high)).astype(int)
    if (far <= low).any():
        return
    side = len(patch)
    square = np.array([(0, 0), (side, 0), (side, side), (0, side)], np.float32) - 0.5
    put = cv2.getPerspectiveTransform(square, (target - low - 0.5).astype(np.float32))
    size = (int(far[0] - low[0]), int(far[1] - low[1]))
    part = picture[low[1] : far[1], low[0] : far[0]]
    laid = cv2.warpPerspective(patch, put, size, borderMode=cv2.BORDER_REPLICATE)
    mask = np.zeros(part.shape[:2], np.uint8)
    cv2.fillConvexPoly(mask, np.rint(target - low - 0.5).astype(np.int32), 1)
    part[mask > 0] = laid[mask > 0]


def _badge(corners: Points) -> tuple[Points, float]:
    """Return the middle and radius of a square's badge, px."""
    return _inside(corners, 0.5, 0.5), max(7.0, _side(corners) * 0.135)


def _draw_joins(
    picture: Pixels, square_set: SquareSet, corners: Mapping[str, Points], reach: float
) -> None:
    """Join the squares of a set, each to the next darkest, if within reach of it."""
    labels = _partners(square_set, corners)
    for one, two in pairwise(labels):
        start, end = _badge(corners[one])[0], _badge(corners[two])[0]
        if np.linalg.norm(end - start) <= reach * _side(corners[one]):
            _draw_lines(picture, [(start, end)], max(1, _stroke(corners[one]) // 2))


def _draw_numbers(picture: Pixels, square_set: SquareSet, corners: Mapping[str, Points]) -> None:
    """Put the set's number on a round badge in the middle of each of its squares."""
    import cv2

    text = str(square_set.number)
    for label in _partners(square_set, corners):
        middle, radius = _badge(corners[label])
        darkest = label == square_set.swatches[0]
        ground, ink = (_BLACK, _WHITE) if darkest else (_WHITE, _BLACK)
        round_radius = round(radius * 2**_SUBPIXEL)
        cv2.circle(picture, _fixed(middle), round_radius, ground, -1, cv2.LINE_AA, _SUBPIXEL)
        cv2.circle(
            picture,
            _fixed(middle),
            round_radius,
            ink,
            max(1, round(radius / 10)),
            cv2.LINE_AA,
            _SUBPIXEL,
        )
        height = radius * (0.95 if len(text) < 3 else 0.65)
        (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS, 1)
        _write(picture, text, middle + np.array([-wide, height]) / 2.0, height, ink)
