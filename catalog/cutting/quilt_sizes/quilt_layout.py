"""A quilt of blocks in rows and columns: its size."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Final

from catalog.errors import UsageError
from catalog.lengths import SIXTEENTH, show_length, unit_shown

MIN_SPACER: Final = Fraction(1, 2)
"""Inches finished of the narrowest spacer: two seams of 1/4, so that the allowances on its back
don't lie over one another."""


@dataclass(frozen=True)
class BorderRound:
    """One border round a quilt, and the spacer inside it; finished widths in inches."""

    width: Fraction
    sides: Fraction = Fraction(0)
    """Of the spacer at the left and at the right; 0 for none."""
    ends: Fraction = Fraction(0)
    """Of the spacer at the top and at the bottom."""


@dataclass(frozen=True)
class Layout:
    """Rows and columns of blocks, straight or on point."""

    rows: int
    columns: int
    """On point: blocks whose corners touch the sides; the blocks between them come on top."""
    block: Fraction
    """Finished side, inches."""
    block_length: Fraction | None = None
    """Finished length where the block is no square; None for a square."""
    sashing: Fraction = Fraction(0)
    """Finished width of the strips between the blocks, inches; 0 for none."""
    outer: bool = False
    """Whether strips run round the outside too. On point they always do where there are any."""
    posts: bool = True
    """Whether squares join the strips; else long strips run across."""
    borders: tuple[Fraction, ...] = ()
    """Finished widths, inches, from the inside."""
    on_point: bool = False
    step: Fraction = SIXTEENTH
    """To which a length along a diagonal is rounded, inches."""
    offset: bool = False
    """Whether every second row is shifted by half a block: it has a block less, and half a block of
    plain cloth at either end."""
    spaced: frozenset[int] = frozenset()
    """Which of the borders, from 0, have a spacer inside them that makes their units fit."""
    half_posts: bool = False
    """Whether a quilt on point ends through the middle of the posts at its edge."""
    in_inches: Layout | None = None
    """Where lengths were brought to millimetres, the same before that: it tells how many units lie
    along each spaced border."""

    def __post_init__(self) -> None:
        if self.rows < 1 or self.columns < 1:
            raise UsageError(
                f"{self.rows} x {self.columns} blocks make no quilt",
                "write rows and columns of 1 or more",
            )
        if min(self.block, self.tall) <= 0 or min((self.sashing, *self.borders)) < 0:
            raise UsageError("a length of the layout is below 0", "write sizes in inches")
        if self.on_point and (self.block != self.tall or (self.sashing and not self.posts)):
            raise UsageError(
                "blocks on point must be square, and sashing between them needs posts",
                "set them straight, or make the block square and put posts in the sashing",
            )

        if self.offset and self.on_point:
            raise UsageError(
                "rows offset by half a block don't stand on point", "choose one way to set them"
            )
        if self.offset and self.sashing and (self.posts or self.sashing >= self.block):
            raise UsageError(
                "rows offset by half a block have no places for posts, and strips narrower than a "
                "block",
                "leave the posts out of the sashing, or set the rows straight",
            )

    @cached_property
    def rounds(self) -> tuple[BorderRound, ...]:
        """The borders from the inside, each with the spacer that makes its units fit."""
        wide, long = self.middle
        found = []
        told = self.in_inches
        if told:
            told = replace(told, rows=self.rows, columns=self.columns)
        for number, width in enumerate(self.borders):
            one = BorderRound(width)
            if number in self.spaced:
                one = BorderRound(width, spacer_width(wide, width), spacer_width(long, width))
                if told:
                    one = _with_units_of(told, number, one, (wide, long))
            found.append(one)
            wide += 2 * (one.sides + width)
            long += 2 * (one.ends + width)
        return tuple(found)

    @property
    def inset(self) -> tuple[Fraction, Fraction]:
        """How far the borders reach in from the left and from the top, inches."""
        wide, long = self.middle
        return (self.width - wide) / 2, (self.length - long) / 2

    @cached_property
    def middle(self) -> tuple[Fraction, Fraction]:
        """Finished width and length inside the borders, inches; on point to the nearest `step`."""
        across, down = (
            span(count, side, self.sashing, outer=self.framed) - trimmed
            for trimmed in (self.sashing if self.half_posts else Fraction(0),)
            for count, side in ((self.columns, self.block), (self.rows, self.tall))
        )
        if self.on_point:
            across, down = (times_root_2(side, self.step) for side in (across, down))
        return across, down

    @property
    def tall(self) -> Fraction:
        """Finished length of a block, inches."""
        return self.block if self.block_length is None else self.block_length

    @property
    def framed(self) -> bool:
        """Whether sashing runs round the outside."""
        return bool(self.sashing) and (self.outer or self.on_point)

    @property
    def lines(self) -> int:
        """Lines of blocks that the eye sees; on point those between the others too."""
        return 2 * self.rows - 1 if self.on_point else self.rows

    @property
    def line_lengths(self) -> tuple[int, int]:
        """Blocks in the first, third and further odd lines, and in the even ones."""
        shorter = 1 if self.on_point or self.offset else 0
        return self.columns, self.columns - shorter

    @property
    def blocks(self) -> int:
        """Blocks in all; on point also (rows - 1)(columns - 1) between the others.

        Offset rows, the second, fourth and so on, have one less.
        """
        odd, even = self.line_lengths
        return -(-self.lines // 2) * odd + self.lines // 2 * even

    @cached_property
    def width(self) -> Fraction:
        """Finished width with borders, inches; on point to the nearest `step` (see `span`)."""
        spacers = sum((one.sides for one in self.rounds), Fraction(0)) if self.spaced else 0
        return self.middle[0] + 2 * (sum(self.borders) + spacers)

    @cached_property
    def length(self) -> Fraction:
        """Finished length with borders, inches; on point to the nearest `step`."""
        spacers = sum((one.ends for one in self.rounds), Fraction(0)) if self.spaced else 0
        return self.middle[1] + 2 * (sum(self.borders) + spacers)

    @property
    def least_columns(self) -> int:
        """Columns without which it makes no sense: offset rows need two."""
        return 2 if self.offset else 1

    @property
    def half_blocks(self) -> int:
        """Half blocks of cloth at the ends of offset rows."""
        return self.rows // 2 * 2 if self.offset else 0

    @property
    def setting_triangles(self) -> tuple[int, int]:
        """Side and corner triangles that fill the edges on point; none where set straight."""
        return (2 * (self.rows + self.columns - 2), 4) if self.on_point else (0, 0)


def spacer_width(length: Fraction, unit: Fraction) -> Fraction:
    """Return the finished width of each of two spacers that make a length a multiple of a unit's.

    The narrowest from `MIN_SPACER`; 0 where the length is one already.
    """
    spare = (-length % unit) / 2
    while 0 < spare < MIN_SPACER:
        spare += unit / 2
    return spare


def _with_units_of(
    told: Layout, number: int, one: BorderRound, inside: tuple[Fraction, Fraction]
) -> BorderRound:
    """Return a round with as many units along each side as another layout has.

    Where they need no spacer there, what millimetres change is eased in.
    """
    ring = told.rounds[number]
    before = told.rounds[:number]
    wide, long = told.middle
    wide += 2 * sum(each.sides + each.width for each in before)
    long += 2 * sum(each.ends + each.width for each in before)
    spares = []
    for side, spare, here in zip((wide, long), (ring.sides, ring.ends), inside, strict=True):
        units = (side + 2 * spare) / ring.width
        spares.append(max((units * one.width - here) / 2, Fraction(0)) if spare else Fraction(0))
    return BorderRound(one.width, *spares)


def span(count: int, block: Fraction, sashing: Fraction, *, outer: bool) -> Fraction:
    """Return how far blocks with sashing between them reach, inches.

    n blocks have n - 1 strips between them, n + 1 with the outer ones. On point the same holds
    along the diagonal, each length times root 2: corners of one block and strip after another
    touch the line.
    """
    strips = count + 1 if outer else count - 1
    return count * block + strips * sashing


def times_root_2(length: Fraction, step: Fraction = SIXTEENTH) -> Fraction:
    """Return a length times root 2, to the nearest multiple of `step`, without error.

    n steps are nearest where 2n - 1 <= 2 root 2 x length / step < 2n + 1; a whole root decides.
    """
    twice = math.isqrt(math.floor(8 * (length / step) ** 2))
    return (twice + 1) // 2 * step


def layout_words(layout: Layout) -> str:
    """Say what a layout is: ``8 rows of 6 blocks of 4 1/2 in, 27 x 36 in``."""
    about = "about " if layout.on_point else ""
    size = f"{shown(layout.width)} x {shown(layout.length)} {unit_shown()}"
    blocks = "block" if layout.columns == 1 else "blocks"
    side = show_length(layout.block)
    if layout.tall != layout.block:
        side = f"{show_length(layout.block, mark=False)} x {show_length(layout.tall)}"
    parts = [f"{row_words(layout)} {blocks} of {side}"]
    if layout.on_point:
        parts.append(f"on point ({layout.blocks} in all)")
    if layout.sashing:
        parts.append(f"sashing {show_length(layout.sashing)}")
    return f"{', '.join(parts)}, {about}{size}"


def row_words(layout: Layout) -> str:
    """Say rows and columns so that nobody takes the one for the other: ``8 rows of 6``."""
    return f"{layout.rows} row{'s' if layout.rows > 1 else ''} of {layout.columns}"


def shown(length: Fraction) -> str:
    """Write a length to the nearest sixteenth, without its unit."""
    return show_length(length, step=SIXTEENTH, mark=False)
