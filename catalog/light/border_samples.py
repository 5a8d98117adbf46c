"""The squares laid flat at a coarse scale, and what lies along each one's sides."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.ground_field import Smooth
from catalog.light.reduced_view import View
from catalog.models import Found

Floats = NDArray[np.float64]

SIDE = 24
"""Pixels along a laid square: about 5 to the inch of a 5 in. square."""
MARGIN = 0.06
"""Share of a side left out along each edge."""
BEYOND = 0.13
"""Inches from an outline at which what lies beside the square is read."""
QUANTILES = 12
"""Of a square's colours, by which prints are compared."""
DARK = 0.01
"""Added to linear light before the logarithm, so that noise in black cloth stays small."""


@dataclass(frozen=True, eq=False)
class Laid:
    """Squares laid flat."""

    logs: Floats
    """(n, SIDE, SIDE, 3) natural logarithm of linear light, freed of the light it was laid in."""
    places: Floats
    """(n, SIDE, SIDE, 2) where the laid squares' pixels lie, working px."""
    size: tuple[int, int]
    """Height and width of the working copy."""
    quads: Floats
    """(n, 4, 2) corners, working px."""
    to_flat: tuple[Floats, ...]
    """(3, 3) each: from working px to the laid square's pixels."""
    rims: tuple[Floats, ...]
    """(4 * SIDE, 2) each: points just beyond the sides (top, bottom, left, right), working px."""
    beside: tuple[NDArray[np.intp], ...]
    """(4 * SIDE,) each: the square at each of those points, -1 for none."""


def lay_flat(view: View, found: Found) -> Laid:
    """Lay the squares flat as the photo shows them, as if in even light."""
    import cv2

    height, width = view.pixels.shape[:2]
    inner = np.float32(MARGIN * SIDE)
    box = np.array([[-inner, -inner], [SIDE + inner, -inner]], np.float32)
    flat = np.concatenate([box, SIDE - box])
    quads = [(np.array(one.corners) * view.scale).astype(np.float32) for one in found.squares]
    to_view = [cv2.getPerspectiveTransform(flat, quad) for quad in quads]
    rims, beside = [], []
    for square, matrix in zip(found.squares, to_view, strict=True):
        rim = cv2.perspectiveTransform(_rim(square.width_in, float(inner)), matrix)[:, 0]
        ys = np.clip(rim[:, 1].astype(int), 0, height - 1)
        xs = np.clip(rim[:, 0].astype(int), 0, width - 1)
        beside.append(view.inside[ys, xs].astype(np.intp) - 1)
        rims.append(np.asarray(rim, np.float64))
    light = np.array([_light(view, quad, flat) for quad in quads])
    return Laid(
        np.log(light + DARK).astype(np.float64),
        _places(np.array(to_view)),
        (height, width),
        np.array(quads),
        tuple(np.asarray(cv2.getPerspectiveTransform(quad, flat), np.float64) for quad in quads),
        tuple(rims),
        tuple(beside),
    )


def freed(laid: Laid, view: View, smooth: Smooth) -> Laid:
    """Take a smooth light off squares that were laid as the photo shows them."""
    level = np.log(smooth.at(view.centres).mean(axis=0))
    return replace(laid, logs=laid.logs - np.log(smooth.at(laid.places)) + level)


def colours_of(logs: Floats) -> Floats:
    """Return what colours squares have, wherever on them: quantiles of each channel.

    Parameters
    ----------
    logs : (n, SIDE, SIDE, 3)
        As in `Laid`.

    Returns
    -------
    (n, QUANTILES, 3)
    """
    ranked = np.sort(logs.reshape(len(logs), -1, 3), axis=1)
    places = (np.arange(QUANTILES) + 0.5) / QUANTILES * (ranked.shape[1] - 1)
    low = places.astype(np.intp)
    beyond = (places - low)[:, None]
    return np.asarray(ranked[:, low] + beyond * (ranked[:, low + 1] - ranked[:, low]))


def _light(view: View, quad: NDArray[np.float32], flat: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return linear light of one square laid flat, (SIDE, SIDE, 3)."""
    import cv2

    side = float(np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1).mean())
    fine = max(1, round(side / SIDE))
    size = (SIDE * fine, SIDE * fine)
    to_fine = cv2.getPerspectiveTransform(quad - 0.5, flat * fine - 0.5)
    pixels = cv2.warpPerspective(view.pixels, to_fine, size, flags=cv2.INTER_LINEAR)
    linear = view.tone.linear(np.asarray(pixels, np.uint8))
    return np.asarray(cv2.resize(linear, (SIDE, SIDE), interpolation=cv2.INTER_AREA), np.float32)


def _places(to_view: Floats) -> Floats:
    """Return where the laid squares' pixels lie, (n, SIDE, SIDE, 2), working px."""
    steps = np.arange(SIDE) + 0.5
    mesh = np.stack([*np.meshgrid(steps, steps), np.ones((SIDE, SIDE))]).reshape(3, -1)
    there = (to_view @ mesh).transpose(0, 2, 1)
    return np.asarray(there[..., :2] / there[..., 2:]).reshape(-1, SIDE, SIDE, 2)


def _rim(width_in: float, inner: float) -> NDArray[np.float32]:
    """Return points beyond the four sides, (4 * SIDE, 1, 2), px of the laid square."""
    steps = np.arange(SIDE) + 0.5
    low = np.full(SIDE, -inner - BEYOND / max(width_in, 1.0) * SIDE)
    high = SIDE - low
    sides = [(steps, low), (steps, high), (low, steps), (high, steps)]
    return np.concatenate([np.stack(s, axis=-1) for s in sides])[:, None].astype(np.float32)
