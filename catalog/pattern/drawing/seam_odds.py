"""From what is seen along a short seam to the odds that it is one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

if TYPE_CHECKING:
    import numpy as np

WEIGHTS: Final = (1.87, 5.86, 1.92, 2.69, 7.71, -0.68, 0.04)
"""Of what `seam_evidence.evidence_of` gives, in its order: a logistic regression on the short seams
of drawings that the tests make (`tests/bench/block_drawings.py --fit` prints it anew)."""
BIAS: Final = -3.93


STEP: Final = 0.6
"""Step of colour, as evidence has it, above which two triangles are surely of two cloths."""
NO_STEP: Final = 0.3
"""Step below which they may be of one."""
NO_LINE: Final = 0.25
"""Of the line's evidence where colours change, the most that a drawing without lines has."""
UNSEEN_ODDS: Final = -1.0
"""Of a short seam between patches of one colour in such a drawing (choice of ours: of two patches
that can't be told apart most are one)."""
_LINE, _COLOUR = 0, 4


def odds_of(evidence: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the logarithm of the odds that each short seam is one.

    Parameters
    ----------
    evidence : (n, 7) float64
        As from `evidence_of`.
    """
    import numpy as np

    odds = np.asarray(evidence @ np.array(WEIGHTS) + BIAS)
    if is_lined(evidence):
        return odds
    unseen = (evidence[:, _COLOUR] < NO_STEP) & (evidence[:, _LINE] < NO_STEP)
    return np.where(unseen, np.maximum(odds, UNSEEN_ODDS), odds)


def is_lined(evidence: NDArray[np.float64]) -> bool:
    """Say whether a drawing has lines where its patches meet, not only steps of colour."""
    import numpy as np

    steps = evidence[evidence[:, _COLOUR] > STEP]
    return len(steps) == 0 or bool(np.median(steps[:, _LINE]) > NO_LINE)
