"""Squares drawn on a picture: outlines, labels, and the numbers of their sets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.image_pyramid import image_pyramid, smallest_of
from catalog.models import RIGHT_AS_FOUND, Photo, SquareSet, Swatch, mean_side
from catalog.report.set_numbers import darkest_of, numbers_of
from catalog.report.tables.csv_tables import look_again

Pixels = NDArray[np.uint8]
Points = NDArray[np.float64]
Shown = tuple[Pixels, dict[str, Swatch], dict[str, Points]]
"""A photo at the size that it is drawn in, its squares and their corners there, by label."""

LONG_SIDE = 2000
"""About how many pixels a picture's longer side has unless it is asked for in full: 100 squares in
ten rows stay legible on a laptop's screen."""
NEAR_LONG_SIDE = (0.9, 1.05)
"""Share of it that halves of the photo may have to be drawn on as they are: they cost an eighth of
shrinking it by any other factor, 6 ms instead of 46 at 12 MP, and are sharper."""

DOUBTFUL_BELOW = 0.5
"""Confidence below which a square is drawn as doubtful."""

BLACK, WHITE = (0, 0, 0), (255, 255, 255)
_SIDES = np.array([[0, 1], [1, 2], [2, 3], [3, 0]])
_CAPITALS = 21.0
"""Height of a capital of OpenCV's font at size 1, px."""
SUBPIXEL = 4
"""Bits after the point in the coordinates given to OpenCV."""


def shrunk(pixels: Pixels, *, full: bool = False) -> tuple[Pixels, float]:
    """Return a copy of about `LONG_SIDE` unless the ``full`` size is asked for, and its scale."""
    import cv2

    if full:
        return pixels.copy(), 1.0
    low, far = (share * LONG_SIDE for share in NEAR_LONG_SIDE)
    picture = smallest_of(image_pyramid(pixels), low)
    if max(picture.shape) > far:
        scale = LONG_SIDE / max(picture.shape)
        size = [max(1, round(side * scale)) for side in picture.shape[1::-1]]
        picture = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
    elif picture is pixels:
        picture = pixels.copy()
    return picture, max(picture.shape) / max(pixels.shape)


def shrunk_squares(photo: Photo, swatches: Sequence[Swatch], *, full: bool = False) -> Shown:
    """Return a photo at the size it is drawn in, its squares and their corners there, by label."""
    picture, scale = shrunk(photo.pixels, full=full)
    here = {s.label: s for s in swatches if s.photo == photo.name}
    return picture, here, {key: np.array(s.square.corners) * scale for key, s in here.items()}


def edges_of(corners: Points) -> Points:
    """Return the four sides of a square, each by its ends, (4, 2, 2)."""
    edges: Points = corners[_SIDES]
    return edges


def dashed(lines: Points) -> Points:
    """Cut straight lines (n, 2, 2) into five dashes each, whole ones at their ends, (5 n, 2, 2)."""
    cuts = np.linspace(0.0, 1.0, 10).reshape(5, 2, 1)
    start, end = lines[:, None, :1], lines[:, None, 1:]
    return (start + cuts * (end - start)).reshape(-1, 2, 2)


def as_jpeg(picture: Pixels) -> bytes:
    """Return a picture, in colour or (height, width) in grey, as the bytes of a JPEG file."""
    import cv2

    turned = picture if picture.ndim == 2 else cv2.cvtColor(picture, cv2.COLOR_RGB2BGR)
    _, encoded = cv2.imencode(".jpg", turned, [cv2.IMWRITE_JPEG_QUALITY, 90])
    return encoded.tobytes()


def is_doubtful(swatch: Swatch) -> bool:
    """Tell whether a square asks for a second look."""
    if RIGHT_AS_FOUND in swatch.square.flags:
        return False
    return bool(look_again(swatch)) or swatch.square.confidence < DOUBTFUL_BELOW


def inside(corners: Points, across: float | Points, down: float | Points) -> Points:
    """Return the point of a square at shares of its width and height; points (n, 2) for (n, 1)."""
    top = corners[0] + across * (corners[1] - corners[0])
    bottom = corners[3] + across * (corners[2] - corners[3])
    point: Points = top + down * (bottom - top)
    return point


def stroke(corners: Points) -> int:
    """Return the width of the white line, px."""
    return max(2, round(mean_side(corners) / 90.0))


def draw_outline(picture: Pixels, corners: Points, doubtful: bool) -> None:
    """Outline a square, a white line on a broader black one, just inside its edge."""
    width = stroke(corners)
    middle = corners.mean(axis=0)
    inset = middle + (corners - middle) * (1.0 - 5.0 * width / max(mean_side(corners), 1.0))
    edges = edges_of(inset)
    draw_lines(picture, dashed(edges) if doubtful else edges, width)


def draw_lines(picture: Pixels, lines: Points, width: int) -> None:
    """Draw lines (n, 2, 2) that show on any ground: all in black first, then all in white."""
    import cv2

    ends = list(fixed_all(lines))
    for colour, thick in ((BLACK, 3 * width), (WHITE, width)):
        cv2.polylines(picture, ends, False, colour, thick, cv2.LINE_AA, SUBPIXEL)


def fixed(point: Points) -> tuple[int, int]:
    """Return a point for OpenCV, which counts from the centre of the first pixel."""
    x, y = point.tolist()
    return round((x - 0.5) * 2**SUBPIXEL), round((y - 0.5) * 2**SUBPIXEL)


def fixed_all(points: Points) -> NDArray[np.int32]:
    """Return points (..., 2) for OpenCV; see `fixed`."""
    counted: NDArray[np.int32] = np.rint((points - 0.5) * 2**SUBPIXEL).astype(np.int32)
    return counted


def draw_label(picture: Pixels, corners: Points, label: str, doubtful: bool) -> None:
    """Write the label on a black plate in the square's first corner."""
    draw_plate(picture, corners, (0.055, 0.055), label + (" ?" if doubtful else ""))


def draw_plate(picture: Pixels, corners: Points, place: tuple[float, float], words: str) -> None:
    """Write words on a black plate that begins at shares of the square's width and height."""
    import cv2

    text = _ascii(words)
    height = max(7.0, mean_side(corners) * 0.085)
    (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS, 1)
    first = inside(corners, *place)
    plate = np.array([wide + 0.9 * height, 1.7 * height])
    cv2.rectangle(picture, whole(first), whole(first + plate), BLACK, -1)
    write(picture, text, first + np.array([0.45, 1.35]) * height, height, WHITE)


def _ascii(text: str) -> str:
    """Return text in the letters that OpenCV's font has."""
    return text.encode("ascii", "replace").decode("ascii")


def write(
    picture: Pixels, text: str, at: Points, height: float, colour: tuple[int, int, int]
) -> None:
    """Write text with capitals of this height, its base line starting at a point."""
    import cv2

    thick = max(1, round(height / 9.0))
    font, size = cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS
    cv2.putText(picture, text, whole(at), font, size, colour, thick, cv2.LINE_AA)


def whole(point: Points) -> tuple[int, int]:
    """Return the pixel of a point."""
    return round(float(point[0])), round(float(point[1]))


def partners(square_set: SquareSet, corners: Mapping[str, Points]) -> list[str]:
    """Return the set's squares that this photo shows, darkest first."""
    return [label for label in square_set.swatches if label in corners]


def window(corners: Points, left: float, top: float, share: float) -> Points:
    """Return the corners of a window into a square, all in shares of its side."""
    return box_inside(corners, left, top, left + share, top + share)


def box_inside(corners: Points, left: float, top: float, right: float, low: float) -> Points:
    """Return the corners of a box in a square, clockwise from the upper left, all in shares."""
    across = np.array([[left], [right], [right], [left]])
    down = np.array([[top], [top], [low], [low]])
    return inside(corners, across, down)


def badge(corners: Points) -> tuple[Points, float]:
    """Return the middle and radius of a square's badge, px."""
    return inside(corners, 0.5, 0.5), max(7.0, mean_side(corners) * 0.135)


def draw_numbers(picture: Pixels, sets: Sequence[SquareSet], corners: Mapping[str, Points]) -> None:
    """Put the numbers of its sets on a round badge in the middle of each square."""
    import cv2

    darkest = darkest_of(sets)
    for label, text in numbers_of(sets).items():
        if label not in corners:
            continue
        middle, radius = badge(corners[label])
        ground, ink = (BLACK, WHITE) if label in darkest else (WHITE, BLACK)
        round_radius = round(radius * 2**SUBPIXEL)
        cv2.circle(picture, fixed(middle), round_radius, ground, -1, cv2.LINE_AA, SUBPIXEL)
        cv2.circle(
            picture,
            fixed(middle),
            round_radius,
            ink,
            max(1, round(radius / 10)),
            cv2.LINE_AA,
            SUBPIXEL,
        )
        height = radius * min(0.95, 1.95 / max(len(text), 2))
        (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, height / _CAPITALS, 1)
        write(picture, text, middle + np.array([-wide, height]) / 2.0, height, ink)
