"""Parsed units made a block in colours, each with its certainty, and what to look at again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.pattern.blocks.block_pieces import MARKS
from catalog.pattern.blocks.coloured_block import ColouredBlock
from catalog.pattern.drawing.block_parsing import ParsedUnit
from catalog.pattern.drawing.drawing_values import DrawingProposal
from catalog.phrases import count_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from catalog.pattern.drawing.lattice_size import LatticeFit
    from catalog.pattern.drawing.patch_colours import DrawnColours
    from catalog.pattern.drawing.seam_lattice import Seams

TURNED_ROUND: Final = {"half-square-triangle": 180, "quarter-square-triangle": 90}
"""Units that are the same with their two fabrics exchanged and so turned."""
DOUBTFUL: Final = 0.8
"""Certainty below which a cell is one to look at again."""
NEAR_COLOURS: Final = 14.0
"""Difference below which two colours may be one, or one two."""
ALONE: Final = 0.5
"""Certainty that one unit by itself is the whole block, no mark or part of one (choice of ours)."""
UNLINED: Final = 0.6
"""The same of a block without seam lines, of which many cuts into units look alike."""
MAX_LOGIT: Final = 12.0


def proposed(
    units: Sequence[ParsedUnit],
    odds: Seams,
    fit: LatticeFit,
    colours: DrawnColours,
    corners: NDArray[np.float64],
    *,
    lined: bool,
) -> DrawingProposal:
    """Return the proposal that parsed units and their colours make.

    Parameters
    ----------
    units : sequence of ParsedUnit
    odds : Seams
    fit : LatticeFit
    colours : DrawnColours
    corners : (4, 2) float64
        Px of the picture.
    lined : bool
        Whether patches of one colour are parted by a line too.
    """
    rank = {one.name: place for place, one in enumerate(colours.colours)}
    size = math.gcd(fit.rows, fit.columns, *(n for one in units for n in
                    (one.row, one.column, one.wide, one.high)))  # fmt: skip
    kinds: dict[BlockUnit, int] = {}
    cells = []
    for unit, named in zip(units, colours.named, strict=True):
        made, turn = _block_unit(unit, named, rank, size)
        number = kinds.setdefault(made, len(kinds))
        place = (unit.row // size, unit.column // size, unit.wide // size, unit.high // size)
        cells.append(Cell(number, *place, turn))
    marked = tuple(replace(one, mark=MARKS[n % len(MARKS)]) for one, n in kinds.items())
    rows, across = fit.rows // size, fit.columns // size
    block = Block(across, marked, tuple(cells), None if rows == across else rows)
    certain = tuple(_certainty(unit, odds) for unit in units)
    whole = min(certain) * (1 - min(fit.stray, 0.9))
    whole *= (ALONE if len(units) == 1 else 1) * (1 if lined else UNLINED)
    found = DrawingProposal(
        ColouredBlock(block, colours.colours),
        certain,
        whole,
        colours.looks,
        tuple((float(x), float(y)) for x, y in corners),
        (),
    )
    return replace(found, doubts=tuple(_doubts(found, colours, lined=lined)))


def _block_unit(
    unit: ParsedUnit, named: tuple[str, ...], rank: dict[str, int], size: int
) -> tuple[BlockUnit, int]:
    """Return a unit of the block and its turn, its feature first where it may be turned so."""
    wide, high = unit.wide // size, unit.high // size
    if unit.shape is None:
        name = "square" if wide == high else "rectangle"
        return BlockUnit("", name, None, (Patch(named[0]),), wide, high), 0
    turn, name = unit.shape.turn, unit.shape.unit
    if name in TURNED_ROUND and rank[named[0]] > rank[named[1]]:
        turn, named = (turn + TURNED_ROUND[name]) % 360, named[::-1]
    if turn % 180:
        wide, high = high, wide
    patches = tuple(Patch(one) for one in named)
    if name == "quarter-square-triangle":
        turn %= 180
    return BlockUnit("", name, None, patches, wide, high), turn


def _certainty(unit: ParsedUnit, odds: Seams) -> float:
    """Return how likely the doubtfullest of a unit's seams is, those it has and those it hasn't."""
    return min(_chances(unit, odds), default=1.0)


def agreement(units: Sequence[ParsedUnit], odds: Seams) -> float:
    """Return the share of what short seams show that goes with the units, 0 to 1."""
    shown = [one for unit in units for one in _odds(unit, odds)]
    weight = sum(abs(one) for one in shown)
    return sum(one for one in shown if one > 0) / weight if weight else 0.0


def _chances(unit: ParsedUnit, odds: Seams) -> Iterator[float]:
    return (1 / (1 + math.exp(-one)) for one in _odds(unit, odds))


def _odds(unit: ParsedUnit, odds: Seams) -> Iterator[float]:
    """Yield the log-odds that each short seam in a unit, above and to the left of it is as told."""
    own = set(unit.lines())
    for r in range(unit.row, unit.row + unit.high):
        for c in range(unit.column, unit.column + unit.wide):
            for half in range(4):
                yield _right(odds.slanted[r, c, half], ("slanted", r, c, half) in own)
            if r > 0:
                seam = r == unit.row or ("level", r - 1, c, 0) in own
                yield _right(odds.level[r - 1, c], seam)
            if c > 0:
                seam = c == unit.column or ("upright", r, c - 1, 0) in own
                yield _right(odds.upright[r, c - 1], seam)


def _right(odds: float, is_seam: bool) -> float:
    return min(max(float(odds if is_seam else -odds), -MAX_LOGIT), MAX_LOGIT)


def _doubts(found: DrawingProposal, colours: DrawnColours, *, lined: bool) -> Iterator[str]:
    unsure = [cell for cell, own in zip(found.drawn.block.cells, found.certainties, strict=True)
              if own < DOUBTFUL]  # fmt: skip
    if unsure:
        places = ", ".join(f"row {cell.row + 1} cell {cell.column + 1}" for cell in unsure[:6])
        more = f" and {len(unsure) - 6} more" if len(unsure) > 6 else ""
        yield (f"look at {count_of(len(unsure), 'unit')} again, hard to make out: {places}{more} "
               "(counted from the upper left)")  # fmt: skip
    if len(found.certainties) == 1:
        yield "it is one unit alone: look whether the whole block is in the picture"
    if not lined:
        yield "it has no seam lines, so where patches of one colour meet can't be seen"
    if len(found.drawn.colours) == 1:
        yield "the drawing shows no colours: paint the patches"
    elif colours.nearest < NEAR_COLOURS:
        yield "two of its colours are nearly alike: look whether they are one"
    if len(found.drawn.colours) > 1:
        yield "the lightest colour is taken for the background"
