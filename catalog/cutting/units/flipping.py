"""What units share whose small squares are flipped over corners, or stand round a centre."""

from __future__ import annotations

from functools import partial
from typing import Final

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import in_a_row, piece
from catalog.cutting.units.steps.diagonal_steps import CORNERS, Corner, flip_steps
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import step
from catalog.cutting.units.unit_sizes import SEAM, UNFINISHED, Size
from catalog.lengths import Rounding
from catalog.phrases import count_of

TO_THE_POINTS: Final = (
    "Trim it a seam outside the centre's points and no closer, or the next seam cuts them off."
)
ROUND_THE_CENTRE: Final = (
    "Sew a triangle to two opposite sides of the centre, press, then to the other two."
)
_FLIP_ONE: Final = (
    "Lay a small square on a corner, sew on its diagonal, cut off the corner a seam outside the "
    "stitches and press."
)
_FLIP: Final = _FLIP_ONE.removesuffix(".") + "; then the other corners."
_AS_CUT: Final = (
    "Don't trim it: its corners would come out smaller, and points that meet its edge would be cut "
    "off."
)


def flipped_corners(
    corner: Size,
    unit: str = "flipped-corners",
    *,
    rounding: Rounding = "nearest",
    corners: tuple[Corner, ...] = CORNERS,
) -> Method:
    """Return squares sewn across the corners of a square.

    The stitches run corner to corner of the small square, so the two seams of the unit's edges are
    all that it loses: it is cut to its finished side and two seams.

    Parameters
    ----------
    corner : Size
        Finished short side of a corner.
    unit : str
        The command's name for it.
    rounding : {"nearest", "up", "down"}
        To which mark the corners are cut; ``down`` where they meet in a point on the edge.
    corners : tuple of str
        Which of them, in the order of sewing.
    """
    small = UnitPiece(
        "small square for the corners",
        len(corners),
        corner + 2 * SEAM,
        flipped=True,
        rounding=rounding,
    )
    return Method(
        unit=unit,
        at_a_time=1,
        pieces=(UnitPiece("square", 1, UNFINISHED), small),
        how=_FLIP if len(corners) > 1 else _FLIP_ONE,
        trimmed=False,
        trimming=_AS_CUT,
        steps=partial(flipped_steps, corners),
    )


def flipped_steps(corners: tuple[Corner, ...], sized: SizedUnit) -> tuple[Step, ...]:
    """Return the steps of a piece with small squares flipped over some of its corners."""
    base, small = sized.cuts
    side = float(small.width)
    panel = piece(float(base.width), float(base.height), 0)
    laid = in_a_row([panel, *(piece(side, side, 1) for _ in corners)])
    steps, _ = flip_steps(panel, side, corners, 1, float(sized.seam))
    many = count_of(len(corners), "small square")
    return (step("lay", f"Lay out the {base.what} and {many}.", laid), *steps)
