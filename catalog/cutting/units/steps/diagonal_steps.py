"""Steps of units sewn on the diagonal: pairs of squares, and corners that are flipped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import (
    Panel,
    as_panel,
    beside,
    in_a_row,
    opened,
    piece,
    rectangle_at,
)
from catalog.cutting.units.steps.sewing_steps import Cloth, Point, Step, StepLine
from catalog.cutting.units.steps.straight_steps import pressed, step

Corner = Literal["upper left", "upper right", "lower right", "lower left"]
CORNERS: Final[tuple[Corner, ...]] = ("upper left", "upper right", "lower right", "lower left")


def trimmed(panel: Panel, wide: float, high: float, says: str) -> tuple[Step, Panel]:
    """Trim a panel to a size about its middle; return the step and what is left."""
    x, y = (panel.wide - wide) / 2, (panel.high - high) / 2
    corners = rectangle_at(x, y, wide, high)
    lines = [StepLine("cut", a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return step("trim", says, panel, lines), panel.within(x, y, wide, high)


def trimmed_unit(panel: Panel, sized: SizedUnit) -> tuple[Step, ...]:
    """Return the last steps: trimmed about the middle, and the unit as it is sewn in."""
    wide, high = float(sized.trim), float(sized.trim_height)
    last, unit = trimmed(panel, wide, high, sized.method.trimming)
    return last, step("lay", "The unit is done.", unit)


@dataclass(frozen=True)
class Pair:
    """Two cloths of one square outline, laid face to face; both as they are seen from above."""

    under: Panel
    over: Panel

    def face_down(self) -> Panel:
        """Return what is seen: the wrong side of the upper one."""
        cloths = (replace(cloth, wrong_side=True) for cloth in self.over.cloths)
        return replace(self.over, cloths=tuple(cloths))

    def opened(self, line: tuple[Point, Point], seam: float) -> Panel:
        """Return what lies to the right of a line, sewn a seam beside it and opened."""
        return as_panel(opened(self.under.cloths, self.over.cloths, beside(*line, seam)))


def plain_pair(side: float, parts: tuple[int, int] = (0, 1)) -> Pair:
    """Return two plain squares face to face."""
    return Pair(piece(side, side, parts[0]), piece(side, side, parts[1]))


def rising(side: float) -> tuple[Point, Point]:
    """Return a square's diagonal that rises to the right, the upper left half to its right."""
    return (side, 0.0), (0.0, side)


def falling(side: float) -> tuple[Point, Point]:
    """Return a square's diagonal that falls to the right, the upper right half to its right."""
    return (side, side), (0.0, 0.0)


def across_steps(
    pair: Pair, line: tuple[Point, Point], seam: float
) -> tuple[tuple[Step, ...], Panel]:
    """Return the steps of a pair that is sewn on both sides of a diagonal, and one half opened."""
    seen, one = pair.face_down(), pair.opened(line, seam)
    mark = StepLine("mark", *line)
    sewn = [StepLine("sew", *beside(*line, away)) for away in (seam, -seam)]
    steps = (
        step("mark", "Lay them face to face and mark a diagonal on the back of the lighter.", seen,
             [mark]),
        step("sew", "Sew a seam each side of the line.", seen, [mark, *sewn]),
        step("cut", "Cut on the line.", seen, [*sewn, StepLine("cut", *line)]),
        step("press", "Open both and press to the darker side.", in_a_row([one, one])),
    )  # fmt: skip
    return steps, one


def pair_steps(
    side: float, seam: float, parts: tuple[int, int] = (0, 1)
) -> tuple[tuple[Step, ...], Panel]:
    """Return the steps of half-square triangles, two at a time, and one of them untrimmed.

    Parameters
    ----------
    side, seam : float
        Of a square, and the seam, inches.
    parts : (int, int)
        Upper left and lower right half.
    """
    pair = plain_pair(side, parts)
    laid = step("lay", "Lay out two squares.", in_a_row([pair.under, pair.over]))
    steps, one = across_steps(pair, rising(side), seam)
    return (laid, *steps), one


def cut_apart(pieces: int, sized: SizedUnit) -> tuple[Step, ...]:
    """Return the steps of triangles cut of one square: 2, or 4 with the long side at its edge."""
    side = float(sized.cuts[0].width)
    square = piece(side, side, 0)
    lines = [StepLine("cut", *rising(side))]
    lines += [StepLine("cut", *falling(side))] if pieces == 4 else []
    one = as_panel([Cloth(((0.0, side), (side, side), (side / 2, side / 2)), 0)])
    if pieces == 2:
        one = as_panel(square.cut(*rising(side)))
    ways = "both diagonals" if pieces == 4 else "one diagonal"
    return (
        step("cut", f"Cut the square on {ways}.", square, lines),
        step("lay", f"Each of the {pieces} triangles fills a place at the quilt's edge.", one),
    )


def round_the_edge(side: float, seam: float) -> tuple[Step, ...]:
    """Return the steps of two squares that are sewn all round and cut on both diagonals."""
    pair = plain_pair(side)
    seen, corners = pair.face_down(), rectangle_at(seam, seam, side - 2 * seam, side - 2 * seam)
    sewn = [StepLine("sew", a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    cuts = [StepLine("cut", *rising(side)), StepLine("cut", *falling(side))]
    return (
        step("lay", "Lay out two squares.", in_a_row([pair.under, pair.over])),
        step("sew", "Lay them face to face and sew all round the edge.", seen, sewn),
        step("cut", "Cut on both diagonals.", seen, [*sewn, *cuts]),
    )


def slanted(half: float, seam: float) -> Panel:
    """Return a triangle sewn on its long side and opened: `half` that side is its height."""
    outline = ((0.0, 0.0), (2 * half, 0.0), (half, half))
    stitches = ((0.0, seam), (2 * half, seam))
    return as_panel(opened([Cloth(outline, 1)], [Cloth(outline, 0)], stitches)).leaning()


def ring(centre: Panel, leg: float, part: int, seam: float) -> tuple[tuple[Step, ...], Panel]:
    """Return the steps of four triangles sewn round a square centre, and what comes of it.

    It is turned an eighth, so that the new edges lie straight and the centre stands on its point.

    Parameters
    ----------
    centre : Panel
    leg, seam : float
        Short side of a triangle as cut, and the seam, inches.
    part : int
        Of the triangles.
    """
    side, high = centre.wide, leg / math.sqrt(2.0)
    middle, near, far = side / 2, seam, side - seam
    out = high - seam  # what a triangle reaches beyond the stitches
    pairs = (
        (((far, middle - out), (far + out, middle), (far, middle + out)),
         ((near, middle - out), (near - out, middle), (near, middle + out))),
        (((middle - out, near), (middle, near - out), (middle + out, near)),
         ((middle - out, far), (middle, far + out), (middle + out, far))),
    )  # fmt: skip
    inner = centre.within(near, 0, far - near, side).moved(near, 0)
    sides = [Cloth(outline, part) for outline in pairs[0]]
    first = Panel((*inner.cloths, *sides), side, side)
    seams = [StepLine("sew", (x, 0.0), (x, side)) for x in (near, far)]
    between = Panel(first.cut((0.0, near), (1.0, near)), side, side).cut((1.0, far), (0.0, far))
    whole = Panel((*between, *(Cloth(outline, part) for outline in pairs[1])), side, side)
    level = [StepLine("sew", (0.0, y), (side, y)) for y in (near, far)]
    done = whole.leaning()
    return (
        step("sew", "Sew a triangle to two opposite sides of the centre.", first, seams),
        step("press", "Press away from the centre.", first, _outward(seams, near)),
        step("sew", "Sew a triangle to the other two sides.", whole, level),
        step("press", "Press away from the centre.", whole, _outward(level, near)),
    ), done


def _outward(seams: Sequence[StepLine], first: float) -> list[StepLine]:
    """Return arrows away from the middle of two seams."""
    return [
        arrow
        for one in seams
        for arrow in pressed([one], None, to_the_far_side=first not in {one.start[0], one.start[1]})
    ]


def flip_line(panel: Panel, side: float, corner: Corner) -> tuple[Point, Point]:
    """Return the diagonal of a small square on a corner, the corner to its left."""
    w, h = panel.wide, panel.high
    return {
        "upper left": ((0.0, side), (side, 0.0)),
        "upper right": ((w - side, 0.0), (w, side)),
        "lower right": ((w, h - side), (w - side, h)),
        "lower left": ((side, h), (0.0, h - side)),
    }[corner]


def flipped_over(panel: Panel, side: float, corner: Corner, part: int) -> Panel:
    """Return a panel with other cloth in a corner, as the small square's triangle leaves it."""
    start, end = flip_line(panel, side, corner)
    w, h = panel.wide, panel.high
    tip = {
        "upper left": (0.0, 0.0),
        "upper right": (w, 0.0),
        "lower right": (w, h),
        "lower left": (0.0, h),
    }[corner]
    return Panel((*panel.cut(start, end), Cloth((tip, end, start), part)), w, h)


def flip_steps(
    panel: Panel, side: float, corners: Sequence[Corner], part: int, seam: float
) -> tuple[tuple[Step, ...], Panel]:
    """Return the steps of small squares sewn across corners, and what comes of it.

    Parameters
    ----------
    panel : Panel
        What they are sewn to.
    side, seam : float
        Of a small square as cut, and the seam, inches.
    corners : sequence of str
        In the order of sewing.
    part : int
        Of the small squares.
    """
    steps: list[Step] = []
    for number, corner in enumerate(corners):
        line = flip_line(panel, side, corner)
        x = 0.0 if "left" in corner else panel.wide - side
        y = 0.0 if "upper" in corner else panel.high - side
        small = piece(side, side, part, wrong_side=True).moved(x, y)
        both = Panel((*panel.cloths, *small.cloths), panel.wide, panel.high)
        marked = StepLine("mark", *line)
        sewn, beyond = StepLine("sew", *line), StepLine("cut", *beside(*line, -seam))
        panel = flipped_over(panel, side, corner, part)
        if number == 0:
            steps += [
                step("mark", "Mark a diagonal on the back of each small square.", small, [marked]),
                step("sew", f"Lay one face down on the {corner} corner and sew on the line.", both,
                     [sewn]),
                step("cut", "Cut off the corner a seam outside the stitches.", both,
                     [sewn, beyond]),
            ]  # fmt: skip
            steps.append(step("press", "Flip it open and press.", panel))
        else:
            steps.append(step("sew", f"Do the same at the {corner} corner.", both, [sewn, beyond]))
            steps.append(step("press", "Flip it open and press.", panel))
    return tuple(steps), panel
