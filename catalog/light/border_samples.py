"""The squares laid flat at a coarse scale, and what lies along each one's sides."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.surface_field import IlluminationField, even_field
from catalog.light.reduced_view import ReducedView
from catalog.models import Found, mean_side

Floats = NDArray[np.float64]

RECTIFIED_PX = 24
"""Pixels along a laid square: about 5 to the inch of a 5 in. square."""
EDGE_MARGIN = 0.06
"""Share of a side left out along each edge."""
BORDER_DISTANCES_IN = (0.13, 0.24)
"""Inches from an outline at which what lies beside the square is read, at the second where the
first falls on a neighbour's margin, `OUTLINE_MARGIN_IN`, as in rows a tenth of an inch apart."""
COLOUR_QUANTILES = 12
"""Of a square's colours, by which prints are compared."""
LOG_FLOOR = 0.01
"""Added to linear light before the logarithm, so that noise in black cloth stays small."""


@dataclass(frozen=True, eq=False)
class RectifiedSquares:
    """Squares laid flat."""

    logs: Floats
    """(n, SIDE, SIDE, 3) natural logarithm of linear light, freed of the light it was laid in."""
    places: Floats
    """(n, SIDE, SIDE, 2) where the laid squares' pixels lie, working px."""
    terms: Floats
    """(n, SIDE, SIDE, terms) of any smooth light over the view, there."""
    size: tuple[int, int]
    """Height and width of the working copy."""
    quads: Floats
    """(n, 4, 2) corners, working px."""
    to_flat: tuple[Floats, ...]
    """(3, 3) each: from working px to the laid square's pixels."""
    rims: Floats
    """(n, 4 * SIDE, 2) points just beyond the sides (top, bottom, left, right), working px."""
    beside: NDArray[np.intp]
    """(n, 4 * SIDE) the square at each of those points, -1 for none."""


def rectify_squares(view: ReducedView, found: Found) -> RectifiedSquares:
    """Lay the squares flat as the photo shows them, as if in even light."""
    import cv2

    height, width = view.pixels.shape[:2]
    inner = np.float32(EDGE_MARGIN * RECTIFIED_PX)
    box = np.array([[-inner, -inner], [RECTIFIED_PX + inner, -inner]], np.float32)
    flat = np.concatenate([box, RECTIFIED_PX - box])
    quads = [(np.array(one.corners) * view.scale).astype(np.float32) for one in found.squares]
    to_view = [cv2.getPerspectiveTransform(flat, quad) for quad in quads]
    widths = np.array([one.width_in for one in found.squares])
    lines = (_border_points(off, widths, float(inner)) for off in BORDER_DISTANCES_IN)
    rims, beside = _beside(view, [_projected(one, np.array(to_view)) for one in lines])
    light = np.array([_light(view, quad, flat) for quad in quads])
    places = _places(np.array(to_view))
    return RectifiedSquares(
        np.log(light + LOG_FLOOR).astype(np.float64),
        places,
        even_field(view).terms_at(places),
        (height, width),
        np.array(quads),
        tuple(np.asarray(cv2.getPerspectiveTransform(quad, flat), np.float64) for quad in quads),
        rims,
        beside,
    )


def without_field(
    rectified: RectifiedSquares, view: ReducedView, field: IlluminationField
) -> RectifiedSquares:
    """Take a smooth light off squares that were laid as the photo shows them."""
    level = np.log(field.at(view.centres).mean(axis=0))
    return replace(rectified, logs=rectified.logs - (rectified.terms @ field.coefficients - level))


def channels_of(logs: Floats) -> Floats:
    """Return squares' logarithms, (n, SIDE, SIDE, 3), channel by channel, (n, 3, SIDE * SIDE)."""
    return np.ascontiguousarray(logs.reshape(len(logs), -1, 3).transpose(0, 2, 1))


def colour_quantiles(logs: Floats) -> Floats:
    """Return what colours squares have, wherever on them: quantiles of each channel.

    Parameters
    ----------
    logs : (n, 3, SIDE * SIDE)
        As `channels_of` gives them.

    Returns
    -------
    (n, 3, QUANTILES)
    """
    ranked = np.sort(logs, axis=2)
    places = (np.arange(COLOUR_QUANTILES) + 0.5) / COLOUR_QUANTILES * (ranked.shape[2] - 1)
    low = places.astype(np.intp)
    below = ranked[..., low]
    return np.asarray(below + (places - low) * (ranked[..., low + 1] - below))


def _light(
    view: ReducedView, quad: NDArray[np.float32], flat: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return linear light of one square laid flat, (SIDE, SIDE, 3)."""
    import cv2

    fine = max(1, round(mean_side(quad) / RECTIFIED_PX))
    size = (RECTIFIED_PX * fine, RECTIFIED_PX * fine)
    to_fine = cv2.getPerspectiveTransform(quad - 0.5, flat * fine - 0.5)
    pixels = cv2.warpPerspective(view.pixels, to_fine, size, flags=cv2.INTER_LINEAR)
    linear = view.tone.linear(np.asarray(pixels, np.uint8))
    return np.asarray(
        cv2.resize(linear, (RECTIFIED_PX, RECTIFIED_PX), interpolation=cv2.INTER_AREA), np.float32
    )


def _places(to_view: Floats) -> Floats:
    """Return where the laid squares' pixels lie, (n, SIDE, SIDE, 2), working px."""
    steps = np.arange(RECTIFIED_PX) + 0.5
    mesh = np.stack([*np.meshgrid(steps, steps), np.ones((RECTIFIED_PX, RECTIFIED_PX))]).reshape(
        3, -1
    )
    there = (to_view @ mesh).transpose(0, 2, 1)
    return np.asarray(there[..., :2] / there[..., 2:]).reshape(-1, RECTIFIED_PX, RECTIFIED_PX, 2)


def _projected(points: Floats, to_view: Floats) -> Floats:
    """Return points (n, m, 2) of n laid squares in working px, by what takes each there."""
    there = points @ to_view[:, :2, :2].mT + to_view[:, None, :2, 2]
    return np.asarray(there / (points @ to_view[:, 2, :2, None] + to_view[:, 2:, 2:]))


def _beside(view: ReducedView, lines: list[Floats]) -> tuple[Floats, NDArray[np.intp]]:
    """Choose of points ever further off n squares, (n, m, 2), the first that tell what is there.

    Returns
    -------
    points : (n, m, 2)
        Working px.
    number : (n, m)
        Of the square there, -1 for none.
    """
    height, width = view.inside.shape
    points, number = lines[0], np.full(lines[0].shape[:2], -1)
    for line in reversed(lines):
        ys, xs = line[..., 1].clip(0, height - 1), line[..., 0].clip(0, width - 1)
        at = ys.astype(np.intp), xs.astype(np.intp)
        tells = (view.inside[at] > 0) | (view.outside[at] > 0)
        points = np.where(tells[..., None], line, points)
        number = np.where(tells, view.inside[at].astype(np.intp) - 1, number)
    return points, number


def _border_points(distance_in: float, widths_in: Floats, inner: float) -> Floats:
    """Return points beyond the four sides of n squares, (n, 4 * SIDE, 2), px of the laid square."""
    steps = np.broadcast_to(np.arange(RECTIFIED_PX) + 0.5, (len(widths_in), RECTIFIED_PX))
    off = -inner - distance_in / np.maximum(widths_in, 1.0) * RECTIFIED_PX
    low = np.broadcast_to(off[:, None], steps.shape)
    high = RECTIFIED_PX - low
    sides = [(steps, low), (steps, high), (low, steps), (high, steps)]
    return np.concatenate([np.stack(side, axis=-1) for side in sides], axis=1)
