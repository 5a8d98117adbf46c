"""Pixels and squares to the light that they were taken in."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import rectify_squares
from catalog.light.candidates.selection import select_light
from catalog.light.candidates.shadow_matte import ShadowMatte
from catalog.light.candidates.surface_field import IlluminationField, field_grid, fit_surface
from catalog.light.photo_agreement import join_lights
from catalog.light.reduced_view import ReducedView, reduce_photo
from catalog.light.references.beside_squares import chart_light, find_patches
from catalog.light.references.chart_among_squares import without_chart
from catalog.light.references.page_paper import joined, paper_white
from catalog.light.white_doubt import DoubtedWhite, with_doubts
from catalog.light.white_evidence import WhiteEstimate
from catalog.light.white_point import estimate_white_point, even_cloth, fuse
from catalog.models import Found, Light, LightHints, Photo
from catalog.system.one_thread import on_one_thread
from catalog.system.second_thread import second_thread

__all__ = ["estimate_light", "join_lights", "without_chart"]

FIELD_GRID_CELLS = 48
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
    view = reduce_photo(photo, found)
    with second_thread() as begin:
        beside = begin(partial(find_patches, view))
        surface, squares = fit_surface(view), rectify_squares(view, found)
        patches = beside()
    chart = chart_light(view, patches, surface)
    if chart is not None:
        view, surface = chart.view, chart.field
        squares = rectify_squares(view, found)  # again: to wait for a chart would cost more
    chosen = select_light(view, squares, surface)
    by_chart = chart.white(chosen.field, chosen.shadow) if chart is not None else None
    paper = paper_white(view, found.page, chosen) if found.page is not None else None

    cloth = even_cloth(view, chosen.field, chosen.shadow)

    def judge(said: LightHints) -> WhiteEstimate:
        told = estimate_white_point(view, found, chosen, cloth, patches, said)
        return fuse(by_chart, told if paper is None else joined(paper, told))

    white = with_doubts(view, chosen.surface, cloth, hints or LightHints(), judge)
    if paper is not None:  # which tells what would be asked
        white = replace(white, question=None)
    return _illumination(view, chosen.field, chosen.shadow, white)


def _illumination(
    view: ReducedView, field: IlluminationField, shadow: ShadowMatte | None, told: DoubtedWhite
) -> Light:
    grid, unevenness = _field(view, field, shadow)
    white = told.white
    return Light(
        tint=white.tint,
        field=grid,
        evidence=white.evidence,
        unevenness=unevenness,
        expected_error=white.expected_error,
        contrast=view.tone.contrast,
        saturation=view.tone.saturation,
        power=view.tone.power,
        mixing=white.mixing,
        tint_doubt=white.tint_doubt,
        level_doubt=white.level_doubt,
        question=told.question,
    )


def _field(
    view: ReducedView, field: IlluminationField, shadow: ShadowMatte | None
) -> tuple[NDArray[np.float32], float]:
    """Return the field over the photo, and how uneven it is over the squares."""
    levels = field.at(view.centres)
    height, width = view.pixels.shape[:2]
    if shadow is None:
        shrink = FIELD_GRID_CELLS / max(height, width)
        shape = (max(2, round(height * shrink)), max(2, round(width * shrink)))
        grid = field_grid(field, view, shape)
    else:
        grid = field_grid(field, view, shadow.share.shape) * shadow.blocked()
        levels = levels * np.exp(np.outer(shadow.at(view, view.centres), shadow.depth))
    grid /= field.at(view.centres).mean(axis=0)
    return grid.astype(np.float32), float((levels.max(axis=0) / levels.min(axis=0)).mean())
