"""How many precuts and packs pieces take, what each gives, and how much is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.layouts.cloth_layout import Sheet
from catalog.cutting.layouts.precuts import PRECUTS, Pinked, Precut
from catalog.cutting.layouts.sheet_plan import most_from, sheet_plan
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import ClothError
from catalog.models import Piece
from catalog.phrases import count_of

MAX_TOLD: Final = 3
"""Ways to buy a cloth ready cut that are told in words; the tables have all."""

_BY_THE_YARD: Final = "no precut holds it: buy it by the yard"


@dataclass(frozen=True)
class PrecutOffer:
    """Pieces cut from precuts of one kind."""

    precut: Precut
    number: int
    """Precuts that are cut up."""
    least: int
    """No plan of straight cuts needs fewer."""
    pack: int
    """Precuts in a pack; 1 where they are sold singly."""
    each: int | None
    """Pieces that one gives, where all are of one kind."""
    waste: Fraction
    """Part of the precuts cut up that no piece takes, from 0 to 1."""
    sheets: tuple[Sheet, ...]

    @property
    def packs(self) -> int:
        """Packs to buy."""
        return -(-self.number // self.pack)

    @property
    def left_over(self) -> int:
        """Precuts of those packs that stay whole."""
        return self.packs * self.pack - self.number

    @property
    def lost(self) -> Fraction:
        """Part of all that is bought that no piece takes, from 0 to 1."""
        return 1 - (1 - self.waste) * self.number / (self.packs * self.pack)

    @property
    def words(self) -> str:
        """Say all of it: ``4 fat quarters, 12 from each, 9 percent wasted``."""
        lost = f"{float(self.waste * 100):.0f} percent of them wasted"
        gives = [f"{self.each:,} from each"] if self.each else []
        if self.pack == 1:
            return ", ".join([self.precut.says(self.number), *gives, lost])
        packs = count_of(self.packs, "pack")
        packs = f"{packs} of {self.precut.plural} ({self.pack} in a pack, prints mixed)"
        used = f"{self.number:,} cut up and {self.left_over:,} left over"
        return f"{packs}: {', '.join([used, *gives, lost])}"


def least_lost(offers: Sequence[PrecutOffer]) -> list[PrecutOffer]:
    """Return those of which the least is lost, `MAX_TOLD` at most."""
    return sorted(offers, key=lambda offer: offer.lost)[:MAX_TOLD]


def precut_offer(
    pieces: Sequence[Piece],
    precut: Precut,
    cloth: Bolt,
    *,
    pinked: Pinked = "valleys",
    pack: int | None = None,
    quick: bool = False,
) -> PrecutOffer:
    """Plan pieces from precuts of one kind.

    Parameters
    ----------
    pieces : sequence of Piece
    precut : Precut
    cloth : Bolt
        What it was cut from: its width, whether its print has a direction.
    pinked : {"valleys", "tips"}
        Where a pinked edge was measured.
    pack : int, optional
        Precuts in a pack; the usual number if not given.
    quick : bool
        Whether a good plan will do (see `sheet_plan`).

    Raises
    ------
    ClothError
        A piece is larger than the precut.
    """
    wide, long = precut.sides(cloth, pinked)
    if large := next((one for one in pieces if not fits_one(one, precut, cloth, pinked)), None):
        holding = (other.plural for other in PRECUTS if _holds(pieces, other, cloth, pinked))
        nearest = next(holding, None)
        raise ClothError(
            f"{large.name} is larger than a {precut.name}",
            f"take {nearest}, which hold it, or buy it by the yard" if nearest else _BY_THE_YARD,
        )
    plan = sheet_plan(pieces, wide, long, precut.name, directional=cloth.directional, quick=quick)
    area = sum((one.width * one.length * one.count for one in pieces), Fraction(0))
    each = None
    if len(pieces) == 1:
        each = most_from(pieces[0], wide, long, directional=cloth.directional)
    waste = 1 - area / (plan.number * wide * long)
    return PrecutOffer(
        precut, plan.number, plan.least, pack or precut.usual_count, each, waste, plan.sheets
    )


def fits_one(piece: Piece, precut: Precut, cloth: Bolt, pinked: Pinked) -> bool:
    """Say whether a precut holds a piece."""
    wide, long = precut.sides(cloth, pinked)
    upright = piece.width <= wide and piece.length <= long
    turned = piece.length <= wide and piece.width <= long and not cloth.directional
    return upright or turned


def _holds(pieces: Sequence[Piece], precut: Precut, cloth: Bolt, pinked: Pinked) -> bool:
    return all(fits_one(one, precut, cloth, pinked) for one in pieces)


def precut_offers(
    pieces: Sequence[Piece], cloth: Bolt, *, pinked: Pinked = "valleys"
) -> Iterator[PrecutOffer]:
    """Give each precut that holds all of these pieces, in the order of the table.

    Their plans are good ones; where several kinds are cut from one precut, one fewer may do.
    """
    for precut in PRECUTS:
        if _holds(pieces, precut, cloth, pinked):
            yield precut_offer(pieces, precut, cloth, pinked=pinked, quick=True)
