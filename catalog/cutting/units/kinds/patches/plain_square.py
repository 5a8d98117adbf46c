"""A plain square."""

from __future__ import annotations

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import WHOLE
from catalog.cutting.units.steps.straight_steps import cut_out
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import UNFINISHED

NAME = "square"
# Its finished side and a seam at either side.
_CUT = Method(
    unit=NAME,
    trimmed=False,
    at_a_time=1,
    pieces=(UnitPiece("square", 1, UNFINISHED),),
    how="Cut it and sew it in.",
    steps=cut_out,
)
SQUARE = UnitKind(NAME, (_CUT,), (UnitPart((WHOLE,)),))
