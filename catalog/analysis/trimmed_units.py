"""Trimmed units laid in rows, found as squares are and measured against their trim size."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import count
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.pieces import allowance_of
from catalog.models import Found, MeasuredUnit, Photo, Square, label_of

MAX_GAP_SEWN: Final = 0.02
"""Gap between two units, shares of a side, up to which they are taken to be sewn together: on a
photographed wall 40 sewn ones left 0.006 and less, 30 squares laid with gaps 0.063 and more."""
MAX_SHIFT_SEWN: Final = 0.25
"""How far the middles of two sides that meet may be shifted along them, shares of a side (choice of
ours): sewn units meet corner to corner."""


def measure_units(
    photos: Sequence[Photo], trims: Sequence[Fraction], reference_bar: float | None = None
) -> tuple[tuple[MeasuredUnit, ...], tuple[Found, ...]]:
    """Measure the units in photos.

    Parameters
    ----------
    photos : sequence of Photo
    trims : sequence of Fraction
        Sizes that they are trimmed to, inches, the commonest first: without a reference page the
        middle unit is taken to measure that.
    reference_bar : float, optional
        What the bar on the reference page measures, inches.

    Returns
    -------
    tuple of MeasuredUnit
        Photo by photo in reading order, each against the trim size that it comes nearest to.
    tuple of Found
        What was found in each photo.
    """
    from catalog.finding import find_squares
    from catalog.light import without_chart

    units: list[MeasuredUnit] = []
    seen: list[Found] = []
    for photo in photos:
        found = without_chart(photo, find_squares(photo, float(trims[0]), reference_bar))
        seen.append(found)
        loose = count(1)
        meets = edge_to_edge(found.squares)
        for square, sewn in zip(found.squares, meets.tolist(), strict=True):
            side = (square.width_in + square.height_in) / 2
            trim = min(trims, key=lambda size, side=side: abs(float(size) - side))  # type: ignore[misc]
            label = label_of(square, next(loose) if square.row is None else 0)
            units.append(MeasuredUnit(label, photo.name, square, trim, allowance_of(square), sewn))
    return tuple(units), tuple(seen)


def edge_to_edge(squares: Sequence[Square]) -> NDArray[np.bool_]:
    """Return which squares of one photo lie with a side along that of another, (n,)."""
    corners = np.array([square.corners for square in squares]).reshape(-1, 4, 2)
    sides = np.roll(corners, -1, axis=1) - corners
    middles = corners + sides / 2.0
    long = np.linalg.norm(sides, axis=2)
    found = np.zeros(len(squares), bool)
    for place, (own, side, length) in enumerate(zip(middles, sides, long, strict=True)):
        away = np.delete(middles, place, axis=0).reshape(1, -1, 2) - own[:, None]
        x, y = (side / length[:, None]).T[:, :, None]
        along = np.abs(away[..., 0] * x + away[..., 1] * y) / length[:, None]
        across = np.abs(away[..., 1] * x - away[..., 0] * y) / length[:, None]
        found[place] = ((along <= MAX_SHIFT_SEWN) & (across <= MAX_GAP_SEWN)).any()
    return found
