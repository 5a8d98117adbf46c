"""The ends of the sides: cut cloth curls at its corners, and the straight sides don't tell how.

A side is found as one straight line, from which the part next to a corner may stray by a hundredth
of the side. Each end is looked at by itself and moves to where the cloth ends there on average,
held back by how far ends usually stray. What lifts a corner without showing at the sides is added
as the usual amount, seen from where the camera stands.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.boundary_network import MAX_LOG_LIKELIHOOD
from catalog.finding.edges.edge_profile import SEGMENTS, EdgeProfiles, edge_profiles
from catalog.finding.shared_plane import Plane, outward_of, with_ends_moved

Array = NDArray[np.float64]

CURL_IN = 0.03
"""How far the corners of cut cloth stand above the ends of its sides, inches (on the outlines of
the dev photos above the sides: 0.01 to 0.06). Seen from aside they lie beyond them."""
FROM, TO = 0.005, 0.035
"""The part of a side by its corner in which steps of colour are looked for, in sides."""
REACH, STEP = 0.024, 0.002
"""See `edges.look`."""
END_WEIGHT, STRAYING = 2.0, 0.01
"""What a vote of steps counts, as a logarithm of likelihood, beside those of the boundary network
and beside how far ends stray, in sides. Without steps, which are seen nearer to the corner, the
median corner of the dev photos is 0.0178 instead of 0.0160 in, without it the 95th percentile 0.067
instead of 0.061."""


def refine_ends(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    supposed: Array,
    corners: Array,
    surface: NDArray[np.float32],
    evidence: EdgeProfiles,
) -> Array:
    """Corners (n, 4, 2) in the plane, moved to where the ends of their sides are seen.

    Parameters
    ----------
    levels, plane, surface
        See `edges.look`.
    supposed : (n, 4, 2)
        The corners that the evidence was gathered for.
    corners : (n, 4, 2)
        Those of the squares that follow it.
    evidence : EdgeProfiles
        Of `boundary_network.cloth_ends`.
    """
    half = FROM + (TO - FROM) * (np.arange(3 * SEGMENTS) + 0.5) / (3 * SEGMENTS)
    along = np.concatenate([half, 1 - half[::-1]])
    steps = edge_profiles(levels, plane, corners, surface, REACH, STEP, along)
    first, last = (votes.mean(axis=2) for votes in np.split(steps.votes, 2, axis=2))
    moved = _outward_shift(supposed, corners)
    return with_ends_moved(
        corners,
        _mean_offset(evidence, moved, 0, steps.offset, first),
        _mean_offset(evidence, moved, -1, steps.offset, last),
    )


def _outward_shift(supposed: Array, corners: Array) -> tuple[Array, Array]:
    """How far outwards both ends of each side have moved, each (n, 4) in sides."""
    outward = outward_of(supposed)
    length = np.linalg.norm(outward, axis=-1)
    way = corners - supposed
    first = (way * outward).sum(axis=-1) / length
    last = (np.roll(way, -1, axis=1) * outward).sum(axis=-1) / length
    return first, last


def _mean_offset(
    evidence: EdgeProfiles,
    moved: tuple[Array, Array],
    stretch: int,
    offset: Array,
    steps: NDArray[np.float32],
) -> Array:
    """How far outwards of the line the cloth ends by a corner on average, (n, 4) in sides.

    The evidence tells of the sides before they moved, the votes of steps (n, 4, k) of these.
    """
    part = evidence.along[stretch] + 0.5
    line = (1 - part) * moved[0] + part * moved[1]
    boundary = _interpolated(evidence, stretch, line[..., None] + offset)
    belief = MAX_LOG_LIKELIHOOD * boundary + END_WEIGHT * steps - (offset / STRAYING) ** 2 / 2
    belief = np.exp(belief - belief.max(axis=2, keepdims=True))
    mean = (belief * offset).sum(axis=2) / belief.sum(axis=2)
    return np.where(evidence.shown[:, :, stretch], mean, 0.0)


def _interpolated(evidence: EdgeProfiles, stretch: int, offset: Array) -> Array:
    """Votes of a stretch at other offsets (n, 4, k)."""
    step = evidence.offset[1] - evidence.offset[0]
    at = np.clip((offset - evidence.offset[0]) / step, 0, len(evidence.offset) - 1.001)
    low = at.astype(int)
    votes = evidence.votes[:, :, stretch]
    before, after = (np.take_along_axis(votes, low + k, axis=2) for k in (0, 1))
    return np.asarray(before + (at - low) * (after - before))


def with_curl(plane: Plane, corners: Array, side_in: float) -> Array:
    """Corners (n, 4, 2) as if they stood up by the usual amount, still in the plane."""
    below, height = plane.camera()
    curl = CURL_IN / side_in
    return np.asarray(corners + (corners - below) * (curl / (height - curl)))
