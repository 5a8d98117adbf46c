"""The cloth of the bundle's squares, cut out of its photos and freed of their light."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.count_results import Bundle, PhotoResult
from catalog.measuring.overlap_order import on_top
from catalog.measuring.rectified_patches import EDGE_MARGIN_IN, cut_patches
from catalog.models import Lab, Swatch


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
    clipped: float = 0.0
    """Share of it that the camera clipped: its colour is stronger or lighter than was measured."""
    fabric: str = ""
    """The same for squares of one fabric; empty where that isn't known."""


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
    cut: dict[str, WallCloth] = {}
    for result in bundle.photos:
        own = [swatch for swatch in bundle.swatches if swatch.photo == result.photo.name]
        cut.update((cloth.label, cloth) for cloth in _cut(result, own))
    return tuple(
        replace(
            cut.get(swatch.label) or WallCloth(swatch.label, swatch.lab, 0.0),
            fabric=swatch.fabric,
        )
        for swatch in bundle.swatches
    )


def _cut(result: PhotoResult, swatches: Sequence[Swatch]) -> Iterator[WallCloth]:
    """Yield the cloth of those of a photo's swatches that are squares found in it."""
    by_corners = {swatch.square.corners: swatch for swatch in swatches}
    picked = [k for k, square in enumerate(result.found.squares) if square.corners in by_corners]
    if not picked or result.light is None:
        return
    over = on_top(result.photo, result.found)
    cut = cut_patches(result.photo, result.found, picked, result.light, over)
    for number, k in enumerate(picked):
        own = by_corners[result.found.squares[k].corners]
        side = min(own.square.width_in, own.square.height_in) - 2 * EDGE_MARGIN_IN
        shown, clipped = cut.shown[number] > 0.5, float(cut.clipped[number])
        yield WallCloth(own.label, own.lab, side, cut.even[number], shown, clipped)
