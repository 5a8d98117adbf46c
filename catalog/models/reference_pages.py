"""The page that is printed and laid beside the squares, as a photo shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Paper = Literal["A4", "Letter"]
"""What pages are printed on."""


@dataclass(frozen=True, eq=False)
class SeenPage:
    """A reference page that a photo shows."""

    paper: Paper
    marks: NDArray[np.float64]
    """(m, 4, 2) corners of the marks that are seen, px; m is 1 to 4."""
    printed: NDArray[np.float64]
    """(m, 4, 2) where they stand on the page, mm from the paper's upper left corner."""
    to_photo: NDArray[np.float64]
    """(3, 3) homography from the page, mm, to the photo, px."""
    stretch: float = 1.0
    """What a length on the paper is over what it was drawn as: 0.96 for a print at 96 %."""
    by_edges: float | None = None
    """The same as the edges of the paper tell it; None where they aren't clear."""

    @property
    def placed(self) -> bool:
        """Whether two marks and more say where it lies; one alone only says that it is there."""
        return len(self.marks) > 1

    def shown(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return where the photo shows points (..., 2) of the page, mm, in px."""
        there = points @ self.to_photo[:, :2].T + self.to_photo[:, 2]
        return np.asarray(there[..., :2] / there[..., 2:], np.float64)
