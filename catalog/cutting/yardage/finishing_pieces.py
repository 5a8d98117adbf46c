"""Binding from the width that shows, binding and backing panels from squares, sleeve and label."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.yardage.bolt import shown
from catalog.cutting.yardage.strip_counts import join_loss, joined_length, strips_to_join
from catalog.errors import ClothError
from catalog.models import Piece

Fold = Literal["double", "single"]
"""Whether a binding is folded in half along its length before it is sewn on."""

SLEEVE_EASE: Final = Fraction(1)
"""Inches that a sleeve's strip is wider than twice its depth, for the seam and room for the rod.
http://www.moonlightquilters.org/tip-hanging-sleeve/ adds 1 to 2 x 5; 9 in for a sleeve of 4 in is
what http://www.sewhappystitchers.com/how-to-make-a-hanging-sleve.html cuts; 8 1/2 is cut too."""
SLEEVE_SHORTER: Final = Fraction(1)
"""Inches that a sleeve's strip is shorter than the quilt is wide, before its ends are hemmed: 1
(the page named first; https://quiltfabrication.com/2015/04/hanging-sleeve-tutorial.html) to 2."""


def binding_strip(finished: Fraction, fold: Fold, seam: Fraction = QUARTER_SEAM) -> Fraction:
    """Return the width to cut a binding that shows so much on each side, inches.

    A strip covers the front and the back of the edge, and goes under at the seam. Folded double,
    there are two layers of that, 2 (2 f + seam); a single one is turned under once more, by a seam:
    2 f + 2 seams. Published for the double fold: 4 f + 1/2 (rows BD017, BD018 of
    ``tests/trade_checks/yardage.csv``), and 3 in for f and a seam of 1/2
    (https://learnhowtoquilt.com/quilt-tutorials/finishing-the-quilt/double-fold-binding/).
    """
    layers = 2 if fold == "double" else 1
    return layers * 2 * finished + 2 * seam


@dataclass(frozen=True)
class SquaresWanted:
    """Squares that are cut up or sewn together for something at the quilt's back or edge."""

    squares: int
    made: Fraction
    """Length that they give, inches."""
    words: str
    width: Fraction = Fraction(0)
    """Raw width that they give, inches, where they are sewn together as a panel."""


def binding_of_squares(wanted: Fraction, strip: Fraction, square: Fraction) -> SquaresWanted:
    """Work out a binding of strips cut from squares and joined on a slant.

    Parameters
    ----------
    wanted : Fraction
        Length of binding, inches.
    strip : Fraction
        Its width, inches.
    square : Fraction
        Side of the squares, inches.

    Raises
    ------
    ClothError
        The squares are too small: a slanted join takes a strip's width.
    """
    each = math.floor(square / strip)
    loss = join_loss(QUARTER_SEAM, strip, slanted=True)
    if square <= loss:
        raise ClothError(
            f"squares of {shown(square)} are too small for binding cut {shown(strip)} wide",
            f"use squares of more than {shown(strip)}, a narrower strip, or cloth by the yard",
        )
    strips = strips_to_join(wanted, square, loss)
    number = math.ceil(Fraction(strips, each))
    made = joined_length(strips, square, loss)
    words = (
        f"{strips} strips of {shown(strip)} from {number} squares left over, {each} from each, "
        f"joined on a slant, for {shown(wanted)} of binding"
    )
    return SquaresWanted(number, made, words)


def panel_of_squares(
    span: Fraction, length: Fraction, square: Fraction, seam: Fraction
) -> SquaresWanted:
    """Work out a panel of squares sewn together, to be set into a backing that is too narrow.

    Parameters
    ----------
    span : Fraction
        What is wanting of the backing's width, inches; the panel is set in with a seam on each
        side, and so are the two parts that the backing is cut into.
    length : Fraction
        Raw length of the panel, inches.
    square : Fraction
        Side of the squares, inches.
    seam : Fraction

    Raises
    ------
    ClothError
        Nothing would show of the squares.
    """
    shows = square - 2 * seam
    if shows <= 0:
        raise ClothError(f"of squares of {shown(square)} nothing would show", "use larger squares")
    # The panel's two joins take two seams each, one of the panel's and one of the backing's.
    raw = span + 4 * seam
    across = math.ceil((raw - 2 * seam) / shows)
    along = math.ceil((length - 2 * seam) / shows)
    wide = across * shows + 2 * seam
    words = (
        f"a panel {shown(wide)} wide of {across * along} squares left over, "
        f"{across} across and {along} along"
    )
    return SquaresWanted(across * along, along * shows + 2 * seam, words, wide)


def sleeve_piece(width: Fraction, depth: Fraction) -> Piece:
    """Return the strip of a hanging sleeve for a quilt so wide, inches.

    Raises
    ------
    ClothError
        The quilt is too narrow for one.
    """
    long = width - SLEEVE_SHORTER
    if long <= 0 or depth <= 0:
        raise ClothError(
            f"a quilt {shown(width)} wide has no room for a hanging sleeve", "leave [sleeve] out"
        )
    return Piece("hanging sleeve", long, 2 * depth + SLEEVE_EASE, 1)


def label_piece(width: Fraction, length: Fraction, seam: Fraction) -> Piece:
    """Return what to cut for a label that shows so much, turned under by a seam all round."""
    return Piece("label", width + 2 * seam, length + 2 * seam, 1)
