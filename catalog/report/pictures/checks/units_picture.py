"""A photo of trimmed units with what each measures, where it is not what it should be."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import numpy as np

from catalog.lengths import SIXTEENTH, show_length
from catalog.models import MeasuredUnit, Photo
from catalog.report.pictures.checks.move_marks import draw_ring
from catalog.report.pictures.outlines import as_jpeg, draw_plate, shrunk

_QUIET: Final = frozenset({"fits", "sewn in"})
"""Fits of a unit at which nothing is to be done."""


def size_of_unit(unit: MeasuredUnit) -> str:
    """Say what a unit measures: one length where both sides come to the same mark of the ruler."""
    sides = (unit.square.width_in, unit.square.height_in)
    told = [show_length(Fraction(side), step=SIXTEENTH, mark=False) for side in sides]
    return " x ".join(dict.fromkeys(told))


def units_jpeg(photo: Photo, units: Sequence[MeasuredUnit], *, full: bool = False) -> bytes:
    """Return the photo as JPEG: those too small in a broad line, those larger in a broken one.

    Parameters
    ----------
    photo : Photo
    units : sequence of MeasuredUnit
        Those of other photos are passed over.
    full : bool
        Whether as large as the photo is; else about `LONG_SIDE`.
    """
    picture, scale = shrunk(photo.pixels, full=full)
    for unit in units:
        if unit.photo != photo.name:
            continue
        corners = np.array(unit.square.corners) * scale
        draw_ring(picture, corners, quiet=unit.fit in _QUIET, broken=unit.fit == "larger")
        size = "" if unit.fit in _QUIET else f": {size_of_unit(unit)}"
        draw_plate(picture, corners, (0.05, 0.05), f"{unit.label}{size}")
    return as_jpeg(picture)
