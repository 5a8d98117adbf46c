"""Units of strips that are sewn round a centre, round by round: log cabin and courthouse steps."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from typing import Final

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import Polygon, box
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import piece
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import Side, round_steps
from catalog.cutting.units.unit_kind import NameNumber, UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM
from catalog.phrases import count_of, joined

Order = tuple[tuple[Side, bool], ...]
"""The sides of a round in the order of sewing, and whether the log is light."""
ROUNDS: Final = NameNumber("rounds", 1, 8, 3)
CENTRE: Final = NameNumber("logs as wide as its centre", 1, 6, 1)
_AS_SEWN: Final = (
    "Square it up after every round, but don't trim it smaller: its outer logs would come out "
    "narrower than the others."
)


@dataclass(frozen=True)
class Log:
    """One strip round the centre, in widths of a strip."""

    side: Side
    face: Polygon
    """In shares of the unit."""
    length: int
    light: bool


def logs_of(order: Order, rounds: int, centre: int) -> tuple[Log, ...]:
    """Return the logs in the order of sewing; those of a round by side, and whether light."""
    across = centre + 2 * rounds
    left, top, right, bottom = rounds, rounds, rounds + centre, rounds + centre
    found = []
    for side, light in [*order] * rounds:
        edges = {
            "top": (left, top - 1, right, top),
            "right": (right, top, right + 1, bottom),
            "bottom": (left, bottom, right, bottom + 1),
            "left": (left - 1, top, left, bottom),
        }[side]
        shares = [Fraction(edge, across) for edge in edges]
        found.append(Log(side, box(*shares), max(edges[2] - edges[0], edges[3] - edges[1]), light))
        left, top = min(left, edges[0]), min(top, edges[1])
        right, bottom = max(right, edges[2]), max(bottom, edges[3])
    return tuple(found)


def log_unit(name: str, order: Order, how: str, rounds: int, centre: int) -> UnitKind:
    """Return a unit of rounds of logs round a centre.

    Parameters
    ----------
    name, how : str
        Its name with its numbers, and how it is sewn.
    order : Order
    rounds, centre : int
        Rounds, and the centre's side in widths of a log.
    """
    logs = logs_of(order, rounds, centre)
    across = centre + 2 * rounds
    log = FINISHED / across
    pieces = [UnitPiece("square for the centre", 1, log * centre + 2 * SEAM)]
    pieces += [
        UnitPiece(f"log {number}", 1, log * one.length + 2 * SEAM, log + 2 * SEAM, "rectangle")
        for number, one in enumerate(logs, 1)
    ]
    title = name.rstrip("-0123456789").replace("-", " ")
    method = Method(
        unit=name,
        at_a_time=1,
        trimmed=False,
        trimming=_AS_SEWN,
        pieces=tuple(pieces),
        how=how,
        caution="Press each log away from the centre before the next is sewn, and don't pull it: "
        "a log that is eased on bends the whole block.",
        grid=log,
        title=f"{title} of {count_of(rounds, 'round')}, its centre {count_of(centre, 'log')} wide",
        steps=partial(_steps, logs),
    )
    middle = Fraction(rounds, across), Fraction(rounds + centre, across)
    parts = [UnitPart((box(middle[0], middle[0], middle[1], middle[1]),), "centre")]
    parts += [
        UnitPart((one.face,), f"log {number}", piece=number) for number, one in enumerate(logs, 1)
    ]
    light, dark = (
        tuple(number for number, one in enumerate(logs, 1) if one.light == is_light)
        for is_light in (True, False)
    )
    return UnitKind(
        name,
        (method,),
        tuple(parts),
        groups=((0,), light, dark),
        group_names=("centre", f"{named(light)} (light)", f"{named(dark)} (dark)"),
    )


def named(logs: tuple[int, ...]) -> str:
    """Return the name of a group of logs by their numbers."""
    return f"{'log' if len(logs) == 1 else 'logs'} {joined([str(number) for number in logs])}"


def _steps(logs: tuple[Log, ...], sized: SizedUnit) -> tuple[Step, ...]:
    centre = float(sized.cuts[0].width)
    laid = []
    for number, (one, cut) in enumerate(zip(logs, sized.cuts[1:], strict=True), 1):
        long, wide = float(cut.width), float(cut.height)
        flat = one.side in {"top", "bottom"}
        log = piece(long, wide, number) if flat else piece(wide, long, number)
        laid.append((one.side, log, cut.what))
    return round_steps(piece(centre, centre, 0), laid, float(sized.seam))
