"""Pictures small enough to lie inside a page: each square's cloth, the photos, the quilt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from catalog.models import Photo, Swatch
from catalog.report.pictures.cloth_texture import EDGE_IN, Pixels, cloth_of

CROP_PX: Final = 144
"""Pixels of a square's side: 20 mm on paper at 180 to the inch, the finest that a tired eye tells
apart at reading distance (common practice)."""
MAX_PHOTO_PX: Final = 1600
"""Most pixels across a photo: sharp over the width of a page at 200 to the inch."""
MARGIN_SIDES: Final = 1.0
"""Sides of a square that a photo shows round the squares, so that one missed can be seen."""
FINER: Final = 4
"""Cloth is cut out at most so many times larger and then shrunk, so that prints don't shimmer."""
JPEG_STEPS: Final = ((1.0, 82), (0.8, 78), (0.64, 74), (0.5, 70), (0.36, 66), (0.25, 60))
"""Share of the size, and JPEG quality, tried until the pictures fit."""


@dataclass(frozen=True)
class Picture:
    """A JPEG file and its size."""

    jpeg: bytes
    wide: int
    """Pixels."""
    high: int


@dataclass(frozen=True)
class PhotoPicture(Picture):
    """Part of a photo as a JPEG file."""

    left: int
    """Pixels of the photo to the left of it."""
    top: int
    scale: float
    """Its pixels to one of the photo's."""


def square_pictures(
    swatches: Sequence[Swatch], photos: Sequence[Photo], given: Mapping[str, bytes], budget: int
) -> dict[str, bytes]:
    """Return each square's cloth, laid flat and in its measured colour, as a JPEG file.

    Parameters
    ----------
    swatches : sequence of Swatch
    photos : sequence of Photo
    given : mapping from label to JPEG
        Pictures made earlier; taken as they are if all fit.
    budget : int
        Bytes that all of them may take up together.

    Returns
    -------
    dict from label to JPEG
        A square that has neither a picture nor a photo is missing.
    """
    seen = {photo.name: photo for photo in photos}
    cut = {
        one.label: _cloth(seen[one.photo], one)
        for one in swatches
        if one.label not in given and one.photo in seen
    }
    whole = {one.label: given[one.label] for one in swatches if one.label in given}
    spare = budget - sum(map(len, whole.values()))
    made = fitted(list(cut.values()), max(spare, 0)) if cut else []
    if spare < sum(len(one.jpeg) for one in made):
        pixels = [*(_decoded(jpeg) for jpeg in whole.values()), *cut.values()]
        labels = [*whole, *cut]
        fresh = [one.jpeg for one in fitted(pixels, budget)]
        return dict(zip(labels, fresh, strict=True))
    return whole | {label: one.jpeg for label, one in zip(cut, made, strict=True)}


def _cloth(photo: Photo, swatch: Swatch) -> Pixels:
    """Cut a square's cloth out, without its edges."""
    corners = np.array([*swatch.square.corners, swatch.square.corners[0]])
    side = float(np.mean([np.hypot(*(b - a)) for a, b in pairwise(corners)]))
    finer = int(np.clip(round(side / CROP_PX), 1, FINER))
    inches = max(min(swatch.square.width_in, swatch.square.height_in) - 2 * EDGE_IN, 0.5)
    return cloth_of(photo, swatch, CROP_PX, CROP_PX, CROP_PX / inches, finer)


def photo_pictures(
    photos: Sequence[Photo], swatches: Sequence[Swatch], budget: int
) -> list[PhotoPicture]:
    """Return the photos, at most `MAX_PHOTO_PX` across, smaller if they don't fit a budget.

    What lies more than `MARGIN_SIDES` sides outside the squares is left out.
    """
    boxes = [_box(photo, swatches) for photo in photos]
    parts = [
        photo.pixels[top:bottom, left:right]
        for photo, (left, top, right, bottom) in zip(photos, boxes, strict=True)
    ]
    pictures = fitted([_at_most(part, MAX_PHOTO_PX) for part in parts], budget)
    return [
        PhotoPicture(one.jpeg, one.wide, one.high, box[0], box[1], one.wide / (box[2] - box[0]))
        for one, box in zip(pictures, boxes, strict=True)
    ]


def _box(photo: Photo, swatches: Sequence[Swatch]) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of what is worth showing of a photo."""
    high, wide, _ = photo.pixels.shape
    own = [one.square.corners for one in swatches if one.photo == photo.name]
    if not own:
        return 0, 0, wide, high
    corners = np.array(own)
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    margin = MARGIN_SIDES * float(np.median(sides))
    low = np.clip(np.floor(corners.min(axis=(0, 1)) - margin), 0, (wide - 1, high - 1))
    far = np.clip(np.ceil(corners.max(axis=(0, 1)) + margin), low + 1, (wide, high))
    return int(low[0]), int(low[1]), int(far[0]), int(far[1])


def smaller(jpeg: bytes, side: int, budget: int) -> Picture:
    """Return a JPEG's picture at most `side` across and within a budget of bytes."""
    return fitted([_at_most(_decoded(jpeg), side)], budget)[0]


def fitted(pictures: Sequence[Pixels], budget: int) -> list[Picture]:
    """Encode pictures as JPEG, by ever coarser `JPEG_STEPS` until all together fit a budget.

    The last step is taken even if it doesn't do.
    """
    made: list[Picture] = []
    for share, quality in JPEG_STEPS:
        made = [_encoded(_scaled(one, share), quality) for one in pictures]
        if sum(len(one.jpeg) for one in made) <= budget:
            break
    return made


def _at_most(pixels: Pixels, wide: int) -> Pixels:
    return _scaled(pixels, min(1.0, wide / pixels.shape[1]))


def _scaled(pixels: Pixels, share: float) -> Pixels:
    import cv2

    if share == 1.0:
        return pixels
    high, wide, _ = pixels.shape
    size = (max(1, round(wide * share)), max(1, round(high * share)))
    return np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8)


def _encoded(pixels: Pixels, quality: int) -> Picture:
    import cv2

    high, wide, _ = pixels.shape
    options = [cv2.IMWRITE_JPEG_QUALITY, quality, cv2.IMWRITE_JPEG_OPTIMIZE, 1]
    _, jpeg = cv2.imencode(".jpg", np.ascontiguousarray(pixels[..., ::-1]), options)
    return Picture(jpeg.tobytes(), wide, high)


def _decoded(jpeg: bytes) -> Pixels:
    import cv2

    pixels = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_COLOR_RGB)
    if pixels is None:
        msg = "expected the bytes of a JPEG file"
        raise ValueError(msg)
    return np.asarray(pixels, np.uint8)
