"""What is cut from precuts in hand, and the rest bought: by the yard, or ready cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from catalog.cutting.layouts.cloth_layout import ClothLayout, Sheet
from catalog.cutting.layouts.precut_offers import PrecutOffer, fits_one, precut_offer
from catalog.cutting.layouts.precuts import Precut
from catalog.cutting.layouts.sheet_plan import sheet_plan
from catalog.cutting.layouts.stacking import stacking_words
from catalog.cutting.layouts.stock import Stock
from catalog.cutting.layouts.strip_layout import strip_layout
from catalog.cutting.yardage.bolt import Bolt, Purchase, shown
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.errors import ClothError
from catalog.models import Piece


@dataclass(frozen=True)
class ClothPlan:
    """How one cloth is cut, and what of it is bought."""

    layout: ClothLayout
    purchase: Purchase | None
    """By the yard; None where it is ready cut, or nothing is bought."""
    words: str
    """What to buy."""
    plan: tuple[str, ...]
    """How it is cut, a line each."""
    offer: PrecutOffer | None = None
    """What is bought ready cut."""

    @property
    def stacked(self) -> str:
        """What of it may be cut in layers."""
        return stacking_words(self.layout.sheets, directional=self.layout.directional)


class Shelf:
    """Precuts in hand, as they are used up cloth by cloth.

    Parameters
    ----------
    stock : Stock
    """

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.left = [one.number for one in stock.in_hand]

    def cloth_plan(
        self, cloth: str, pieces: Sequence[Piece], bolt: Bolt, notes: tuple[str, ...] = ()
    ) -> ClothPlan:
        """Plan one cloth: first from what is in hand, then from what is bought.

        Parameters
        ----------
        cloth : str
            Its name.
        pieces : sequence of Piece
            All that is cut from it.
        bolt : Bolt
            What is bought by the yard; its width tells that of fat and long cuts too.
        notes : tuple of str
            What else is told of the pieces, a line each.

        Raises
        ------
        ClothError
            It is to be bought as a precut that a piece is too large for.
        """
        ours, used, rest = self._from_hand(cloth, list(pieces), bolt)
        lines = [sheet_words(sheet, " that you have") for sheet in ours]
        if not rest:
            layout = ClothLayout(cloth, f"{used} that you have", ours, bolt.directional, notes)
            return ClothPlan(
                layout, None, f"nothing: {used} that you have hold it", (*lines, *notes)
            )
        of_hand = f"beside {used} that you have, " if ours else ""
        bought = self._bought(cloth, rest, bolt, notes)
        sheets = (*ours, *bought.layout.sheets)
        layout = replace(bought.layout, sheets=sheets, amount=of_hand + bought.layout.amount)
        return replace(
            bought, layout=layout, words=of_hand + bought.words, plan=(*lines, *bought.plan)
        )

    def _bought(
        self, cloth: str, pieces: Sequence[Piece], bolt: Bolt, notes: tuple[str, ...]
    ) -> ClothPlan:
        for one in self.stock.sold_as:
            if one.cloth in {"", cloth}:
                try:
                    return self._ready_cut(cloth, pieces, one.precut, bolt, notes)
                except ClothError:
                    if one.cloth:
                        raise
        made = strip_plan(pieces, bolt)
        told = (*(one.words for one in made.joined), *notes)
        layout = strip_layout(
            cloth,
            made.purchase.words,
            made.strips,
            bolt.width,
            directional=bolt.directional,
            notes=told,
        )
        return ClothPlan(layout, made.purchase, made.purchase.words, (*made.words, *notes))

    def _ready_cut(
        self,
        cloth: str,
        pieces: Sequence[Piece],
        precut: Precut,
        bolt: Bolt,
        notes: tuple[str, ...],
    ) -> ClothPlan:
        made = precut_offer(pieces, precut, bolt, pinked=self.stock.pinked, pack=self.stock.pack)
        layout = ClothLayout(cloth, made.words, made.sheets, bolt.directional, notes)
        lines = (*(sheet_words(sheet) for sheet in made.sheets), *notes)
        return ClothPlan(layout, None, made.words, lines, made)

    def _from_hand(
        self, cloth: str, pieces: list[Piece], bolt: Bolt
    ) -> tuple[tuple[Sheet, ...], str, list[Piece]]:
        """Return what is cut from precuts in hand, which those are, and the pieces wanting."""
        found: list[Sheet] = []
        used: list[str] = []
        for place, one in enumerate(self.stock.in_hand):
            if one.cloth not in {"", cloth} or not self.left[place] or not pieces:
                continue
            wide, long = one.precut.sides(bolt, self.stock.pinked)
            fits = [
                piece for piece in pieces if fits_one(piece, one.precut, bolt, self.stock.pinked)
            ]
            if not fits:
                continue
            name = one.precut.name
            made = sheet_plan(fits, wide, long, name, directional=bolt.directional)
            sheets = _fullest(made.sheets, self.left[place])
            number = sum(sheet.copies for sheet in sheets)
            self.left[place] -= number
            found += sheets
            used.append(one.precut.says(number))
            pieces = _without(pieces, sheets)
        return tuple(found), " and ".join(used), pieces


def sheet_words(sheet: Sheet, where: str = "") -> str:
    """Say what is cut from precuts that are cut up alike."""
    counted = Counter((one.piece, one.width, one.length) for one in sheet.pieces)
    each = "from each " if sheet.copies > 1 else ""
    said = "; ".join(
        f"{number} {piece} {shown(wide, mark=False)} x {shown(long)}"
        for (piece, wide, long), number in counted.items()
    )
    return f"{sheet.says}{where}: {each}{said}"


def _fullest(sheets: Sequence[Sheet], number: int) -> list[Sheet]:
    """Return so many of the precuts at most, those of which the most is used."""
    kept = []
    for sheet in sorted(sheets, key=lambda one: -one.used / one.copies):
        copies = min(number, sheet.copies)
        if copies:
            kept.append(replace(sheet, copies=copies, layers=min(sheet.layers, copies)))
            number -= copies
    return kept


def _without(pieces: Sequence[Piece], sheets: Sequence[Sheet]) -> list[Piece]:
    """Return the pieces that are still wanted."""
    got: Counter[str] = Counter()
    for sheet in sheets:
        for one in sheet.pieces:
            got[one.piece] += sheet.copies
    return [
        replace(piece, count=piece.count - got[piece.name])
        for piece in pieces
        if piece.count > got[piece.name]
    ]
