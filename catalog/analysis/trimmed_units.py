"""Trimmed units laid in rows, found as squares are and measured against their trim size."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import count

from catalog.bundle.pieces import allowance_of
from catalog.models import Found, MeasuredUnit, Photo, label_of


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
        for square in found.squares:
            side = (square.width_in + square.height_in) / 2
            trim = min(trims, key=lambda size, side=side: abs(float(size) - side))  # type: ignore[misc]
            label = label_of(square, next(loose) if square.row is None else 0)
            units.append(MeasuredUnit(label, photo.name, square, trim, allowance_of(square)))
    return tuple(units), tuple(seen)
