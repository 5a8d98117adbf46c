"""Courthouse steps: strips sewn to two opposite sides of a centre, then to the other two."""

from __future__ import annotations

from catalog.cutting.units.kinds.strips.log_rounds import CENTRE, ROUNDS, Order, log_unit
from catalog.cutting.units.unit_kind import UnitFamily, UnitKind

# Of a round the first two logs are as long as what is there, the other two longer by both of them:
# with a centre of c and logs of w they finish at c, c, c + 2w, c + 2w, and so on.
_HOW = (
    "Cut the logs from strips. Sew logs 1 and 2 to the top and the bottom of the centre, press "
    "away from it, then logs 3 and 4 to the right and the left, and so on."
)


def _of(name: str, rounds: int, centre: int) -> UnitKind:
    order: Order = (("top", True), ("bottom", True), ("right", False), ("left", False))
    return log_unit(name, order, _HOW, rounds, centre)


COURTHOUSE_STEPS = UnitFamily("courthouse-steps", (ROUNDS, CENTRE), _of, ("courthouse-step",))
