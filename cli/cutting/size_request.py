"""What was asked of ``calicount size``, checked and worked out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError
from catalog.lengths import EIGHTH, MILLIMETRE, parse_length, show_length

if TYPE_CHECKING:
    from catalog.cutting.units.cutting_method import Method
    from catalog.cutting.units.sewn_seam import Reach
    from catalog.cutting.units.sized_unit import SizedUnit

COARSEST_RULER: Final = Fraction(1)
"""Inches; coarser marks would round a unit away."""
FINEST_RULER: Final = Fraction(1, 64)
_BY = re.compile(r"\s*(?:x|\u00d7|\bby\b)\s*", re.IGNORECASE)
WIDEST_SEAM: Final = Fraction(1)
"""Inches; patchwork is sewn at a quarter, and a wider seam than this is a slip of the unit."""
_RECTANGLES = 2
"""Rectangles from one square, unless told."""


@dataclass(frozen=True)
class SizeOrder:
    """The command's words; lengths as they were written."""

    unit: str
    square: str | None
    finished: str | None
    at_a_time: int | None
    seam: str | None
    measured: str | None
    trim_to: str | None
    large: bool
    width: str
    ruler: str | None
    cm: bool


@dataclass(frozen=True)
class Answer:
    """What came of it."""

    sized: SizedUnit
    from_square: bool
    easy: SizedUnit | None
    """From a square in hand, the largest unit of an easy finished size."""
    even: tuple[tuple[Fraction, Fraction], ...]
    """Finished size and cut of the nearest patches that need no trimming."""
    reached: Reach | None
    """Against the pattern's trim size, where one was given."""
    seam_measured: bool
    mark: Fraction
    cm: bool


def fill(order: SizeOrder) -> Answer:
    """Work out an order.

    Raises
    ------
    CalicountError
        The order contradicts itself, or a length is none or can't be had.
    """
    from catalog.cutting.units.sewn_seam import reach

    _check(order)
    mark = _mark(order)
    method, seam = _method(order)
    sized = _sized(order, method, seam, mark)
    if not sized.units:
        raise UsageError(
            f"a strip of {order.width} is too short for one {method.unit} of that size",
            "give a longer --width, or a smaller size",
        )
    reached = None
    if order.trim_to is not None:
        cut, wanted = sized.cuts[0].width, _read(order, order.trim_to)
        reached = reach(method, cut, [seam], wanted=wanted, mark=mark)
    return Answer(
        sized=sized,
        from_square=order.square is not None,
        easy=_easy(order, sized, mark),
        even=_even(sized, mark),
        reached=reached,
        seam_measured=order.measured is not None,
        mark=mark,
        cm=order.cm,
    )


def _read(order: SizeOrder, text: str) -> Fraction:
    """Return a length, inches; a bare number is one of centimetres if those are shown."""
    return parse_length(text, cm=order.cm)


def _sized(order: SizeOrder, method: Method, seam: Fraction, mark: Fraction) -> SizedUnit:
    from catalog.cutting.units.sizing import size_from_finished, size_from_square

    usable = _read(order, order.width)
    if order.square is not None:
        square = _read(order, order.square)
        return size_from_square(method, square, seam=seam, mark=mark, usable=usable)
    finished = _finished(order, method)
    return size_from_finished(
        method, finished, seam=seam, mark=mark, usable=usable, large=order.large
    )


def _easy(order: SizeOrder, sized: SizedUnit, mark: Fraction) -> SizedUnit | None:
    """Return the largest unit of an easy number, if a ruler can trim it."""
    from catalog.cutting.units.near_sizes import easy_size

    if order.square is None or not sized.method.trimmed:
        return None
    step = 10 * MILLIMETRE if order.cm else Fraction(1, 2)
    square = sized.cuts[0].width
    easy = easy_size(sized.method, square, seam=sized.seam, mark=mark, step=step)
    return None if easy is None or easy.trim % mark or easy.trim_height % mark else easy


def _check(order: SizeOrder) -> None:
    if (order.square is None) == (order.finished is None):
        problem = (
            "neither --square nor --finished is given"
            if order.square is None
            else "--square and --finished are both given"
        )
        raise UsageError(
            problem, "give --square for a square in hand, or --finished for the size to reach"
        )
    if order.measured is not None and (order.seam is not None or order.square is None):
        raise UsageError(
            "--measured tells the seam from a unit sewn of squares that you know",
            "give it with --square and without --seam",
        )
    if order.large and order.finished is None:
        raise UsageError(
            "--large says how to cut, and a square in hand is cut already",
            "give --finished with it, or leave it out",
        )


def _mark(order: SizeOrder) -> Fraction:
    if order.ruler is None:
        return MILLIMETRE if order.cm else EIGHTH
    mark = _read(order, order.ruler)
    if not FINEST_RULER <= mark <= COARSEST_RULER:
        raise UsageError(
            f"no ruler has a mark at every {order.ruler}",
            'write --ruler like "1 mm"' if order.cm else 'write --ruler like "1/8" or "1 mm"',
        )
    return mark


def _method(order: SizeOrder) -> tuple[Method, Fraction]:
    """Return the way to make the unit, and the seam."""
    from catalog.cutting.units.sewn_seam import METRIC_STEP, SEAM_STEP, seam_of_unit
    from catalog.cutting.units.sizing import QUARTER_SEAM
    from catalog.cutting.units.units_by_name import find_method, unit_name

    seam = QUARTER_SEAM if order.seam is None else _read(order, order.seam)
    if seam > WIDEST_SEAM:
        raise UsageError(
            f"a seam of {order.seam} is too wide for patchwork",
            f"give --seam up to {show_length(WIDEST_SEAM)}",
        )
    if unit_name(order.unit) == "rectangle":
        if order.measured is not None:
            raise UsageError("a rectangle doesn't tell the seam", "measure a nine-patch instead")
        return _rectangle(order, seam), seam
    method = find_method(order.unit, order.at_a_time)
    if order.measured is not None and order.square is not None:
        measured, step = _read(order, order.measured), METRIC_STEP if order.cm else SEAM_STEP
        seam = seam_of_unit(method, _read(order, order.square), measured, step)
    return method, seam


def _rectangle(order: SizeOrder, seam: Fraction) -> Method:
    from catalog.cutting.units.patchwork import rectangle

    if order.finished is not None:
        sides = _sides(order, order.finished)
        if len(sides) != 2:
            raise UsageError(f'"{order.finished}" is one size', 'write both, as in "4 x 2"')
        if order.at_a_time not in {None, 1}:
            raise UsageError(
                "with --finished, rectangles are cut one by one", "leave --at-a-time out"
            )
        return rectangle(min(sides) / max(sides))
    square = _read(order, order.square or "")
    number = _RECTANGLES if order.at_a_time is None else order.at_a_time
    if number < 1 or square / number <= 2 * seam:
        raise UsageError(
            f"a {show_length(square, step=None)} square gives no {number} rectangles",
            "give a smaller --at-a-time, 1 or more, or a larger --square",
        )
    return rectangle((square / number - 2 * seam) / (square - 2 * seam), number)


def _finished(order: SizeOrder, method: Method) -> Fraction:
    """Return the finished width; a height may stand beside it."""
    text = order.finished or ""
    sides = sorted(_sides(order, text), reverse=True)
    if len(sides) == 2 and sides[1] != sides[0] * method.aspect:
        height = show_length(sides[0] * method.aspect, step=None)
        raise UsageError(
            f'a {method.unit} can\'t finish at "{text}"',
            f"give the width alone; {show_length(sides[0], step=None)} wide is {height} high",
        )
    return sides[0]


def _sides(order: SizeOrder, text: str) -> list[Fraction]:
    """Return one or two lengths; a text that is neither is refused as a length."""
    parts = _BY.split(text.strip())
    return [_read(order, part) for part in (parts if len(parts) == 2 else [text])]


def _even(sized: SizedUnit, mark: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return the nearest sizes without trimming, where a unit that isn't trimmed has spare."""
    from catalog.cutting.units.near_sizes import even_sizes

    if sized.method.trimmed or sized.spare == 0:
        return ()
    sizes = even_sizes(sized.method, sized.finished, seam=sized.seam, mark=mark)
    return tuple((size.rational, cut) for size, cut in sizes)
