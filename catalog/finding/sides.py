"""The line that each side follows, and the square that four such lines agree on.

A side is a straight line through whatever the cloth's edge does, pinked teeth too: the stretches
along it vote for an offset and a turn together (a Hough transform of two unknowns; Duda and Hart,
Communications of the ACM 15, 1972). The square then follows its lines by robust least squares, so
that a line which the three others contradict counts little.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import Evidence
from catalog.finding.plane import Poses, poses_of

Array = NDArray[np.float64]

CLEAR = 0.25
"""A side whose best line stands out by this much is clearly seen."""
TILT = np.linspace(-0.03, 0.03, 13)
"""Turns of a side tried, radians."""
FAR_COST, TILT_COST = 0.15, 0.1
"""Votes that the end of the band and the largest turn cost."""
UNEVEN = 0.015
"""How far one square's width or height leaves the bundle's, in sides."""
SPREAD, TILT_SPREAD = 0.004, 0.01
"""Usual error of an offset, in sides, and of a turn, radians."""
FAINT = 0.3
"""Sides seen less clearly than this say nothing."""


def lines(evidence: Evidence) -> tuple[Array, Array, Array]:
    """Best line of each side: offset, tilt and how clearly it stands out, each (n, 4)."""
    votes, offset = evidence.votes, evidence.offset
    count, step = len(offset), offset[1] - offset[0]
    prior = -FAR_COST * (offset / offset[-1]) ** 2
    scores = []
    for tilt in TILT:
        at = np.arange(count) + (tilt * evidence.along / step)[:, None]
        low = np.clip(np.floor(at).astype(int), 0, count - 2)
        part = np.clip(at - low, 0, 1).astype(np.float32)
        index = np.broadcast_to(low, (*votes.shape[:2], *low.shape))
        value = np.take_along_axis(votes, index, 3) * (1 - part)
        value += np.take_along_axis(votes, index + 1, 3) * part
        scores.append(value.mean(axis=2))
    score = np.stack(scores, axis=2)
    weighed = score + prior - TILT_COST * (TILT[:, None] / TILT[-1]) ** 2
    place = weighed.reshape(*weighed.shape[:2], -1).argmax(axis=2)
    turn, at = place // count, place % count
    curve = np.take_along_axis(score, turn[..., None, None], 2)[:, :, 0]
    peak = np.take_along_axis(curve, at[..., None], 2)[..., 0]
    clear = np.clip((peak - np.median(curve, axis=2)) / CLEAR, 0, 1)
    return offset[at] + step * _summit(curve, at), TILT[turn], clear.astype(np.float64)


def _summit(curve: NDArray[np.float32], at: NDArray[np.int64]) -> Array:
    """Where between samples the parabola through three of them peaks, -0.5 to 0.5."""
    inner = np.clip(at, 1, curve.shape[2] - 2)
    left, middle, right = (
        np.take_along_axis(curve, (inner + k)[..., None], 2)[..., 0] for k in (-1, 0, 1)
    )
    bow = left - 2 * middle + right
    summit = np.where(bow < 0, (left - right) / np.where(bow < 0, 2 * bow, 1), 0.0)
    return np.where(inner == at, np.clip(summit, -0.5, 0.5), 0.0).astype(np.float64)


def settled(corners: Array, offset: Array, tilt: Array, seen: Array) -> Array:
    """Squares moved to their lines, where a line that the others contradict counts little.

    Unknown for each square: shift, turn and growth of width and height, the last two held near
    the bundle's size. Least squares, reweighted three times (Cauchy weights).
    """
    n = len(corners)
    rows = np.zeros((4, 5))
    for j, (dx, dy) in enumerate(((0, -1), (1, 0), (0, 1), (-1, 0))):
        rows[j] = dx, dy, 0, 0.5 * abs(dx), 0.5 * abs(dy)
    turn_row = np.array([0, 0, 1.0, 0, 0])
    own = poses_of(corners)
    width, height = sizes(corners)
    ridge = np.diag([1e-4, 1e-4, 1e-4, 1 / UNEVEN**2, 1 / UNEVEN**2])
    pull = np.zeros((n, 5))
    pull[:, 3], pull[:, 4] = (1 - width) / UNEVEN**2, (1 - height) / UNEVEN**2
    unknown = np.zeros((n, 5))
    weight = np.where(seen > FAINT, seen, 0.01) ** 2
    for _ in range(3):
        off = offset - unknown @ rows.T
        slant = tilt + unknown[:, 2:3]
        w = weight / (SPREAD**2 + off**2)
        v = weight / (TILT_SPREAD**2 + slant**2) / 4
        matrix = np.einsum("nj,ja,jb->nab", w, rows, rows) + ridge
        matrix += v.sum(axis=1)[:, None, None] * np.outer(turn_row, turn_row)
        right = np.einsum("nj,nj,ja->na", w, offset, rows) + pull
        right -= (v * tilt).sum(axis=1)[:, None] * turn_row
        unknown = np.linalg.solve(matrix, right[..., None])[..., 0]
    return _rectangles(own, width + unknown[:, 3], height + unknown[:, 4], unknown)


def sizes(corners: Array) -> tuple[Array, Array]:
    """Width and height, each (n,), of quadrilaterals (n, 4, 2): means of opposite sides."""
    length = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=-1)
    return length[:, [0, 2]].mean(axis=1), length[:, [1, 3]].mean(axis=1)


def _rectangles(own: Poses, width: Array, height: Array, unknown: Array) -> Array:
    """Corners of turned rectangles; shifts are in each square's own axes."""
    cos, sin = np.cos(own.turn), np.sin(own.turn)
    shift = np.stack(
        [cos * unknown[:, 0] - sin * unknown[:, 1], sin * unknown[:, 0] + cos * unknown[:, 1]], -1
    )
    moved = Poses(own.middle + shift, own.turn + unknown[:, 2], own.side, own.misfit)
    arm = moved.corners() - moved.middle[:, None]
    across = (arm[:, 1] - arm[:, 0]) / 2 * width[:, None]
    down = (arm[:, 3] - arm[:, 0]) / 2 * height[:, None]
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return np.stack([moved.middle + x * across + y * down for x, y in signs], axis=1)
