"""A unit's sizes in words: an answer in, lines out."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.lengths import (
    CENTIMETRES_PER_INCH,
    MILLIMETRE,
    SIXTEENTH,
    round_to,
    show_centimetres,
    show_length,
)

if TYPE_CHECKING:
    from catalog.cutting.units.cutting_method import UnitPiece
    from catalog.cutting.units.sized_unit import SizedPiece
    from catalog.cutting.units.surd import Surd
    from catalog.cutting.units.unit_sizes import Size
    from cli.cutting.size_request import Answer

_FINEST_MARK: Final = Fraction(1, 64)
"""Inches; a length on no such mark is written to the nearest sixteenth."""


def shown(length: Fraction | Surd, cm: bool) -> str:
    """Write a length as people do: inches without their unit, or centimetres with it."""
    from catalog.cutting.units.surd import Surd

    exact = Surd.of(length)
    if cm:
        near = exact.rational if _is_decimal(exact) else exact.nearest_to(MILLIMETRE)
        return show_centimetres(near, places=None)
    on_mark = not exact.root and exact.rational % _FINEST_MARK == 0
    near = exact.rational if on_mark else exact.nearest_to(SIXTEENTH)
    return show_length(near, step=None, mark=False)


def _is_decimal(exact: Surd) -> bool:
    """Say whether a length has so few decimals in centimetres that they can be written."""
    return not exact.root and exact.rational * CENTIMETRES_PER_INCH * 10**5 % 1 == 0


def shown_sides(width: Fraction | Surd, height: Fraction | Surd, cm: bool) -> str:
    """Write width x height, or the one side of a square."""
    return shown(width, cm) if width == height else f"{shown(width, cm)} x {shown(height, cm)}"


def cut_sides(cut: SizedPiece, cm: bool) -> str:
    """Write the sides of a piece.

    Where several share a square, the height that each has may lie on no mark; it is then written
    as the sixteenth (the millimetre) below, so that all of them fit.
    """
    from catalog.cutting.units.surd import Surd

    height = Surd.of(cut.height)
    on_mark = _is_decimal(height) if cm else cut.height % _FINEST_MARK == 0
    step = MILLIMETRE if cm else SIXTEENTH
    return shown_sides(cut.width, cut.height if on_mark else height.down_to(step), cm)


def with_unit(length: Fraction | Surd, cm: bool) -> str:
    """Write a length with its unit, in decimals too where it lies on no mark."""
    from catalog.cutting.units.surd import Surd

    exact = Surd.of(length)
    if cm and _is_decimal(exact):
        return shown(exact, cm)
    if not cm and not exact.root and exact.rational % _FINEST_MARK == 0:
        return f"{shown(exact, cm)} in"
    side = "over" if exact > exact.nearest_to(MILLIMETRE if cm else SIXTEENTH) else "under"
    number = float(exact * CENTIMETRES_PER_INCH if cm else exact)
    return f"a little {side} {shown(exact, cm)}{'' if cm else ' in'} ({number:.3f})"


def answer_lines(answer: Answer) -> list[str]:
    """Return the whole answer."""
    cuts = [_cut_words(cut, answer.cm) for cut in answer.sized.cuts]
    rows = [("" if place else "cut", words) for place, words in enumerate(cuts)]
    rows += _size_rows(answer)
    widest = max(len(label) for label, _ in rows)
    table = [f"  {label:<{widest}}  {text}" for label, text in rows]
    cautions = ("", "Before you cut:", *(f"  {line}" for line in CAUTIONS))
    return [_title(answer), "", *table, "", *notes(answer), *cautions]


def _title(answer: Answer) -> str:
    method = answer.sized.method
    name = method.unit.replace("-", " ")
    for part in ("half", "quarter"):
        name = name.replace(f"{part} square triangle", f"{part}-square triangle")
    several = f", {method.at_a_time} at a time" if method.at_a_time > 1 else ""
    yours = " (measured on your unit)" if answer.seam_measured else ""
    seam = with_unit(answer.sized.seam, answer.cm)
    return f"{name.capitalize()}{several}, with a seam of {seam}{yours}"


def _cut_words(cut: SizedPiece, cm: bool) -> str:
    what = cut.what if cut.count == 1 else cut.what.replace(cut.shape, f"{cut.shape}s", 1)
    unit = "" if cm else " in"
    if cut.shape == "strip":
        wide, long = shown(cut.width, cm), shown(cut.height, cm)
        return f"{cut.count} {what}, {wide}{unit} wide and {long}{unit} long"
    return f"{cut.count} {what}, {cut_sides(cut, cm)}{unit}"


def _size_rows(answer: Answer) -> list[tuple[str, str]]:
    sized, cm = answer.sized, answer.cm
    makes = ("makes", f"{sized.units} {'unit' if sized.units == 1 else 'units'}")
    if sized.method.fills:
        return [("for blocks", f"of {with_unit(sized.finished, cm)} finished"), makes]
    trim = _sides_words(sized.trim, sized.trim_height, cm)
    rows = [("unfinished", trim)]
    if sized.spare > 0:
        wide = "" if sized.method.aspect == 1 else " wide"
        wanted = "trim to" if sized.method.trimmed else "asked for"
        rows = [("sewn", with_unit(sized.sewn, cm) + wide), (wanted, trim)]
    finished = _sides_words(sized.finished, sized.finished_height, cm)
    return [*rows, ("finished", finished), makes]


def _sides_words(width: Fraction, height: Fraction, cm: bool) -> str:
    if width == height:
        return with_unit(width, cm)
    return shown_sides(width, height, cm) + ("" if cm else " in")


def notes(answer: Answer) -> list[str]:
    """Return what to know and to do, a sentence or two each."""
    sized, cm = answer.sized, answer.cm
    method = sized.method
    lines = [*_reach_notes(answer), method.how, *_rule_notes(answer), *_other_sizes(answer)]
    lines += _ruler_notes(answer)
    if method.trimming:
        lines.append(method.trimming)
    if method.bias:
        lines.append(method.bias)
    elif method.trimmed:
        lines.append("The outer edges are on the straight grain.")
    if sized.waste > 0:
        lines.append(
            f"Of {_area(sized.cloth, cm):.1f} square {'cm' if cm else 'inches'} of cloth, "
            f"{_area(sized.waste, cm):.1f} are cut away."
        )
    return [*lines, *_flip_notes(answer)]


def _ruler_notes(answer: Answer) -> list[str]:
    """Return to which mark one trims where the trim size lies on none of a centimetre ruler."""
    sized, mark, method = answer.sized, answer.mark, answer.sized.method
    # Sides that differ have to keep their proportions, which marks by themselves don't.
    if not answer.cm or not method.trimmed or method.fills or method.aspect != 1:
        return []
    near = round_to(sized.trim, mark, "up" if method.points else "nearest")
    near = near if near <= sized.sewn else round_to(sized.trim, mark, "down")
    if near == sized.trim:
        return []
    return [
        f"On the ruler trim to {with_unit(near, True)}: then it finishes at "
        f"{with_unit(near - 2 * sized.seam, True)}."
    ]


def _area(area: Fraction | Surd, cm: bool) -> float:
    return float(area * CENTIMETRES_PER_INCH**2 if cm else area)


def _reach_notes(answer: Answer) -> list[str]:
    reached, cm = answer.reached, answer.cm
    if reached is None or reached.wanted is None or reached.cut_needed is None:
        return []
    wanted, sewn = with_unit(reached.wanted, cm), with_unit(reached.sewn, cm)
    if reached.short > 0:
        return [
            f"Too small: at this seam it comes out at {sewn}, and your pattern trims to {wanted}. "
            f"Before you cut, make that piece {with_unit(reached.cut_needed, cm)}."
        ]
    if reached.over > 0:
        why = "the points would be cut off" if answer.sized.method.points else "it isn't trimmed"
        return [
            f"Too large: at this seam it comes out at {sewn}, and at your pattern's {wanted} "
            f"{why}. Before you cut, make that piece {with_unit(reached.cut_needed, cm)}."
        ]
    return [f"It reaches your pattern's trim size of {wanted}."]


def _rule_notes(answer: Answer) -> list[str]:
    """Return the sum behind the cut, and what becomes of a rule that goes round."""
    from catalog.cutting.units.triangles import common_factor_cut

    sized, cm = answer.sized, answer.cm
    lines = [
        f"{'The cut' if len(sized.cuts) == 1 else 'The ' + piece.what} is "
        f"{_rule_words(piece, answer)}{_more_words(piece, cut, answer)}."
        for piece, cut in zip(sized.method.pieces, sized.cuts, strict=True)
    ]
    four = sized.method.unit == "half-square-triangle" and sized.method.at_a_time == 4
    if four and not answer.from_square:
        told = common_factor_cut(sized.trim)
        off = told - sized.cuts[0].exact
        how = "larger than needed" if off > 0 else "too small"
        lines.append(
            f"The rule that divides by 0.64 would say {_decimal(told, cm)}, "
            f"{_decimal(max(off, -off), cm)} {how}."
        )
    return lines


def _rule_words(piece: UnitPiece, answer: Answer) -> str:
    """Return the sum by which a piece is cut; of a rectangle, for either side."""
    method = answer.sized.method
    if method.fills:
        of = "the finished block"
    else:
        of = "the finished size" if method.aspect == 1 else "the finished width"
    if piece.height is None:
        return _sum_words(piece.width, of, answer)
    height = f"the finished height + {with_unit(2 * answer.sized.seam, answer.cm)}"
    return f"{_sum_words(piece.width, of, answer)} wide and {height} high"


def _more_words(piece: UnitPiece, cut: SizedPiece, answer: Answer) -> str:
    """Return by how much a piece makes up for a centre that is cut to a mark."""
    sized = answer.sized
    more = cut.exact - piece.width.at(sized.finished, sized.seam)
    if not sized.method.points or piece is sized.method.main or more <= 0:
        return ""
    return f", and {_decimal(more, answer.cm)} more for what the centre is cut smaller"


def _sum_words(size: Size, of: str, answer: Answer) -> str:
    from catalog.cutting.units.sizing import QUARTER_SEAM

    seam, cm = answer.sized.seam, answer.cm
    scale, added = size.finished, size.seam * seam
    if scale.root:
        turned = 1 / scale
        places = 4 if cm else 3  # a millimetre of a large block needs one more
        text = f"{of} / {float(turned):.{places}f}"
        if scale > 1:
            text = f"{float(scale):.{places}f} x {of}"
    elif scale == 1:
        text = of
    elif scale < 1:
        text = f"{of} / {1 / scale.rational}"
    else:
        text = f"{scale.rational} x {of}"
    if not added.root:
        return f"{text} + {with_unit(added, cm)}"
    text += f" + {_decimal(added, cm)}"
    if cm or seam != QUARTER_SEAM:
        return text
    return f"{text}; the trade adds {shown(size.allowance(seam), cm)}"


def _decimal(length: Fraction | Surd, cm: bool) -> str:
    if cm:
        return f"{float(length * CENTIMETRES_PER_INCH):.3f} cm"
    return f"{float(length):.3f} in"


def _other_sizes(answer: Answer) -> list[str]:
    """Return sizes near by that are easier, and what is left of the square."""
    sized, easy, cm, lines = answer.sized, answer.easy, answer.cm, []
    if easy is not None and easy.finished != sized.finished:
        if sized.method.fills:
            lines.append(f"It serves blocks of {with_unit(easy.finished, cm)} finished, too.")
        elif sized.method.points:
            centre, around = (with_unit(cut.width, cm) for cut in easy.cuts)
            lines.append(
                f"For an easier number cut the centre {centre} and what lies round it {around}: "
                f"then it finishes at {with_unit(easy.finished, cm)}."
            )
        else:
            trim = _sides_words(easy.trim, easy.trim_height, cm)
            finished = _sides_words(easy.finished, easy.finished_height, cm)
            lines.append(
                f"For an easier number trim to {trim}, which finishes at {finished}; "
                f"{with_unit(easy.cuts[0].width, cm)} would do for the cut."
            )
    if answer.even:
        near = " or ".join(
            f"{with_unit(size, cm)} finished from {with_unit(cut, cm)}" for size, cut in answer.even
        )
        lines.append(
            "That cut lies between the marks, so the unit comes out larger than asked for. Without "
            f"trimming you can have {near}."
        )
    if sized.left_over is not None:
        lines.append(f"Left of the square: {shown_sides(*sized.left_over, cm)}.")
    return lines


def _flip_notes(answer: Answer) -> list[str]:
    from catalog.cutting.units.triangles import bonus_triangle

    seam, cm = answer.sized.seam, answer.cm
    for piece, cut in zip(answer.sized.method.pieces, answer.sized.cuts, strict=True):
        bonus = bonus_triangle(cut.width, 2 * seam).down_to(answer.mark)
        if piece.flipped and bonus > 2 * seam:
            return [
                f"Sew a second time {with_unit(2 * seam, cm)} outside the first seam, cut between "
                "the two, and each corner leaves a half-square triangle to trim to "
                f"{with_unit(bonus, cm)}."
            ]
    return []
