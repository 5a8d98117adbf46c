"""What to put right on a wall, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.models import MoveKind, WallMove
from catalog.phrases import joined


def turn_of(turned_deg: int) -> str:
    """Say how a block hangs that is turned clockwise by so much against the plan."""
    return {
        90: "a quarter turn to the right",
        180: "upside down",
        270: "a quarter turn to the left",
    }[turned_deg % 360]


def words_of_move(move: WallMove, plan: WallPlan) -> str:
    """Say what differs, in a clause without a full stop, such as ``E1 is missing``.

    Parameters
    ----------
    move : WallMove
    plan : WallPlan
        By which the wall should hang.
    """
    return _TELLERS[move.kind](move, {block.place: block for block in plan.blocks})


def sure_words(sure: float) -> str:
    """Say how sure something is: never wholly, as no photo is."""
    return f"{min(99, max(1, round(100 * sure)))} % sure"


_Blocks = Mapping[str, WallBlock]


def _exchange(move: WallMove, _: _Blocks) -> str:
    return f"{joined(move.places)} have changed places"


def _round(move: WallMove, _: _Blocks) -> str:
    steps = [f"what hangs at {a} belongs at {b}"
             for a, b in pairwise((*move.places, move.places[0]))]  # fmt: skip
    return f"{joined(move.places)} have gone round: {joined(steps)}"


def _bring(move: WallMove, _: _Blocks) -> str:
    here, goal = move.places
    empty = ", where nothing hangs" if move.onto_empty else ""
    return f"what hangs at {here} belongs at {goal}{empty}"


def _twice(move: WallMove, blocks: _Blocks) -> str:
    here, goal = move.places
    return f"{here} shows the same block as {goal} once more{_planned(blocks[here])}"


def _other_set(move: WallMove, blocks: _Blocks) -> str:
    return (
        f"{move.places[0]} shows cloth of set {move.set_number}{_planned(blocks[move.places[0]])}"
    )


def _stranger(move: WallMove, blocks: _Blocks) -> str:
    where = blocks[move.places[0]]
    return f"the block at {where.place} isn't one of the plan's blocks{_planned(where)}"


def _planned(block: WallBlock) -> str:
    if not block.sets:
        return ""
    sets = "set" if len(block.sets) == 1 else "sets"
    return f", planned {sets} {joined([str(number) for number in block.sets])}"


def _missing(move: WallMove, _: _Blocks) -> str:
    return f"{move.places[0]} is missing"


def _turn(move: WallMove, _: _Blocks) -> str:
    hangs = turn_of(move.turned_deg)
    return f"what hangs at {move.places[0]} is also {hangs}" if move.moved else (
        f"{move.places[0]} hangs {hangs}"
    )  # fmt: skip


def _sides(move: WallMove, blocks: _Blocks) -> str:
    block = blocks[move.places[0]]
    if not block.darker_goes or not block.lighter_goes:
        return f"in {block.place} the cloths have changed sides"
    return (
        f"in {block.place} the darker cloth is {block.lighter_goes}, it belongs {block.darker_goes}"
    )


def _cant_tell(move: WallMove, _: _Blocks) -> str:
    return f"{move.places[0]} can't be told" + (f": {move.why.rstrip('.')}" if move.why else "")


_TELLERS: dict[MoveKind, Callable[[WallMove, _Blocks], str]] = {
    "exchange": _exchange,
    "round": _round,
    "bring": _bring,
    "twice": _twice,
    "other set": _other_set,
    "stranger": _stranger,
    "missing": _missing,
    "turn": _turn,
    "sides": _sides,
    "can't tell": _cant_tell,
}
