"""What cloth a number of units takes: by the yard, or ready cut."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.layouts.precut_offers import PrecutOffer, precut_offer, precut_offers
from catalog.cutting.layouts.precuts import Pinked, Precut
from catalog.cutting.layouts.sheet_plan import sheet_plan
from catalog.cutting.units.sized_unit import SizedPiece, SizedUnit
from catalog.cutting.yardage.bolt import Bolt, Purchase
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.models import Piece

MAX_SETS_TRIED: Final = 400
"""Sets of pieces tried on one precut; a long quarter holds 360 squares of 1 in."""


@dataclass(frozen=True)
class UnitSupply:
    """Cloth for a number of units."""

    number: int | None
    """Units wanted; None where none was told."""
    pieces: tuple[Piece, ...]
    """All that is cut for them; for one set of units where no number was told."""
    yardage: Purchase | None
    """By the yard, where a number was told and no precut."""
    offers: tuple[PrecutOffer, ...]
    """Ready cut."""
    precut: Precut | None = None
    """Asked for."""
    from_one: int = 0
    """Units that one of those gives."""
    for_one_set: int = 1
    """Precuts that one set of pieces takes."""


def unit_supply(
    sized: SizedUnit,
    cloth: Bolt,
    *,
    number: int | None = None,
    precut: Precut | None = None,
    pinked: Pinked = "valleys",
    pack: int | None = None,
) -> UnitSupply:
    """Return what units take, all their pieces from one kind of cloth.

    Parameters
    ----------
    sized : SizedUnit
    cloth : Bolt
        What is bought by the yard, or precuts were cut from.
    number : int, optional
        Units wanted.
    precut : Precut, optional
        What they are to come from; every one that holds their pieces if not given.
    pinked : {"valleys", "tips"}
        Where pinked edges were measured.
    pack : int, optional
        Precuts in a pack; the usual number if not given.

    Raises
    ------
    ClothError
        A piece is larger than the precut.
    """
    sets = -(-(number or sized.units) // sized.units)
    pieces = _pieces(sized, sets)
    if precut is None:
        offers = tuple(precut_offers(pieces, cloth, pinked=pinked)) if number else ()
        bought = strip_plan(pieces, cloth).purchase if number else None
        return UnitSupply(number, pieces, bought, offers)
    offer = precut_offer(pieces, precut, cloth, pinked=pinked, pack=pack)
    one = _sets_from_one(sized, precut.sides(cloth, pinked)) * sized.units
    least = precut_offer(_pieces(sized, 1), precut, cloth, pinked=pinked).number
    return UnitSupply(number, pieces, None, (offer,) if number else (), precut, one, least)


def _pieces(sized: SizedUnit, sets: int) -> tuple[Piece, ...]:
    """Return what is cut for so many sets; pieces of one size together."""
    found: dict[tuple[Fraction, Fraction], Piece] = {}
    for cut in sized.cuts:
        key = cut.width, cut.height
        before = found[key].count if key in found else 0
        found[key] = Piece(_name(cut, found, key), *key, before + cut.count * sets)
    return tuple(found.values())


def _name(
    cut: SizedPiece, found: dict[tuple[Fraction, Fraction], Piece], key: tuple[Fraction, Fraction]
) -> str:
    """Return what pieces of a size are called; no two sizes are called alike."""
    if key in found:
        return found[key].name
    alike = sum(one.name.split(" (")[0] == cut.what for one in found.values())
    return f"{cut.what} ({alike + 1})" if alike else cut.what


def _sets_from_one(sized: SizedUnit, sides: tuple[Fraction, Fraction]) -> int:
    """Return how many sets of pieces one precut gives."""
    (wide, long), found = sides, 0
    for sets in range(1, MAX_SETS_TRIED + 1):
        if sheet_plan(_pieces(sized, sets), wide, long, "precut").number > 1:
            break
        found = sets
    return found
