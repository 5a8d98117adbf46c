"""What the plan becomes where the wall is to be taken as it hangs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.errors import WallError
from catalog.models import SeenPlace, SquareSet, WallCheck
from catalog.phrases import joined
from catalog.wall.put_right.taken_blocks import TakenBlock

_CURE = "put it right on the wall, or photograph it again, and take it then"


def as_it_hangs(
    check: WallCheck, plan: WallPlan, sets: Sequence[SquareSet] = ()
) -> tuple[TakenBlock, ...]:
    """Return what hangs at each place that is told, as squares, sides and turn.

    Places that can't be told or aren't in the photo stay as planned where nothing that hangs
    elsewhere speaks against it. What was planned where another block hangs now, and hangs nowhere,
    comes to the places that are empty.

    Parameters
    ----------
    check : WallCheck
    plan : WallPlan
        That the wall was checked against.
    sets : sequence of SquareSet
        Numbered, those that may hang though they aren't planned.

    Returns
    -------
    tuple of TakenBlock
        In the order of the plan.

    Raises
    ------
    WallError
        What hangs can't be told so far that a plan can be made of it.
    """
    told = _ToldWall(check, plan, sets)
    sources = told.sources()
    _refuse_twice(sources)
    return tuple(
        told.block(place, source)
        for place, source in sources.items()
        if told.at[place].state not in {"can't tell", "not in the photo"}
    )


def changed_places(taken: Sequence[TakenBlock], plan: WallPlan) -> tuple[str, ...]:
    """Return the places at which a plan would be another, in its order."""
    new = {one.place: one for one in taken}
    return tuple(
        block.place
        for block in plan.blocks
        if (one := new.get(block.place))
        and (one.squares, one.turn) != (tuple(label for _, label in block.squares), block.turn)
    )


def _refuse_twice(sources: Mapping[str, str]) -> None:
    """Refuse a plan in which one block would hang at two places."""
    many = Counter(sources.values())
    for source, number in many.items():
        if number > 1:
            where = joined([place for place, own in sources.items() if own == source])
            raise WallError(
                f"{where} would have the same block, so the wall can't be taken as it hangs", _CURE
            )


@dataclass(frozen=True)
class _ToldWall:
    """A checked wall; a source is the place that planned what hangs, or the number of a set."""

    check: WallCheck
    plan: WallPlan
    sets: Sequence[SquareSet]

    @property
    def at(self) -> Mapping[str, SeenPlace]:
        return {one.place: one for one in self.check.places}

    @property
    def blocks(self) -> Mapping[str, WallBlock]:
        return {block.place: block for block in self.plan.blocks}

    def sources(self) -> dict[str, str]:
        """Return by place what hangs there."""
        found = {one.place: self._source(one) for one in self.check.places
                 if one.place in self.blocks and one.state != "missing"}  # fmt: skip
        empty = [one.place for one in self.check.places if one.state == "missing"]
        spare = [place for place, block in self.blocks.items()
                 if block.squares and place not in found.values()]  # fmt: skip
        for place in sorted(empty, key=lambda place: place not in spare):
            kind = self.blocks[place].kind
            fit = [one for one in spare if self.blocks[one].kind == kind]
            if fit:
                found[place] = place if place in fit else fit[0]
                spare.remove(found[place])
        return {place: found[place] for place in self.blocks if place in found}

    def _source(self, one: SeenPlace) -> str:
        if one.state != "other":
            return one.place
        if one.shows is not None:
            own, other = self.blocks[one.place], self.blocks.get(one.shows)
            if other is None or own.kind != other.kind:
                raise WallError(f"{one.place} has another kind of block than is planned", _CURE)
            return one.shows
        if any(each.number == one.set_number for each in self.sets):
            return f"set {one.set_number}"
        raise WallError(
            f"what hangs at {one.place} is no block that calicount knows, so the wall can't be "
            "taken as it hangs",
            _CURE,
        )

    def block(self, place: str, source: str) -> TakenBlock:
        """Return what hangs at a place."""
        seen, planned = self.at[place], self.blocks[place]
        if source in self.blocks:
            squares = [label for _, label in self.blocks[source].squares]
        else:
            own = next(one for one in self.sets if f"set {one.number}" == source)
            squares = list(own.swatches)
        if seen.state == "sides" and len(squares) > 1:
            dark, light = squares.index(planned.darker), squares.index(planned.lighter)
            squares[dark], squares[light] = squares[light], squares[dark]
        turn = planned.turn + (seen.turned_deg if seen.state != "missing" else 0)
        return TakenBlock(place, tuple(squares), turn % 360)
