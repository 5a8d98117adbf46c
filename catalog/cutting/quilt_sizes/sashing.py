"""The strips and posts between the blocks of a layout."""

from __future__ import annotations

from fractions import Fraction

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt_sizes.quilt_layout import Layout, span
from catalog.models import Piece


def sashing_cut(finished: Fraction, seam: Fraction = QUARTER_SEAM) -> Fraction:
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


def half_post_count(layout: Layout) -> int:
    """Return how many of the posts lie on the edge where that runs through their middle.

    On each side one between every two blocks that touch it and one beyond each end, which the side
    shares with the next: as many in all as blocks touch the sides, 2 rows + 2 columns.
    """
    if not layout.half_posts or not layout.sashing:
        return 0
    return 2 * (layout.rows + layout.columns)


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


def sashing_pieces(layout: Layout, seam: Fraction = QUARTER_SEAM) -> tuple[Piece, ...]:
    """Return what to cut for the sashing.

    Without posts short strips stand between the blocks of a row (and half blocks at its ends), and
    long ones lie between the rows; outer strips go on like a butted border, sides first.

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


def _long_strips(
    layout: Layout, wide: Fraction, tall: Fraction, seam: Fraction
) -> tuple[Piece, ...]:
    row = span(layout.columns, layout.block, layout.sashing, outer=False) + 2 * seam
    short = layout.rows * (layout.columns - 1) + layout.half_blocks // 2
    found = [
        ("short sashing", wide, tall, short),
        ("long sashing", row, wide, layout.rows - 1),
    ]
    if layout.framed:
        side = span(layout.rows, layout.tall, layout.sashing, outer=False) + 2 * seam
        found.append(("side sashing", wide, side, 2))
        found.append(("top and bottom sashing", row + 2 * layout.sashing, wide, 2))
    return tuple(Piece(*one) for one in found if one[3])
