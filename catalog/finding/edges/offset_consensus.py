"""The bundle votes on how far the sides of its squares must move.

The detector knows the middles of the squares well and their size badly, and it errs alike on
neighbours. So squares near each other vote together on how much they grow, and each for itself
on its shift: a print's own lines draw single squares astray, never all of them by one amount.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles

Array = NDArray[np.float64]

DETECTOR_SPREAD = 0.06
"""How far middles of the detector's squares stray, in sides (measured on the dev photos: 0.02)."""
SIZE_SPREAD = 0.015
"""How far one square's width or height leaves its neighbours', in sides."""
NOISE_FLOOR = 0.06
"""Votes this little above the middle of their band are noise."""
NEIGHBOUR_RANGE = 1.6
"""Squares within about this distance, in sides, vote together on their growth."""
FAR_WEIGHT = 0.02
"""What all others together add to that."""
SHIFT_COST, GROWTH_COST, LARGE_COST = 0.1, 0.3, 0.02
"""Votes that a usual shift costs, growth unlike the neighbours', and growth to the band's end."""
BLUR = (0.25, 0.5, 0.25)
"""Weights of a growth and those next to it: without, two false squares beside stickers."""
CLEAR_STRENGTH = 0.25
"""A side with this many votes is clearly seen."""
AXES = ((3, 1), (0, 2))
"""Opposite sides: left and right, top and bottom; side j runs from corner j to the next."""


def consensus_offsets(evidence: EdgeProfiles, weight: Array, middle: Array) -> tuple[Array, Array]:
    """Offsets (n, 4) of the sides and how clearly each is seen there, 0 to 1.

    Parameters
    ----------
    evidence : EdgeProfiles
        Of n squares.
    weight : (n,)
        How much each square counts for the others.
    middle : (n, 2)
        Where they lie, in sides.
    """
    offset = evidence.offset
    votes = evidence.votes.sum(axis=2) / evidence.counted()[..., None]
    votes = np.maximum(votes - np.median(votes, axis=2, keepdims=True) - NOISE_FLOOR, 0)
    gap = np.linalg.norm(middle[:, None] - middle[None], axis=2)
    near = weight * (np.exp(-0.5 * (gap / NEIGHBOUR_RANGE) ** 2) + FAR_WEIGHT)
    both = [_pair_scores(votes[:, pair], offset) for pair in AXES]
    shares = near / near.sum(axis=1, keepdims=True)
    sums = np.arange(2 * len(offset) - 1) - (len(offset) - 1)
    step = offset[1] - offset[0]
    best, clear = np.zeros((len(votes), 4)), np.zeros((len(votes), 4))
    for (first, second), (score, ballot) in zip(AXES, both, strict=True):
        pooled = _blurred(shares @ ballot)
        choice = pooled - LARGE_COST * (sums / len(offset)) ** 2
        growth = sums[np.argmax(choice, axis=1)]
        total = np.add.outer(np.arange(len(offset)), np.arange(len(offset))) - (len(offset) - 1)
        spread = (total - growth[:, None, None]) * step / 2
        place = (
            (score - GROWTH_COST * (spread / SIZE_SPREAD) ** 2)
            .reshape(len(score), -1)
            .argmax(axis=1)
        )
        for side, at in ((first, place // len(offset)), (second, place % len(offset))):
            best[:, side] = offset[at]
            clear[:, side] = np.minimum(votes[np.arange(len(votes)), side, at] / CLEAR_STRENGTH, 1)
    return best, clear


def _blurred(ballot: Array) -> Array:
    """Ballots (n, 2k - 1) in which a growth counts for those next to it."""
    wide = np.pad(ballot, ((0, 0), (1, 1)), mode="edge")
    return np.asarray(BLUR[1] * ballot + BLUR[0] * (wide[:, :-2] + wide[:, 2:]))


def _pair_scores(votes: NDArray[np.float32], offset: Array) -> tuple[Array, Array]:
    """Scores (n, k, k) of two opposite sides' offsets, and (n, 2k - 1) the best for each sum."""
    score = votes[:, 0, :, None] + votes[:, 1, None, :]
    shift = (offset[None, :] - offset[:, None]) / 2
    score = score - SHIFT_COST * (shift / DETECTOR_SPREAD) ** 2
    total = np.add.outer(np.arange(len(offset)), np.arange(len(offset)))
    best = [score[:, total == s].max(axis=1) for s in range(2 * len(offset) - 1)]
    return score, np.stack(best, axis=1)
