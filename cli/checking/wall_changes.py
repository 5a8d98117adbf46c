"""What a check of the wall changes in the bundle: its plan, and ticks on the sewing list."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from catalog.phrases import count_of, joined, runs_of
from cli import console
from cli.bundles.open_bundle import opened, quoted
from cli.checking.checking_options import TickChoice

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.hung_plan import HungPlan
    from catalog.catalogue.records import StoredBundle
    from catalog.cutting.plans import WallPlan
    from catalog.models import WallCheck
    from cli.options import Manner


@dataclass(frozen=True, eq=False)
class WallChanges:
    """What is to be done to the bundle, and what the plan is then."""

    hung: HungPlan
    taken: tuple[str, ...] = ()
    """Places at which the plan follows the wall now."""
    empty: tuple[str, ...] = ()
    """Places at which nothing hangs though that plan has a block there."""
    ticked: tuple[str, ...] = ()
    """Places that are ticked on the sewing list."""
    unasked: tuple[str, ...] = ()
    """Places that look sewn and weren't ticked, as nobody was there to ask."""
    events: tuple[Event, ...] = ()


def taken_as_is(kept: StoredBundle, hung: HungPlan, check: WallCheck) -> WallChanges:
    """Return what makes the plan follow the wall.

    Raises
    ------
    WallError
        What hangs can't be told so far.
    """
    from catalog.catalogue.events.wall_events import TakenWall
    from catalog.wall.put_right.as_it_hangs import as_it_hangs, changed_places
    from catalog.wall.put_right.taken_blocks import with_taken

    planned = hung.planned
    sets = hung.count.sets if hung.count else ()
    taken = as_it_hangs(check, planned.wall, sets)
    changed = changed_places(taken, planned.wall)
    missing = {one.place for one in check.places if one.state == "missing"}
    if not changed:
        return WallChanges(hung, empty=_planned_at(missing, planned.wall))
    number = {label: one.id for label, one in kept.by_label.items()}
    event = TakenWall(
        hung.wall,
        tuple(one.place for one in taken),
        tuple(tuple(number[label] for label in one.squares) for one in taken),
        tuple(one.turn for one in taken),
        changed,
    )
    bundle = {swatch.label: swatch for swatch in kept.swatches}
    wall = with_taken(planned.quilt, planned.layout, planned.wall, taken, bundle, sets)
    after = replace(hung, planned=replace(planned, wall=wall))
    return WallChanges(after, changed, _planned_at(missing, wall), events=(event,))


def _planned_at(places: Collection[str], plan: WallPlan) -> tuple[str, ...]:
    """Return those of some places at which a plan has a block, in its order."""
    return tuple(one.place for one in plan.blocks if one.place in places and one.squares)


def sewn_in_photo(hung: HungPlan, check: WallCheck, taken: Sequence[str] = ()) -> tuple[str, ...]:
    """Return the places that the photo shows sewn to others and the list doesn't have as sewn.

    Only what hangs as planned, or is planned as it hangs by now, may be ticked.
    """
    return tuple(
        one.place
        for one in check.places
        if one.joined_to
        and one.place not in hung.done
        and (one.state == "as planned" or one.place in taken)
    )


def with_ticks(
    kept: StoredBundle,
    before: WallChanges,
    sewn: Sequence[str],
    choice: TickChoice | None,
) -> WallChanges:
    """Return the changes with the ticks that were asked for, or are after asking."""
    from catalog.catalogue.events.wall_events import SewnBlock

    if not sewn or choice is TickChoice.no or not before.hung.wall:
        return before
    if choice is None:
        tick = console.ask(f"{sewn_words(sewn)} Tick {_them(sewn)} on the sewing list?")
        if not tick:
            return replace(before, unasked=tuple(sewn) if tick is None else ())
    at = {block.place: block for block in before.hung.planned.wall.blocks}
    events = [
        SewnBlock(
            before.hung.wall,
            place,
            squares=tuple(kept.by_label[label].id for _, label in at[place].squares),
        )
        for place in sewn
    ]
    return replace(before, ticked=tuple(sewn), events=(*before.events, *events))


def carried_out(name: str, manner: Manner, kept: StoredBundle, changes: WallChanges) -> None:
    """Write what is to be done, if the bundle is still as it was when the wall was checked.

    Raises
    ------
    StaleError
    """
    if changes.events:
        with opened(manner) as catalogue:
            catalogue.do(name, changes.events, seen_version=kept.version)


def change_lines(name: str, changes: WallChanges, *, asked: bool) -> list[str]:
    """Say what was changed, and how to go back."""
    lines = []
    if changes.taken:
        many = "is" if len(changes.taken) == 1 else "are"
        where = joined(runs_of(changes.taken))
        lines.append(
            f"The plan follows the wall now: {where} {many} planned as it hangs, and pressing and "
            "sewing list go by that."
        )
    elif asked:
        lines.append("What hangs there hangs as planned, so the plan stays as it is.")
    if changes.empty:
        lines.append(
            f"Nothing hangs yet at {joined(runs_of(changes.empty))}, where the plan has a block."
        )
    if changes.ticked:
        lines.append(f"Ticked as sewn: {joined(runs_of(changes.ticked))}.")
    if changes.events:
        lines.append(f"calicount undo {quoted(name)} takes it back.")
    if changes.unasked:
        lines.append(f"--tick yes ticks {_them(changes.unasked)} on the sewing list.")
    return lines


def sewn_words(places: Sequence[str]) -> str:
    """Say which blocks look sewn together."""
    looks = "looks" if len(places) == 1 else "look"
    return f"{count_of(len(places), 'block')} {looks} sewn: {joined(runs_of(places))}."


def _them(places: Sequence[str]) -> str:
    return "it" if len(places) == 1 else "them"
