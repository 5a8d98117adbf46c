"""What to know of a unit and to do about it, in words."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from catalog.lengths import CENTIMETRES_PER_INCH, MILLIMETRE, round_to
from catalog.phrases import joined
from cli.cutting.size_lengths import in_decimals, shown, shown_sides, sides_with_unit, with_unit

if TYPE_CHECKING:
    from catalog.cutting.units.cutting_method import UnitPiece
    from catalog.cutting.units.sized_unit import SizedPiece
    from catalog.cutting.units.unit_sizes import Size
    from cli.cutting.size_request import Answer


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
    elif method.trimmed and not method.measured:
        lines.append("The outer edges are on the straight grain.")
    if method.caution:
        lines.append(method.caution)
    if sized.waste > 0:
        cloth, waste = (
            float(area * CENTIMETRES_PER_INCH**2 if cm else area)
            for area in (sized.cloth, sized.waste)
        )
        lines.append(
            f"Of {cloth:.1f} square {'cm' if cm else 'inches'} of cloth, {waste:.1f} are cut away."
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
    from catalog.cutting.units.triangle_sides import common_factor_cut

    sized, cm = answer.sized, answer.cm
    if sized.method.grid and len(sized.cuts) > 1:
        strips = [_grid_words(sized.method.grid, answer), *_strip_length(answer)]
        return [*strips, *_end_notes(answer)]
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
            f"The rule that divides by 0.64 would say {in_decimals(told, cm)}, "
            f"{in_decimals(max(off, -off), cm)} {how}."
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
    if piece.height.finished != method.aspect or piece.height.seam != 2:
        height = _sum_words(piece.height, of, answer)
    return f"{_sum_words(piece.width, of, answer)} wide and {height} high"


def _more_words(piece: UnitPiece, cut: SizedPiece, answer: Answer) -> str:
    """Return by how much a piece makes up for a centre that is cut to a mark."""
    sized = answer.sized
    more = cut.exact - piece.width.at(sized.finished, sized.seam)
    if not sized.method.points or piece is sized.method.main or more <= 0:
        return ""
    return f", and {in_decimals(more, answer.cm)} more for what the centre is cut smaller"


def _sum_words(size: Size, of: str, answer: Answer) -> str:
    from catalog.cutting.customary import QUARTER_SEAM

    seam, cm = answer.sized.seam, answer.cm
    scale, added = size.finished, size.seam * seam
    if scale.root:
        turned = 1 / scale
        places = 4 if cm else 3  # a millimetre of a large block needs one more
        text = f"{of} / {float(turned):.{places}f}"
        if scale > 1:
            text = f"{float(scale):.{places}f} x {of}"
    else:
        text = _share_words(scale.rational, of)
    if not added.root:
        return f"{text} + {with_unit(added, cm)}"
    text += f" + {in_decimals(added, cm)}"
    if cm or seam != QUARTER_SEAM or added.radicand != 2:
        return text
    return f"{text}; the trade adds {shown(size.allowance(seam), cm)}"


def _grid_words(grid: Size, answer: Answer) -> str:
    """Say of what width all pieces are so many, and what is added to cut them."""
    from catalog.cutting.units.sized_unit import strip_width

    sized, cm = answer.sized, answer.cm
    exact = grid.at(sized.finished, sized.seam)
    share = _share_words(grid.finished.rational, "the finished size")
    shows = strip_width(sized.cuts) - 2 * sized.seam
    cut = f", and {with_unit(shows, cm)} as it is cut to a mark" if shows != exact else ""
    return (
        f"Each strip shows {share}, {with_unit(exact, cm)}{cut}; each piece is cut as wide "
        f"and as long as it shows + {with_unit(2 * sized.seam, cm)}."
    )


def _end_notes(answer: Answer) -> list[str]:
    """Say to what the strips are shortened that are longer than the unit is wide across them."""
    sized = answer.sized
    if sized.method.main.height is None or sized.cuts[0].width == sized.sewn:
        return []
    return [f"Once they are sewn, square the ends off to {with_unit(sized.sewn, answer.cm)}."]


def _share_words(share: Fraction, of: str) -> str:
    """Write so many parts of a size, in signs that are no length."""
    many = "" if share.numerator == 1 else f"{share.numerator} x "
    return f"{many}{of}" if share.denominator == 1 else f"{many}{of} / {share.denominator}"


def _strip_length(answer: Answer) -> list[str]:
    """Return how much of a strip the pieces take that are all as wide, where they are several."""
    cuts = [cut for cut in answer.sized.cuts if cut.shape == "rectangle"]
    width = min(cut.height for cut in cuts)
    if any(cut.height != width for cut in cuts):
        return []
    long = sum((cut.count * cut.width for cut in cuts), Fraction(0))
    return [
        f"All of them take {with_unit(long, answer.cm)} of strips {with_unit(width, answer.cm)} "
        "wide; a whole piece needs to fit what is left of a strip."
    ]


def _other_sizes(answer: Answer) -> list[str]:
    """Return sizes near by that are easier, and what is left of the square."""
    sized, cm = answer.sized, answer.cm
    lines = _easier_notes(answer)
    if answer.even:
        strips = "strips of " if sized.method.grid else ""
        near = " or ".join(
            f"{with_unit(size, cm)} finished from {strips}{with_unit(cut, cm)}"
            for size, cut in answer.even
        )
        lines.append(
            "That cut lies between the marks, so the unit comes out larger than asked for. Without "
            f"trimming you can have {near}."
        )
    lines += _larger_notes(answer)
    if sized.left_over is not None:
        lines.append(f"Left of the square: {shown_sides(*sized.left_over, cm)}.")
    return lines


def _larger_notes(answer: Answer) -> list[str]:
    """Say which pieces need larger squares than the one in hand, and what such ones give alone."""
    sized, cm = answer.sized, answer.cm
    square = sized.cuts[0].width
    larger = [cut.what for cut in sized.cuts if cut.shape != "strip" and cut.width > square]
    if not answer.from_square or sized.method.grid or not larger:
        return []
    from catalog.cutting.units.near_sizes import all_from_squares

    step = 10 * MILLIMETRE if cm else Fraction(1, 2)
    alone = all_from_squares(sized.method, square, seam=sized.seam, mark=answer.mark, step=step)
    need = "it has to be" if len(larger) == 1 else "they have to be"
    told = f"The {joined(larger)} can't come from such a square: {need} larger."
    if alone is None:
        return [told]
    return [f"{told} From squares of that size alone it can finish at {with_unit(alone, cm)}."]


def _easier_notes(answer: Answer) -> list[str]:
    """Return what the square in hand gives where an easier number is wanted."""
    sized, easy, cm = answer.sized, answer.easy, answer.cm
    if easy is None or easy.finished == sized.finished:
        return []
    if sized.method.fills:
        return [f"It serves blocks of {with_unit(easy.finished, cm)} finished, too."]
    if sized.method.points:
        centre, *rounds = (with_unit(cut.width, cm) for cut in easy.cuts)
        around = joined(rounds)
        return [
            f"For an easier number cut the centre {centre} and what lies round it {around}: "
            f"then it finishes at {with_unit(easy.finished, cm)}."
        ]
    trim = sides_with_unit(easy.trim, easy.trim_height, cm)
    finished = sides_with_unit(easy.finished, easy.finished_height, cm)
    return [
        f"For an easier number trim to {trim}, which finishes at {finished}; "
        f"{with_unit(easy.cuts[0].width, cm)} would do for the cut."
    ]


def _flip_notes(answer: Answer) -> list[str]:
    from catalog.cutting.units.triangle_sides import bonus_triangle

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
