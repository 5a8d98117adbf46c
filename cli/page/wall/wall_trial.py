"""A move on the wall tried before it is made: what would hang where, beside what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from msgspec import Meta

from catalog.catalogue.events.event_fields import SaidPlace
from catalog.errors import UsageError
from cli.page.input_checks import read

if TYPE_CHECKING:
    from catalog.catalogue.events.wall_events import WallEvent
    from catalog.catalogue.records import StoredBundle
    from catalog.planning import Planned
    from cli.page.routes.plan_routes import Plan

View = dict[str, Any]
What = Literal["blocks", "sets", "squares", "turn"]
SquareNumber = Annotated[int, Meta(ge=1, le=2**53, description="a square's number")]
SAID: Final[Mapping[str, str]] = {
    "blocks": "{one} and {other} changed places.",
    "sets": "A set of {one} and one of {other} changed places.",
    "squares": "Squares in {one} changed places.",
    "turn": "{one} is turned.",
}


@dataclass(frozen=True)
class WallMoveAsked:
    """What the page asks to try."""

    what: What
    one: str
    """A place."""
    other: str
    """Where it goes; the same place where it stays."""
    square: int = 0
    """Number of a square that is meant at the first place; 0 for the whole block."""
    other_square: int = 0
    """Number of a square that is meant at the other place."""

    @property
    def said(self) -> str:
        """What to say once it is done."""
        if self.what == "sets" and self.one == self.other:
            return f"Sets in {self.one} changed places."
        return SAID[self.what].format(one=self.one, other=self.other)


def asked_move(body: Mapping[str, Any]) -> WallMoveAsked:
    """Return the move that the page asks for, checked.

    Raises
    ------
    UsageError
        It is none.
    """
    given = body.get("move")
    given = given if isinstance(given, dict) else {}
    what: What = read(given, "what", What)
    one = read(given, "from", SaidPlace)
    other = one if what == "turn" else read(given, "to", SaidPlace)
    squares = (0, 0)
    if what in {"sets", "squares"}:
        squares = read(given, "square", SquareNumber), read(given, "other", SquareNumber)
    elif what == "blocks" and one == other:
        raise UsageError("that is where it hangs", "choose another place")
    return WallMoveAsked(what, one, other, *squares)


def event_of_move(
    kept: StoredBundle, plan: Plan, planned: Planned, move: WallMoveAsked
) -> WallEvent:
    """Return the event that makes a move.

    Raises
    ------
    UsageError
        The pattern doesn't allow it.
    """
    from catalog.catalogue.events.wall_events import ExchangedBlocks, RehungBlocks
    from catalog.wall.rehanging.hand_moves import (
        block_at,
        exchanged_groups,
        exchanged_squares,
        turned_block,
    )

    wall, sets = planned.wall, plan.count.sets
    number = {label: one.id for label, one in kept.by_label.items()}
    if move.what == "blocks":
        here, there = block_at(wall, move.one), block_at(wall, move.other)
        if here.kind != there.kind:
            raise UsageError(
                f"{here.place} is another block than {there.place}, so they can't change places",
                "choose one of the same block",
            )
        held = [tuple(number[label] for _, label in block.squares) for block in (here, there)]
        return ExchangedBlocks(plan.wall, (move.one, move.other), (held[0], held[1]))
    label = {one.id: one.label for one in kept.by_label.values()}
    hands = (
        (move.one, label.get(move.square, "")),
        (move.other, label.get(move.other_square, "")),
    )
    if move.what == "sets":
        taken = exchanged_groups(wall, sets, *hands)
    elif move.what == "squares":
        taken = exchanged_squares(wall, *hands)
    else:
        taken = turned_block(wall, planned.layout, move.one)
    return RehungBlocks(
        plan.wall,
        tuple(one.place for one in taken),
        tuple(tuple(number[label] for label in one.squares) for one in taken),
        tuple(one.turn for one in taken),
        how="turn" if move.what == "turn" else move.what,
    )


def hung_after(kept: StoredBundle, plan: Plan, event: WallEvent) -> Planned:
    """Return a plan as it would hang after something more is said of its wall."""
    from catalog.catalogue.events.wall_events import as_hung
    from catalog.catalogue.records import SaidOfWall

    said = event.after(kept.state.wall.get(event.wall, SaidOfWall()))
    state = replace(kept.state, wall={**kept.state.wall, event.wall: said})
    assert plan.unmoved is not None
    hung, _ = as_hung(plan.unmoved, event.wall, replace(kept, state=state), plan.count.sets)
    return hung


def trial_view(
    kept: StoredBundle,
    plan: Plan,
    planned: Planned,
    names: Iterable[str],
    body: Mapping[str, Any],
) -> View:
    """Return what a move would do: the event that makes it, what hangs where, and differences."""
    from catalog.wall.rehanging.move_effects import move_effects
    from cli.page.wall.wall_view import changed_blocks_view

    move = asked_move(body)
    event = event_of_move(kept, plan, planned, move)
    after = hung_after(kept, plan, event)
    bundle = {one.label: one for one in kept.swatches}
    walls = planned.wall, after.wall
    effects = move_effects(planned.quilt, planned.layout, walls, bundle, plan.count.sets)
    return {
        "version": kept.version,
        "deeds": [{"kind": event.kind, **event.args}],
        "said": move.said,
        "lines": list(effects.lines),
        "changed": list(effects.changed),
        "beside": [
            {"places": [one.place, one.other], "says": f"{one.difference:.1f}"}
            for one in effects.beside
        ],
        "blocks": changed_blocks_view(kept, plan, after, names, effects.changed),
    }
