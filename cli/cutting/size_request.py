"""What was asked of ``calicount size``, checked and worked out."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError
from catalog.lengths import EIGHTH, MILLIMETRE, SIXTY_FOURTH, show_length
from catalog.phrases import with_article
from cli.cutting.cloth_options import MAX_SEAM, cloth_of

if TYPE_CHECKING:
    from catalog.cutting.layouts.precuts import Pinked
    from catalog.cutting.layouts.unit_supply import UnitSupply
    from catalog.cutting.units.cutting_method import Method
    from catalog.cutting.units.sewn_seam import Reach
    from catalog.cutting.units.sized_unit import SizedUnit
    from catalog.cutting.units.unit_kind import UnitKind
    from cli.cutting.size_options import SizeOptions

MAX_RULER_MARK: Final = Fraction(1)
"""Inches; coarser marks would round a unit away."""
MIN_RULER_MARK: Final = Fraction(1, 64)
MIN_SHOWN: Final = Fraction(1, 4)
"""Inches of a strip; less than a seam is no strip (as in a pattern file)."""
_USUAL_RECTANGLES = 2
"""Rectangles from one square, unless told."""


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
    supply: UnitSupply | None = None
    """What cloth they take, where a number or a precut was told."""
    pinked: Pinked = "valleys"


def fill(options: SizeOptions) -> Answer:
    """Work out what was asked.

    Raises
    ------
    CalicountError
        What was asked contradicts itself, or a length is none or can't be had.
    """
    from catalog.cutting.units.sewn_seam import reach

    mark = _mark(options)
    method, seam = _method(options)
    sized = _sized(options, method, seam, mark)
    if not sized.units:
        raise UsageError(
            f"a strip of {show_length(options.length(options.width), step=None)} is too short for "
            f"one {method.unit} of that size",
            "give a longer --width, or a smaller size",
        )
    reached = None
    if options.trim_to is not None:
        cut, wanted = sized.cuts[0].width, options.length(options.trim_to)
        reached = reach(method, cut, [seam], wanted=wanted, mark=mark)
    return Answer(
        sized=sized,
        from_square=options.finished is None,
        easy=_easy(options, sized, mark),
        even=_even(sized, mark),
        reached=reached,
        seam_measured=options.measured is not None,
        mark=mark,
        cm=options.cm,
        supply=_supply(options, sized),
        pinked=options.pinked_at,
    )


def _supply(options: SizeOptions, sized: SizedUnit) -> UnitSupply | None:
    """Return what cloth the units take; None where neither a number nor a precut was told."""
    if options.number is None and options.sold is None:
        return None
    from catalog.cutting.layouts.unit_supply import unit_supply

    return unit_supply(
        sized,
        cloth_of(options.width, cm=options.cm),
        number=options.number,
        precut=options.sold,
        pinked=options.pinked_at,
        pack=options.pack,
    )


def _sized(options: SizeOptions, method: Method, seam: Fraction, mark: Fraction) -> SizedUnit:
    from catalog.cutting.units.sizing import size_from_finished, size_from_square

    usable = _usable(options)
    if (square := options.square_side) is not None:
        return size_from_square(method, square, seam=seam, mark=mark, usable=usable)
    finished = _finished(options, method)
    _refuse_slivers(method, finished, seam)
    return size_from_finished(
        method, finished, seam=seam, mark=mark, usable=usable, large=options.large
    )


def _refuse_slivers(method: Method, finished: Fraction, seam: Fraction) -> None:
    """Refuse a unit of strips that would show less than a seam's width each.

    Raises
    ------
    UsageError
        The cure names the smallest that doesn't.
    """
    if method.grid is None or method.grid.at(finished, seam) >= MIN_SHOWN:
        return
    least = method.grid.finished_at(MIN_SHOWN, seam).up_to(EIGHTH)
    shown = show_length(method.grid.at(finished, seam).nearest_to(SIXTY_FOURTH), step=None)
    raise UsageError(
        f"in {with_article(method.unit)} that finishes at {show_length(finished, step=None)} "
        f"each strip would show no more than {shown}",
        f"give --finished {show_length(least, step=None)} or more, or fewer strips",
    )


def _usable(options: SizeOptions) -> Fraction:
    """Return how long a strip is: as wide as the fabric, or the longer side of the precut."""
    if options.sold is None:
        return options.length(options.width)
    cloth = cloth_of(options.width, cm=options.cm)
    return max(options.sold.sides(cloth, options.pinked_at))


def _easy(options: SizeOptions, sized: SizedUnit, mark: Fraction) -> SizedUnit | None:
    """Return the largest unit of an easy number, if a ruler can trim it."""
    from catalog.cutting.units.near_sizes import easy_size

    if options.finished is not None or not sized.method.trimmed:
        return None
    step = 10 * MILLIMETRE if options.cm else Fraction(1, 2)
    square = sized.cuts[0].width
    easy = easy_size(sized.method, square, seam=sized.seam, mark=mark, step=step)
    return None if easy is None or easy.trim % mark or easy.trim_height % mark else easy


def _mark(options: SizeOptions) -> Fraction:
    if options.ruler is None:
        return MILLIMETRE if options.cm else EIGHTH
    mark = options.length(options.ruler)
    if not MIN_RULER_MARK <= mark <= MAX_RULER_MARK:
        raise UsageError(
            f"no ruler has a mark at every {options.ruler}",
            'write --ruler like "1 mm"' if options.cm else 'write --ruler like "1/8" or "1 mm"',
        )
    return mark


def _method(options: SizeOptions) -> tuple[Method, Fraction]:
    """Return the way to make the unit, and the seam."""
    from catalog.cutting.customary import QUARTER_SEAM
    from catalog.cutting.units.sewn_seam import METRIC_STEP, SEAM_STEP, seam_of_unit
    from catalog.cutting.units.units_by_name import find_unit, unit_name, way_of

    seam = QUARTER_SEAM if options.seam is None else options.length(options.seam)
    if seam > MAX_SEAM:
        raise UsageError(
            f"a seam of {options.seam} is too wide for patchwork",
            f"give --seam up to {show_length(MAX_SEAM)}",
        )
    if unit_name(options.unit) == "rectangle":
        if options.measured is not None:
            raise UsageError("a rectangle doesn't tell the seam", "measure a nine-patch instead")
        return _rectangle(options, seam), seam
    method = way_of(_in_shape(options, find_unit(options.unit)), options.at_a_time)
    if options.measured is not None and options.square_side is not None:
        measured, step = options.length(options.measured), METRIC_STEP if options.cm else SEAM_STEP
        seam = seam_of_unit(method, options.square_side, measured, step)
    return method, seam


def _in_shape(options: SizeOptions, unit: UnitKind) -> UnitKind:
    """Return a unit whose sides are free in the shape that was told; else as it is."""
    sides = options.finished_sides
    if unit.reshaped is None or len(sides) != 2:
        return unit
    return unit.reshaped(min(sides) / max(sides))


def _rectangle(options: SizeOptions, seam: Fraction) -> Method:
    from catalog.cutting.units.kinds.patches.plain_rectangle import rectangle

    if (square := options.square_side) is None:
        sides = options.finished_sides
        if len(sides) != 2:
            raise UsageError(f'"{options.finished}" is one size', 'write both, as in "4 x 2"')
        if options.at_a_time not in {None, 1}:
            raise UsageError(
                "with --finished, rectangles are cut one by one", "leave --at-a-time out"
            )
        return rectangle(min(sides) / max(sides))
    number = _USUAL_RECTANGLES if options.at_a_time is None else options.at_a_time
    if number < 1 or square / number <= 2 * seam:
        raise UsageError(
            f"a {show_length(square, step=None)} square gives no {number} rectangles",
            "give a smaller --at-a-time, 1 or more, or a larger --square",
        )
    return rectangle((square / number - 2 * seam) / (square - 2 * seam), number)


def _finished(options: SizeOptions, method: Method) -> Fraction:
    """Return the finished width; a height may stand beside it."""
    sides = sorted(options.finished_sides, reverse=True)
    if len(sides) == 2 and sides[1] != sides[0] * method.aspect:
        height = show_length(sides[0] * method.aspect, step=None)
        raise UsageError(
            f'{with_article(method.unit)} can\'t finish at "{options.finished}"',
            f"give the width alone; {show_length(sides[0], step=None)} wide is {height} high",
        )
    return sides[0]


def _even(sized: SizedUnit, mark: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return the nearest sizes without trimming, where a unit that isn't trimmed has spare."""
    from catalog.cutting.units.near_sizes import even_sizes

    if sized.method.trimmed or sized.spare == 0:
        return ()
    sizes = even_sizes(sized.method, sized.finished, seam=sized.seam, mark=mark)
    return tuple((size.rational, cut) for size, cut in sizes)
