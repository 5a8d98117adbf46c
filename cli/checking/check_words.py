"""What a check of the wall says, in words and for JSON: results in, lines or an object out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from catalog.phrases import count_of, joined, listed, runs_of, sentence

if TYPE_CHECKING:
    from pathlib import Path

    from catalog.cutting.plans import WallPlan
    from catalog.models import WallCheck, WallMove

MAX_PLACES_NAMED = 12
"""Of a run of places that aren't in the photo; a wall photographed in part may lack many."""


def differs(moves: Sequence[WallMove]) -> bool:
    """Whether something hangs otherwise than planned."""
    return any(move.kind != "can't tell" for move in moves)


def check_lines(check: WallCheck, moves: Sequence[WallMove], plan: WallPlan) -> list[str]:
    """Say what hangs otherwise than planned, in the order in which one would put it right."""
    from catalog.wall.put_right.move_words import sure_words, words_of_move

    lines = [summary_line(check)]
    told = [(n, move) for n, move in enumerate(moves, 1) if move.kind != "can't tell"]
    if told:
        lines.append("To put right, in this order:")
    lines += [f"  {n}. {sentence(words_of_move(move, plan))[:-1]} ({sure_words(move.sure)})."
              for n, move in told]  # fmt: skip
    untold = [(n, move) for n, move in enumerate(moves, 1) if move.kind == "can't tell"]
    if untold:
        lines.append("Look at these yourself:")
    lines += [f"  {n}. {sentence(words_of_move(move, plan))}" for n, move in untold]
    return [*lines, *beside_lines(check)]


def summary_line(check: WallCheck) -> str:
    """Say how much of what is told hangs as planned."""
    seen = [one for one in check.places if one.state not in {"not in the photo", "can't tell"}]
    right = sum(one.state == "as planned" for one in seen)
    if right == len(seen):
        return f"All of the {count_of(right, 'block')} told hang as planned."
    hang = "hangs" if right == 1 else "hang"
    return f"{count_of(right, 'block')} of {len(seen)} told {hang} as planned."


def beside_lines(check: WallCheck) -> list[str]:
    """Say what else is to know: what could be mistaken, what is sewn, what isn't seen."""
    return [*_beside(check), *_sewn(check), *_unseen(check)]


def _beside(check: WallCheck) -> list[str]:
    """Say what right places could be mistaken for, each doubt once."""
    doubts: dict[str, list[str]] = {}
    for one in check.places:
        if one.state == "as planned" and one.near:
            doubts.setdefault(one.near.rstrip("."), []).append(one.place)
    return [f"At {joined(runs_of(places))} {doubt}." for doubt, places in doubts.items()]


def _unseen(check: WallCheck) -> list[str]:
    # A place that is empty in the plan says so, and is missed by nobody.
    names = [one.place for one in check.places if one.state == "not in the photo" and not one.near]
    return [f"Not in the photo: {listed(runs_of(names), MAX_PLACES_NAMED)}."] if names else []


def _sewn(check: WallCheck) -> list[str]:
    names = [one.place for one in check.places if one.joined_to]
    return [f"Sewn to the next, as it looks: {joined(runs_of(names))}."] if names else []


def check_object(
    check: WallCheck, moves: Sequence[WallMove], plan: WallPlan, written: Sequence[Path]
) -> dict[str, Any]:
    """Return the JSON object."""
    from catalog.wall.put_right.move_words import words_of_move

    return {
        "places": [
            {
                "place": one.place,
                "state": one.state,
                "shows": one.shows,
                "turned_deg": one.turned_deg,
                "sure": round(one.sure, 3),
                "set": one.set_number,
                "photo": one.photo or None,
                "outline": [[round(x, 1), round(y, 1)] for x, y in one.outline or ()] or None,
                "near": one.near or None,
                "sewn_to": list(one.joined_to),
            }
            for one in check.places
        ],
        "moves": [
            {
                "says": words_of_move(move, plan),
                "kind": move.kind,
                "places": list(move.places),
                "turned_deg": move.turned_deg,
                "sure": round(move.sure, 3),
            }
            for move in moves
        ],
        "as_planned": not differs(moves),
        "files": [str(path) for path in written],
    }
