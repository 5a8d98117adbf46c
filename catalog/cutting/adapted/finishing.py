"""What finishes a quilt: backing and batting, and what of that comes from squares left over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.plans import BuyRow, CutRow
from catalog.cutting.yardage.backing import METRIC_OVERHANG, OVERHANG, backing, batting
from catalog.cutting.yardage.bolt import Bolt, Purchase
from catalog.lengths import round_to

LEFT_OVER: Final = "squares left over"
BINDING: Final = "binding"
PANEL: Final = "panel of the backing"
OF_SQUARES_LEFT: Final = (BINDING, PANEL)
"""What may be made of squares left over beside the pieces of the pattern."""


def left_over_square(ours: AdaptedQuilt) -> Fraction:
    """Return the side of squares left over, inches: those in hand, else the largest asked for."""
    if ours.square is not None:
        return ours.square
    sizes = (kind.size for kind in ours.quilt.kinds if kind.source == "bundle")
    return max(sizes, default=Fraction(0))


def squares_row(what: str, number: int, side: Fraction, how: str) -> CutRow:
    """Return a line of what is cut from squares left over."""
    return CutRow(LEFT_OVER, what, number, side, side, how)


def finishing_squares(cuts: Sequence[CutRow]) -> tuple[CutRow, ...]:
    """Return what of binding and backing is cut from squares left over."""
    return tuple(cut for cut in cuts if cut.cloth == LEFT_OVER and cut.piece in OF_SQUARES_LEFT)


def left_over_lines(cuts: Sequence[CutRow], left_over: int) -> list[str]:
    """Say where binding or backing takes more squares left over than there are.

    Parameters
    ----------
    cuts : sequence of CutRow
        Of the whole quilt.
    left_over : int
        Squares that nothing else uses.
    """
    lines = []
    for cut in finishing_squares(cuts):
        short = cut.count - max(left_over, 0)
        if short > 0:
            lines.append(
                f"{cut.piece}: {cut.count} squares left over are wanted and "
                f"{max(left_over, 0)} are there; cut the rest from other fabric."
            )
        left_over -= cut.count
    return lines


def buy_row(
    name: str, purchase: Purchase, bolt: Bolt, words: str, plan: tuple[str, ...] = ()
) -> BuyRow:
    """Return a line of what is bought."""
    width = bolt.usable_width
    return BuyRow(name, purchase.bought, purchase.used, width, words, plan, purchase.spare)


def finishing_rows(ours: AdaptedQuilt, bolt: Bolt) -> tuple[list[CutRow], list[BuyRow]]:
    """Return what backing and batting take.

    Parameters
    ----------
    ours : AdaptedQuilt
    bolt : Bolt
        Of all other cloth; the backing's may be wider.
    """
    asked = ours.quilt.finishing.backing
    wide, long = ours.layout.width, ours.layout.length
    usual = METRIC_OVERHANG if bolt.metric else OVERHANG
    over = usual if asked.overhang is None else asked.overhang
    if bolt.metric:
        wide, long = (round_to(side, ours.mark, "up") for side in (wide, long))
    cloth = replace(
        bolt, usable_width=asked.width or bolt.usable_width, directional=asked.directional
    )
    square = left_over_square(ours) if asked.last_panel == "squares" else None
    pieced = asked.last_panel == "pieces"
    back = backing(wide, long, cloth, overhang=over, pieced=pieced, square=square)
    soft = batting(wide, long, over)
    cuts = []
    if back.squares and square:
        words = back.words.removesuffix(f": {back.purchase.words}")
        cuts.append(squares_row(PANEL, back.squares, square, words))
    return cuts, [
        buy_row("backing", back.purchase, cloth, back.words),
        BuyRow("batting", Fraction(0), Fraction(0), soft.width, soft.words),
    ]
