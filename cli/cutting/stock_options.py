"""Precuts as they are typed, checked; the same for every command that plans."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Protocol

from catalog.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.cutting.layouts.precuts import PrecutsInHand
    from catalog.cutting.layouts.stock import SoldAs, Stock
    from cli.options import PinkedEdge

MAX_KINDS: Final = 20
"""Kinds of precuts in hand, or to buy."""
MAX_PACK: Final = 1_000
MAX_IN_HAND: Final = 2_000
"""Precuts of one kind."""


class StockOptions(Protocol):
    """What was typed of precuts."""

    @property
    def have(self) -> Sequence[str] | None:
        """Precuts in hand."""

    @property
    def precut(self) -> Sequence[str] | None:
        """Precuts to buy cloth as."""

    @property
    def pinked(self) -> PinkedEdge | None:
        """Where pinked edges were measured."""

    @property
    def pack(self) -> int | None:
        """Precuts in a pack."""


def stock_of(options: StockOptions) -> Stock:
    """Return what was typed of precuts.

    Raises
    ------
    UsageError
        It names no precut that is sold everywhere, or numbers that can't be meant.
    """
    from catalog.cutting.layouts.stock import Stock

    have, precuts = options.have or (), options.precut or ()
    if max(len(have), len(precuts)) > MAX_KINDS:
        raise UsageError("that are too many kinds of precuts", f"name {MAX_KINDS} at most")
    in_hand = _in_hand(have)
    if any(one.number > MAX_IN_HAND for one in in_hand):
        raise UsageError("so many precuts can't be meant", f"give {MAX_IN_HAND:,} at most")
    pack = options.pack
    if pack is not None and not 1 <= pack <= MAX_PACK:
        raise UsageError(f"a pack of {pack} can't be meant", f"give --pack 1 to {MAX_PACK:,}")
    tips = options.pinked is not None and options.pinked.value == "tips"
    sold_as = tuple(map(sold_as_of, precuts))
    return Stock(in_hand, sold_as, "tips" if tips else "valleys", pack)


def _in_hand(have: Sequence[str]) -> tuple[PrecutsInHand, ...]:
    """Read precuts in hand, which are imported where there are any."""
    if not have:
        return ()
    from catalog.cutting.layouts.precuts import read_in_hand

    return tuple(map(read_in_hand, have))


def sold_as_of(text: str) -> SoldAs:
    """Return a precut to buy cloth as, such as ``fat quarters for background``."""
    from catalog.cutting.layouts.precuts import find_precut
    from catalog.cutting.layouts.stock import SoldAs

    what, _, cloth = (part.strip() for part in text.partition(" for "))
    return SoldAs(find_precut(what), cloth)
