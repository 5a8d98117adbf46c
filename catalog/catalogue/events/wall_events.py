"""What a person said of the wall: blocks that hang elsewhere, and those that are sewn.

A wall has a name of its own (`wall_name`): what is said of one order of one quilt says nothing of
another. Where it is known which squares hung at a place, they are meant and not the place: when
sets change meanwhile, a block that was put somewhere or sewn stays where it is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from catalog.catalogue.records import Deed, Kept

if TYPE_CHECKING:
    from catalog.planning import Planned

Args = Mapping[str, Any]

SETS_ALONE: Final = "sets alone"
"""Stands for the pattern in the name of a wall without one."""
YOUR_PATTERN: Final = "your pattern"
"""What a pattern is called that isn't one of the shipped."""


def name_of_text(text: str) -> str:
    """Return the name by which a pattern that isn't shipped is known: the same text, the same."""
    mark = hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()
    return f"{YOUR_PATTERN} {mark[:12]}"


def wall_name(pattern: str, planned: Planned) -> str:
    """Return the name of a wall: its pattern, size and order.

    Sets that hang alone have no size of their own: there are as many places as sets.
    """
    layout = planned.layout
    size = f"{layout.rows}x{layout.columns}" if planned.made else "sets"
    return f"{pattern[:80]}|{size}|{planned.wall.arrangement}"


def exchanged(
    wall: str, one: str, other: str, squares: Sequence[Sequence[int]] | None = None
) -> Deed:
    """What hangs at two places changes places; ``squares`` are those at each before, if known.

    What is sewn stays sewn where it goes.
    """
    args: dict[str, Any] = {"wall": wall, "swap": [one, other]}
    if squares is not None:
        args["squares"] = [list(many) for many in squares]
    return Deed("hang", args)


def ticked(wall: str, place: str, *, on: bool = True, squares: Sequence[int] | None = None) -> Deed:
    """The block at a place is sewn, or isn't after all; ``squares`` are those in it, if known."""
    args: dict[str, Any] = {"wall": wall, "done": place, "on": on}
    if squares is not None:
        args["squares"] = list(squares)
    return Deed("hang", args)


def hung(walls: Mapping[str, Any], args: Args) -> dict[str, Any]:
    """Return what was said of all walls once a deed is added.

    Parameters
    ----------
    walls : mapping
        By wall: ``{"swaps": [[place, place]], "done": [place], "hung": {place: [square]}}``.
    args : mapping
        Of the deed, as `exchanged` and `ticked` make it.
    """
    said = walls.get(args["wall"], {"swaps": [], "done": [], "hung": {}})
    known = args.get("squares")
    if "swap" in args:
        one, other = args["swap"]
        other_way = {one: other, other: one}
        said = {**said, "done": [other_way.get(place, place) for place in said["done"]]}
        if known is None:
            said = {**said, "swaps": [*said["swaps"], [one, other]]}
        else:
            said = {**said, "hung": _pinned(said["hung"], {one: known[1], other: known[0]})}
    else:
        place = args["done"]
        done = [here for here in said["done"] if here != place]
        said = {**said, "done": [*done, place] if args["on"] else done}
        if known is not None and args["on"]:
            said["hung"] = _pinned(said["hung"], {place: known})
    return {**walls, args["wall"]: said}


def as_hung(planned: Planned, wall: str, kept: Kept) -> tuple[Planned, frozenset[str]]:
    """Hang a plan's blocks as a person said.

    Returns
    -------
    Planned
    frozenset of str
        Places whose blocks are sewn. One at which other squares hang than those that were sewn
        is not among them.
    """
    from catalog.wall import move_blocks
    from catalog.wall.contrast import lost_blocks  # planning is slow to load, and replay needs none

    said = kept.state.wall.get(wall)
    if not said:
        return planned, frozenset()
    bundle = {swatch.label: swatch for swatch in kept.swatches}
    hung_at = {block.place: _held(block.squares, kept) for block in planned.wall.blocks}
    moves = [(one, other) for one, other in said["swaps"]]
    for one, other in moves:
        if one in hung_at and other in hung_at:
            hung_at[one], hung_at[other] = hung_at[other], hung_at[one]
    for place, squares in said["hung"].items():
        here = next((at for at, held in hung_at.items() if held == frozenset(squares)), None)
        if squares and here is not None and place in hung_at and here != place:
            moves.append((here, place))
            hung_at[here], hung_at[place] = hung_at[place], hung_at[here]
    done = frozenset(
        place
        for place in said["done"]
        if place in hung_at and _as_sewn(said["hung"].get(place), hung_at[place])
    )
    if not moves:
        return planned, done
    moved = move_blocks(planned.quilt, planned.layout, planned.wall, moves, bundle)
    lost = lost_blocks(planned.quilt, moved, bundle)
    return replace(planned, wall=moved, lost=lost), done


def _pinned(
    before: Mapping[str, Sequence[int]], now: Mapping[str, Sequence[int]]
) -> dict[str, list[int]]:
    """Return which squares are meant at which places; none at two."""
    fresh = [frozenset(squares) for squares in now.values()]
    left = {place: list(held) for place, held in before.items() if frozenset(held) not in fresh}
    return left | {place: list(squares) for place, squares in now.items()}


def _held(squares: Sequence[tuple[object, str]], kept: Kept) -> frozenset[int]:
    return frozenset(kept.by_label[label].id for _, label in squares)


def _as_sewn(meant: Sequence[int] | None, here: frozenset[int]) -> bool:
    return meant is None or frozenset(meant) == here
