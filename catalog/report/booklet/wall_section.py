"""Which squares go where, block by block, to be ticked as they are sewn."""

from __future__ import annotations

from typing import Final

from catalog.cutting.plans import WallBlock
from catalog.report.booklet.booklet_contents import Booklet
from catalog.report.booklet.flowing_pages import FlowingPages, TableColumn
from catalog.report.pages.html_views import turn_words

LIST: Final = (
    TableColumn("place", 0.1),
    TableColumn("set", 0.08),
    TableColumn("squares", 0.4),
    TableColumn("turn", 0.15),
    TableColumn("press", 0.27),
)
TURNS: Final = (TableColumn("place", 0.15), TableColumn("turn", 0.35), TableColumn("press", 0.5))


def wall_section(pages: FlowingPages, booklet: Booklet) -> None:
    """List the blocks in the order of sewing; of a bundle with the squares that they take."""
    pages.heading("Block by block")
    if booklet.own:
        pages.table(LIST, [_own(block) for block in booklet.wall.blocks])
    else:
        pages.table(TURNS, [_plain(block) for block in booklet.wall.blocks])


def _own(block: WallBlock) -> tuple[str, ...]:
    squares = [f"{label}: {where}" for label, where in block.pieces]
    squares = squares or [label for _, label in block.squares]
    return (
        f"{block.place} {block.mark}".strip(),
        ", ".join(map(str, block.sets)),
        "; ".join(squares) or block.note or ("bought cloth" if block.bought else "still wanting"),
        turn_words(block.turn),
        _pressing(block),
    )


def _plain(block: WallBlock) -> tuple[str, ...]:
    return f"{block.place} {block.mark}".strip(), turn_words(block.turn), _pressing(block)


def _pressing(block: WallBlock) -> str:
    told = {
        "inside": block.press_inside,
        "to the next block": block.press_to_next,
        "at its left": block.press_before,
        "strips": block.press_strips,
        "edge": block.press_edge,
    }
    return "; ".join(f"{what}: {words}" for what, words in told.items() if words)
