"""Every length that hangs on the block: strips, posts, borders, the quilt, binding."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.cutting.edge_pieces import edge_triangles, half_blocks, sashing_of
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.units.unit_sizes import on_inch_ruler
from catalog.cutting.yardage.borders import Border, border, spacer
from catalog.lengths import EIGHTH, SIXTEENTH, round_to
from catalog.models import Piece


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
        spaced=frozenset(n for n, one in enumerate(quilt.borders) if one.spacer),
        half_posts=bool(sashing and sashing.half_posts),
    )


@dataclass(frozen=True)
class BorderPlan:
    """One border of a quilt, and the spacer inside it."""

    name: str
    spacer: Border | None
    border: Border
    width: Fraction
    """Finished, inches."""

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """What to cut of both."""
        return (*(self.spacer.pieces if self.spacer else ()), *self.border.pieces)


def border_plans(quilt: Quilt, layout: Layout, seam: Fraction) -> tuple[BorderPlan, ...]:
    """Return each border round the top before it."""
    wide, long = (side + 2 * seam for side in layout.middle)
    done = []
    for number, (one, ring) in enumerate(zip(quilt.borders, layout.rounds, strict=True), 1):
        name, inner = border_name(quilt, number), None
        if one.spacer:
            called = f"spacer of {name}"
            inner = spacer(wide, long, ring.sides, ring.ends, seam=seam, name=called)
            wide, long = inner.width, inner.length
        made = border(wide, long, ring.width, corners=one.corners, seam=seam, name=name)
        done.append(BorderPlan(name, inner, made, ring.width))
        wide, long = made.width, made.length
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
        *sashing_of(quilt, layout, seam, mark),
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
