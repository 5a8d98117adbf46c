"""Steps of units that are cut in nine, some of them turned, and sewn together again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from catalog.cutting.units.steps.cloth_geometry import Panel, in_a_row
from catalog.cutting.units.steps.sewing_steps import Step, StepLine
from catalog.cutting.units.steps.straight_steps import row_steps, step


def cut_in_nine(
    whole: Panel,
    away: float,
    seam: float,
    *,
    turned: Sequence[int] = (),
    quarters: Mapping[int, int] | None = None,
    says: str,
) -> tuple[Step, ...]:
    """Return the steps from a whole that is cut twice each way to the unit.

    Parameters
    ----------
    whole : Panel
        A square.
    away, seam : float
        How far from its middle it is cut, on either side, and the seam, inches.
    turned : sequence of int
        Which of the nine, from 0 in reading order, are turned half round.
    quarters : mapping of int to int, optional
        How many quarters clockwise others are turned.
    says : str
        The same in words.
    """
    side = whole.wide
    edges = (0.0, side / 2 - away, side / 2 + away, side)
    cuts = [StepLine("cut", (x, 0.0), (x, side)) for x in edges[1:3]]
    cuts += [StepLine("cut", (0.0, y), (side, y)) for y in edges[1:3]]
    pieces = [
        whole.within(x, y, right - x, bottom - y)
        for y, bottom in pairwise(edges)
        for x, right in pairwise(edges)
    ]
    turns = dict.fromkeys(turned, 2) | dict(quarters or {})
    for number, times in turns.items():
        for _ in range(times):
            pieces[number] = pieces[number].turned()
    rows = [pieces[n : n + 3] for n in (0, 3, 6)]
    laid = in_a_row([in_a_row(row) for row in rows], down=True)
    return (
        step("cut", "Cut it twice each way, without moving a piece.", whole, cuts),
        step("lay", says, laid),
        *row_steps(rows, seam, "pieces")[1:],
    )
