"""Pixels and squares to the light that they were taken in."""

from __future__ import annotations

import numpy as np

from catalog import camera
from catalog.light.ground import field_grid, fit_ground
from catalog.light.tint import tell_white
from catalog.light.view import look
from catalog.models import Found, Light, Photo


def estimate_light(photo: Photo, found: Found) -> Light:
    """Tell the light's tint and its unevenness over the plane from what the photo shows.

    Parameters
    ----------
    photo : Photo
        The whole picture.
    found : Found
        Its squares; may be empty.

    Returns
    -------
    Light
        Even where there is too little ground to judge by; of tint 1, 1, 1 without squares.
    """
    even = np.ones((1, 1, 3), np.float32)
    if not found.squares:
        return Light(np.ones(3), even, "no squares to judge the light by", 1.0, 6.6)
    view = look(photo, found)
    smooth = fit_ground(view)
    white = tell_white(view, smooth)
    field, unevenness = even, 1.0
    if smooth is not None:
        levels = smooth.at(view.centres)
        field = (field_grid(smooth, view) / levels.mean(axis=0)).astype(np.float32)
        unevenness = float((levels.max(axis=0) / levels.min(axis=0)).mean())
    return Light(
        tint=white.tint,
        field=field,
        evidence=white.evidence,
        unevenness=unevenness,
        expected_error=white.expected_error,
        contrast=camera.CONTRAST,
        saturation=camera.SATURATION,
    )
