"""What to buy and how to cut it, for the pattern as it is adapted."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_block import AdaptedBlock
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.adapted.bought_pieces import ClothPieces, binding_pieces, cloths_of
from catalog.cutting.adapted.directional_prints import hanging_words
from catalog.cutting.adapted.finishing import (
    BINDING,
    LEFT_OVER,
    buy_row,
    finishing_rows,
    left_over_square,
    squares_row,
)
from catalog.cutting.adapted.upright_pieces import pieces_of_cloth
from catalog.cutting.layouts.cloth_layout import ClothLayout, LaidPiece, Sheet
from catalog.cutting.layouts.stock import NO_STOCK, Stock
from catalog.cutting.layouts.stock_plan import ClothPlan, Shelf
from catalog.cutting.plans import BuyRow, CutRow
from catalog.cutting.quilt import PieceKind
from catalog.cutting.yardage.binding import Binding, binding
from catalog.cutting.yardage.bolt import Bolt, Purchase
from catalog.errors import UsageError
from catalog.lengths import SIXTY_FOURTH, show_length
from catalog.models import Piece

OF_SQUARES: Final = "squares in hand"


def plan_cloth(
    ours: AdaptedQuilt, bolt: Bolt, stock: Stock = NO_STOCK
) -> tuple[tuple[CutRow, ...], tuple[BuyRow, ...]]:
    """Return all that is cut and all that is bought.

    Parameters
    ----------
    ours : AdaptedQuilt
        With the rows, columns and finished sizes to be sewn.
    bolt : Bolt
        Width and shrinkage of what is bought.
    stock : Stock
        Precuts in hand, and those to buy cloth as.

    Raises
    ------
    ClothError
        A cloth is to come from precuts that a piece of it is too large for.
    UsageError
        The stock speaks of a cloth that nothing is cut from.
    """
    bolt = replace(bolt, seam=ours.seam)
    rows, bought = _from_squares(ours)
    buys = []
    rest = cloths_of(ours.quilt, ours.layout, ours.seam, ours.mark)
    edge = _binding(ours, bolt)
    shared = _shared_binding(ours, edge, bolt)
    cloths = _of_one_cloth([*bought, *rest, *shared])
    shelf = Shelf(stock)
    _check_named(stock, cloths, {one.name for one in ours.quilt.cloths})
    for one in cloths:
        own = replace(bolt, directional=one.directional)
        plan = shelf.cloth_plan(one.cloth, one.pieces, own, one.words)
        rows += _strip_rows(one, plan.plan)
        buys.append(_cloth_row(one, plan, own))
    if edge and edge.grain == "squares":
        rows.append(squares_row(BINDING, edge.squares, edge.square, edge.words))
    elif edge and not shared:
        row = buy_row("binding", edge.purchase, bolt, edge.words)
        buys.append(replace(row, layout=_binding_layout(edge, bolt)))
    more, finishing = finishing_rows(ours, bolt)
    return (*rows, *more), (*buys, *finishing)


def _check_named(stock: Stock, cloths: Sequence[ClothPieces], written: Set[str]) -> None:
    """Refuse a cloth that was typed and that nothing is cut from; the pattern's own are read."""
    names = [one.cloth for one in cloths]
    for cloth in stock.named_cloths():
        if cloth not in names and cloth not in written:
            there = f"name one of {', '.join(names)}" if names else "leave it out"
            raise UsageError(f'no piece is cut from a cloth called "{cloth[:60]}"', there)


def _binding(ours: AdaptedQuilt, bolt: Bolt) -> Binding | None:
    edge = ours.quilt.binding
    if edge is None:
        return None
    wide, long = ours.layout.width, ours.layout.length
    square = left_over_square(ours)
    return binding(wide, long, bolt, strip=edge.strip, grain=edge.grain, square=square)


def _shared_binding(ours: AdaptedQuilt, edge: Binding | None, bolt: Bolt) -> list[ClothPieces]:
    """Return what binding is cut from where the pattern names its cloth."""
    cloth = ours.quilt.binding.cloth if ours.quilt.binding else ""
    bought = edge is not None and edge.grain != "squares"
    return [binding_pieces(cloth, edge, bolt.width)] if edge and bought and cloth else []


def _of_one_cloth(cloths: Sequence[ClothPieces]) -> list[ClothPieces]:
    """Join what is cut from one cloth that the pattern names: in the blocks and in borders."""
    found: dict[tuple[str, int], ClothPieces] = {}
    for number, one in enumerate(cloths):
        key = (one.cloth, -1 if one.named else number)
        found[key] = found[key].with_more(one) if key in found else one
    return list(found.values())


def _from_squares(ours: AdaptedQuilt) -> tuple[list[CutRow], list[ClothPieces]]:
    """Return what is cut from squares, and the blocks' pieces that are bought."""
    rows, bought = [], []
    for kind in ours.quilt.kinds:
        cut, count = ours.piece_cuts.get(kind.name), ours.count_of(kind)
        side, height = ours.cut_sides(kind)
        if not count:
            continue
        if kind.source == "yardage":
            plain = Piece(kind.name, side, height, count)
            bought.append(_of_cloth(ours, kind, plain, in_blocks=cut is not None))
            continue
        whole = OF_SQUARES if kind.source == "bundle" else LEFT_OVER
        how = _from_each(kind, ours.pieces_each(kind))
        if cut and cut.as_it_is:
            how = "the square as it is"
        rows.append(CutRow(whole, kind.name, count, side, height, how, _trims(kind, ours.block)))
    return rows, bought


def _of_cloth(ours: AdaptedQuilt, kind: PieceKind, plain: Piece, *, in_blocks: bool) -> ClothPieces:
    """Return the pieces of a kind that is bought; of a print with a direction, as they hang."""
    quilt, layout = ours.quilt, ours.layout
    pieces = pieces_of_cloth(quilt, ours.block, layout, kind) if in_blocks else (plain,)
    words = hanging_words(quilt, layout, kind) if in_blocks and kind.directional else ""
    names = [piece.name for piece in pieces]
    trims, lay = dict.fromkeys(names, _trims(kind, ours.block)), dict.fromkeys(names, words)
    return ClothPieces(kind.cut_from, pieces, kind.directional, named=True, trims=trims, lay=lay)


def _from_each(kind: PieceKind, each: int) -> str:
    if kind.source == "left over":
        return f"{each} from a square left over" if each else "too large for the squares in hand"
    return f"{each} from a square" if each > 1 else "one from each square"


def _trims(kind: PieceKind, block: AdaptedBlock) -> str:
    trims: dict[str, None] = {}
    for unit in block.units:
        if unit.method.trimmed and any(cut.kind == kind for cut in unit.cuts):
            sides = sorted({unit.trim, unit.trim_height}, reverse=True)
            size = " x ".join(show_length(side, step=SIXTY_FOURTH) for side in sides)
            trims[f"{unit.unit.unit.replace('-', ' ')} to {size}"] = None
    return "; ".join(trims)


def _strip_rows(one: ClothPieces, words: Sequence[str]) -> list[CutRow]:
    """Return what is cut from a cloth: its strips told once, at the first piece cut from any."""
    rows: list[CutRow] = []
    told: set[str] = set()
    for piece in one.pieces:
        own = [line for line in words if _speaks_of(piece, line)]
        how = f"{piece.count} from {_above(own)} above" if own else ""
        if not told.issuperset(own):
            cut = [line for line in words if any(_speaks_of(each, line) for each in one.pieces)]
            how = "; ".join(cut)
            told.update(cut)
        trim, note = one.trims.get(piece.name, ""), one.lay.get(piece.name, "")
        sides = piece.width, piece.length
        rows.append(CutRow(one.cloth, piece.name, piece.count, *sides, how, trim, note))
    return rows


def _speaks_of(piece: Piece, line: str) -> bool:
    """Say whether a line of a cutting plan tells of a piece."""
    return re.search(rf"\b{re.escape(piece.name)}\b", line) is not None


def _above(lines: Sequence[str]) -> str:
    """Name what lines of a cutting plan tell to cut up."""
    return "the strips" if any(" strip" in line for line in lines) else "what is cut up"


def _cloth_row(one: ClothPieces, plan: ClothPlan, bolt: Bolt) -> BuyRow:
    """Return what is bought of a cloth that is cut into pieces."""
    bought = plan.purchase or Purchase(Fraction(0), Fraction(0), "")
    row = buy_row(one.cloth, bought, bolt, plan.words, plan.plan)
    offers = (plan.offer,) if plan.offer else ()
    return replace(
        row, layout=plan.layout, stacked=plan.stacked, offers=offers, pieces=tuple(one.pieces)
    )


def _binding_layout(edge: Binding, bolt: Bolt) -> ClothLayout | None:
    """Return the strips of a binding that has a cloth of its own; None on the bias."""
    if edge.grain != "straight":
        return None
    piece = LaidPiece("binding strip", Fraction(0), Fraction(0), bolt.width, edge.strip)
    sheet = Sheet("strip", bolt.width, edge.strip, edge.strips, (piece,))
    how = edge.words.removesuffix(f": {edge.purchase.words}")
    return ClothLayout("binding", edge.purchase.words, (sheet,), notes=(how,))
