"""The line that each side follows, and the square that four such lines agree on.

A side is a straight line through whatever the cloth's edge does, pinked teeth too: the stretches
along it vote for an offset and a turn together (a Hough transform of two unknowns; Duda and Hart,
Communications of the ACM 15, 1972). The square then follows its lines by robust least squares, so
that a line which the three others contradict counts little.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles
from catalog.finding.edges.offset_consensus import AXES
from catalog.finding.shared_plane import Poses, poses_of, with_ends_moved

Array = NDArray[np.float64]

CLEAR_LEAD = 0.25
"""A side whose best line stands out by this much is clearly seen."""
TILTS = np.linspace(-0.03, 0.03, 13)
"""Turns of a side tried, radians."""
TILT_COST = 0.1
"""Votes that the largest turn costs."""
TILT_SPREAD = 0.01
"""Usual error of a turn, radians."""
PLAIN, ASTRAY = 0.5, 0.02
"""A side seen this clearly turns towards what its own line asks for, unless the line lies further
off than this, in sides; and it is measured, if as much of it is shown."""
MIN_CLEARNESS = 0.3
"""Sides seen less clearly than this say nothing."""


@dataclass(frozen=True)
class SquarePrior:
    """What lines and squares are held by while they follow the evidence."""

    far_cost: float
    """Votes that the end of the band costs."""
    spread: float
    """Usual error of an offset, in sides."""
    uneven: float
    """How far a square's size leaves the one that it is held to, in sides."""
    oblong: float
    """How far its width leaves its height."""
    own_slant: float
    """Part of the turn that a side's own line asks for which the side follows."""


STEP_PRIOR = SquarePrior(0.15, 0.004, 0.008, 0.008, 0.7)
"""For steps of colour."""


def fit_lines(evidence: EdgeProfiles, hold: SquarePrior = STEP_PRIOR) -> tuple[Array, Array, Array]:
    """Best line of each side: offset, tilt and how clearly it stands out, each (n, 4)."""
    offset = evidence.offset
    step = offset[1] - offset[0]
    shown = evidence.counted()[..., None, None].astype(np.float32)
    prior = -hold.far_cost * (offset / offset[-1]) ** 2
    score = _scores_along(evidence.votes, TILTS[:, None] * evidence.along / step) / shown
    weighed = score + prior - TILT_COST * (TILTS[:, None] / TILTS[-1]) ** 2
    best = weighed.max(axis=3).argmax(axis=2)
    turn = TILTS[best] + (TILTS[1] - TILTS[0]) * _parabola_peak(weighed.max(axis=3), best)
    curve = np.take_along_axis(score, best[..., None, None], 2)[:, :, 0]
    at = np.take_along_axis(weighed, best[..., None, None], 2)[:, :, 0].argmax(axis=2)
    peak = np.take_along_axis(curve, at[..., None], 2)[..., 0]
    clear = np.clip((peak - np.median(curve, axis=2)) / CLEAR_LEAD, 0, 1)
    return offset[at] + step * _parabola_peak(curve, at), turn, clear.astype(np.float64)


def line_scores(evidence: EdgeProfiles) -> Array:
    """What the best line of each side through each offset scores, (n, 4, k)."""
    step = evidence.offset[1] - evidence.offset[0]
    shown = evidence.counted()[..., None, None].astype(np.float32)
    score = _scores_along(evidence.votes, TILTS[:, None] * evidence.along / step) / shown
    weighed = score - TILT_COST * (TILTS[:, None] / TILTS[-1]) ** 2
    return np.asarray(weighed.max(axis=2), np.float64)


def _scores_along(votes: NDArray[np.float32], shift: Array) -> NDArray[np.float32]:
    """Votes (n, 4, stretches, k) along m lines: (n, 4, m, k), each stretch shifted (m, stretches).

    One product with a matrix does for all lines, and takes a fifth of the time of one after the
    other.
    """
    many, stretches = shift.shape
    count = votes.shape[3]
    at = np.arange(count) + shift[..., None]
    low = np.clip(np.floor(at).astype(np.int64), 0, count - 2)
    part = np.clip(at - low, 0, 1).astype(np.float32)
    line, stretch, place = np.ogrid[:many, :stretches, :count]
    share = np.zeros((stretches, count, many, count), np.float32)
    share[stretch, low, line, place] = 1 - part
    share[stretch, low + 1, line, place] += part
    flat = votes.reshape(-1, stretches * count) @ share.reshape(stretches * count, -1)
    return np.asarray(flat.reshape(*votes.shape[:2], many, count))


def _parabola_peak(curve: NDArray[np.float32], at: NDArray[np.int64]) -> Array:
    """Where between samples the parabola through three of them peaks, -0.5 to 0.5."""
    inner = np.clip(at, 1, curve.shape[2] - 2)
    left, middle, right = (
        np.take_along_axis(curve, (inner + k)[..., None], 2)[..., 0] for k in (-1, 0, 1)
    )
    bow = left - 2 * middle + right
    summit = np.where(bow < 0, (left - right) / np.where(bow < 0, 2 * bow, 1), 0.0)
    return np.where(inner == at, np.clip(summit, -0.5, 0.5), 0.0).astype(np.float64)


def robust_squares(
    corners: Array,
    offset: Array,
    tilt: Array,
    seen: Array,
    hold: SquarePrior = STEP_PRIOR,
    usual: Array | float = 1.0,
) -> Array:
    """Squares moved to their lines, where a line that the others contradict counts little.

    Unknown for each square: shift, turn and growth of width and height, the last two held near
    a side. Least squares, reweighted three times (Cauchy weights).

    Parameters
    ----------
    corners : (n, 4, 2)
        Squares in the plane.
    offset, tilt, seen : (n, 4)
        Their sides' lines, see `fit_lines`.
    hold : SquarePrior
        How firmly they keep to a size, and their sides to one another.
    usual : (n,) or float
        The size that each is held to, where 1 is the bundle's. Offsets are in sides of that.
    """
    held = np.reshape(usual, (-1, 1, 1)) * np.ones((len(corners), 1, 1))
    return np.asarray(held * _of_side_one(corners / held, offset, tilt, seen, hold))


def _of_side_one(
    corners: Array, offset: Array, tilt: Array, seen: Array, hold: SquarePrior
) -> Array:
    """See `robust_squares`; squares held to side 1."""
    n = len(corners)
    rows = np.zeros((4, 5))
    for j, (dx, dy) in enumerate(((0, -1), (1, 0), (0, 1), (-1, 0))):
        rows[j] = dx, dy, 0, 0.5 * abs(dx), 0.5 * abs(dy)
    turn_row = np.array([0, 0, 1.0, 0, 0])
    own = poses_of(corners)
    width, height = sizes(corners)
    unknown = np.zeros((n, 5))
    weight = np.where(seen > MIN_CLEARNESS, seen, 0.01) ** 2
    loose = 0.0
    for _ in range(4):
        off = offset - unknown @ rows.T
        slant = tilt + unknown[:, 2:3]
        w = weight / (hold.spread**2 + loose * off**2)
        v = weight / (TILT_SPREAD**2 + loose * slant**2) / 4
        matrix = np.einsum("nj,ja,jb->nab", w, rows, rows) + 1e-4 * np.eye(5)
        matrix += v.sum(axis=1)[:, None, None] * np.outer(turn_row, turn_row)
        right = np.einsum("nj,nj,ja->na", w, offset, rows)
        right -= (v * tilt).sum(axis=1)[:, None] * turn_row
        for row, told, far in (
            (np.array([0, 0, 0, 0.5, 0.5]), 1 - (width + height) / 2, hold.uneven),
            (np.array([0, 0, 0, 1.0, -1.0]), height - width, hold.oblong),
        ):
            u = 1 / (far**2 + loose * (told - unknown @ row) ** 2)
            matrix += u[:, None, None] * np.outer(row, row)
            right += (u * told)[:, None] * row
        unknown = np.linalg.solve(matrix, right[..., None])[..., 0]
        loose = 1.0
    square = _rectangles(own, width + unknown[:, 3], height + unknown[:, 4], unknown)
    return _slanted(square, offset - unknown @ rows.T, tilt + unknown[:, 2:3], seen, hold.own_slant)


def _slanted(corners: Array, left: Array, slant: Array, seen: Array, follow: float) -> Array:
    """Quadrilaterals whose sides turn about their middles towards the lines seen.

    ``left`` and ``slant`` (n, 4) are what of the lines' offsets and turns the rectangles don't
    follow: cloth is not cut true nor does it lie flat.
    """
    trust = np.where(seen > PLAIN, follow, 0.0) / (1 + (left / ASTRAY) ** 2)
    end = trust * slant / 2
    return with_ends_moved(corners, -end, end)


def sizes(corners: Array) -> tuple[Array, Array]:
    """Width and height, each (n,), of quadrilaterals (n, 4, 2): means of opposite sides."""
    length = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=-1)
    return length[:, [0, 2]].mean(axis=1), length[:, [1, 3]].mean(axis=1)


def sides_measured(seen: Array, shown: Array) -> NDArray[np.bool_]:
    """Whether both sides of a square's width and height, (n, 2), are seen and shown (n, 4)."""
    clear = (seen > PLAIN) & (shown > PLAIN)
    return np.stack([clear[:, pair].all(axis=1) for pair in AXES], axis=1)


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
