"""The cloth of the bundle's squares, cut out of its photos and freed of their light."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.count_results import Bundle, PhotoResult
from catalog.measuring.overlap_order import on_top
from catalog.measuring.rectified_patches import EDGE_MARGIN_IN, cut_patches
from catalog.models import Corners, Lab


@dataclass(frozen=True, eq=False)
class WallCloth:
    """The cloth of one square of the bundle."""

    label: str
    lab: Lab
    """Its mean colour."""
    side: float
    """What ``pixels`` cover, inches of the square each way; 0 without them."""
    pixels: NDArray[np.float32] | None = None
    """(n, n, 3) linear RGB in even, neutral light; None where no photo of it is at hand, so that
    only its colour is known."""
    shown: NDArray[np.bool_] | None = None
    """(n, n) where it is the square's cloth, not what lies on it."""


def cloths_of(bundle: Bundle) -> tuple[WallCloth, ...]:
    """Cut the cloth of every square of a bundle out of its photos.

    Parameters
    ----------
    bundle : Bundle
        With its photos' pixels, squares and lights.

    Returns
    -------
    tuple of WallCloth
        One for each swatch, in their order.
    """
    pixels = {}
    for result in bundle.photos:
        own = [swatch for swatch in bundle.swatches if swatch.photo == result.photo.name]
        corners = {swatch.square.corners: swatch.label for swatch in own}
        for label, cloth in _cut(result, corners):
            pixels[label] = cloth
    cloths = []
    for swatch in bundle.swatches:
        cut = pixels.get(swatch.label)
        side = min(swatch.square.width_in, swatch.square.height_in) - 2 * EDGE_MARGIN_IN
        own_pixels, shown = cut or (None, None)
        cloths.append(WallCloth(swatch.label, swatch.lab, side if cut else 0.0, own_pixels, shown))
    return tuple(cloths)


def _cut(
    result: PhotoResult, labels: dict[Corners, str]
) -> Iterable[tuple[str, tuple[NDArray[np.float32], NDArray[np.bool_]]]]:
    """Yield the cloth of a photo's squares that have a label, by their corners."""
    picked = [k for k, square in enumerate(result.found.squares) if square.corners in labels]
    if not picked or result.light is None:
        return
    over = on_top(result.photo, result.found)
    cut = cut_patches(result.photo, result.found, picked, result.light, over)
    for k, even, shown in zip(picked, cut.even, cut.shown, strict=True):
        yield labels[result.found.squares[k].corners], (even, shown > 0.5)
