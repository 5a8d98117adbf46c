"""A pattern adapted: what was written, and what it becomes with the squares in hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.adapted.buying import plan_cloth
from catalog.cutting.adapted.comparison import comparison_rows
from catalog.cutting.adapted.packs import packs_wanted, with_sold_as
from catalog.cutting.adapted.sets_in_hand import SetsInHand
from catalog.cutting.layouts.precut_offers import precut_offers
from catalog.cutting.layouts.stock import NO_STOCK, Stock
from catalog.cutting.metric_sizes import in_millimetres
from catalog.cutting.plans import BuyRow, ComparisonRow, CutRow, PackRow
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.filled_layout import Filled, judge
from catalog.cutting.quilt_sizes.filling import (
    Shape,
    layouts_filled,
    nearest_layout,
    next_steps,
    steps_to_usual,
    suggested,
)
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.set_supply import Supply
from catalog.cutting.quilt_sizes.standard_sizes import ALL_NAMES, UsualSize
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import UsageError
from catalog.lengths import EIGHTH, MILLIMETRE, SIXTEENTH

USUAL_CLOTH: Final = Bolt()
AS_WRITTEN: Final = "as-written"
_PROPORTIONS: Final[tuple[Shape, ...]] = ("longer", "shorter", "square")
SHAPES: Final = (AS_WRITTEN, "largest", *_PROPORTIONS, *ALL_NAMES)
"""What ``--shape`` takes: the written rows and columns, as large as the sets allow, a proportion,
or the kind of quilt to come nearest to."""
MAX_SIZES_LISTED: Final = 6
"""Sizes that the sets fill, listed."""
MAX_INCHES_OFF_USUAL: Final = 24
"""Inches off a usual size, width and length together, from which one isn't listed: a strip of
blocks that nobody would make."""


@dataclass(frozen=True, kw_only=True)
class AdaptedPattern(AdaptedQuilt):
    """A pattern adapted to squares, seam and sets, with all that is told of it."""

    written: Layout
    """As published; ``layout`` has the rows and columns chosen."""
    rows: tuple[ComparisonRow, ...]
    cuts: tuple[CutRow, ...]
    buys: tuple[BuyRow, ...]
    chosen: Filled | None
    """The layout against the sets; None where their number isn't known."""
    fills: tuple[Filled, ...]
    """Other sizes that the sets fill, to which no row and no column could be added, nearest to a
    usual size first."""
    steps: tuple[Filled, ...]
    """One more row, column, each."""
    usual: tuple[Filled, ...]
    """For each kind of quilt the nearest rows and columns."""
    packs: tuple[PackRow, ...] = ()
    """Packs of squares that it takes from the bundle."""
    stock: Stock = NO_STOCK
    cloth: Bolt = USUAL_CLOTH
    """What is bought by the yard."""
    bed: UsualSize | None = None
    """The size that was asked for."""

    @property
    def fits(self) -> bool:
        """Whether every written size can be had and the sets are enough."""
        return all(row.fits for row in self.rows) and (self.chosen is None or self.chosen.enough)


def adapt_pattern(
    quilt: Quilt,
    *,
    square: Fraction | None = None,
    seam: Fraction | None = None,
    finished: Fraction | None = None,
    supply: Supply | None = None,
    sets: int | None = None,
    shape: str = AS_WRITTEN,
    cloth: Bolt | None = None,
    cm: bool = False,
    stock: Stock = NO_STOCK,
    bed: UsualSize | None = None,
) -> AdaptedPattern:
    """Adapt a pattern to the squares in hand.

    Parameters
    ----------
    quilt : Quilt
        As published.
    square : Fraction, optional
        Side of the squares in hand, inches; the pattern's own if not given.
    seam : Fraction, optional
        The seam really sewn, inches; the pattern's own if not given.
    finished : Fraction, optional
        A finished block to make instead, inches.
    supply : Supply, optional
        The sets in hand.
    sets : int, optional
        Matched sets in hand instead, where they are all the squares that there are.
    shape : str
        One of `SHAPES`; needs no supply, and takes as many sets as the pattern has without one.
    cloth : Bolt, optional
        What is bought: its width, shrinkage and how it is sold.
    cm : bool
        Show centimetres, and cut and trim to millimetres (see `metric_sizes`).
    stock : Stock
        Precuts in hand, and those to buy cloth as.
    bed : UsualSize, optional
        The size to come nearest to, whatever the sets are; instead of a shape.

    Raises
    ------
    UsageError
        An unknown shape; a block that can't be had (with the nearest that can); too few sets for
        one block.
    """
    if shape not in SHAPES:
        raise UsageError(f'"{shape}" is no shape', f"use one of {', '.join(SHAPES)}")
    published, quilt = quilt, in_millimetres(quilt, square) if cm else quilt
    ours = _laid_out(quilt, square, seam, finished, cm=cm)
    written = _laid_out(quilt, None, quilt.seam, None, cm=cm)
    if cm:
        ours, written = (_with_units_of(published, one) for one in (ours, written))
    in_hand = SetsInHand({"": sets or 0}, quilt.sets_per_block, ours=ours)
    if supply is None and sets is not None:
        supply = in_hand
    layout = nearest_layout(ours.layout, bed) if bed else None
    layout = layout or _shaped(ours.layout, supply, in_hand, shape)
    ours = replace(ours, layout=layout)
    stock, cloth = with_sold_as(stock, quilt), cloth or USUAL_CLOTH
    cuts, buys = plan_cloth(ours, cloth, stock)
    return AdaptedPattern(
        *(quilt, ours.block, layout, ours.seam, square, ours.mark),
        written=written.layout,
        rows=tuple(comparison_rows(ours, written)),
        cuts=cuts,
        buys=buys,
        chosen=judge(supply, layout, *([(bed,)] if bed else [])) if supply else None,
        fills=_worth_telling(supply, layout) if supply else (),
        steps=next_steps(supply, layout) if supply else (),
        usual=steps_to_usual(supply, layout) if supply else (),
        packs=packs_wanted(ours, stock, cuts),
        stock=stock,
        cloth=cloth,
        bed=bed,
    )


def with_offers(adapted: AdaptedPattern) -> AdaptedPattern:
    """Return it with the precuts that each cloth could be bought as instead of by the yard."""
    buys = [
        buy if buy.offers or not buy.pieces or not buy.bought else _with_offers(buy, adapted)
        for buy in adapted.buys
    ]
    return replace(adapted, buys=tuple(buys))


def _with_offers(buy: BuyRow, adapted: AdaptedPattern) -> BuyRow:
    directional = bool(buy.layout and buy.layout.directional)
    cloth = replace(adapted.cloth, directional=directional)
    offers = precut_offers(buy.pieces, cloth, pinked=adapted.stock.pinked)
    return replace(buy, offers=tuple(offers))


def _laid_out(
    quilt: Quilt,
    square: Fraction | None,
    seam: Fraction | None,
    finished: Fraction | None,
    *,
    cm: bool,
) -> AdaptedQuilt:
    """Return a quilt of the written rows and columns, with its blocks and lengths as sewn."""
    seam = quilt.seam if seam is None else seam
    mark, step = (MILLIMETRE, MILLIMETRE) if cm else (EIGHTH, SIXTEENTH)
    block = adapt_block(quilt, square, seam, mark=mark, finished=finished)
    layout = as_laid_out(quilt, block.finished, seam, quilt.rows, quilt.columns, step=step)
    return AdaptedQuilt(quilt, block, layout, seam, square, mark)


def _with_units_of(published: Quilt, ours: AdaptedQuilt) -> AdaptedQuilt:
    """Return a quilt in millimetres with as many units in its spaced borders as in inches.

    Blocks that differ by more than the millimetre of each unit are a quilt of their own.
    """
    layout = ours.layout
    off = abs(layout.block - published.finished_block)
    if (
        not layout.spaced
        or ours.seam != published.seam
        or off > published.block.across * MILLIMETRE
    ):
        return ours
    size = (published.finished_block, published.seam, published.rows, published.columns)
    return replace(ours, layout=replace(layout, in_inches=as_laid_out(published, *size)))


def _worth_telling(supply: Supply, layout: Layout) -> tuple[Filled, ...]:
    """Return the sizes that the sets fill and a person would think of; one at least."""
    found = layouts_filled(supply, layout, largest_only=True)
    near = tuple(one for one in found if one.distance <= MAX_INCHES_OFF_USUAL)
    return near[:MAX_SIZES_LISTED] or found[:1]


def _shaped(base: Layout, supply: Supply | None, in_hand: SetsInHand, shape: str) -> Layout:
    """Return the layout with the rows and columns that the shape asks for.

    Where no sets are known, as many are taken as the pattern has.
    """
    if shape == AS_WRITTEN:
        return base
    if supply is None:
        supply = replace(in_hand, sets={"": in_hand.wanted(base)})
    proportion: Shape = next((one for one in _PROPORTIONS if one == shape), "any")
    like = shape if shape in ALL_NAMES else None
    found = suggested(supply, base, like=like, shape=proportion)
    if found is None:
        raise UsageError(
            f"{supply.total} sets make no {shape} quilt of these blocks",
            f"one block takes {supply.wanted(replace(base, rows=1, columns=1))}; make more sets or "
            "choose another --shape",
        )
    return found.layout
