"""Where the cloth ends, told by a small network from the bands along the sides of squares.

Steps of colour (`edges.py`) bring squares within a hundredth or two of their sides. What is left is
beyond them: a shadow beside dark cloth is a step as well, pinked teeth end at their tips while the
step lies at their middle, and a print has steps of its own. The network has learnt from drawn cloth
(`training/bands.py`) to tell them apart, if not always: for each stretch of a side it tells how
likely the cloth ends at each place across the band, and how likely its end isn't to be seen there,
because other cloth lies on it or it is beyond the band.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles, band_colours
from catalog.finding.shared_plane import Plane
from catalog.finding.smoothing import softmax
from catalog.finding.surface_colour import bins_of
from catalog.system.shipped_network import network

SEGMENTS = 16
"""Parts of a side that are told of by themselves, from corner to corner."""
ALONG, ACROSS, STEP = 96, 41, 0.0035
"""Samples of a band along the side and across it, and the way between those across, in sides; the
network was trained with these."""
SQUARES_AT_ONCE = 4
"""Squares whose sides are told of at a time: what the network holds meanwhile then stays in the
processor's cache (64 at once take a sixth longer, and 70 MB); always as many, since the network
plans its work anew for another number."""
TEMPERATURE = 1.15
"""What the network's logits are divided by (C. Guo and others, "On calibration of modern neural
networks", ICML 2017): it learnt from another network and is surer than that. 0.85, 1, 1.15 and 1.3
were tried; most corners lie within 1/16 in at this one, with any of 25 photos left out too."""
MIN_LIKELIHOOD = 0.02
"""Likelihood that every place has at least: the network may be wrong."""
MAX_LOG_LIKELIHOOD = float(np.log1p(1 / MIN_LIKELIHOOD))
"""How much more than that a certain place has, natural logarithm."""


def boundary_profiles(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: NDArray[np.float64],
    surface: NDArray[np.float32],
) -> EdgeProfiles:
    """Where the network sees the cloth of squares (n, 4, 2) end.

    The votes are logarithms of how likely the cloth ends at a place, log((p + m) / m) with m the
    `MIN_LIKELIHOOD`, divided by `MAX_LOG_LIKELIHOOD` so that they run from 0 to 1.

    Parameters
    ----------
    levels, plane, surface
        See `edges.look`.
    corners : (n, 4, 2)
        Supposed corners in the plane, clockwise, at most 0.07 sides off.
    """
    along = np.asarray((np.arange(ALONG) + 0.5) / ALONG, np.float64)
    offset = np.asarray((np.arange(ACROSS) - ACROSS // 2) * STEP, np.float64)
    few = band_colours(levels, plane, corners, along, offset, SQUARES_AT_ONCE)
    sides = (pixels.reshape(-1, ALONG, ACROSS, 3) for pixels in few)
    likely = _likelihoods(sides, 4 * len(corners), surface)[..., :ACROSS]
    votes = np.log1p(likely / MIN_LIKELIHOOD) / MAX_LOG_LIKELIHOOD
    votes = votes.reshape(len(corners), 4, SEGMENTS, ACROSS)
    middles = np.asarray((np.arange(SEGMENTS) + 0.5) / SEGMENTS - 0.5, np.float64)
    return EdgeProfiles(offset, middles, votes, np.ones(votes.shape[:3], bool))


def _likelihoods(
    sides: Iterable[NDArray[np.uint8]], count: int, surface: NDArray[np.float32]
) -> NDArray[np.float32]:
    """How likely each place of each stretch of sides is the end, (count, SEGMENTS, ACROSS + 1).

    The last is how likely it isn't to be seen. The pixels (sides, ALONG, ACROSS, 3), of as many at
    a time as the network is shown, go in with how like the surface they are.
    """
    boundary = network("catalog.finding", "boundary")
    logits = np.empty((count, SEGMENTS, ACROSS + 1), np.float32)
    bands = np.zeros((4 * SQUARES_AT_ONCE, 4, ALONG, ACROSS), np.float32)
    first = 0
    for some in sides:
        np.multiply(np.moveaxis(some, -1, 1), np.float32(1 / 127.5), out=bands[: len(some), :3])
        bands[: len(some), :3] -= 1
        bands[: len(some), 3] = surface.take(bins_of(some))
        boundary.setInput(bands)
        logits[first : first + len(some)] = boundary.forward()[: len(some)]
        first += len(some)
    return np.asarray(softmax(logits / np.float32(TEMPERATURE)), np.float32)
