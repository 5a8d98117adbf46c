"""Your own seam: what is really sewn, the trim size that every unit reaches, and a warning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.units.cutting_method import HAIR, Method, down_to_mark
from catalog.cutting.units.surd import ROOT2, ZERO, Surd
from catalog.cutting.units.unit_sizes import UNFINISHED
from catalog.errors import UsageError
from catalog.lengths import EIGHTH, MILLIMETRE, show_length
from catalog.phrases import with_article

SEAM_STEP: Final = Fraction(1, 1000)
"""Inches; far finer than a unit can be measured."""
METRIC_STEP: Final = MILLIMETRE / 20
"""Inches; two seams are then a whole number of tenths of a millimetre."""
MAX_SEWN_SEAM: Final = Fraction(1)
"""Inches; patchwork is sewn at a quarter, and a measurement that says more is a slip."""


@dataclass(frozen=True)
class Reach:
    """What units of one cut come to, inches."""

    sewn: Surd
    """The smallest of them, exact."""
    trim: Fraction
    """The largest size on the ruler that every one of them reaches; of a unit that isn't trimmed
    its own size."""
    wanted: Fraction | None
    """The pattern's trim size."""
    cut_needed: Fraction | None
    """The cut, on the ruler, at which every unit reaches `wanted`, and none is larger if they can't
    be trimmed down to it."""
    over: Surd = ZERO
    """By how much a unit that can't be trimmed to `wanted` is larger: its outer pieces would shrink
    or its points be cut off. 0 where it isn't, or can be trimmed."""

    @property
    def short(self) -> Surd:
        """By how much the smallest misses `wanted`; 0 where it doesn't."""
        return ZERO if self.wanted is None else max(self.wanted - self.sewn, ZERO)


def reach(
    method: Method,
    cut: Fraction,
    seams: Sequence[Fraction],
    *,
    wanted: Fraction | None = None,
    mark: Fraction = EIGHTH,
) -> Reach:
    """Return what units come to at the seams really sewn, and whether a pattern's size is reached.

    Parameters
    ----------
    method : Method
    cut : Fraction
        Side of the first piece, inches.
    seams : sequence of Fraction
        One or more, inches; the one that leaves the smallest unit counts.
    wanted : Fraction, optional
        The pattern's trim size, inches.
    mark : Fraction
        The ruler's marks, inches.

    Raises
    ------
    ValueError
        No seam is given.
    """
    if not seams:
        msg = "expected one seam or more, got none"
        raise ValueError(msg)
    sizes = [method.sewn(cut, seam) for seam in seams]
    sewn = min(sizes)
    kept = not method.trimmed or method.points is not None
    trim = sewn.rational if kept and not sewn.root else sewn.down_to(mark)
    if wanted is None:
        return Reach(sewn, trim, None, None)
    cuts = [_cut_for(method, wanted, seam) for seam in seams]
    over = max(max(sizes) - wanted, ZERO) if kept else ZERO
    if over <= HAIR * ROOT2:
        return Reach(sewn, trim, wanted, max(cuts).up_to(mark))
    return Reach(sewn, trim, wanted, down_to_mark(min(cuts), mark), over)


def _cut_for(method: Method, unfinished: Fraction, seam: Fraction) -> Surd:
    return method.main.width.at(UNFINISHED.finished_at(unfinished, seam), seam)


def seam_of_unit(
    method: Method, cut: Fraction, measured: Fraction, step: Fraction = SEAM_STEP
) -> Fraction:
    """Return the seam really sewn, from one unit measured before it is trimmed.

    With a cut of a finished + b seam and an unfinished size of finished + 2 seam, it is
    (cut / a - unfinished) / (b / a - 2).

    Parameters
    ----------
    method : Method
    cut : Fraction
        Side of the first piece, inches.
    measured : Fraction
        The unit's width as sewn and pressed, raw edge to raw edge, inches.
    step : Fraction
        To which the seam is rounded up, inches.

    Returns
    -------
    Fraction
        Inches, rounded up, so that it never promises too large a unit.

    Raises
    ------
    UsageError
        The unit has no seam across its width, or is too large or too small to be sewn so.
    """
    width = method.main.width
    crossing = width.seam / width.finished - 2
    if crossing == 0:
        raise UsageError(
            f"the width of {with_article(method.unit)} doesn't tell the seam, "
            "for none runs across it",
            "measure a nine-patch or a half-square-triangle, or give --seam",
        )
    seam = ((cut / width.finished - measured) / crossing).up_to(step)
    if not 0 < seam <= MAX_SEWN_SEAM:
        shown = show_length(measured, step=None)
        raise UsageError(
            f"{with_article(method.unit)} cut from {show_length(cut, step=None)} "
            f"can't measure {shown}",
            "measure both again, the unit before it is trimmed",
        )
    return seam
