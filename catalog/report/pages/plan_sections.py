"""The parts of a plan as the report's templates and the cards show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.cutting.plans import WallBlock
from catalog.models import TallyLine
from catalog.report.pages.html_views import SquareView, turn_words


@dataclass(frozen=True)
class Hung:
    """A square in a block."""

    square: SquareView
    what: str
    """Such as ``darker``."""
    goes: str
    upright: bool = False
    """Whether it is told to hang upright, as its print runs one way."""


@dataclass(frozen=True)
class SewView:
    """One line of the sewing list."""

    block: WallBlock
    sets: str
    squares: tuple[Hung, ...]
    turn: str
    pressing: tuple[tuple[str, str], ...]


def sew_view(block: WallBlock, squares: Mapping[str, SquareView]) -> SewView:
    """Return a line of the sewing list."""
    named = {
        block.darker: ("the darker", block.darker_goes),
        block.lighter: ("the lighter", block.lighter_goes),
    }
    goes = dict(block.pieces)
    hung = [
        Hung(
            squares[label],
            *named.get(label, (patch.kind, goes.get(label, ""))),
            upright=label in block.one_way and label not in block.on_side,
        )
        for patch, label in block.squares
        if label in squares
    ]
    own = {label for _, label in block.squares}
    small = {label: patch.kind for patch, labels in block.scraps for label in labels}
    hung += [
        Hung(squares[label], small[label], goes.get(label, ""))
        for label in small
        if label in squares and label not in own
    ]
    hung += [Hung(squares[label], "post", at) for at, label in block.posts_go if label in squares]
    return SewView(
        block,
        " and ".join(str(number) for number in block.sets),
        tuple(hung),
        turn_words(block.turn),
        pressing_of(block),
    )


def pressing_of(block: WallBlock) -> tuple[tuple[str, str], ...]:
    """Return which seams of a block are pressed, each with its ways in words."""
    told = {
        "inside": block.press_inside,
        "at its left": block.press_before,
        "to the next block": block.press_to_next,
        "between rows": block.press_row,
        "strips between posts": block.press_strips,
        "at the quilt's edge": block.press_edge,
    }
    return tuple((what, words) for what, words in told.items() if words)


def standing(line: TallyLine) -> str:
    """Say in a word or two how a need stands."""
    if line.need.source == "yardage":
        return "to buy"
    return "not enough" if line.short else "enough"
