"""The squares that come nearest, of all that were offered so far."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

OFFERED: Final = np.dtype(
    [
        ("cost", "<f8"), ("place", "<i8"), ("square", "<i8"), ("difference", "<f8"),
        ("doubt", "<f8"), ("of_print", "?"), ("lab", "<f8", 3), ("share", "<f8"),
    ]
)  # fmt: skip
"""A square that may be one of the nearest: by what it is sorted, its place among all, its number,
CIEDE2000 from what was asked for and by how much that may be off, and by which of its colours."""


class NearestSquares:
    """Those that cost least; of equal ones those that come first.

    Parameters
    ----------
    number : int, optional
        How many at most; all for None.
    """

    def __init__(self, number: int | None) -> None:
        self.number = number
        self.rows: NDArray[Any] = np.empty(0, OFFERED)

    @property
    def limit(self) -> float:
        """What a square may cost at most to be one of them."""
        if self.number is None or len(self.rows) < self.number:
            return np.inf
        return float(self.rows["cost"][-1]) if self.number else -np.inf

    def offer(self, rows: NDArray[Any]) -> None:
        """Take in what is nearer than those known, of rows of `OFFERED`."""
        some = np.concatenate([self.rows, rows])
        self.rows = some[np.lexsort((some["place"], some["cost"]))[: self.number]]
