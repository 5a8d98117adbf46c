"""What stars share: their steps, from the units of their points to the rows of three."""

from __future__ import annotations

from dataclasses import replace

from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import Panel, as_panel, piece
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import row_steps


def point_steps(sized: SizedUnit, parts: tuple[int, ...]) -> tuple[tuple[Step, ...], Panel]:
    """Return the steps of a unit that a star's points are, its cloths as parts of the star.

    Parameters
    ----------
    sized : SizedUnit
        With steps of its own.
    parts : tuple of int
        For each part of the unit the star's.
    """
    steps = sized.method.steps(sized) if sized.method.steps else ()
    told = tuple(
        replace(one, cloths=tuple(replace(c, part=parts[c.part]) for c in one.cloths))
        for one in steps
    )
    return told, as_panel(told[-1].cloths)


def quarter_turns(panel: Panel, times: int) -> Panel:
    """Return a panel turned so many quarters clockwise."""
    for _ in range(times):
        panel = panel.turned()
    return panel


def star_rows(sized: SizedUnit, top: Panel, corner: int, centre: int) -> tuple[Step, ...]:
    """Return the steps of a star's three rows.

    Parameters
    ----------
    sized : SizedUnit
        Its first piece is the centre, its last a corner.
    top : Panel
        What lies between the corners at the top; turned, it lies at the other sides.
    corner, centre : int
        Parts of corners and centre.
    """
    middle, square = float(sized.cuts[0].width), float(sized.cuts[-1].width)
    seam = float(sized.seam)
    post = piece(square, square, corner)
    right, bottom, left = (quarter_turns(top, times) for times in (1, 2, 3))
    rows = [[post, top, post], [left, piece(middle, middle, centre), right], [post, bottom, post]]
    return row_steps(rows, seam, "pieces")
