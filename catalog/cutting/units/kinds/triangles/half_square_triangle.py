"""Half-square triangles: two colours on either side of a diagonal."""

from __future__ import annotations

from catalog.cutting.units.cutting_method import Method, PrintLay, StripYield, UnitPiece
from catalog.cutting.units.face_shapes import RISING_HALVES
from catalog.cutting.units.surd import ROOT2
from catalog.cutting.units.triangle_sides import ALL_ON_THE_BIAS, ON_THE_SEAM
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import SEAM, UNFINISHED
from catalog.lengths import EIGHTH

NAME = "half-square-triangle"
# A seam each side of one diagonal, cut on the diagonal. In a triangle of short side c the slanted
# side lies c/√2 from the corner; the stitches lie one seam nearer, so the opened unit measures
# √2 (c/√2 - seam) = c - √2 seam.
_TWO = Method(
    unit=NAME,
    at_a_time=2,
    units=2,
    pieces=(UnitPiece("square", 2, UNFINISHED + ROOT2 * SEAM, large=EIGHTH),),
    how="Lay two squares face to face, sew a seam each side of one diagonal and cut on the "
    "diagonal.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("halves", (0,)), PrintLay("halves", (2,))),
)
# Sewn all round the edge, cut on both diagonals. Each quarter has an edge c of the square as its
# slanted side, c/2 from the middle; the stitches lie one seam nearer: √2 (c/2 - seam).
_FOUR = Method(
    unit=NAME,
    at_a_time=4,
    units=4,
    pieces=(UnitPiece("square", 2, ROOT2 * UNFINISHED + 2 * SEAM, large=2 * EIGHTH),),
    bias=ALL_ON_THE_BIAS,
    how="Lay two squares face to face, sew all round the edge and cut on both diagonals.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("leaning"), PrintLay("leaning")),
)
# The four quarters, of side c/2, are squares sewn two at a time.
_EIGHT = Method(
    unit=NAME,
    at_a_time=8,
    units=8,
    pieces=(UnitPiece("square", 2, 2 * (UNFINISHED + ROOT2 * SEAM), large=2 * EIGHTH),),
    how="Lay two squares face to face, sew a seam each side of both diagonals, cut in quarters "
    "and then on the diagonals.",
    trimming=ON_THE_SEAM,
    lays=(PrintLay("equal", (0,)), PrintLay("equal", (2,))),
)
HALF_SQUARE_TRIANGLE = UnitKind(
    NAME,
    (_TWO, _FOUR, _EIGHT),
    tuple(UnitPart((half,), shape="half") for half in RISING_HALVES),
    ("hst",),
)
# Of two strips sewn along both long edges. The slanted side lies on a sewn edge and the right angle
# reaches the other, w away: from the stitches it is w - seam high, so the unit measures
# √2 (w - seam). The triangles' bases are 2w and overlap by turns, so each takes w of the strip and
# the slanted ends cost one.
_STRIPS = Method(
    unit=f"{NAME}-strips",
    at_a_time=1,
    pieces=(UnitPiece("strip", 2, UNFINISHED / ROOT2 + SEAM, shape="strip"),),
    strips=StripYield(1, 2, lost=1),
    bias=ALL_ON_THE_BIAS,
    how="Lay two strips face to face, sew both long edges and cut triangles by turns up and "
    "down; pick out the few stitches at each tip.",
    trimming=ON_THE_SEAM,
)
HALF_SQUARE_TRIANGLE_STRIPS = UnitKind(_STRIPS.unit, (_STRIPS,))
