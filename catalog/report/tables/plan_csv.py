"""The tables of a plan: what is cut, what is bought, what hangs where, and their CSV files."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Final

from catalog.cutting.plans import BuyRow, CutRow, WallBlock, WallPlan
from catalog.report.tables.columns import Column, csv_of, csv_text

CAUTION: Final = "before you cut"
"""What stands for the cloth in the rows of cautions."""


def _nothing(_: object) -> None:
    """Leave a column to be ticked by hand."""


def _if_bought(length_of: Callable[[BuyRow], Fraction]) -> Callable[[BuyRow], float | None]:
    """Return a length of cloth in inches, unknown for batting, which is bought by its size."""
    return lambda buy: float(length_of(buy)) if buy.bought else None


def _others(block: WallBlock) -> Iterator[str]:
    named = {block.darker, block.lighter}
    return (label for _, label in block.squares if label not in named)


CUTTING: Final[tuple[Column[CutRow], ...]] = (
    Column("cloth", lambda cut: cut.cloth, "what it is cut from"),
    Column("piece", lambda cut: cut.piece, "what is cut"),
    Column("count", lambda cut: cut.count, "how many", "whole", "pieces"),
    Column("width_in", lambda cut: float(cut.width), "cut width", "number", "in", 4),
    Column("length_in", lambda cut: float(cut.length), "cut length", "number", "in", 4),
    Column("how", lambda cut: "; ".join(filter(None, (cut.how, cut.note))),
           "from which squares or strips, and how a print is laid"),
    Column("trim", lambda cut: cut.trim, "to what its unit is trimmed once sewn"),
    Column("done", _nothing, "to tick", "yes or no"),
)  # fmt: skip
"""Of ``cutting.csv``."""

BUYING: Final[tuple[Column[BuyRow], ...]] = (
    Column("for", lambda buy: buy.cloth, "what it is for"),
    Column("buy", lambda buy: buy.words, "in yards and words"),
    Column("bought_in", _if_bought(lambda buy: buy.bought), "along the cloth, as shops cut it",
           "number", "in", 4),
    Column("used_in", _if_bought(lambda buy: buy.used), "of that what is cut up",
           "number", "in", 4),
    Column("usable_width_in", _if_bought(lambda buy: buy.width), "across the cloth",
           "number", "in", 4),
    Column("strips", lambda buy: buy.plan, "how it is cut", "list", between="; "),
    Column("spare_in", _if_bought(lambda buy: buy.spare), "of what is bought, to straighten ends",
           "number", "in", 4),
    Column("stacked", lambda buy: buy.stacked, "what of it may be cut in layers"),
    Column("precuts", lambda buy: (offer.words for offer in buy.offers),
           "ready cut instead, or what it is bought as", "list", between="; "),
)  # fmt: skip
"""Of ``buying.csv``."""

WALL: Final[tuple[Column[WallBlock], ...]] = (
    Column("sew", lambda block: block.number, "in the order of sewing, from 1", "whole"),
    Column("place", lambda block: block.place, "letter of its row and number in it"),
    Column("row", lambda block: block.row, "as rows are sewn, from 1", "whole"),
    Column("column", lambda block: block.column, "in its row, from 1", "whole"),
    Column("set", lambda block: block.sets, "numbers of its sets", "list"),
    Column("darker", lambda block: block.darker, "darker square of its set"),
    Column("darker_goes", lambda block: block.darker_goes, "where in the block as it hangs"),
    Column("lighter", lambda block: block.lighter, "lighter square of its set"),
    Column("lighter_goes", lambda block: block.lighter_goes, "where in the block as it hangs"),
    Column("other_squares", _others, "labels", "list"),
    Column("turned", lambda block: block.turn, "clockwise", "whole", "degrees"),
    Column("press_inside", lambda block: block.press_inside, "which way its own seams go"),
    Column("press_to_next", lambda block: block.press_to_next, "the seam at its right side"),
    Column("press_row", lambda block: block.press_row, "the seam from its row to the next"),
    Column("note", lambda block: block.note, "what to know about it"),
    Column("done", lambda block: block.done or None, "ticked as sewn", "yes or no"),
    Column("pieces", lambda block: (f"{label}: {goes}" for label, goes in block.pieces),
           "where each of its squares goes", "list", between="; "),
    Column("posts", lambda block: (f"{label}: {corner}" for corner, label in block.posts_go),
           "squares of the posts at its corners", "list", between="; "),
    Column("press_before", lambda block: block.press_before, "the seam at its left side"),
    Column("press_strips", lambda block: block.press_strips, "between posts and strips"),
    Column("press_edge", lambda block: block.press_edge, "at the quilt's edge"),
    Column("block", lambda block: block.mark, "which of the pattern's blocks it is"),
)  # fmt: skip
"""Of ``wall.csv``."""


def cutting_csv(cuts: Sequence[CutRow], cautions: Sequence[str]) -> str:
    """Return ``cutting.csv``: a row for each kind of piece, then the cautions; ``done`` to tick."""
    told = ((CAUTION, "", "", "", "", csv_text(caution), "", "") for caution in cautions)
    return csv_of(CUTTING, cuts, told)


def buying_csv(buys: Sequence[BuyRow]) -> str:
    """Return ``buying.csv``: a row for each cloth; ``spare_in`` is part of ``bought_in``."""
    return csv_of(BUYING, buys)


def wall_csv(plan: WallPlan) -> str:
    """Return ``wall.csv``: a row for each block in the order of sewing; ``done`` to tick."""
    return csv_of(WALL, plan.blocks)
