"""Log cabin: strips sewn round a centre in a ring, two sides of each round light, two dark."""

from __future__ import annotations

from catalog.cutting.units.kinds.strips.log_rounds import CENTRE, ROUNDS, Order, log_unit
from catalog.cutting.units.unit_kind import UnitFamily, UnitKind

# Round the centre clockwise; each log is as long as what is there, so that the next one covers its
# end: with a centre of c and logs of w they finish at c, c + w, c + w, c + 2w, and so on.
_HOW = (
    "Cut the logs from strips. Sew log 1 to the top of the centre, press away from it, turn the "
    "block a quarter and sew the next, always to the side that the last one ends at."
)


def _of(name: str, rounds: int, centre: int) -> UnitKind:
    order: Order = (("top", True), ("right", True), ("bottom", False), ("left", False))
    return log_unit(name, order, _HOW, rounds, centre)


LOG_CABIN = UnitFamily("log-cabin", (ROUNDS, CENTRE), _of)
