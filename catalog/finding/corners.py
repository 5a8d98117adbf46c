"""From rough squares to exact corners, by what the photo shows along their sides.

The eye knows the middles of the squares well and their size badly, and it errs alike on all of
them. So the bundle votes first on how much all squares must grow, then each square is moved,
turned and (a little) resized to the edges seen, the plane is fitted again, and the look is
repeated with a narrower band and a finer step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import Evidence, look
from catalog.finding.plane import Plane, Poses, fit_plane, poses_of

Array = NDArray[np.float64]

COARSE = ((0.12, 0.006), (0.08, 0.005), (0.05, 0.005))
FINE = ((0.035, 0.0025), (0.018, 0.0015))
"""Reach and step of each look, in sides: 0.005 is 1/40 in on a 5 in square."""
SHARPEN = 0.5
"""See ``edges.look``: only once the band holds little but the edge."""
LEAST_BAND = 6.0
"""No band is narrower to each side than this, px: an edge is blurred over two or three."""
STRAY = 0.06
"""How far middles of the eye's squares stray, in sides (measured on the dev photos: 0.02)."""
UNEVEN = 0.015
"""How far one square's width or height leaves the bundle's, in sides."""
FLAT = 0.06
"""Votes this little above the middle of their band are noise."""
NEAR = 1.6
"""Squares within about this distance, in sides, vote together on their growth."""
FAR_SAY = 0.02
"""What all others together add to that."""
OTHER_AXIS = 0.3
"""What the growth of the other axis says about this one's."""
CLEAR = 0.25
"""A side whose best line stands out by this much is clearly seen."""
TILT = np.linspace(-0.03, 0.03, 13)
"""Turns of a side tried, radians."""
AXES = ((3, 1), (0, 2))
"""Opposite sides: left and right, top and bottom; side j runs from corner j to the next."""


@dataclass(frozen=True, eq=False)
class Refined:
    """Squares with their corners as the photo shows them."""

    plane: Plane
    corners: Array
    """(n, 4, 2) in the plane, clockwise."""
    seen: Array
    """(n, 4) how clearly each side is seen, 0 to 1."""


def refine(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    poses: Poses,
    ground: NDArray[np.float32],
    weight: Array,
) -> Refined:
    """Move the squares' sides to the edges that the photo shows.

    Parameters
    ----------
    levels : list of (height, width, 3) uint8
        The photo, then halves of it.
    plane, poses
        Where the squares are supposed to lie.
    ground : (32, 32, 32) float32
        How like the ground a colour is.
    weight : (n,)
        How much each square counts in the fit of the plane.
    """
    shape = levels[0].shape
    corners = poses.corners()
    seen = np.zeros((len(corners), 4))
    pixel = 1 / _side_px(plane, corners)
    for reach, step in COARSE:
        evidence = look(levels, plane, corners, ground, reach, max(step, pixel / 2), 0.0)
        offset, clear = _vote(evidence, weight, corners.mean(axis=1))
        known = _by_corner(clear)
        plane, corners = _refit(plane, _grown(corners, offset), weight[:, None] * known, shape)
        corners = poses_of(corners, known).corners()
    for reach, step in FINE:
        band = max(reach, LEAST_BAND * pixel), max(step, pixel / 2)
        evidence = look(levels, plane, corners, ground, *band, SHARPEN)
        offset, tilt, seen = _lines(evidence)
        corners = _settled(corners, offset, tilt, seen)
        plane, corners = _refit(plane, corners, weight[:, None] * _by_corner(seen), shape)
    return Refined(plane, corners, seen)


def _side_px(plane: Plane, corners: Array) -> float:
    quads = plane.to_photo(corners)
    return float(np.median(np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=-1)))


def _by_corner(seen: Array) -> Array:
    """How well each corner (n, 4) is known: both its sides must be seen."""
    return seen * np.roll(seen, 1, axis=1)


def _refit(
    plane: Plane, corners: Array, weight: Array, shape: tuple[int, ...]
) -> tuple[Plane, Array]:
    quads = plane.to_photo(corners)
    plane = fit_plane(quads, weight, shape, error=0.01)
    return plane, plane.to_plane(quads)


def _vote(evidence: Evidence, weight: Array, middle: Array) -> tuple[Array, Array]:
    """Offsets (n, 4) of the sides and how clearly each is seen there.

    Squares near each other vote together on how much they grow, each for itself on its shift:
    the eye errs alike on neighbours. A side that shows nothing leaves the growth to the other
    axis.
    """
    offset = evidence.offset
    votes = evidence.votes.mean(axis=2)
    votes = np.maximum(votes - np.median(votes, axis=2, keepdims=True) - FLAT, 0)
    gap = np.linalg.norm(middle[:, None] - middle[None], axis=2)
    near = weight * (np.exp(-0.5 * (gap / NEAR) ** 2) + FAR_SAY)
    both = [_ballot(votes[:, pair], offset) for pair in AXES]
    shares = near / near.sum(axis=1, keepdims=True)
    ballots = [_smooth(shares @ ballot) for _, ballot in both]
    sums = np.arange(2 * len(offset) - 1) - (len(offset) - 1)
    step = offset[1] - offset[0]
    best, clear = np.zeros((len(votes), 4)), np.zeros((len(votes), 4))
    for (first, second), (score, _), own, other in zip(
        AXES, both, ballots, ballots[::-1], strict=True
    ):
        choice = own + OTHER_AXIS * other - 0.02 * (sums / len(offset)) ** 2
        growth = sums[np.argmax(choice, axis=1)]
        total = np.add.outer(np.arange(len(offset)), np.arange(len(offset))) - (len(offset) - 1)
        spread = (total - growth[:, None, None]) * step / 2
        place = (score - 0.3 * (spread / UNEVEN) ** 2).reshape(len(score), -1).argmax(axis=1)
        for side, at in ((first, place // len(offset)), (second, place % len(offset))):
            best[:, side] = offset[at]
            clear[:, side] = np.minimum(votes[np.arange(len(votes)), side, at] / CLEAR, 1)
    return best, clear


def _ballot(votes: NDArray[np.float32], offset: Array) -> tuple[Array, Array]:
    """Scores (n, k, k) of two opposite sides' offsets, and (n, 2k - 1) the best for each sum."""
    score = votes[:, 0, :, None] + votes[:, 1, None, :]
    shift = (offset[None, :] - offset[:, None]) / 2
    score = score - 0.05 * (shift / STRAY) ** 2
    total = np.add.outer(np.arange(len(offset)), np.arange(len(offset)))
    best = [score[:, total == s].max(axis=1) for s in range(2 * len(offset) - 1)]
    return score, np.stack(best, axis=1)


def _smooth(ballot: Array) -> Array:
    padded = np.pad(ballot, ((0, 0), (1, 1)), mode="edge")
    return np.asarray(padded[:, :-2] / 4 + padded[:, 1:-1] / 2 + padded[:, 2:] / 4)


def _grown(corners: Array, offset: Array) -> Array:
    """Squares whose sides are moved outwards by ``offset`` (n, 4), in their own axes."""
    return _moved(corners, offset, np.zeros_like(offset))


def _moved(corners: Array, offset: Array, tilt: Array) -> Array:
    """Corners where the moved and tilted sides meet.

    A side's line passes ``offset`` outside the old side's middle and is turned by ``tilt``,
    positive where it leaves outwards towards the side's end.
    """
    side = np.roll(corners, -1, axis=1) - corners
    length = np.linalg.norm(side, axis=-1, keepdims=True)
    way = side / length
    outward = np.stack([way[..., 1], -way[..., 0]], axis=-1)
    middle = corners + side / 2 + offset[..., None] * length * outward
    way = way + tilt[..., None] * outward
    before, way_before = np.roll(middle, 1, axis=1), np.roll(way, 1, axis=1)
    gap = middle - before
    cross = way_before[..., 0] * way[..., 1] - way_before[..., 1] * way[..., 0]
    along = (gap[..., 0] * way[..., 1] - gap[..., 1] * way[..., 0]) / cross
    return np.asarray(before + along[..., None] * way_before)


def _lines(evidence: Evidence) -> tuple[Array, Array, Array]:
    """Best line of each side: offset, tilt and how clearly it stands out, each (n, 4)."""
    votes, offset = evidence.votes, evidence.offset
    count, step = len(offset), offset[1] - offset[0]
    prior = -0.15 * (offset / offset[-1]) ** 2
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
    weighed = score + prior - 0.1 * (TILT[:, None] / TILT[-1]) ** 2
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


def _settled(corners: Array, offset: Array, tilt: Array, seen: Array) -> Array:
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
    width, height = _sizes(corners)
    ridge = np.diag([1e-4, 1e-4, 1e-4, 1 / UNEVEN**2, 1 / UNEVEN**2])
    pull = np.zeros((n, 5))
    pull[:, 3], pull[:, 4] = (1 - width) / UNEVEN**2, (1 - height) / UNEVEN**2
    unknown = np.zeros((n, 5))
    weight = np.where(seen > 0.3, seen, 0.01) ** 2
    for _ in range(3):
        off = offset - unknown @ rows.T
        slant = tilt + unknown[:, 2:3]
        w = weight / (0.004**2 + off**2)
        v = weight / (0.01**2 + slant**2) / 4
        matrix = np.einsum("nj,ja,jb->nab", w, rows, rows) + ridge
        matrix += v.sum(axis=1)[:, None, None] * np.outer(turn_row, turn_row)
        right = np.einsum("nj,nj,ja->na", w, offset, rows) + pull
        right -= (v * tilt).sum(axis=1)[:, None] * turn_row
        unknown = np.linalg.solve(matrix, right[..., None])[..., 0]
    return _rectangles(own, width + unknown[:, 3], height + unknown[:, 4], unknown)


def _sizes(corners: Array) -> tuple[Array, Array]:
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
