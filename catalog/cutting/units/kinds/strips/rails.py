"""Rails: strips side by side that make a square, as in a rail fence."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, StripYield, UnitPiece
from catalog.cutting.units.face_shapes import box
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import piece
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import column_steps
from catalog.cutting.units.straight_units import set_steps
from catalog.cutting.units.unit_kind import NameNumber, UnitFamily, UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

NAME = "rails"
_NUMBER = NameNumber("rails", 2, 12, 3)
_AS_SEWN = "Don't trim it across the rails: the outer ones would come out narrower."


def _steps(sized: SizedUnit) -> tuple[Step, ...]:
    rails = [
        piece(float(cut.width), float(cut.height), part) for part, cut in enumerate(sized.cuts)
    ]
    return column_steps(rails, float(sized.seam), "rails")


# Each rail is as long as the unit and finishes at its share of the side, a seam all round.
def _rails(name: str, number: int) -> UnitKind:
    rail = FINISHED / number + 2 * SEAM
    method = Method(
        unit=name,
        at_a_time=1,
        trimmed=False,
        trimming=_AS_SEWN,
        pieces=tuple(
            UnitPiece(f"rail {place}", 1, UNFINISHED, rail, "rectangle")
            for place in range(1, number + 1)
        ),
        how=f"Sew {number} rails together along their long sides, every second seam from the other "
        "end, and press all seams one way.",
        grid=FINISHED / number,
        title=f"{number} rails",
        steps=_steps,
    )
    step = Fraction(1, number)
    parts = tuple(
        UnitPart((box(0, n * step, 1, (n + 1) * step),), f"rail {n + 1}", piece=n)
        for n in range(number)
    )
    return UnitKind(name, (method,), parts)


def _strips(name: str, number: int) -> UnitKind:
    method = Method(
        unit=name,
        at_a_time=1,
        trimmed=False,
        trimming=_AS_SEWN,
        pieces=(UnitPiece("strip", number, FINISHED / number + 2 * SEAM, shape="strip"),),
        strips=StripYield(1, number, segment=UNFINISHED),
        how=f"Sew {number} strips together along their long edges, every second seam from the "
        "other end, press all seams one way and cut the set across as long as it is wide.",
        title=f"rails from {number} strips",
        steps=partial(set_steps, (tuple(range(number)),), 1),
    )
    return UnitKind(name, (method,))


RAILS = UnitFamily(NAME, (_NUMBER,), _rails, ("rail", "rail-fence"))
RAILS_STRIPS = UnitFamily(f"{NAME}-strips", (_NUMBER,), _strips, ("rail-fence-strips",))
