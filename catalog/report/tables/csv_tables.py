"""The tables of a count: swatches, sets and tally, their columns and their CSV files."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

from catalog.bundle.fabrics import of_fabric
from catalog.bundle.square_differences import reads_as
from catalog.bundle.tally_notes import IN_WHAT, words_for_difference
from catalog.colour.ciede2000 import as_shown
from catalog.colour.lab import chroma, hue_angle, lab_to_hex
from catalog.colour.munsell import munsell_value
from catalog.models import RIGHT_AS_FOUND, Palette, SquareSet, Swatch, Tally, TallyLine
from catalog.report.tables.columns import Column, csv_of

_CORNERS: Final = ("top left", "top right", "bottom right", "bottom left")
_SET_LETTERS: Final = "abcd"


def look_again(swatch: Swatch) -> list[str]:
    """Return the doubts for which a square is marked: those that are its own."""
    return [flag for flag in joined_flags(swatch) if not of_fabric(flag)]


def joined_flags(swatch: Swatch) -> list[str]:
    """Return the doubts about a swatch and about its square, each once.

    Of a square that is right as found those remain that are about its fabric.
    """
    if RIGHT_AS_FOUND in swatch.square.flags:
        return [flag for flag in dict.fromkeys(swatch.flags) if of_fabric(flag)]
    return list(dict.fromkeys((*swatch.square.flags, *swatch.flags)))


def in_words(square_set: SquareSet) -> str:
    """Return what a set's difference means; nothing where it isn't known."""
    known = math.isfinite(square_set.difference)
    if not known:
        return ""
    words = words_for_difference(square_set.difference, square_set.k_lightness)
    return words + IN_WHAT[square_set.match_by]


def hue_of(swatch: Swatch) -> float:
    """Return the hue angle in degrees; not a number where chroma, as printed, is none."""
    return float(hue_angle(swatch.lab)) if chroma(swatch.lab) >= 0.005 else math.nan


def _corner(number: int, axis: int) -> Callable[[Swatch], float]:
    return lambda one: one.square.corners[number][axis]


def palette_in_words(palette: Palette) -> list[str]:
    """Return a palette's colours, each as ``#rrggbb`` and its share in percent."""
    return [f"{lab_to_hex(one.lab)} {100 * one.share:.0f}%" for one in palette]


def _ground_hex(palette: Palette) -> str:
    return next((lab_to_hex(one.lab) for one in palette if one.ground), "")


SWATCHES: Final[tuple[Column[Swatch], ...]] = (
    Column("swatch", lambda one: one.label, "the square's label: R3C4 in rows, else S017"),
    Column("photo", lambda one: one.photo, "name of the photo"),
    Column("row", lambda one: one.square.row, "from 1, downwards", "whole"),
    Column("col", lambda one: one.square.col, "from 1, to the right", "whole"),
    *(
        Column(
            f"{'xy'[axis]}{number + 1}",
            _corner(number, axis),
            f"{corner} corner in the upright photo, from its {('left', 'upper')[axis]} edge",
            "number",
            "px",
            2,
        )
        for number, corner in enumerate(_CORNERS)
        for axis in (0, 1)
    ),
    Column("width_in", lambda one: one.square.width_in, "mean of top and bottom side",
           "number", "in", 3),
    Column("height_in", lambda one: one.square.height_in, "mean of left and right side",
           "number", "in", 3),
    Column("L", lambda one: one.lab[0], "lightness, 0 to 100", "number", "CIELAB D65", 2),
    Column("a", lambda one: one.lab[1], "green to red", "number", "CIELAB D65", 2),
    Column("b", lambda one: one.lab[2], "blue to yellow", "number", "CIELAB D65", 2),
    Column("C", lambda one: float(chroma(one.lab)), "chroma", "number", "CIELAB D65", 2),
    Column("h", hue_of, "hue angle; unknown for a grey", "number", "degrees", 1),
    Column("hex", lambda one: lab_to_hex(one.lab), "the colour in sRGB, such as #4f7f86"),
    Column("colour_name", lambda one: one.colour_name, "its colours and kind of print"),
    Column("family", lambda one: one.family, "name of its colour family"),
    Column("value", lambda one: one.value, "light, medium or dark in this bundle"),
    Column("print", lambda one: one.print_kind, "plain, tonal or busy"),
    Column("fabric", lambda one: one.fabric, "the same for squares that look cut from one cloth"),
    Column("confidence", lambda one: one.square.confidence,
           "how sure it is a whole square with these corners, 0 to 1", "number", "", 3),
    Column("flags", joined_flags, "doubts, each a word or two", "list"),
    Column("uncertainty", lambda one: one.uncertainty or None,
           "what the colour may be off by, nine times in ten", "number", "CIEDE2000"),
    Column("munsell_value", lambda one: munsell_value(one.lab[0]),
           "value from 0, black, to 10, white", "number", "Munsell"),
    Column("palette", lambda one: palette_in_words(one.palette),
           "its colours, each with its share of the cloth", "list"),
    Column("ground_hex", lambda one: _ground_hex(one.palette),
           "the colour that lies behind its figures; unknown where none does"),
    Column("print_scale", lambda one: one.look.scale if one.look else "",
           "plain, tonal, small, medium or large"),
    Column("directional", lambda one: one.look.directional if one.look else None,
           "whether a quarter turn of it shows", "yes or no"),
    Column("reads", reads_as,
           "its value, or busy where so much is light and dark in it that it reads as neither"),
)  # fmt: skip
"""Of ``swatches.csv``."""

SET_FACTS: Final[tuple[Column[SquareSet], ...]] = (
    Column("difference", lambda one: float(as_shown(one.difference)),
           "largest between two of its squares", "number", "CIEDE2000"),
    Column("value_step", lambda one: one.value_step, "from its darkest square to its lightest",
           "number", "L*", 2),
    Column("family", lambda one: one.family, "family of its squares, or two of them"),
    Column("same_fabric", lambda one: one.same_fabric, "whether all are cut from one fabric",
           "yes or no"),
    Column("flags", lambda one: one.flags, "doubts, such as not counted", "list"),
    Column("need", lambda one: one.need, "what of the pattern it was made for"),
    Column("difference_in_words", in_words, "what the difference means"),
    Column("matched_by", lambda one: one.match_by,
           "what its squares share: colour, value or hue; the difference is one of that"),
)  # fmt: skip
"""Of ``sets.csv``, after the squares."""

_SET: Final = Column[SquareSet]("set", lambda one: one.number, "number, from 1", "whole")

TALLY: Final[tuple[Column[TallyLine], ...]] = (
    Column("need", lambda line: line.need.name, "what of the pattern is meant"),
    Column("role", lambda line: line.need.role, "feature, background or small"),
    Column("piece", lambda line: line.need.piece, "what is cut, in the trade's words"),
    Column("size_in", lambda line: float(line.need.size), "side of the square it is cut from",
           "number", "in", 4),
    Column("family", lambda line: line.need.family, "colour family that is asked for"),
    Column("value", lambda line: line.need.value, "light, medium or dark, where asked for"),
    Column("needed", lambda line: line.need.count, "wanted in all", "whole", "pieces"),
    Column("on_hand", lambda line: line.on_hand, "in the bundle, each once", "whole", "pieces"),
    Column("short", lambda line: line.short, "wanting", "whole", "pieces"),
    Column("left_over", lambda line: line.left_over, "could have served and serve nothing",
           "whole", "squares"),
    Column("swatches", lambda line: line.swatches, "labels of the squares that serve", "list"),
    Column("note", lambda line: line.note, "what to know or do about it"),
    Column("pieces_of_each", lambda line: line.pieces, "how many each of the swatches gives",
           "list", "pieces"),
)  # fmt: skip
"""Of ``tally.csv``."""


def set_columns(sets: Sequence[SquareSet]) -> tuple[Column[SquareSet], ...]:
    """Return the columns of ``sets.csv``, a ``swatch_`` for each square of the largest set.

    There are at least two of them.
    """
    width = max([2, *(len(square_set.swatches) for square_set in sets)])
    ranks = ("darkest square", "next lighter one", "next lighter one", "lightest of four")

    def square(place: int) -> Column[SquareSet]:
        return Column(
            f"swatch_{_SET_LETTERS[place]}",
            lambda one: one.swatches[place] if place < len(one.swatches) else "",
            f"label of its {ranks[place]}",
        )

    return (_SET, *map(square, range(width)), *SET_FACTS)


def swatches_csv(swatches: Sequence[Swatch]) -> str:
    """Return ``swatches.csv``: a row for each swatch, in the order given."""
    return csv_of(SWATCHES, swatches)


def sets_csv(sets: Sequence[SquareSet]) -> str:
    """Return ``sets.csv``: a row for each set, its darkest square first."""
    return csv_of(set_columns(sets), sets)


def tally_csv(tally: Tally) -> str:
    """Return ``tally.csv``: a row for each need of the pattern."""
    return csv_of(TALLY, tally.lines)
