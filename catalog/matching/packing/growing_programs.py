"""Linear programs that grow: HiGHS by its own interface goes on from the answer before."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from catalog.linear_programs import Floats, Linear, Whole
from catalog.system.silence import OUTPUT, silent

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Ints = NDArray[np.int64]

DUAL, PRIMAL = 1, 4
"""HiGHS's numbers for the simplex methods."""
WHOLE_OPTIONS = (
    ("mip_rel_gap", 0.0),
    ("mip_detect_symmetry", False),
    ("mip_heuristic_effort", 0.01),
    ("mip_heuristic_run_rens", False),
    ("mip_heuristic_run_rins", False),
)
"""A good answer is there already: looking for others took half of the time."""


class GrowingProgram:
    """The least cost of values from 0 up, of which rows must lie between two limits.

    One thread and no time limit, so that the answer is the same on any machine.

    Parameters
    ----------
    lower, upper : array, (rows,)
        Limits of the rows to begin with; there are no columns yet.
    """

    def __init__(self, lower: Floats, upper: Floats) -> None:
        import highspy

        made: Any = highspy.Highs
        with silent(OUTPUT):  # it says its name when it is first made
            self._highs = made()
        self._highs.silent()
        self._highs.setOptionValue("threads", 1)
        self._columns = 0
        self._method = DUAL
        none = np.zeros(0, np.int32)
        starts = np.zeros(len(lower), np.int32)
        self._highs.addRows(len(lower), lower, upper, 0, starts, none, np.zeros(0))

    def add_columns(self, cost: Floats, upper: Floats, entries: csr_array) -> None:
        """Add columns; ``entries`` are theirs, (columns, rows)."""
        self._highs.addCols(len(cost), cost, np.zeros(len(cost)), upper, *_parts(entries))
        self._columns += len(cost)
        self._method = self._method or PRIMAL

    def add_rows(self, upper: Floats, entries: csr_array) -> None:
        """Add rows without a lower limit; ``entries`` are theirs, (rows, columns)."""
        lower = np.full(len(upper), -np.inf)
        self._highs.addRows(len(upper), lower, upper, *_parts(entries))
        self._method = DUAL

    def limit(self, columns: Ints, lower: float, upper: float) -> None:
        """Hold some columns between other limits than before."""
        many = len(columns)
        limits = np.full(many, lower), np.full(many, upper)
        self._highs.changeColsBounds(many, columns.astype(np.int32), *limits)
        self._method = DUAL

    def solve(self) -> Linear | None:
        """Return the answer; None where there is none."""
        import highspy

        # The answer before lets new columns come in; rows and limits that it breaks don't.
        self._highs.setOptionValue("simplex_strategy", self._method or DUAL)
        self._method = 0
        self._highs.setOptionValue("presolve", "off")
        self._highs.run()
        if self._highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        answer = self._highs.getSolution()
        return Linear(np.array(answer.col_value), np.array(answer.row_dual))

    def solve_whole(
        self, nodes: int, start: Floats | None, enough: float | None = None
    ) -> Whole | None:
        """Return the cheapest whole values; None where none was found.

        ``nodes`` limits the search by a count. ``start`` are values to go on from. With ``enough``
        the first found that cost no more will do, and proof isn't sought by starting anew.
        """
        import highspy

        every = np.arange(self._columns, dtype=np.int32)
        self._highs.changeColsIntegrality(self._columns, every, np.ones(self._columns, np.uint8))
        self._highs.setOptionValue("mip_max_nodes", nodes)
        for name, value in WHOLE_OPTIONS:
            self._highs.setOptionValue(name, value)
        if enough is not None:
            self._highs.setOptionValue("objective_target", enough)
            self._highs.setOptionValue("mip_allow_restart", False)
        if start is not None:
            self._highs.setSolution(self._columns, every, start)
        self._highs.run()
        information = self._highs.getInfo()
        if not np.isfinite(information.objective_function_value):
            return None
        proven = self._highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
        values = np.array(self._highs.getSolution().col_value)
        return Whole(values, float(information.mip_dual_bound), proven)


def _parts(entries: csr_array) -> tuple[int, NDArray[np.int32], NDArray[np.int32], Floats]:
    starts, at = entries.indptr[:-1].astype(np.int32), entries.indices.astype(np.int32)
    return entries.nnz, starts, at, entries.data.astype(float)
