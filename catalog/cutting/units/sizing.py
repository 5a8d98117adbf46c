"""Both ways round: from the finished size to the cut, and from a square in hand to the unit."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.customary import QUARTER_SEAM, USABLE_WIDTH
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.sized_unit import (
    SizedPiece,
    SizedUnit,
    grid_sewn,
    left_over,
    sized,
)
from catalog.cutting.units.surd import ZERO, Surd
from catalog.errors import UsageError
from catalog.lengths import EIGHTH, show_length
from catalog.phrases import with_article

_MIN_VISIBLE_WIDTH = Fraction(1, 2)


def size_from_finished(
    method: Method,
    finished: Fraction,
    *,
    seam: Fraction = QUARTER_SEAM,
    mark: Fraction = EIGHTH,
    usable: Fraction = USABLE_WIDTH,
    large: bool = False,
) -> SizedUnit:
    """Return what to cut for a unit of a finished width.

    Parameters
    ----------
    method : Method
    finished : Fraction
        Width once sewn in, inches, more than 0; of a setting or corner triangle, the block's.
    seam : Fraction
        Inches, more than 0.
    mark : Fraction
        The ruler's marks, inches; cuts are rounded up to one.
    usable : Fraction
        Length of a strip, inches.
    large : bool
        Cut larger, to trim more off once it is sewn.

    Returns
    -------
    SizedUnit
        `trim` is `finished` and two seams, exactly.
    """
    cuts = _cuts(method, finished, seam, mark, usable, large=large)
    trim = (finished + 2 * seam, finished * method.aspect + 2 * seam)
    return sized(method, cuts, seam, trim, finished)


def size_from_square(
    method: Method,
    square: Fraction,
    *,
    seam: Fraction = QUARTER_SEAM,
    mark: Fraction = EIGHTH,
    usable: Fraction = USABLE_WIDTH,
) -> SizedUnit:
    """Return the largest unit that a square in hand gives, trimmed to a mark of the ruler.

    Parameters
    ----------
    method : Method
    square : Fraction
        Its side, inches (of a strip, its width); used for the method's first piece as it is.
    seam, mark, usable : Fraction
        As for `size_from_finished`; the trim size is rounded down to a mark. A unit that isn't
        trimmed keeps its size to the last thread, and one with a centre set on its point goes up to
        a mark, the pieces round the centre with it, for below it the points would be cut off.

    Returns
    -------
    SizedUnit
        `sewn` is exact; the unit keeps its proportions when trimmed.

    Raises
    ------
    UsageError
        The square is so small that nothing of the unit would show.
    """
    trim = _trim(method, square, seam, mark)
    if min(trim) <= 2 * seam:
        raise _too_small(method, square, seam, mark)
    if method.grid:
        return _grid_from_square(method, square, seam, mark, usable)
    needed = (trim[1] - 2 * seam) / method.aspect if method.trimmed else trim[0] - 2 * seam
    cuts = _cuts(method, needed, seam, mark, usable, given=square)
    cut = method.main.count if method.main.of_one_square else 1
    return sized(method, cuts, seam, trim, needed, left_over(cuts[0], cut))


def _grid_from_square(
    method: Method, square: Fraction, seam: Fraction, mark: Fraction, usable: Fraction
) -> SizedUnit:
    """Return the unit whose strips are cut to the mark below, so that the square serves for it."""
    most = method.main.width.finished_at(square, seam)
    finished = method.on_grid(most, seam, mark, up=False)
    if finished <= 0:
        raise _too_small(method, square, seam, mark)
    cuts = _cuts(method, finished, seam, mark, usable, given=square)
    sewn = grid_sewn(method, cuts, seam)
    cut = method.main.count if method.main.of_one_square else 1
    return sized(method, cuts, seam, (sewn, sewn), finished, left_over(cuts[0], cut))


def _trim(
    method: Method, square: Fraction, seam: Fraction, mark: Fraction
) -> tuple[Fraction, Fraction]:
    sewn = method.sewn(square, seam)
    width = sewn.up_to(mark) if method.points else sewn.down_to(mark)
    if not method.trimmed and not method.main.of_one_square:
        # Whatever isn't trimmed has no seam on the slant, so that its size is no root.
        return sewn.rational, (sewn.rational - 2 * seam) * method.aspect + 2 * seam
    if method.aspect == 1:
        return width, width
    height = ((sewn - 2 * seam) * method.aspect + 2 * seam).down_to(mark)
    if not method.trimmed:
        return width, height
    in_proportion = Surd.of((height - 2 * seam) / method.aspect + 2 * seam).down_to(mark)
    return min(width, in_proportion), height


def _too_small(method: Method, square: Fraction, seam: Fraction, mark: Fraction) -> UsageError:
    wide = _MIN_VISIBLE_WIDTH / min(method.aspect, Fraction(1))
    least = method.main.width.at(wide, seam).up_to(mark)
    shown = show_length(square, step=None)
    return UsageError(
        f"of a {shown} {method.main.shape} nothing would show in "
        f"{with_article(method.unit)} once its seams of {show_length(seam, step=None)} are sewn",
        f"start from at least {show_length(least, step=None)}",
    )


def _cuts(
    method: Method,
    finished: Fraction,
    seam: Fraction,
    mark: Fraction,
    usable: Fraction,
    *,
    large: bool = False,
    given: Fraction | None = None,
) -> tuple[SizedPiece, ...]:
    """Return every piece; `given` is the square in hand, as it is, for the first of them."""
    cuts: list[SizedPiece] = []
    asked = finished
    if method.grid and given is None:
        finished = method.on_grid(Surd.of(finished), seam, mark)
    for piece in method.pieces:
        more = method.makes_up(cuts[0].width, finished, seam) if cuts else ZERO
        extra = piece.large if large else Fraction(0)
        whole = None if cuts else given
        # Round a centre the strips are as long as it is cut, not as its share would be.
        size = asked if method.grid and not cuts and piece.height is None else finished
        cuts.append(_cut(piece, size, seam, mark, usable, more, extra, whole))
    return tuple(cuts)


def _cut(
    piece: UnitPiece,
    finished: Fraction,
    seam: Fraction,
    mark: Fraction,
    usable: Fraction,
    more: Surd,
    extra: Fraction,
    given: Fraction | None,
) -> SizedPiece:
    """Return a piece at its size.

    It has to be `more` larger than usual, is cut `extra` larger than need be, and `given` is the
    square in hand that it is.
    """
    exact = piece.width.at(finished, seam) + more
    wanted = piece.least(finished, seam, mark) + more
    width = piece.on_mark(wanted, mark) + extra if given is None else given
    height = width
    if piece.shape == "strip":
        height = usable
    elif piece.height is not None:
        height = piece.height.at(finished, seam).up_to(mark)
        if given is not None:
            height = min(height, given / (piece.count if piece.of_one_square else 1))
    return SizedPiece(piece.what, piece.count, piece.shape, width, height, exact)
