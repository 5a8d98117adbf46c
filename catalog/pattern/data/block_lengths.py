"""The lengths of a pattern's data that others follow: the block, the seam, the posts."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import post_count, sashing_cut
from catalog.errors import CalicountError
from catalog.length_text import parse_length
from catalog.lengths import show_length
from catalog.pattern.data.drawn_tiles import pieces_of_data
from catalog.pattern.data.field_edits import Data, edited, of_piece
from catalog.pattern.pattern_needs import MAX_SQUARE_SIDE, MIN_SQUARE_SIDE


def block_sides(data: Data) -> tuple[Fraction, Fraction] | None:
    """Return width and length of the finished block, inches; None where that can't be told."""
    layout = data.get("layout")
    text = layout.get("finished_block") if isinstance(layout, Mapping) else None
    try:
        sides = [parse_length(one) for one in str(text).replace("×", "x").split("x")]  # noqa: RUF001
    except CalicountError:
        return None
    return (sides[0], sides[-1]) if len(sides) <= 2 else None


def seam_of_data(data: Data) -> Fraction:
    """Return the seam that a pattern is written for, inches; the usual where that can't be told."""
    layout = data.get("layout")
    text = layout.get("seam", "1/4") if isinstance(layout, Mapping) else "1/4"
    try:
        return parse_length(text)
    except CalicountError:
        return QUARTER_SEAM


def shown_sides(wide: Fraction, long: Fraction) -> str:
    """Write a block's size as a pattern file has it."""
    sides = [show_length(one, step=None, mark=False) for one in (wide, long)]
    return sides[0] if wide == long else " x ".join(sides)


def with_posts(data: Data) -> dict[str, Any]:
    """Return data whose posts from squares are as many and as large as the sashing asks for."""
    strips, layout = data.get("sashing"), data.get("layout")
    if not isinstance(strips, Mapping) or not isinstance(layout, Mapping):
        return dict(data)
    name = strips.get("post_piece")
    role, piece = pieces_of_data(data).get(str(name), ("", {}))
    try:
        width = parse_length(strips["width"])
        number = post_count(layout_of_data(layout, strips))
    except (CalicountError, KeyError, TypeError):
        return dict(data)
    fits = MIN_SQUARE_SIDE <= sashing_cut(width, seam_of_data(data)) <= MAX_SQUARE_SIDE
    if "in_all" not in piece or not number or not fits:
        return dict(data)
    size = show_length(sashing_cut(width, seam_of_data(data)), step=None, mark=False)
    edits = of_piece(str(name), "size", size), of_piece(str(name), "in_all", number)
    return edited(data, edits if role else ())


def layout_of_data(layout: Data, strips: Data) -> Layout:
    """Return rows and columns with sashing between them, of blocks of an inch.

    Raises
    ------
    UsageError, KeyError, TypeError
        They make no quilt.
    """
    how = layout.get("set", "straight")
    return Layout(
        layout["rows"],
        layout["columns"],
        Fraction(1),
        sashing=Fraction(1, 2),
        outer=strips.get("outer") is True,
        posts=strips.get("posts", True) is not False and how != "offset rows",
        on_point=how == "on point",
        offset=how == "offset rows",
    )
