"""Every length that hangs on the block: strips, posts, borders, the quilt, binding."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import sashing_pieces
from catalog.cutting.units.kinds.edges.corner_triangle import CORNER_TRIANGLE
from catalog.cutting.units.kinds.edges.setting_triangle import SETTING_TRIANGLE
from catalog.cutting.units.unit_sizes import on_inch_ruler
from catalog.cutting.yardage.borders import Border, border
from catalog.lengths import EIGHTH, SIXTEENTH, round_to
from catalog.models import Piece

HALF_BLOCK: Final = "half block"
SIDE_SQUARE: Final = "square for side triangles, cut twice on the diagonal"
CORNER_SQUARE: Final = "square for corner triangles, cut once on the diagonal"


def as_laid_out(
    quilt: Quilt,
    block: Fraction,
    seam: Fraction,
    rows: int,
    columns: int,
    *,
    step: Fraction = SIXTEENTH,
) -> Layout:
    """Return the layout with a finished block's width and a seam, inches.

    Strips of sashing and borders are cut as wide as written, whatever the seam; so a seam that is
    narrower than the pattern's leaves them wider when finished, as it does the units.
    """
    wider = 2 * (quilt.seam - seam)
    sashing, ratio = quilt.sashing, quilt.finished_length / quilt.finished_block
    return Layout(
        rows,
        columns,
        block,
        None if ratio == 1 else block * ratio,
        sashing=sashing.width + wider if sashing else Fraction(0),
        outer=bool(sashing and sashing.outer),
        posts=sashing.posts if sashing else True,
        borders=tuple(one.width + wider for one in quilt.borders),
        on_point=quilt.on_point,
        step=step,
        offset=quilt.offset,
    )


def border_plans(quilt: Quilt, layout: Layout, seam: Fraction) -> tuple[Border, ...]:
    """Return each border round the top before it."""
    inside = replace(layout, borders=())
    wide, long = inside.width + 2 * seam, inside.length + 2 * seam
    done = []
    for number, (one, finished) in enumerate(zip(quilt.borders, layout.borders, strict=True), 1):
        name = border_name(quilt, number)
        done.append(border(wide, long, finished, corners=one.corners, seam=seam, name=name))
        wide, long = done[-1].width, done[-1].length
    return tuple(done)


def border_name(quilt: Quilt, number: int) -> str:
    """Return what a border is called: by its number where there are several."""
    return "border" if len(quilt.borders) == 1 else f"border {number}"


def lengths_of(
    quilt: Quilt, layout: Layout, seam: Fraction, mark: Fraction = EIGHTH
) -> dict[str, tuple[Fraction, Fraction]]:
    """Return the lengths below the units by name, width and length in inches.

    Pieces have the sizes that they are cut to (see `cloths_of`).
    """
    found = {
        "block, as sewn": (layout.block + 2 * seam, layout.tall + 2 * seam),
        "block, finished": (layout.block, layout.tall),
    }
    borders = border_plans(quilt, layout, seam)
    pieces = [
        *sashing_pieces(layout, seam),
        *edge_triangles(layout, seam, mark),
        *half_blocks(layout, seam),
        *(piece for one in borders for piece in one.pieces),
    ]
    for piece in on_marks(pieces, mark):
        found[piece.name] = (piece.width, piece.length)
    found["quilt, finished"] = (layout.width, layout.length)
    return found


def on_marks(pieces: Iterable[Piece], mark: Fraction) -> tuple[Piece, ...]:
    """Return pieces as they are cut: up to a millimetre; in inches as they come out.

    Lengths in inches are left as they are, for those on no mark of the ruler are told as such.
    """
    if on_inch_ruler(mark):
        return tuple(pieces)
    return tuple(
        replace(
            piece,
            width=round_to(piece.width, mark, "up"),
            length=round_to(piece.length, mark, "up"),
        )
        for piece in pieces
    )


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
    it.
    """
    sides, corners = layout.setting_triangles
    if not corners:
        return ()
    side_reach = layout.block + layout.sashing
    found = []
    for name, method, wanted, reach in (
        (SIDE_SQUARE, SETTING_TRIANGLE.ways[0], sides, side_reach),
        (CORNER_SQUARE, CORNER_TRIANGLE.ways[0], corners, side_reach + layout.sashing),
    ):
        if wanted:
            side = method.main.least(reach, seam, mark).up_to(mark)
            found.append(Piece(name, side, side, -(-wanted // method.units)))
    return tuple(found)
