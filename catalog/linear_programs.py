"""The two calls of HiGHS (by way of scipy), whose stubs know no sparse matrices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from catalog.system.silence import OUTPUT, silent

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]

TOLERANCE = 1e-7
"""HiGHS's own feasibility tolerance."""


@dataclass(frozen=True, eq=False)
class Linear:
    """Answer of a linear program: values of the columns, prices of the rows."""

    values: Floats
    prices: Floats


@dataclass(frozen=True, eq=False)
class Whole:
    """Answer of an integer program."""

    values: Floats
    least: float
    """No whole answer costs less."""
    proven: bool
    """Whether the answer is the best."""


def linear_program(
    cost: Floats,
    rows: csr_array,
    right: Floats,
    bounds: tuple[Floats, Floats],
    *,
    presolve: bool,
) -> Linear | None:
    """Return the cheapest values for which ``rows`` times them is ``right``; None for none."""
    from scipy.optimize import linprog

    solve: Any = linprog
    answer = solve(
        cost,
        A_eq=rows,
        b_eq=right,
        bounds=np.column_stack(bounds),
        method="highs-ds",
        options={"presolve": presolve},
    )
    if answer.status != 0:
        return None
    return Linear(answer.x, answer.eqlin.marginals)


def integer_program(
    cost: Floats,
    rows: csr_array | Floats,
    right: tuple[Floats, Floats],
    upper: Floats | float,
    nodes: int,
) -> Whole | None:
    """Return the cheapest whole values from 0 to ``upper``; None where none was found.

    ``rows`` times them lie between the two sides of ``right``. ``nodes`` limits the search by a
    count, so that the answer is the same on any machine.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    solve: Any = milp
    with silent(OUTPUT):
        answer = solve(
            cost,
            integrality=np.ones(len(cost), int),
            bounds=Bounds(0.0, upper),
            constraints=LinearConstraint(rows, *right),
            options={"node_limit": nodes, "mip_rel_gap": 0.0},
        )
    if answer.x is None:
        return None
    return Whole(answer.x, float(answer.mip_dual_bound), answer.status == 0)
