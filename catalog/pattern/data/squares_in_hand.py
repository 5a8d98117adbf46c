"""What is to be known of a pattern that can be made: squares too small, edges that don't meet."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.comparison import shown
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import units_on_sides
from catalog.cutting.units.cutting_method import HAIR
from catalog.errors import CalicountError
from catalog.lengths import EIGHTH, SIXTEENTH, show_length
from catalog.pattern.data.field_edits import Data, FieldEdit, piece_place
from catalog.pattern.data.made_numbers import QuiltNumbers, quilt_numbers
from catalog.pattern.data.pattern_messages import FieldMessage, Mend
from catalog.pattern.data.rescaling import rescaled

MAX_UNITS_ON_A_SIDE: Final = 400
"""Units of a border that are tried along a side."""


def fit_messages(
    data: Data, quilt: Quilt, side: Fraction | None, seam: Fraction | None
) -> Iterator[FieldMessage]:
    """Yield what is to be known of a pattern that can be read.

    Parameters
    ----------
    data : mapping
    quilt : Quilt
        What they say.
    side, seam : Fraction, optional
        Of the squares in hand and as sewn, inches.
    """
    yield from _off_marks(data, quilt)
    try:
        numbers = quilt_numbers(quilt, side, seam)
    except CalicountError as error:
        says = f"{error.problem[:1].upper()}{error.problem[1:]}; {error.cure}."
        yield FieldMessage(("layout", "finished_block"), says)
        return
    yield from _too_large(data, numbers, side, seam)
    yield from _borders(quilt, numbers.quilt.layout)


def _too_large(
    data: Data, numbers: QuiltNumbers, side: Fraction | None, seam: Fraction | None
) -> Iterator[FieldMessage]:
    """Yield pieces that the squares in hand don't give as they are written."""
    quilt = numbers.quilt.quilt
    own = [kind for kind in quilt.kinds if kind.source != "yardage"]
    large = [kind for kind in own if side is not None and kind.size > side]
    if side is None or not large:
        return
    sewn = quilt.seam if seam is None else seam
    for kind in large:
        place = piece_place(data, kind.name) or ()
        cut = shown(kind.size, cm=False, mark=True)
        says = f"{kind.name} is cut {cut}, more than your squares of {show_length(side, step=None)}"
        block = numbers.quilt.block.finished
        in_block = kind.name in numbers.quilt.piece_cuts
        smaller = in_block and block < quilt.finished_block
        mend = _rescaling(data, side, sewn) if smaller else None
        made = f"; blocks then finish {show_length(block, step=SIXTEENTH)}" if in_block else ""
        yield FieldMessage((*place, "size"), f"{says}{made}.", mend, "mind", kind.name)


def _rescaling(data: Data, side: Fraction, seam: Fraction) -> Mend | None:
    try:
        made = rescaled(data, square=side, seam=seam)
    except CalicountError:
        return None
    size = next((row.new for row in made.rows if row.place[-1] == "finished_block"), "")
    return Mend(f"Make the block {size}" if size else "Make it fit", made.edits(data))


def _off_marks(data: Data, quilt: Quilt) -> Iterator[FieldMessage]:
    """Yield pieces whose cut lies on no mark of a ruler."""
    for kind in quilt.kinds:
        if kind.size % SIXTEENTH and abs(kind.size.denominator) <= 1 / HAIR:
            place = piece_place(data, kind.name) or ()
            size = show_length(kind.size, step=None)
            says = f"{kind.name} is cut {size}, between two marks of most rulers"
            mend = _on_marks(data, quilt)
            yield FieldMessage((*place, "size"), f"{says}.", mend, "mind", kind.name)
            return


def _on_marks(data: Data, quilt: Quilt) -> Mend | None:
    """Return the nearest block whose cells finish on eighths."""
    across = [block.across for block in quilt.blocks]
    wide = quilt.finished_block
    for step in range(1, 4 * max(across)):
        for way in (1, -1):
            tried = (wide / EIGHTH).__round__() * EIGHTH + way * step * EIGHTH
            if tried > 0 and not any(tried / number % EIGHTH for number in across):
                try:
                    made = rescaled(data, block=tried)
                except CalicountError:
                    continue
                size = show_length(tried, step=None, mark=False)
                return Mend(f"Make the block {size}", made.edits(data))
    return None


def _borders(quilt: Quilt, layout: Layout) -> Iterator[FieldMessage]:
    """Yield pieced borders whose whole units don't come out along the sides."""
    wide, long = layout.middle
    for number, (border, ring) in enumerate(zip(quilt.borders, layout.rounds, strict=True)):
        wide, long = wide + 2 * ring.sides, long + 2 * ring.ends
        if border.pieced and not border.spacer and (wide % ring.width or long % ring.width):
            top, sides = units_on_sides(layout, border, number)
            says = (
                f"{top} and {sides} whole units don't fill its sides of {show_length(wide)} and "
                f"{show_length(long)}, so plain pieces fill them up"
            )
            place = ("border", number, "width")
            yield FieldMessage(place, f"{says}.", _even(number, wide, long, ring.width), "mind")
        wide, long = wide + 2 * ring.width, long + 2 * ring.width


def _even(number: int, wide: Fraction, long: Fraction, width: Fraction) -> Mend | None:
    """Return the nearest width of which whole units fill both sides, or else a spacer."""
    widths = (wide / units for units in range(1, MAX_UNITS_ON_A_SIDE))
    found = [one for one in widths if not long % one and not one % EIGHTH and one >= 1]
    near = min(found, key=lambda one: abs(one - width), default=None)
    if near is None or not width / 2 <= near <= 2 * width:
        edit = FieldEdit(("border", number, "spacer"), f"spacer {number + 1}")
        return Mend("Add a spacer", (edit,))
    text = show_length(near, step=None, mark=False)
    return Mend(f"Use {text}", (FieldEdit(("border", number, "width"), text),))
