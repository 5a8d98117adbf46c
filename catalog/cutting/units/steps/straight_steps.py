"""Steps of units whose seams are all straight: rows of pieces, strips, pieces round a centre."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, Literal

from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    GAP,
    Panel,
    in_a_row,
    joined_up,
    piece,
    seam_lines,
)
from catalog.cutting.units.steps.sewing_steps import Action, Step, StepLine

Side = Literal["right", "bottom", "left", "top"]
_ARROW: Final = 0.5
"""Inches that an arrow for pressing is long, in a drawing (choice of ours)."""
DRAWN_STRIP: Final = 12.0
"""Inches of a strip that are drawn, or as many as its segments need (choice of ours)."""


def step(action: Action, says: str, panel: Panel, lines: Sequence[StepLine] = ()) -> Step:
    """Return a step that shows a panel."""
    return Step(action, says, panel.cloths, tuple(lines))


def cut_out(sized: SizedUnit) -> tuple[Step, ...]:
    """Return the one step of a unit that is a single piece."""
    cut = sized.cuts[0]
    panel = piece(float(cut.width), float(cut.height), 0)
    corners = panel.cloths[0].outline
    lines = [StepLine("cut", a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return (step("cut", f"Cut the {cut.what}.", panel, lines),)


def shifted(lines: Sequence[StepLine], x: float, y: float) -> list[StepLine]:
    """Return lines at another place."""
    return [
        replace(
            line,
            start=(line.start[0] + x, line.start[1] + y),
            end=(line.end[0] + x, line.end[1] + y),
        )
        for line in lines
    ]


def pressed(
    seams: Sequence[StepLine], panel: Panel | None, *, to_the_far_side: bool
) -> list[StepLine]:
    """Return the arrows along which seams are pressed: right or down, or the other way.

    They end within the panel, where one is given.
    """
    arrows = []
    for one in seams:
        (x0, y0), (x1, y1) = one.start, one.end
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        along = _ARROW if to_the_far_side else -_ARROW
        end = (x + along, y) if x0 == x1 else (x, y + along)
        if panel is not None:
            end = (min(max(end[0], 0.0), panel.wide), min(max(end[1], 0.0), panel.high))
        arrows.append(StepLine("press", (x, y), end))
    return arrows


def row_steps(rows: Sequence[Sequence[Panel]], seam: float, what: str) -> tuple[Step, ...]:
    """Return the steps of rows of pieces: laid, sewn, pressed opposite ways, joined, pressed.

    Parameters
    ----------
    rows : sequence of sequence of Panel
        Pieces as they lie, from the top left.
    seam : float
        Inches.
    what : str
        The pieces, plural.
    """
    across, down = len(rows[0]), len(rows)
    laid = in_a_row([in_a_row(row) for row in rows], down=True)
    told = f"Lay out {down} rows of {across} {what}." if down > 1 else f"Lay out {across} {what}."
    steps = [step("lay", told, laid)]
    sewn = [joined_up(row, seam) for row in rows]
    if across > 1:
        seams, arrows = [], []
        for place, row in enumerate(rows):
            at = sum(one.high + GAP for one in sewn[:place])
            own = seam_lines(row, seam)
            seams += shifted(own, 0, at)
            arrows += shifted(pressed(own, sewn[place], to_the_far_side=place % 2 == 0), 0, at)
        shown = in_a_row(sewn, down=True)
        each = "Sew the pieces of each row together." if down > 1 else "Sew them side by side."
        steps.append(step("sew", each, shown, seams))
        ways = "Press each row the opposite way to the one above." if down > 1 else _TO_THE_DARKER
        steps.append(step("press", ways, shown, arrows))
    if down > 1:
        whole = joined_up(sewn, seam, down=True)
        joins = seam_lines(sewn, seam, down=True)
        nested = " with their seams nested" if across > 1 else ""
        steps.append(step("sew", f"Sew the rows together{nested}.", whole, joins))
        steps.append(
            step(
                "press",
                "Press these seams one way.",
                whole,
                pressed(joins, whole, to_the_far_side=True),
            )
        )
    return tuple(steps)


def column_steps(pieces: Sequence[Panel], seam: float, what: str) -> tuple[Step, ...]:
    """Return the steps of pieces sewn together from the top down, all seams pressed one way."""
    whole = joined_up(pieces, seam, down=True)
    seams = seam_lines(pieces, seam, down=True)
    laid = in_a_row(pieces, down=True, gap=GAP / 2)
    return (
        step("lay", f"Lay out {len(pieces)} {what}.", laid),
        step("sew", "Sew them together along their long sides.", whole, seams),
        step(
            "press", "Press all seams one way.", whole, pressed(seams, whole, to_the_far_side=True)
        ),
    )


_TO_THE_DARKER: Final = "Press the seams to the darker side."


def strip_steps(
    sets: Sequence[Sequence[int]], strip: float, segment: float, seam: float, per_unit: int
) -> tuple[Step, ...]:
    """Return the steps of strips sewn together in sets and cut across; then segments are joined.

    Parameters
    ----------
    sets : sequence of sequence of int
        Of each set the parts of its strips from the top; the unit takes a segment of each by
        turns. Where there is one set, every second segment is turned round.
    strip, segment, seam : float
        Width of a strip, length of a segment and the seam, inches.
    per_unit : int
        Segments of a unit; 1 where the segment is the unit.
    """
    long = max(DRAWN_STRIP, segment * max(per_unit, 2))
    strips = [[piece(long, strip, part) for part in one] for one in sets]
    laid = in_a_row([panel for one in strips for panel in one], down=True, gap=GAP / 2)
    steps = [step("lay", "Lay out the strips in their order.", laid)]
    sewn = [joined_up(one, seam, down=True) for one in strips]
    seams, arrows, cuts = [], [], []
    for place, one in enumerate(strips):
        at = sum(panel.high + GAP for panel in sewn[:place])
        own = seam_lines(one, seam, down=True)
        seams += shifted(own, 0, at)
        arrows += shifted(pressed(own, sewn[place], to_the_far_side=place % 2 == 0), 0, at)
        cuts += [
            StepLine("cut", (number * segment, at), (number * segment, at + sewn[place].high))
            for number in range(1, int(long / segment + 1e-9) + 1)
        ]
    shown = in_a_row(sewn, down=True)
    way = "Press each set the opposite way to the one above." if len(sets) > 1 else _TO_THE_DARKER
    steps += [
        step("sew", "Sew them together along their long edges.", shown, seams),
        step("press", way, shown, arrows),
        step("cut", "Straighten the end and cut segments across.", shown, cuts),
    ]
    parts = [panel.within(0, 0, segment, panel.high) for panel in sewn]
    if per_unit == 1:
        return (*steps, step("lay", "Each segment is a unit.", parts[0]))
    chosen = [parts[number % len(parts)] for number in range(per_unit)]
    if len(sets) == 1:
        chosen = [p if n % 2 == 0 else p.turned().turned() for n, p in enumerate(chosen)]
    how = "turning every second one round" if len(sets) == 1 else "one set by turns with the other"
    whole = joined_up(chosen, seam)
    return (
        *steps,
        step("lay", f"Lay {per_unit} segments side by side, {how}.", in_a_row(chosen)),
        step("sew", "Sew them together, seams nested.", whole, seam_lines(chosen, seam)),
        step(
            "press",
            "Press these seams one way.",
            whole,
            pressed(seam_lines(chosen, seam), whole, to_the_far_side=True),
        ),
    )


def joined_to(panel: Panel, log: Panel, side: Side, seam: float) -> tuple[Panel, StepLine]:
    """Return a piece sewn to a side of what there is, and the seam."""
    down = side in {"top", "bottom"}
    both = [panel, log] if side in {"right", "bottom"} else [log, panel]
    return joined_up(both, seam, down=down), seam_lines(both, seam, down=down)[0]


def round_steps(
    centre: Panel, logs: Sequence[tuple[Side, Panel, str]], seam: float
) -> tuple[Step, ...]:
    """Return the steps of pieces that are sewn one after another round a centre.

    Parameters
    ----------
    centre : Panel
    logs : sequence of (side, Panel, str)
        Each piece as it lies, the side that it is sewn to, and its name.
    seam : float
        Inches.
    """
    side, log, name = logs[0]
    both = [centre, log] if side in {"right", "bottom"} else [log, centre]
    laid = in_a_row(both, down=side in {"top", "bottom"})
    steps = [step("lay", f"Lay the {name} to the {side} of the centre.", laid)]
    panel = centre
    for side, log, name in logs:
        panel, line = joined_to(panel, log, side, seam)
        steps.append(step("sew", f"Sew the {name} to the {side}.", panel, [line]))
        outward = pressed([line], panel, to_the_far_side=side in {"right", "bottom"})
        steps.append(step("press", "Press away from the centre.", panel, outward))
    return tuple(steps)
