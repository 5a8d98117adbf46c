"""The ends of the sides: cut cloth curls at its corners, and the straight sides don't tell how.

A side is found as one straight line, from which the part next to a corner may stray by a hundredth
of the side. Each end is looked at by itself and moves to where the cloth ends there on average,
held back by how far ends usually stray. What lifts a corner without showing at the sides is added
as the usual amount, seen from where the camera stands.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges import Evidence
from catalog.finding.hem import CERTAIN
from catalog.finding.plane import Plane, outward_of, with_ends_moved

Array = NDArray[np.float64]

CURL = 0.03
"""How far the corners of cut cloth stand above the ends of its sides, inches (on the outlines of
the dev photos above the sides: 0.02 to 0.05). Seen from aside they lie beyond them."""
STRAYING = 0.01
"""How far ends stray, in sides."""


def ends(evidence: Evidence, supposed: Array, corners: Array) -> Array:
    """Corners (n, 4, 2) in the plane, moved to where the ends of their sides are seen.

    Parameters
    ----------
    evidence : Evidence
        Of `hem.cloth_ends`.
    supposed : (n, 4, 2)
        The corners that it was gathered for.
    corners : (n, 4, 2)
        Where the sides' lines meet.
    """
    moved = _moved(supposed, corners)
    return with_ends_moved(corners, _strayed(evidence, moved, 0), _strayed(evidence, moved, -1))


def _moved(supposed: Array, corners: Array) -> tuple[Array, Array]:
    """How far outwards both ends of each side have moved, each (n, 4) in sides."""
    outward = outward_of(supposed)
    length = np.linalg.norm(outward, axis=-1)
    way = corners - supposed
    first = (way * outward).sum(axis=-1) / length
    last = (np.roll(way, -1, axis=1) * outward).sum(axis=-1) / length
    return first, last


def _strayed(evidence: Evidence, moved: tuple[Array, Array], stretch: int) -> Array:
    """How far outwards of the line the cloth ends in a stretch on average, (n, 4) in sides."""
    part = evidence.along[stretch] + 0.5
    line = (1 - part) * moved[0] + part * moved[1]
    offset = evidence.offset - line[..., None]
    belief = CERTAIN * evidence.votes[:, :, stretch] - (offset / STRAYING) ** 2 / 2
    belief = np.exp(belief - belief.max(axis=2, keepdims=True))
    mean = (belief * offset).sum(axis=2) / belief.sum(axis=2)
    return np.where(evidence.shown[:, :, stretch], mean, 0.0)


def curled(plane: Plane, corners: Array, side_in: float) -> Array:
    """Corners (n, 4, 2) as if they stood up by the usual amount, still in the plane."""
    below, height = plane.camera()
    curl = CURL / side_in
    return np.asarray(corners + (corners - below) * (curl / (height - curl)))
