"""Pixels and squares to the light that they were taken in."""

from __future__ import annotations

import numpy as np

from catalog.light import ground
from catalog.models import Found, Light, Photo

_FLAT = (1, 1, 3)


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
        Even and neutral where nothing can be told.
    """
    no_tint = np.ones(3)
    if not found.squares:
        return Light(no_tint, np.ones(_FLAT, np.float32), "nothing to judge the light by", 1.0, 7.0)
    view = ground.look(photo, found)
    smooth = ground.fit_ground(view)
    if smooth is None:
        return Light(no_tint, np.ones(_FLAT, np.float32), "the camera's own balance", 1.0, 6.6)
    field = ground.field_grid(smooth, view)
    at_squares = smooth.at(view.centres)
    field = field / at_squares.mean(axis=0)
    levels = at_squares.mean(axis=1)
    unevenness = float(levels.max() / levels.min())
    return Light(no_tint, field.astype(np.float32), "the ground between the squares", unevenness, 5.6)
