"""Pixels and squares to the light that they were taken in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.ground_field import Smooth, field_grid, fit_ground
from catalog.light.candidates.selection import explain
from catalog.light.candidates.shadow_matte import Shadow
from catalog.light.photo_agreement import join_lights
from catalog.light.reduced_view import View, look
from catalog.light.references.beside_squares import charted, find_patches
from catalog.light.references.chart_among_squares import without_chart
from catalog.light.white_evidence import White
from catalog.light.white_point import fused, tell_white
from catalog.models import Found, Light, LightHints, Photo
from catalog.system.one_thread import on_one_thread

__all__ = ["estimate_light", "join_lights", "without_chart"]

GRID_SIDE = 48
"""Cells along the longer side of a field without hard edges."""


@on_one_thread
def estimate_light(photo: Photo, found: Found, hints: LightHints | None = None) -> Light:
    """Tell the light's tint and its unevenness over the plane from what the photo shows.

    Parameters
    ----------
    photo : Photo
        The whole picture.
    found : Found
        Its squares; may be empty.
    hints : LightHints, optional
        What the user says of squares and ground of this photo.

    Returns
    -------
    Light
        Even where there is too little ground to judge by; of tint 1, 1, 1 without squares.
    """
    even = np.ones((1, 1, 3), np.float32)
    if not found.squares:
        return Light(np.ones(3), even, "no squares to judge the light by", 1.0, 6.6)
    view = look(photo, found)
    patches = find_patches(view)
    ground = fit_ground(view)
    chart = charted(view, patches, ground)
    if chart is not None:
        view, ground = chart.view, chart.smooth
    chosen = explain(view, found, ground)
    white = tell_white(view, found, ground, chosen, patches, hints or LightHints())
    if chart is not None:
        white = fused(chart.white(chosen.smooth, chosen.shadow), white)
    return _light(view, chosen.smooth, chosen.shadow, white)


def _light(view: View, smooth: Smooth, shadow: Shadow | None, white: White) -> Light:
    field, unevenness = _field(view, smooth, shadow)
    return Light(
        tint=white.tint,
        field=field,
        evidence=white.evidence,
        unevenness=unevenness,
        expected_error=white.expected_error,
        contrast=view.tone.contrast,
        saturation=view.tone.saturation,
        power=view.tone.power,
        mixing=white.mixing,
        tint_doubt=white.tint_doubt,
        level_doubt=white.level_doubt,
    )


def _field(view: View, smooth: Smooth, shadow: Shadow | None) -> tuple[NDArray[np.float32], float]:
    """Return the field over the photo, and how uneven it is over the squares."""
    levels = smooth.at(view.centres)
    height, width = view.pixels.shape[:2]
    if shadow is None:
        shrink = GRID_SIDE / max(height, width)
        shape = (max(2, round(height * shrink)), max(2, round(width * shrink)))
        field = field_grid(smooth, view, shape)
    else:
        field = field_grid(smooth, view, shadow.share.shape) * shadow.blocked()
        levels = levels * np.exp(np.outer(shadow.at(view, view.centres), shadow.depth))
    field /= smooth.at(view.centres).mean(axis=0)
    return field.astype(np.float32), float((levels.max(axis=0) / levels.min(axis=0)).mean())
