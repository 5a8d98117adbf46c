"""A quilt of blocks in rows and columns: its size, its sashing and how many of each it takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.errors import UsageError
from catalog.lengths import SIXTEENTH, show_length, unit_shown
from catalog.models import Piece

SEAM: Final = Fraction(1, 4)
"""Inches; the quilter's usual seam allowance."""


@dataclass(frozen=True)
class Layout:
    """Rows and columns of square blocks, straight or on point."""

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

    @property
    def tall(self) -> Fraction:
        """Finished length of a block, inches."""
        return self.block if self.block_length is None else self.block_length

    @property
    def framed(self) -> bool:
        """Whether sashing runs round the outside."""
        return bool(self.sashing) and (self.outer or self.on_point)

    @property
    def blocks(self) -> int:
        """Blocks in all; on point also (rows - 1)(columns - 1) between the others."""
        between = (self.rows - 1) * (self.columns - 1) if self.on_point else 0
        return self.rows * self.columns + between

    @property
    def width(self) -> Fraction:
        """Finished width with borders, inches; on point to the nearest `step` (see `span`)."""
        return self._finished(span(self.columns, self.block, self.sashing, outer=self.framed))

    @property
    def length(self) -> Fraction:
        """Finished length with borders, inches; on point to the nearest `step`."""
        return self._finished(span(self.rows, self.tall, self.sashing, outer=self.framed))

    @property
    def setting_triangles(self) -> tuple[int, int]:
        """Side and corner triangles that fill the edges on point; none where set straight."""
        return (2 * (self.rows + self.columns - 2), 4) if self.on_point else (0, 0)

    def _finished(self, inner: Fraction) -> Fraction:
        return (times_root_2(inner, self.step) if self.on_point else inner) + 2 * sum(self.borders)


def span(count: int, block: Fraction, sashing: Fraction, *, outer: bool) -> Fraction:
    """Return how far blocks with sashing between them reach, inches.

    n blocks have n - 1 strips between them, n + 1 with the outer ones. On point the same holds
    along the diagonal, each length times root 2: corners of one block and strip after another
    touch the line.
    """
    strips = count + 1 if outer else count - 1
    return count * block + strips * sashing


def sashing_cut(finished: Fraction, seam: Fraction = SEAM) -> Fraction:
    """Return the width to cut a strip or a post: finished and two seams, inches."""
    return finished + 2 * seam


def post_count(layout: Layout) -> int:
    """Return the posts of a layout.

    Straight and framed (rows + 1)(columns + 1), else (rows - 1)(columns - 1). On point each row of
    n blocks side by side has n + 1 posts on its diagonal, and each column likewise.
    """
    if not layout.sashing or not layout.posts:
        return 0
    if layout.on_point:
        return layout.rows * (layout.columns + 1) + layout.columns * (layout.rows + 1)
    more = 1 if layout.framed else -1
    return (layout.rows + more) * (layout.columns + more)


def strip_count(layout: Layout) -> int:
    """Return the sashing strips of a block's length in a layout with posts.

    Straight and framed rows(columns + 1) + columns(rows + 1), else with - 1. On point every block
    has one on each side, shared where two blocks meet: 4 blocks - 4(rows - 1)(columns - 1), which
    is 4 rows columns.
    """
    if not layout.sashing:
        return 0
    if layout.on_point:
        return 4 * layout.rows * layout.columns
    more = 1 if layout.framed else -1
    return layout.rows * (layout.columns + more) + layout.columns * (layout.rows + more)


def sashing_pieces(layout: Layout, seam: Fraction = SEAM) -> tuple[Piece, ...]:
    """Return what to cut for the sashing.

    Without posts short strips stand between the blocks of a row, and long ones lie between the
    rows; outer strips go on like a butted border, sides first.

    Parameters
    ----------
    layout : Layout
        The quilt.
    seam : Fraction
        Seam allowance, inches.

    Returns
    -------
    tuple of Piece
        Only those that there are; none without sashing.
    """
    if not layout.sashing:
        return ()
    wide = sashing_cut(layout.sashing, seam)
    block, tall = layout.block + 2 * seam, layout.tall + 2 * seam
    if not layout.posts:
        return _long_strips(layout, wide, tall, seam)
    if layout.on_point:
        found = [("sashing", wide, block, strip_count(layout))]
    else:
        more = 1 if layout.framed else -1
        upright = layout.rows * (layout.columns + more)
        level = layout.columns * (layout.rows + more)
        found = [("sashing", wide, tall, upright), ("sashing across", block, wide, level)]
        if block == tall:
            found = [("sashing", wide, tall, upright + level)]
    found.append(("post", wide, wide, post_count(layout)))
    return tuple(Piece(*one) for one in found if one[3])


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
    parts = [f"{row_words(layout)} {blocks} of {show_length(layout.block)}"]
    if layout.on_point:
        parts.append(f"on point ({layout.blocks} in all)")
    if layout.sashing:
        parts.append(f"sashing {show_length(layout.sashing)}")
    return f"{', '.join(parts)}, {about}{size}"


def row_words(layout: Layout) -> str:
    """Say rows and columns so that nobody takes the one for the other: ``8 rows of 6``."""
    return f"{layout.rows} row{'s' if layout.rows > 1 else ''} of {layout.columns}"


def _long_strips(
    layout: Layout, wide: Fraction, tall: Fraction, seam: Fraction
) -> tuple[Piece, ...]:
    row = span(layout.columns, layout.block, layout.sashing, outer=False) + 2 * seam
    found = [
        ("short sashing", wide, tall, layout.rows * (layout.columns - 1)),
        ("long sashing", row, wide, layout.rows - 1),
    ]
    if layout.framed:
        side = span(layout.rows, layout.tall, layout.sashing, outer=False) + 2 * seam
        found.append(("side sashing", wide, side, 2))
        found.append(("top and bottom sashing", row + 2 * layout.sashing, wide, 2))
    return tuple(Piece(*one) for one in found if one[3])


def shown(length: Fraction) -> str:
    """Write a length to the nearest sixteenth, without its unit."""
    return show_length(length, step=SIXTEENTH, mark=False)
