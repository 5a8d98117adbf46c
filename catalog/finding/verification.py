"""Which candidates are squares of cloth, and how sure that is.

Each candidate is judged by what the detector says, by how clearly its sides are seen and by how
well the detector's own outline fits the bundle's plane and size; then by its company: squares of
one size in one plane vouch for each other, and those beside each other in a row or column once
more.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.layout.occlusion import MIN_SHOWN
from catalog.finding.shared_plane import Poses
from catalog.finding.smoothing import logistic

Array = NDArray[np.float64]

SCORE_WEIGHT, SEEN_WEIGHT = 4.0, 5.0
FEW, MANY = 4.0, 16.0
"""Squares that vouch for each other: as few as this need to fit each other tightly."""
MISFIT_OF_FEW, MISFIT_OF_MANY = 0.02, 0.06
"""How far the detector's outline of a real square strays from the plane, root mean square in sides.
Things that are no squares agree on a plane by chance where they are few (0.02 and up on pictures
without squares); among many squares the detector's faults at a strong tilt must pass (0.16)."""
SIZE_SPREAD = 0.1
"""How far the detector's outline strays from the bundle's size (logarithm)."""
BARE, CORNER_WEIGHT = 0.7, 6.0
"""Corners barer than this speak for a round thing (cloth on the dev photos: up to 0.4; stickers
with rounded corners: a few up to 1; coins: 1.2). What is usual in the picture counts for each."""
COMPANY_WEIGHT, COMPANY, CROWD = 1.5, 4.0, 12.0
"""A square in the company of four others is neither helped nor hindered by them, and more than a
dozen help it no further."""
NEIGHBOUR_WEIGHT, BESIDE, ENOUGH = 1.5, 1.0, 3.0
"""A square with one neighbour side to side is neither helped nor hindered by it, and more than
three help it no further."""
MIN_CLEARNESS = 0.35
"""A side seen less clearly than this is taken from the others."""
MAX_GUESSED_CONFIDENCE = 0.89
"""No square with such a side is told with more: of those on drawn layouts 1 in 20 misses an overlap
of 0.8 with the true one, of the others 1 in 500."""
MAX_COVERED_SHARE = 0.25
"""Where more than this part of the squares is covered, all of them count as guessed."""
LOGIT_SHIFT = 0.95
"""Shift of the scale, so that half of the candidates told with 0.5 are squares."""
MIN_CONFIDENCE = 0.5
"""Candidates below this confidence are dropped."""


def confidence(
    scores: Array, seen: Array, told: Poses, bare: Array, beside: NDArray[np.int64]
) -> Array:
    """How sure each candidate is a square, (n,) 0 to 1.

    Parameters
    ----------
    scores : (n,)
        What the detector says, 0 to 1.
    seen : (n, 4)
        How clearly each side is seen, 0 to 1.
    told : Poses
        The detector's own outlines in the fitted plane.
    bare : (n,)
        How much more like the surface the corners are than the middle.
    beside : (n, 4)
        Which squares lie beside each, -1 where none does.
    """
    scores = np.clip(scores, 1e-3, 1 - 1e-3)
    own = SCORE_WEIGHT * np.log(scores / (1 - scores)) + SEEN_WEIGHT * (seen.mean(axis=1) - 0.5)
    own -= 0.5 * (np.minimum(np.abs(np.log(told.side)), 0.3) / SIZE_SPREAD) ** 2
    usual_bare = np.median(bare[scores >= min(0.5, scores.max())])
    own -= CORNER_WEIGHT * np.maximum(np.maximum(bare, usual_bare) - BARE, 0)
    misfit = np.minimum(told.misfit, 0.3)
    squares = logistic(own - 0.5 * (misfit / MISFIT_OF_MANY) ** 2).sum()
    usual = np.interp(squares, (FEW, MANY), (MISFIT_OF_FEW, MISFIT_OF_MANY))
    own -= np.log1p(0.5 * (misfit / usual) ** 2)  # Cauchy: one bad outline alone damns no square
    alone = logistic(own)
    company = np.minimum(alone.sum() - alone, CROWD)
    own += COMPANY_WEIGHT * np.log((company + 0.3) / COMPANY) - LOGIT_SHIFT
    neighbours = np.where(beside >= 0, logistic(own)[beside], 0).sum(axis=1)
    return np.asarray(logistic(own + NEIGHBOUR_WEIGHT * (np.minimum(neighbours, ENOUGH) - BESIDE)))


def with_guesses(sure: Array, seen: Array, shown: Array) -> Array:
    """Confidence (n,) where sides had to be guessed, and where the plane rests on guesses.

    Parameters
    ----------
    sure : (n,)
        Confidence by `confidence`.
    seen, shown : (n, 4)
        How clearly each side is seen, and what part of it no other square covers.
    """
    guessed = seen.min(axis=1) < MIN_CLEARNESS
    if np.mean(shown.min(axis=1) < MIN_SHOWN) > MAX_COVERED_SHARE:
        guessed = np.ones(len(sure), bool)
    return np.where(guessed, np.minimum(sure, MAX_GUESSED_CONFIDENCE), sure)
