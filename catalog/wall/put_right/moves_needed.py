"""What is to be put right on a wall, in the order in which one would do it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from catalog.models import MoveKind, SeenPlace, WallCheck, WallMove

LIKELY: Final = 0.8
"""Probability from which a difference is told before all that wants a second look (choice of
ours)."""
ORDER: Final[tuple[MoveKind, ...]] = (
    "exchange", "round", "bring", "twice", "other set", "stranger", "missing", "turn", "sides",
    "can't tell",
)  # fmt: skip
"""What hangs where first, then how it hangs: whoever takes a block down to turn it would do so
twice if it then had to move. Sides come last, as they are unpicked."""
SEEN_RIGHT: Final = frozenset({"as planned", "turned", "sides"})
"""States of a place at which its own block hangs."""


def moves_needed(check: WallCheck) -> tuple[WallMove, ...]:
    """Return what to put right, the likely first, and at the end what can't be told.

    Parameters
    ----------
    check : WallCheck

    Returns
    -------
    tuple of WallMove
        Empty where all that is seen hangs as planned.
    """
    at = {one.place: one for one in check.places}
    links = {one.place: one.shows for one in check.places
             if one.state == "other" and one.shows is not None and one.shows in at}  # fmt: skip
    found: list[WallMove] = []
    rounds = list(_rounds(links))
    for places in rounds:
        kind: MoveKind = "exchange" if len(places) == 2 else "round"
        found.append(WallMove(kind, places, min(at[place].sure for place in places)))
    inside = {place for places in rounds for place in places}
    found += _lone_moves(at, {a: b for a, b in links.items() if a not in inside}, inside)
    found += _own_moves(check, links, {move.places[-1] for move in found if move.kind == "bring"})
    order = {one.place: number for number, one in enumerate(check.places)}
    return tuple(sorted(found, key=lambda move: _rank(move, order)))


def _rank(move: WallMove, order: Mapping[str, int]) -> tuple[bool, int, float, int]:
    """Return a key that sorts moves; a chain of blocks to bring keeps its order."""
    chain = move.kind == "bring"
    return (
        move.sure < LIKELY or move.kind == "can't tell",
        ORDER.index(move.kind),
        0.0 if chain else -round(move.sure, 2),
        0 if chain else order[move.places[0]],
    )


def _rounds(links: Mapping[str, str]) -> Iterator[tuple[str, ...]]:
    """Yield the places whose blocks hang at one another's, each round once."""
    done = set[str]()
    for start in links:
        walk = [start]
        while walk[-1] in links and links[walk[-1]] not in walk and walk[-1] not in done:
            walk.append(links[walk[-1]])
        last = links.get(walk[-1])
        if walk[-1] not in done and last in walk:
            yield tuple(walk[walk.index(last) :])
        done.update(walk)


def _lone_moves(
    at: Mapping[str, SeenPlace], links: Mapping[str, str], settled: set[str]
) -> list[WallMove]:
    """Return moves of blocks that belong elsewhere and change with none.

    Of a chain the block comes first that frees a place for the next.
    """
    taken = settled | {place for place, one in at.items() if one.state in SEEN_RIGHT}
    found: list[WallMove] = []
    waiting = sorted(links, key=lambda place: -at[place].sure)
    while waiting:
        # One whose place is free, or kept by a block that isn't told to move.
        first = next((p for p in waiting if links[p] not in waiting), waiting[0])
        waiting.remove(first)
        goal = links[first]
        kind: MoveKind = "twice" if goal in taken else "bring"
        taken.add(goal)
        empty = at[goal].state == "missing"
        found.append(WallMove(kind, (first, goal), at[first].sure, onto_empty=empty))
    return found


def _own_moves(check: WallCheck, links: Mapping[str, str], filled: set[str]) -> Iterator[WallMove]:
    """Yield what is to be done at a place by itself."""
    for one in check.places:
        if one.state == "other" and one.place not in links:
            kind: MoveKind = "stranger" if one.set_number is None else "other set"
            yield WallMove(kind, (one.place,), one.sure, set_number=one.set_number, why=one.near)
        if one.state == "missing" and one.place not in filled:
            yield WallMove("missing", (one.place,), one.sure)
        if one.state == "sides":
            yield WallMove("sides", (one.place,), one.sure, one.turned_deg)
        moved = one.place in links
        if one.turned_deg and (moved or one.state in {"turned", "sides"}):
            yield WallMove("turn", (one.place,), one.sure, one.turned_deg, moved=moved)
        if one.state == "can't tell":
            yield WallMove("can't tell", (one.place,), one.sure, why=one.near)
