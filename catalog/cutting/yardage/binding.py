"""Binding, cut straight across the cloth or on the bias."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.yardage.bolt import Bolt, Purchase, buy, shown
from catalog.cutting.yardage.finishing_pieces import binding_of_squares
from catalog.cutting.yardage.square_roots import root_down
from catalog.cutting.yardage.strip_counts import join_loss, joined_length, strips_to_join
from catalog.errors import ClothError
from catalog.lengths import EIGHTH, MILLIMETRE

Grain = Literal["straight", "bias", "squares"]
"""How the strips run: across the cloth, or at 45 degrees to it, for curved edges; or cut from
squares left over."""

BINDING_STRIP: Final = Fraction(5, 2)
"""Inches; 2 1/4 and 2 1/2 are usual, and the wider one is followed, so that none runs short."""

ENDS_ALLOWANCE: Final = Fraction(10)
"""Inches beyond the quilt's edge for the tails and the join that closes the ring. Sources add 0,
10, 20 or 24 for all joins and corners together, or count 38 in of each strip (rows BD002 and BD019
to BD022 of ``tests/trade_checks/yardage.csv``). The joins between strips are counted here one by
one, so the least of those allowances is enough; folded corners take nothing, for the strip follows
the quilt's edge."""

_INCH: Final = Fraction(1)


@dataclass(frozen=True)
class Binding:
    """Binding for a quilt."""

    grain: Grain
    strip: Fraction
    """Width to cut the strips, inches."""
    wanted: Fraction
    """Length of binding wanted, inches."""
    made: Fraction
    """Length that the strips or squares give once joined, inches, at least `wanted` (on the bias
    rounded down to 1/8)."""
    strips: int
    """Strips across the cloth; 0 on the bias."""
    squares: int
    """Squares cut up for bias binding; 0 where it is straight."""
    square: Fraction
    """Side of those squares (or of those left over that strips are cut from), inches; 0 where it is
    straight."""
    purchase: Purchase
    words: str


def binding_length(width: Fraction, length: Fraction, extra: Fraction = ENDS_ALLOWANCE) -> Fraction:
    """Return the binding that a quilt takes: its perimeter and `extra`, inches."""
    return 2 * (width + length) + extra


def binding(
    width: Fraction,
    length: Fraction,
    cloth: Bolt | None = None,
    *,
    strip: Fraction = BINDING_STRIP,
    grain: Grain = "straight",
    ends: Fraction = ENDS_ALLOWANCE,
    slanted: bool = True,
    square: Fraction = Fraction(0),
) -> Binding:
    """Work out the binding of a quilt.

    Parameters
    ----------
    width, length : Fraction
        The quilt, inches.
    cloth : Bolt, optional
        Plain cotton, 40 in wide, if left out.
    strip : Fraction
        Width to cut, inches.
    grain : {"straight", "bias", "squares"}
        Straight strips are joined one by one; bias is cut from a square sewn into a tube, the
        continuous way: the fewest squares that the cloth is wide enough for, as small as will do.
    ends : Fraction
        Inches beyond the perimeter for tails and the closing join (see `ENDS_ALLOWANCE`).
    slanted : bool
        Whether strips are joined on a slant, which takes their width at each join, or straight,
        which takes two seams.
    square : Fraction
        Side of the squares left over that strips are cut from, inches, where `grain` says so.

    Returns
    -------
    Binding
        Never shorter than perimeter + ends once its joins are sewn.

    Raises
    ------
    ClothError
        Sizes of 0; a strip so wide that a join takes all of it.
    """
    cloth = cloth or Bolt()
    loss = join_loss(cloth.seam, strip, slanted=slanted)
    if min(width, length) <= 0 or strip <= 2 * cloth.seam or loss >= cloth.width:
        raise ClothError(
            f"binding {shown(strip)} wide can't go round {shown(width)} x {shown(length)}",
            "write sizes over 0 and a strip wider than two seams and narrower than the cloth",
        )
    wanted = binding_length(width, length, ends)
    if grain == "bias":
        return _bias(wanted, strip, cloth)
    if grain == "squares":
        cut = binding_of_squares(wanted, strip, square)
        free = Purchase(Fraction(0), Fraction(0), cut.words)
        return Binding(grain, strip, wanted, cut.made, 0, cut.squares, square, free, cut.words)
    strips = strips_to_join(wanted, cloth.width, loss)
    purchase = buy(strips * strip, cloth)
    number = "1 strip" if strips == 1 else f"{strips} strips"
    words = (
        f"{number} of {shown(strip)} across {shown(cloth.width)}, joined "
        f"{'on a slant' if slanted else 'straight'}, for {shown(wanted)} of binding: "
        f"{purchase.words}"
    )
    made = joined_length(strips, cloth.width, loss)
    return Binding("straight", strip, wanted, made, strips, 0, Fraction(0), purchase, words)


def bias_rounds(square: Fraction, strip: Fraction, seam: Fraction = QUARTER_SEAM) -> int:
    """Return how many strips lie side by side on the tube that a square is sewn into.

    A square is cut along its diagonal into two triangles whose long sides are on the bias; two of
    their short sides are sewn together, which takes a seam of each. That leaves the bias edges
    (square - 2 seams) / root 2 apart. So n is the largest with n x strip no more than that:
    2 (n x strip)^2 <= (square - 2 seams)^2.
    """
    side = max(square - 2 * seam, Fraction(0))
    return math.floor(root_down((side / strip) ** 2 / 2, _INCH))


def bias_length(
    square: Fraction, strip: Fraction, seam: Fraction = QUARTER_SEAM, step: Fraction = EIGHTH
) -> Fraction:
    """Return the continuous bias strip that a square gives, inches, rounded down to `step`.

    Of the parallelogram the two straight edges, square apart, are sewn together, a strip's width
    displaced, which takes a seam of each: once round the tube on the bias is
    root 2 x (square - 2 seams). The displacement joins one round to the next without loss, so n
    rounds give n x root 2 x (square - 2 seams).
    """
    rounds = bias_rounds(square, strip, seam) * max(square - 2 * seam, Fraction(0))
    return root_down(2 * rounds**2, step)


def _bias(wanted: Fraction, strip: Fraction, cloth: Bolt) -> Binding:
    ways = list(_ways_of_squares(wanted, strip, cloth))
    if not ways:
        raise ClothError(
            f"cloth {shown(cloth.width)} wide gives no bias strips of {shown(strip)}",
            "use wider cloth or a narrower strip",
        )
    squares, side = min(ways)
    used = -(-squares // (cloth.width // side)) * side
    purchase = buy(used, cloth)
    made = squares * _bias_of(side, strip, cloth) - (squares - 1) * strip
    which, each = ("1 square", "") if squares == 1 else (f"{squares} squares", "each ")
    words = (
        f"{which} of {shown(side)}, {each}sewn into a tube and cut into bias strip of "
        f"{shown(strip)}, for {shown(wanted)} of binding: {purchase.words}"
    )
    return Binding("bias", strip, wanted, made, 0, squares, side, purchase, words)


def _bias_of(square: Fraction, strip: Fraction, cloth: Bolt) -> Fraction:
    step = MILLIMETRE if cloth.metric else EIGHTH
    return bias_length(square, strip, cloth.seam, step)


def _ways_of_squares(
    wanted: Fraction, strip: Fraction, cloth: Bolt
) -> Iterator[tuple[int, Fraction]]:
    """Give number and side, in whole inches or centimetres, of squares that give the binding."""
    step = 10 * MILLIMETRE if cloth.metric else _INCH
    for steps in range(1, math.floor(cloth.width / step) + 1):
        side = steps * step
        each = _bias_of(side, strip, cloth)
        if each > strip:  # the slanted join to the next square takes as much
            yield max(1, math.ceil((wanted - strip) / (each - strip))), side
