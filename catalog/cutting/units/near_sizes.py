"""Sizes near by that are easier to cut or to remember."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.units.cutting_method import Method
from catalog.cutting.units.sized_unit import SizedUnit, strip_width
from catalog.cutting.units.sizing import size_from_finished
from catalog.cutting.units.surd import Surd
from catalog.lengths import EIGHTH


def even_sizes(
    method: Method, finished: Fraction, *, seam: Fraction = QUARTER_SEAM, mark: Fraction = EIGHTH
) -> tuple[tuple[Surd, Fraction], ...]:
    """Return the nearest sizes that need no trimming, below and above a finished width.

    Parameters
    ----------
    method : Method
    finished, seam, mark : Fraction
        As for `size_from_finished`.

    Returns
    -------
    tuple of (Surd, Fraction)
        Finished width and cut of the first piece (of strips round a centre or side by side, of
        a strip), inches; one pair where `finished` itself can
        be cut on a mark; only sizes of which something shows.
    """
    if method.grid:
        near = {method.on_grid(Surd.of(finished), seam, mark, up=False), finished}
        units = [size_from_finished(method, one, seam=seam, mark=mark) for one in near if one > 0]
        return tuple(sorted((one.sewn - 2 * seam, strip_width(one.cuts)) for one in units))
    told = method.main.width
    exact = told.at(finished, seam)
    sizes = (told.finished_at(one, seam) for one in {exact.down_to(mark), exact.up_to(mark)})
    shown = sorted(size for size in sizes if size > 0)
    return tuple((size, method.main.width.at(size, seam).up_to(mark)) for size in shown)


def easy_size(
    method: Method,
    square: Fraction,
    *,
    seam: Fraction = QUARTER_SEAM,
    mark: Fraction = EIGHTH,
    step: Fraction = Fraction(1, 2),
) -> SizedUnit | None:
    """Return the largest unit from a square in hand whose finished width is an easy number.

    Parameters
    ----------
    method : Method
    square, seam, mark : Fraction
        As for `size_from_square`.
    step : Fraction
        Easy numbers are its multiples, inches; common practice.

    Returns
    -------
    SizedUnit or None
        Its first cut is at most `square`; None where there is none.
    """
    finished = method.main.width.finished_at(square, seam).down_to(step)
    while finished > 0:
        sized = size_from_finished(method, finished, seam=seam, mark=mark)
        if sized.cuts[0].width <= square:
            return sized
        finished -= step
    return None


def all_from_squares(
    method: Method,
    square: Fraction,
    *,
    seam: Fraction = QUARTER_SEAM,
    mark: Fraction = EIGHTH,
    step: Fraction = Fraction(1, 2),
) -> Fraction | None:
    """Return the largest easy finished width, inches, of which no piece is larger than a square.

    Parameters as for `easy_size`; None where there is none.
    """
    finished = method.main.width.finished_at(square, seam).down_to(step)
    while finished > 0:
        cuts = size_from_finished(method, finished, seam=seam, mark=mark).cuts
        if all(max(cut.width, cut.height) <= square for cut in cuts):
            return finished
        finished -= step
    return None
