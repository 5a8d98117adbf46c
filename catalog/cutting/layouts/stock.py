"""Precuts in hand and to be bought, as they are told; what is done with them needs far more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.cutting.layouts.precuts import Pinked, Precut, PrecutsInHand


@dataclass(frozen=True)
class SoldAs:
    """A cloth that is to be bought ready cut."""

    precut: Precut
    cloth: str = ""
    """Its name; empty for every cloth whose pieces all fit."""


@dataclass(frozen=True)
class Stock:
    """Precuts that a person has, and those to buy cloth as."""

    in_hand: tuple[PrecutsInHand, ...] = ()
    sold_as: tuple[SoldAs, ...] = ()
    pinked: Pinked = "valleys"
    """Where pinked edges were measured."""
    pack: int | None = None
    """Precuts in a pack; None for the usual number."""

    def named_cloths(self) -> tuple[str, ...]:
        """Return the cloths that it speaks of by name."""
        named = *(one.cloth for one in self.in_hand), *(one.cloth for one in self.sold_as)
        return tuple(filter(None, named))


NO_STOCK = Stock()
