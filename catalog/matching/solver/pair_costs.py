"""What pairs cost, and which two may not be a pair, without a second table of all differences."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class PairCosts:
    """Costs of pairs of some squares of a table: of 5,000 squares each copy takes 200 MB."""

    table: Floats
    """(m, m) symmetric, finite where it is asked for."""
    places: NDArray[np.intp]
    """(n,) the squares' places in the table, ascending."""
    barred: Bools
    """(n, n) which two may not be a pair, none with itself."""

    @classmethod
    def of(cls, cost: Floats) -> PairCosts:
        """Return the costs of a table (n, n) that says inf where two may not be a pair."""
        return cls(cost, np.arange(len(cost)), ~np.isfinite(cost))

    def __len__(self) -> int:
        return len(self.places)

    def barring(self, more: Bools) -> PairCosts:
        """Return the same with more pairs that may not be."""
        return replace(self, barred=self.barred | more)

    def rows(self, some: slice | Ints) -> Floats:
        """Return the costs of some squares with all, whatever where two may not be a pair."""
        if len(self) == len(self.table):  # a strip of it isn't copied
            return self.table[some]
        return self.table[self.places[some]][:, self.places]

    def between(self, i: Ints, j: Ints) -> Floats:
        """Return the costs of some pairs that may be."""
        return self.table[self.places[i], self.places[j]]
