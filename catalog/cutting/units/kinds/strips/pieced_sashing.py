"""Pieced sashing: strips lengthwise, squares in a row, strips with a star's points at the ends.

Plain sashing is a rectangle.
"""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import box, chequered, corner_triangles, without_corners
from catalog.cutting.units.flipping import flipped_steps
from catalog.cutting.units.sized_unit import SizedUnit
from catalog.cutting.units.steps.cloth_geometry import piece
from catalog.cutting.units.steps.diagonal_steps import CORNERS
from catalog.cutting.units.steps.sewing_steps import Step
from catalog.cutting.units.steps.straight_steps import column_steps, row_steps
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.unit_kind import NameNumber, UnitFamily, UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

_USUAL = Fraction(1, 4)
"""Width over length, unless told: a strip of 3 in beside a block of 12 in."""
_AS_SEWN = "Don't trim it: its outer pieces would come out narrower."


def _strip_steps(sized: SizedUnit) -> tuple[Step, ...]:
    strips = [
        piece(float(cut.width), float(cut.height), part) for part, cut in enumerate(sized.cuts)
    ]
    return column_steps(strips, float(sized.seam), "strips")


# Each strip is as long as the block and finishes at its share of the sashing's width.
def _strips(name: str, number: int, aspect: Fraction) -> UnitKind:
    method = Method(
        unit=name,
        at_a_time=1,
        trimmed=False,
        trimming=_AS_SEWN,
        aspect=aspect,
        face=Surd(aspect),
        pieces=tuple(
            UnitPiece(
                f"strip {place}", 1, UNFINISHED, FINISHED * aspect / number + 2 * SEAM, "rectangle"
            )
            for place in range(1, number + 1)
        ),
        how=f"Sew {number} strips together along their long sides and press all seams one way.",
        title=f"sashing pieced of {number} strips",
        steps=_strip_steps,
    )
    step = Fraction(1, number)
    parts = tuple(
        UnitPart((box(0, n * step, 1, (n + 1) * step),), f"strip {n + 1}", piece=n)
        for n in range(number)
    )
    return UnitKind(name, (method,), parts, reshaped=partial(_strips, name, number))


def _usual_strips(name: str, number: int) -> UnitKind:
    return _strips(name, number, _USUAL)


PIECED_SASHING = UnitFamily(
    "pieced-sashing", (NameNumber("strips", 2, 6, 3),), _usual_strips, ("piano-key-sashing",)
)


def _square_steps(number: int, sized: SizedUnit) -> tuple[Step, ...]:
    side = float(sized.cuts[0].width)
    row = [piece(side, side, place % 2) for place in range(number)]
    return row_steps([row], float(sized.seam), "squares")


# Squares as wide as the sashing, so many as the block is long.
def _squares(name: str, number: int) -> UnitKind:
    aspect = Fraction(1, number)
    method = Method(
        unit=name,
        at_a_time=1,
        trimmed=False,
        trimming=_AS_SEWN,
        aspect=aspect,
        face=Surd(aspect),
        pieces=(UnitPiece("square", number, FINISHED / number + 2 * SEAM),),
        how=f"Sew {number} squares in a row and press to the darker ones.",
        title=f"sashing of {number} squares in a row",
        steps=partial(_square_steps, number),
    )
    names = ("ends and every second square", "squares between")
    parts = (UnitPart(face, one) for one, face in zip(names, chequered(number, 1), strict=True))
    return UnitKind(name, (method,), tuple(parts))


SQUARE_SASHING = UnitFamily("square-sashing", (NameNumber("squares", 2, 16, 4),), _squares)


# Small squares of half the sashing's width, flipped over all four corners: with a post between four
# such strips they are a star's points.
def _star_points(aspect: Fraction) -> UnitKind:
    width = FINISHED * aspect
    method = Method(
        unit="star-sashing",
        at_a_time=1,
        trimmed=False,
        trimming="Don't trim it: points that meet its edge would be cut off.",
        aspect=aspect,
        face=Surd(aspect),
        pieces=(
            UnitPiece("rectangle for the strip", 1, UNFINISHED, width + 2 * SEAM, "rectangle"),
            UnitPiece(
                "small square for the points",
                4,
                width / 2 + 2 * SEAM,
                flipped=True,
                rounding="down",
            ),
        ),
        how="Lay a small square on a corner of the strip, sew on its diagonal, cut off the corner "
        "a seam outside the stitches and press; then the other corners. The posts are the star's "
        "middle.",
        steps=partial(flipped_steps, CORNERS),
    )
    point, half = aspect / 2, Fraction(1, 2)
    return UnitKind(
        "star-sashing",
        (method,),
        (
            UnitPart((without_corners(point, half),), "strip"),
            UnitPart(corner_triangles(point, half), "points", piece=1),
        ),
        reshaped=_star_points,
    )


STAR_SASHING = _star_points(_USUAL)
