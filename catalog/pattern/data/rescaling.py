"""A pattern made over to another block, other squares or another seam, old beside new."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.errors import PatternError, UsageError
from catalog.length_text import parse_length
from catalog.lengths import EIGHTH, show_length
from catalog.pattern.data.block_lengths import block_sides, seam_of_data, shown_sides
from catalog.pattern.data.field_edits import Data, FieldEdit, Place, edited
from catalog.pattern.data.pattern_data import pattern_of
from catalog.pattern.data.settled_pieces import settled
from catalog.pattern.pattern_borders import MAX_BORDERS
from catalog.pattern.pattern_needs import MAX_SQUARE_SIDE, MIN_SQUARE_SIDE

MAX_STEPS: Final = 32
"""Blocks that are tried to either side of one that can't be had: four inches by eighths."""
STRIP_STEP: Final = Fraction(1, 4)
"""Inches to which strips that are scaled with the block come out (choice of ours)."""


@dataclass(frozen=True)
class RescaledField:
    """One length of a pattern before and after."""

    place: Place
    """In the new data."""
    what: str
    """What it is, in words."""
    old: str
    """Empty where it wasn't there."""
    new: str
    """Empty where it is gone."""


@dataclass(frozen=True)
class RescaledPattern:
    """A pattern made over."""

    data: dict[str, Any]
    rows: tuple[RescaledField, ...]
    """What changed, in the order of the file."""

    def edits(self, data: Data) -> tuple[FieldEdit, ...]:
        """Return the edits that make it of the data that it was made from."""
        return changes(data, self.data)


def rescaled(
    data: Data,
    *,
    block: Fraction | None = None,
    square: Fraction | None = None,
    seam: Fraction | None = None,
    strips: bool = False,
) -> RescaledPattern:
    """Make a pattern over.

    Finished sizes stay unless the block changes; every size that is cut follows. Of squares in hand
    the block becomes the largest that they give, its units trimmed to marks of a ruler.

    Parameters
    ----------
    data : mapping
        A pattern that can be read.
    block : Fraction, optional
        Finished width of a block, inches.
    square : Fraction, optional
        Side of the squares in hand instead, inches.
    seam : Fraction, optional
        For which it is written from now on, inches.
    strips : bool
        Whether sashing and borders grow and shrink with the block, to the nearest quarter.

    Raises
    ------
    PatternError
        It can't be had; the cure names the nearest block that can.
    """
    sides, old_seam = block_sides(data), seam_of_data(data)
    if sides is None:
        raise PatternError("no size of a block is told", 'write one, such as "8"')
    seam = old_seam if seam is None else seam
    width = sides[0] if block is None else block
    if square is not None:
        quilt = pattern_of(data, "the pattern").quilt
        if quilt is None:
            raise PatternError("the pattern has no block to make over", "draw its block")
        width = adapt_block(quilt, square, seam).largest
    changed = _of_size(data, width, seam, strips=strips)
    try:
        pattern_of(changed, "the pattern")
    except PatternError as error:
        near = nearest_width(data, width, seam, strips=strips)
        shown = show_length(width)
        cure = f"the nearest that can is {show_length(near, step=None)}" if near else error.cure
        raise PatternError(f"blocks of {shown} can't be had", cure) from None
    return RescaledPattern(changed, tuple(_rows(data, changed)))


def nearest_width(
    data: Data, width: Fraction, seam: Fraction, *, strips: bool = False
) -> Fraction | None:
    """Return the block's nearest width, inches, for which every piece fits; None for none."""
    for step in range(1, MAX_STEPS + 1):
        for way in (-1, 1):
            tried = (width / EIGHTH).__round__() * EIGHTH + way * step * EIGHTH
            if tried < MIN_SQUARE_SIDE or tried > 4 * MAX_SQUARE_SIDE:
                continue
            try:
                pattern_of(_of_size(data, tried, seam, strips=strips), "the pattern")
            except (PatternError, UsageError):
                continue
            return tried
    return None


def nearest_block(data: Data) -> tuple[FieldEdit, ...]:
    """Return the edits that make every size what the block asks for, of this size or near."""
    sides, seam = block_sides(data), seam_of_data(data)
    if sides is None:
        return ()
    try:
        changed = settled(data, keep=False)
        try:
            pattern_of(changed, "the pattern")
        except PatternError:
            width = nearest_width(data, sides[0], seam)
            if width is None:
                return ()
            changed = _of_size(data, width, seam, strips=False)
    except (PatternError, UsageError):
        return ()
    return changes(data, changed)


def changes(old: Data, new: Data) -> tuple[FieldEdit, ...]:
    """Return the edits that make one pattern's data another's, a whole table at a time."""
    keys = [key for key in dict.fromkeys((*old, *new)) if old.get(key) != new.get(key)]
    return tuple(FieldEdit((key,), new.get(key)) for key in keys)


def _of_size(data: Data, width: Fraction, seam: Fraction, *, strips: bool) -> dict[str, Any]:
    """Return data for a block so wide and this seam, with every size that follows."""
    wide, long = block_sides(data) or (width, width)
    size = shown_sides(width, width * long / wide)
    edits = [FieldEdit(("layout", "finished_block"), size)]
    if seam != seam_of_data(data):
        edits.append(FieldEdit(("layout", "seam"), show_length(seam, step=None, mark=False)))
    if strips and width != wide:
        edits += _strips(data, width / wide)
    return settled(edited(data, edits), keep=False)


def _strips(data: Data, scale: Fraction) -> Iterator[FieldEdit]:
    """Yield the widths of sashing and borders, scaled."""
    for place, text in (
        (("sashing", "width"), _at(data, ("sashing", "width"))),
        *((("border", n, "width"), _at(data, ("border", n, "width"))) for n in range(MAX_BORDERS)),
    ):
        if isinstance(text, str):
            width = parse_length(text) * scale
            near = max((width / STRIP_STEP).__round__(), 1) * STRIP_STEP
            yield FieldEdit(place, show_length(near, step=None, mark=False))


def _at(data: Any, place: Place) -> object:  # noqa: ANN401 - tables and lists
    for key in place:
        try:
            data = data[key]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _rows(old: Data, new: Data) -> Iterator[RescaledField]:
    before, after = (dict(_lengths(one)) for one in (old, new))
    for what in dict.fromkeys((*after, *before)):
        place, text = after.get(what) or before[what]
        was = before[what][1] if what in before else ""
        now = text if what in after else ""
        if was != now:
            yield RescaledField(place, what, was, now)


def _lengths(data: Data) -> Iterator[tuple[str, tuple[Place, str]]]:
    """Yield what each length of a pattern is, with its place and its text."""
    for what, place in (
        ("finished block", ("layout", "finished_block")),
        ("seam", ("layout", "seam")),
        ("sashing", ("sashing", "width")),
    ):
        text = _at(data, place)
        if text is not None:
            yield what, (place, str(text))
    for role in ("feature", "background", "small"):
        for number, piece in enumerate(_list(data, role)):
            name = piece.get("name", role)
            yield f"cut: {name}", ((role, number, "size"), str(piece.get("size", "")))
    for number, border in enumerate(_list(data, "border")):
        yield f"border {number + 1}", (("border", number, "width"), str(border.get("width", "")))


def _list(data: Data, key: str) -> list[Mapping[str, Any]]:
    told = data.get(key)
    return [one for one in told if isinstance(one, Mapping)] if isinstance(told, list) else []
