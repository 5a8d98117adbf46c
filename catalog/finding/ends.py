"""The ends of the sides: cut cloth curls at its corners, and the straight sides don't tell how.

A side is found as one straight line, from which the last tenth before a corner may stray by a
hundredth of the side. Each end is looked at by itself and moves to where its steps of colour lie
on average, held back by how far ends usually stray. What lifts a corner without showing at the
sides is added as the usual amount, seen from where the camera stands.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.covered import without_hidden
from catalog.finding.edges import STRETCHES, Evidence, look
from catalog.finding.plane import Plane, with_ends_moved

Array = NDArray[np.float64]

CURL = 0.02
"""How far the corners of cut cloth stand above the ends of its sides, inches (on the outlines of
the dev photos above the sides: 0.02 to 0.05). Seen from aside they lie beyond them."""
FROM, TO = 0.005, 0.125
"""The part of a side by its corner that is looked at, in sides from the corner."""
NEAREST = 2
"""So many of the stretches there, the nearest to the corner, tell its place."""
REACH, STEP, SHARPEN = 0.03, 0.0015, 0.5
"""See `edges.look`."""
SAY, STRAYING = 3.0, 0.012
"""What a vote counts, as a logarithm of likelihood, beside how far ends stray, in sides. On the dev
photos the median corner comes from 0.021 to 0.016 in."""


def ends(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: Array,
    ground: NDArray[np.float32],
    width: float,
    tips: Array,
    up: Array | None,
) -> Array:
    """Corners (n, 4, 2) in the plane, moved to where the ends of their sides are seen.

    Parameters
    ----------
    levels, plane, corners, ground, width
        See `edges.look`.
    tips : (n,)
        How far the tips of pinked teeth reach beyond the edge seen, in sides.
    up : (2,), optional
        See `covered.without_hidden`.
    """
    half = FROM + (TO - FROM) * (np.arange(3 * STRETCHES) + 0.5) / (3 * STRETCHES)
    along = np.concatenate([half, 1 - half[::-1]])
    evidence = look(levels, plane, corners, ground, REACH, STEP, SHARPEN, width, along)
    evidence = without_hidden(evidence, corners, up)
    first = _strayed(evidence, slice(None, NEAREST), tips)
    last = _strayed(evidence, slice(-NEAREST, None), tips)
    return with_ends_moved(corners, first, last)


def _strayed(evidence: Evidence, stretches: slice, tips: Array) -> Array:
    """How far outwards the cloth's edge lies in some stretches on average, (n, 4) in sides."""
    votes, shown = evidence.votes[:, :, stretches], evidence.shown[:, :, stretches]
    offset = evidence.offset + tips[:, None, None]
    belief = SAY * (votes * shown[..., None]).sum(axis=2) - (offset / STRAYING) ** 2 / 2
    belief = np.exp(belief - belief.max(axis=2, keepdims=True))
    mean = (belief * offset).sum(axis=2) / belief.sum(axis=2)
    return np.where(shown.any(axis=2), mean, 0.0)


def curled(plane: Plane, corners: Array, side_in: float) -> Array:
    """Corners (n, 4, 2) as if they stood up by the usual amount, still in the plane."""
    below, height = plane.camera()
    curl = CURL / side_in
    return np.asarray(corners + (corners - below) * (curl / (height - curl)))
