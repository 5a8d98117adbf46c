"""What to buy and how to cut it, for the pattern made over."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.adapted_block import AdaptedBlock, AdaptedUnit, UnitCut
from catalog.cutting.adapted.adapted_lengths import ClothPieces, cloths_of
from catalog.cutting.adapted.directional_prints import hanging_words
from catalog.cutting.adapted.upright_pieces import pieces_of_cloth
from catalog.cutting.plans import BuyRow, CutRow
from catalog.cutting.quilt import PieceKind, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout, post_count
from catalog.cutting.units.patchwork import squares_from_square
from catalog.cutting.yardage.backing import METRIC_OVERHANG, OVERHANG, backing, batting
from catalog.cutting.yardage.binding import binding
from catalog.cutting.yardage.bolt import Bolt, Purchase
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.lengths import EIGHTH, round_to, show_length
from catalog.models import Piece

OF_SQUARES: Final = "squares in hand"
LEFT_OVER: Final = "squares left over"


def piece_cuts(quilt: Quilt, made: AdaptedBlock) -> dict[str, UnitCut]:
    """Return for each kind of piece in the blocks how it is cut, the largest where units differ."""
    cuts: dict[str, UnitCut] = {}
    for unit in made.units:
        for cut in unit.cuts:
            before = cuts.get(cut.kind.name)
            if before is None or before.width < cut.width:
                cuts[cut.kind.name] = cut
    return cuts


def plan_cloth(
    quilt: Quilt,
    made: AdaptedBlock,
    layout: Layout,
    seam: Fraction,
    square: Fraction | None,
    cloth: Bolt,
    mark: Fraction = EIGHTH,
) -> tuple[tuple[CutRow, ...], tuple[BuyRow, ...]]:
    """Return all that is cut and all that is bought.

    Parameters
    ----------
    quilt : Quilt
    made : AdaptedBlock
    layout : Layout
        With the rows, columns and finished sizes to be sewn.
    seam : Fraction
        Inches.
    square : Fraction or None
        Side of the squares in hand, inches.
    cloth : Bolt
        Width and shrinkage of what is bought.
    mark : Fraction
        The ruler's marks, inches.
    """
    cloth = replace(cloth, seam=seam)
    cuts, bought = _from_squares(quilt, made, layout, square, seam)
    rows = list(cuts)
    buys = []
    for one in _together([*bought, *cloths_of(quilt, layout, seam, mark)]):
        own = replace(cloth, directional=one.directional)
        plan = strip_plan(one.pieces, own)
        rows += [_strip_row(one, piece, plan.words) for piece in one.pieces]
        buys.append(_buy_row(one.cloth, plan.purchase, cloth, plan.purchase.words, plan.words))
    return tuple(rows), (*buys, *_finishing(quilt, layout, cloth, mark))


def _together(cloths: Sequence[ClothPieces]) -> list[ClothPieces]:
    """Join what is cut from one cloth that the pattern names: in the blocks and in borders."""
    found: dict[tuple[str, int], ClothPieces] = {}
    for number, one in enumerate(cloths):
        key = (one.cloth, -1 if one.named else number)
        found[key] = found[key].with_more(one) if key in found else one
    return list(found.values())


def _from_squares(
    quilt: Quilt, made: AdaptedBlock, layout: Layout, square: Fraction | None, seam: Fraction
) -> tuple[list[CutRow], list[ClothPieces]]:
    """Return what is cut from squares, and the blocks' pieces that are bought."""
    rows, bought = [], []
    cuts = piece_cuts(quilt, made)
    for kind in quilt.kinds:
        cut, count = cuts.get(kind.name), count_of(quilt, kind, layout)
        side, height = cut_sides(quilt, made, kind, layout, seam)
        if not count:
            continue
        if kind.source == "yardage":
            plain = Piece(kind.name, side, height, count)
            bought.append(_of_cloth(quilt, made, layout, kind, plain, in_blocks=cut is not None))
            continue
        whole = OF_SQUARES if kind.source == "bundle" else LEFT_OVER
        each = pieces_each(quilt, kind, side, square)
        how = "the square as it is" if cut and cut.as_it_is else _from_each(kind, each)
        rows.append(CutRow(whole, kind.name, count, side, height, how, _trims(kind, made)))
    return rows, bought


def _of_cloth(
    quilt: Quilt,
    made: AdaptedBlock,
    layout: Layout,
    kind: PieceKind,
    plain: Piece,
    *,
    in_blocks: bool,
) -> ClothPieces:
    """Return the pieces of a kind that is bought; of a print with a direction, as they hang."""
    pieces = pieces_of_cloth(quilt, made, layout, kind) if in_blocks else (plain,)
    words = hanging_words(quilt, layout, kind) if in_blocks and kind.directional else ""
    names = [piece.name for piece in pieces]
    trims, lay = dict.fromkeys(names, _trims(kind, made)), dict.fromkeys(names, words)
    return ClothPieces(kind.name, pieces, kind.directional, named=True, trims=trims, lay=lay)


def count_of(quilt: Quilt, kind: PieceKind, layout: Layout) -> int:
    """Return how many pieces of a kind a layout takes; posts by their number, else as written."""
    if kind.per_block is not None:
        return kind.per_block * layout.blocks
    if quilt.sashing and quilt.sashing.post_kind == kind.name:
        return post_count(layout)
    written = quilt.rows * quilt.columns
    if quilt.on_point:
        written += (quilt.rows - 1) * (quilt.columns - 1)
    return math.ceil(Fraction(kind.count * layout.blocks, written))


def cut_sides(
    quilt: Quilt, made: AdaptedBlock, kind: PieceKind, layout: Layout, seam: Fraction
) -> tuple[Fraction, Fraction]:
    """Return width and height to which pieces of a kind are cut, inches."""
    cut = piece_cuts(quilt, made).get(kind.name)
    if cut:
        return cut.width, cut.height
    side = _post_side(quilt, kind, layout, seam)
    return side, side


def pieces_each(quilt: Quilt, kind: PieceKind, side: Fraction, square: Fraction | None) -> int:
    """Return how many pieces of a side come from a square.

    Where none is given, the bundle's pieces come one from each of the squares that the pattern asks
    for, and small ones from the largest of those.
    """
    if square is None:
        if kind.source == "bundle":
            return 1
        square = max((one.size for one in quilt.kinds if one.source == "bundle"), default=side)
    return squares_from_square(square, side)


def _post_side(quilt: Quilt, kind: PieceKind, layout: Layout, seam: Fraction) -> Fraction:
    """Return the side of a piece that is in no block: of posts as wide as the strips."""
    if quilt.sashing and quilt.sashing.post_kind == kind.name:
        return layout.sashing + 2 * seam
    return kind.size


def _from_each(kind: PieceKind, each: int) -> str:
    if kind.source == "left over":
        return f"{each} from a square left over" if each else "too large for the squares in hand"
    return f"{each} from a square" if each > 1 else "one from each square"


def _trims(kind: PieceKind, made: AdaptedBlock) -> str:
    units = [
        unit
        for unit in made.units
        if unit.method.trimmed and any(cut.kind == kind for cut in unit.cuts)
    ]
    return "; ".join(
        dict.fromkeys(f"{one.unit.unit.replace('-', ' ')} to {_trim_words(one)}" for one in units)
    )


def _trim_words(unit: AdaptedUnit) -> str:
    sides = sorted({unit.trim, unit.trim_height}, reverse=True)
    return " x ".join(_show(side) for side in sides)


def _strip_row(one: ClothPieces, piece: Piece, words: Sequence[str]) -> CutRow:
    how = "; ".join(line for line in words if re.search(rf"\b{re.escape(piece.name)}\b", line))
    trim, note = one.trims.get(piece.name, ""), one.lay.get(piece.name, "")
    return CutRow(one.cloth, piece.name, piece.count, piece.width, piece.length, how, trim, note)


def _buy_row(
    name: str, purchase: Purchase, cloth: Bolt, words: str, plan: tuple[str, ...] = ()
) -> BuyRow:
    width = cloth.usable_width
    return BuyRow(name, purchase.bought, purchase.used, width, words, plan, purchase.spare)


def _finishing(quilt: Quilt, layout: Layout, cloth: Bolt, mark: Fraction) -> list[BuyRow]:
    """Return binding, backing and batting."""
    rows = []
    wide, long = layout.width, layout.length
    over = METRIC_OVERHANG if cloth.metric else OVERHANG
    if quilt.binding:
        bound = binding(wide, long, cloth, strip=quilt.binding.strip, grain=quilt.binding.grain)
        rows.append(_buy_row("binding", bound.purchase, cloth, bound.words))
    if cloth.metric:
        wide, long = (round_to(side, mark, "up") for side in (wide, long))
    back = backing(wide, long, cloth, overhang=over)
    rows.append(_buy_row("backing", back.purchase, cloth, back.words))
    zero = Fraction(0)
    soft = batting(wide, long, over)
    rows.append(BuyRow("batting", zero, zero, soft.width, soft.words))
    return rows


def _show(length: Fraction) -> str:
    return show_length(length, step=Fraction(1, 64))
