"""What a person said of the wall: what hangs elsewhere or otherwise, and what is sewn.

A wall has a name of its own (`wall_name`): what is said of one order of one quilt says nothing of
another. Where it is known which squares hung at a place, they are meant and not the place: when
sets change meanwhile, a block that was put somewhere or sewn stays where it is.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Final, Literal

import numpy as np
from msgspec import UNSET, Meta, UnsetType

from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.event_fields import (
    MAX_SQUARES,
    Name,
    QuarterTurn,
    Said,
    SaidPlace,
    Squares,
    Text,
    WallPlace,
    Whole,
)
from catalog.catalogue.records import SaidOfWall, StoredBundle
from catalog.cutting.plans import ChosenCloth
from catalog.phrases import count_of, joined

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection
    from catalog.cutting.plans import WallPlan
    from catalog.models import SquareSet
    from catalog.planning import Planned
    from catalog.wall.put_right.taken_blocks import TakenBlock

_TWO_HANDS: Final = Meta(description="the squares of two places")
HowRehung = Literal["sets", "squares", "turn"]
"""What a person moved: sets between blocks, squares in a block, or a block about its middle."""
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
    size = f"{layout.rows}x{layout.columns}" if planned.adapted else "sets"
    return f"{pattern[:80]}|{size}|{planned.wall.arrangement}"


class WallEvent(Event, frozen=True):
    """What is said of one wall."""

    wall: Text

    def after(self, said: SaidOfWall) -> SaidOfWall:
        """Return what is said of the wall with this."""
        raise NotImplementedError

    def apply(self, now: Projection) -> None:
        now.wall[self.wall] = self.after(now.wall.get(self.wall, SaidOfWall()))


class ExchangedBlocks(WallEvent, frozen=True, tag="hang: exchanged"):
    """What hangs at two places of the wall changes places; what is sewn stays sewn."""

    swap: Annotated[
        tuple[str, str],
        Said(Annotated[tuple[SaidPlace, SaidPlace], Meta(description="two different places")]),
    ]
    squares: Annotated[tuple[tuple[Whole, ...], tuple[Whole, ...]], _TWO_HANDS] | UnsetType = UNSET
    """Those at each place before, if known."""
    says = "{swap[0]} and {swap[1]} change places on the wall"

    def after(self, said: SaidOfWall) -> SaidOfWall:
        one, other = self.swap
        other_way = {one: other, other: one}
        done = tuple(other_way.get(place, place) for place in said.done)
        taken = {other_way.get(place, place): how for place, how in said.taken.items()}
        said = replace(said, taken=taken)
        if isinstance(self.squares, UnsetType):
            return replace(said, done=done, swaps=(*said.swaps, self.swap))
        here, there = self.squares
        return replace(said, done=done, hung=_pinned(said.hung, {one: there, other: here}))


class SewnBlock(WallEvent, frozen=True, tag="hang: sewn"):
    """The block at a place of the wall is sewn, or isn't after all."""

    done: WallPlace
    on: bool = True
    squares: Squares | UnsetType = UNSET
    """Those in it, if known."""
    says = "{done} on the wall is sewn"

    def after(self, said: SaidOfWall) -> SaidOfWall:
        done = tuple(place for place in said.done if place != self.done)
        said = replace(said, done=(*done, self.done) if self.on else done)
        if self.on and not isinstance(self.squares, UnsetType):
            said = replace(said, hung=_pinned(said.hung, {self.done: self.squares}))
        return said

    def words(self, names: Names) -> str:
        return names.told(
            self.says if self.on else "{done} on the wall is not sewn after all", self
        )


class TakenWall(WallEvent, frozen=True, tag="hang: as it hangs"):
    """The plan follows the wall: what hangs at these places, on which sides and how turned."""

    taken: Annotated[
        tuple[WallPlace, ...],
        Said(Annotated[tuple[SaidPlace, ...], Meta(min_length=1, max_length=MAX_SQUARES,
                                                   description="a list of places")]),
    ]  # fmt: skip
    squares: Annotated[tuple[tuple[Whole, ...], ...], Meta(description="the squares of each place")]
    """Those at each place, in the order of its block's patches."""
    turns: tuple[QuarterTurn, ...]
    """Of each, degrees clockwise as it hangs."""
    changed: tuple[WallPlace, ...] | UnsetType = UNSET
    """Those of the places at which the plan was another before, if known."""

    def after(self, said: SaidOfWall) -> SaidOfWall:
        return _hung_so(said, zip(self.taken, self.squares, self.turns, strict=False))

    def words(self, names: Names) -> str:
        places = self.taken if isinstance(self.changed, UnsetType) else self.changed
        return f"the plan of the wall follows what hangs at {count_of(len(places), 'place')}"


class RehungBlocks(WallEvent, frozen=True, tag="hang: moved"):
    """Sets or squares change places in or between blocks, or a block is turned."""

    moved: tuple[WallPlace, ...]
    squares: Annotated[tuple[tuple[Whole, ...], ...], Meta(description="the squares of each place")]
    """Those at each place, in the order of its block's patches."""
    turns: tuple[QuarterTurn, ...]
    """Of each, degrees clockwise as it hangs."""
    how: HowRehung = "sets"

    def after(self, said: SaidOfWall) -> SaidOfWall:
        return _hung_so(said, zip(self.moved, self.squares, self.turns, strict=False))

    def words(self, names: Names) -> str:
        places = joined(self.moved)
        if self.how == "turn":
            return f"{places} on the wall is turned"
        if self.how == "squares" or len(self.moved) < 2:
            return f"squares in {places} on the wall change places"
        return f"a set of {' and one of '.join(self.moved)} change places on the wall"


class ClothOnWall(WallEvent, frozen=True, tag="hang: cloth"):
    """A cloth that is bought is of a colour, or has the print of a square of a kept bundle.

    It holds for all walls of a pattern, in whatever order and size they hang.
    """

    cloth: Name
    """As the pattern, or else the list of what to buy, calls it."""
    colour: Annotated[str, Said(Annotated[str, Meta(pattern="^(#[0-9a-f]{6})?$", max_length=7,
                                                    description="a colour")])]  # fmt: skip
    """Such as ``#f3ede0``; empty where nothing is chosen any more."""
    bundle: Name = ""
    """Of which the square is; empty for a plain colour."""
    label: Name = ""
    """Of the square."""

    def after(self, said: SaidOfWall) -> SaidOfWall:
        rest = {name: one for name, one in said.cloths.items() if name != self.cloth}
        chosen = _chosen_cloth(self)
        return replace(said, cloths=rest | {self.cloth: chosen} if chosen else rest)

    def words(self, names: Names) -> str:
        if not self.colour:
            return f"nothing is chosen for {self.cloth} any more"
        what = f"cloth like {self.label} of {self.bundle}" if self.label else f"of {self.colour}"
        return f"{self.cloth} is {what}"


def _chosen_cloth(event: ClothOnWall) -> ChosenCloth | None:
    """Return what an event chooses; None where it chooses nothing that can be shown."""
    from catalog.colour.lab import srgb8_to_lab

    try:
        levels = bytes.fromhex(event.colour.removeprefix("#"))
        lightness, a, b = srgb8_to_lab(np.frombuffer(levels, np.uint8, 3))
    except ValueError:
        return None
    return ChosenCloth((float(lightness), float(a), float(b)), event.bundle, event.label)


def cloths_of_wall(wall: str, kept: StoredBundle) -> Mapping[str, ChosenCloth]:
    """Return what was chosen for the cloths of a wall's pattern."""
    said = kept.state.wall.get(pattern_of(wall))
    return said.cloths if said else {}


def pattern_of(wall: str) -> str:
    """Return under what name is kept what holds for all walls of one's pattern."""
    return wall.partition("|")[0]


def as_hung(
    planned: Planned, wall: str, kept: StoredBundle, sets: Sequence[SquareSet] = ()
) -> tuple[Planned, frozenset[str]]:
    """Hang a plan's blocks as a person said.

    Parameters
    ----------
    planned : Planned
    wall : str
        Its name.
    kept : StoredBundle
    sets : sequence of SquareSet
        Numbered sets that may hang though they aren't planned.

    Returns
    -------
    Planned
    frozenset of str
        Places whose blocks are sewn. One at which other squares hang than those that were sewn
        is not among them.
    """
    from catalog.wall.contrast import lost_blocks  # planning is slow to load, and replay needs none
    from catalog.wall.exchanged_blocks import move_blocks
    from catalog.wall.put_right.taken_blocks import with_taken

    if chosen := cloths_of_wall(wall, kept):
        planned = replace(planned, cloths=chosen)
    said = kept.state.wall.get(wall)
    if not said:
        return planned, frozenset()
    bundle = {swatch.label: swatch for swatch in kept.swatches}
    hung_at = {block.place: _held(block.squares, kept) for block in planned.wall.blocks}
    moves = list(said.swaps)
    for one, other in moves:
        if one in hung_at and other in hung_at:
            hung_at[one], hung_at[other] = hung_at[other], hung_at[one]
    for place, squares in said.hung.items():
        here = next((at for at, held in hung_at.items() if held == frozenset(squares)), None)
        if squares and here is not None and place in hung_at and here != place:
            moves.append((here, place))
            hung_at[here], hung_at[place] = hung_at[place], hung_at[here]
    taken = _as_taken(said, hung_at, kept)
    hung_at |= {one.place: _held([(one, label) for label in one.squares], kept) for one in taken}
    done = frozenset(
        place
        for place in said.done
        if place in hung_at and _as_sewn(said.hung.get(place), hung_at[place])
    )
    if not moves and not taken:
        return replace(planned, wall=_ticked(planned.wall, done)) if done else planned, done
    moved = move_blocks(planned.quilt, planned.layout, planned.wall, moves, bundle)
    if taken:
        moved = with_taken(planned.quilt, planned.layout, moved, taken, bundle, sets)
    lost = lost_blocks(planned.quilt, moved, bundle)
    return replace(planned, wall=_ticked(moved, done), lost=lost), done


def _ticked(wall: WallPlan, done: frozenset[str]) -> WallPlan:
    blocks = tuple(replace(block, done=block.place in done) for block in wall.blocks)
    return replace(wall, blocks=blocks)


def _as_taken(
    said: SaidOfWall, hung_at: Mapping[str, frozenset[int]], kept: StoredBundle
) -> list[TakenBlock]:
    """Return what hangs as the wall was taken, where the same squares hang there still.

    So does a set that isn't planned, as long as its squares are in the bundle.
    """
    from catalog.wall.put_right.taken_blocks import TakenBlock

    live = {one.id: label for label, one in kept.by_label.items()}
    fit = {
        place: how
        for place, how in said.taken.items()
        if place in hung_at and live.keys() >= set(how[0])
    }
    while wrong := _twice(fit, hung_at):
        fit = {place: how for place, how in fit.items() if place not in wrong}
    return [
        TakenBlock(place, tuple(live[number] for number in squares), turn)
        for place, (squares, turn) in fit.items()
    ]


def _twice(
    fit: Mapping[str, tuple[tuple[int, ...], int]], hung_at: Mapping[str, frozenset[int]]
) -> set[str]:
    """Return the places that would hold a square which hangs elsewhere too."""
    held = [number for place, squares in hung_at.items() if place not in fit for number in squares]
    held += [number for squares, _ in fit.values() for number in set(squares)]
    counts = Counter(held)
    return {place for place, (squares, _) in fit.items() if any(counts[n] > 1 for n in squares)}


def _hung_so(said: SaidOfWall, told: Iterable[tuple[str, tuple[int, ...], int]]) -> SaidOfWall:
    """Return what is said of a wall with these squares at these places, so turned."""
    fresh = {place: (squares, turn % 360) for place, squares, turn in told}
    hung = {place: squares for place, (squares, _) in fresh.items()}
    left = _pinned({place: squares for place, (squares, _) in said.taken.items()}, hung)
    kept = {place: said.taken[place] for place in left if place not in fresh}
    return replace(said, hung=_pinned(said.hung, hung), taken=kept | fresh)


def _pinned(
    before: Mapping[str, Sequence[int]], now: Mapping[str, tuple[int, ...]]
) -> dict[str, tuple[int, ...]]:
    """Return which squares are meant at which places; none at two."""
    fresh = [frozenset(squares) for squares in now.values()]
    left = {place: tuple(held) for place, held in before.items() if frozenset(held) not in fresh}
    return left | dict(now)


def _held(squares: Sequence[tuple[object, str]], kept: StoredBundle) -> frozenset[int]:
    return frozenset(kept.by_label[label].id for _, label in squares)


def _as_sewn(meant: Sequence[int] | None, here: frozenset[int]) -> bool:
    return meant is None or frozenset(meant) == here
