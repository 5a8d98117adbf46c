"""What is cut beside the blocks, inside the borders: sashing, posts, what fills up the edges."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import half_post_count, post_count, sashing_pieces
from catalog.cutting.units.kinds.edges.corner_triangle import CORNER_TRIANGLE
from catalog.cutting.units.kinds.edges.setting_triangle import SETTING_TRIANGLE
from catalog.lengths import EIGHTH
from catalog.models import Piece

HALF_BLOCK: Final = "half block"
HALF_POST_SQUARE: Final = "square for half posts, cut twice on the diagonal"
SIDE_SQUARE: Final = "square for side triangles, cut twice on the diagonal"
CORNER_SQUARE: Final = "square for corner triangles, cut once on the diagonal"


def sashing_of(
    quilt: Quilt, layout: Layout, seam: Fraction, mark: Fraction = EIGHTH
) -> tuple[Piece, ...]:
    """Return what to cut for the sashing; where posts are halved at the edge, both kinds.

    Posts that come from squares left over are sewn in whole and trimmed with the edge.
    """
    strips, halves = sashing_pieces(layout, seam), half_post_count(layout)
    if not halves or (quilt.sashing and quilt.sashing.post_kind):
        return strips
    whole = post_count(layout) - halves
    method = SETTING_TRIANGLE.ways[0]
    side = method.main.least(layout.sashing, seam, mark).up_to(mark)
    posts = [replace(piece, count=whole) for piece in strips if piece.name == "post" and whole]
    squares = Piece(HALF_POST_SQUARE, side, side, -(-halves // method.units))
    return (*(piece for piece in strips if piece.name != "post"), *posts, squares)


def half_blocks(layout: Layout, seam: Fraction) -> tuple[Piece, ...]:
    """Return the half blocks of cloth at the ends of offset rows.

    A row of n blocks with n - 1 strips between them is as wide as one of n - 1 blocks, n strips and
    two halves; so each half is half of what a block is wider than a strip.
    """
    if not layout.half_blocks:
        return ()
    wide = (layout.block - layout.sashing) / 2 + 2 * seam
    return (Piece(HALF_BLOCK, wide, layout.tall + 2 * seam, layout.half_blocks),)


def edge_triangles(layout: Layout, seam: Fraction, mark: Fraction = EIGHTH) -> tuple[Piece, ...]:
    """Return the squares to cut up for the edges and corners of a quilt on point.

    With sashing they reach over strips and whole posts too. Along the edge the points of the outer
    posts lie the diagonal of a block and a strip apart, so for a side triangle those count as the
    block; the long side of a corner triangle runs along a block and the strips on either side of
    it. Where the edge runs through the middle of the posts, both end at the posts and run along a
    block alone.
    """
    sides, corners = layout.setting_triangles
    if not corners:
        return ()
    strip = Fraction(0) if layout.half_posts else layout.sashing
    found = []
    for name, method, wanted, reach in (
        (SIDE_SQUARE, SETTING_TRIANGLE.ways[0], sides, layout.block + strip),
        (CORNER_SQUARE, CORNER_TRIANGLE.ways[0], corners, layout.block + 2 * strip),
    ):
        if wanted:
            side = method.main.least(reach, seam, mark).up_to(mark)
            found.append(Piece(name, side, side, -(-wanted // method.units)))
    return tuple(found)
