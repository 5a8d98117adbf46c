"""The plan by which a kept bundle's wall should hang, as a person left it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, cast

from catalog.catalogue.bundle_count import count_kept, hung_by_hand, rules_of
from catalog.catalogue.events.wall_events import WallEvent
from catalog.catalogue.records import StoredBundle
from catalog.cutting.plans import ARRANGEMENTS, Arrangement
from catalog.system.progress import Progress, unreported

if TYPE_CHECKING:
    from catalog.catalogue.last_count import LastCount
    from catalog.catalogue.records import Project
    from catalog.count_request import CountRequest
    from catalog.count_results import Count
    from catalog.planning import Planned


@dataclass(frozen=True)
class SaidWall:
    """Of which wall a person spoke last."""

    pattern: str
    """As in the names of walls (see `catalog.catalogue.bundle_count.wall_pattern`)."""
    size: tuple[int, int] | None
    """Rows and columns; None for sets alone."""
    arrangement: Arrangement


@dataclass(frozen=True, eq=False)
class HungPlan:
    """A plan, hung as a person said."""

    planned: Planned
    request: CountRequest | None = None
    """What was counted for it; None where the plan was read from a file."""
    count: Count | None = None
    wall: str = ""
    """Name by which the catalogue knows it; empty for a plan from a file."""
    done: frozenset[str] = frozenset()
    """Places that are sewn."""


def said_walls(kept: StoredBundle) -> tuple[SaidWall, ...]:
    """Return the walls of which something was said that holds, the last one first."""
    names = [one.event.wall for one in reversed(kept.events)
             if not one.undone and isinstance(one.event, WallEvent)]  # fmt: skip
    found = []
    for name in dict.fromkeys(names):
        pattern, _, rest = name.partition("|")
        size, _, arrangement = rest.partition("|")
        rows, _, columns = size.partition("x")
        if arrangement in ARRANGEMENTS:
            sized = rows.isdecimal() and columns.isdecimal() and len(size) < 12
            laid = (int(rows), int(columns)) if sized else None
            found.append(SaidWall(pattern, laid, cast("Arrangement", arrangement)))
    return tuple(found)


def project_of_count(kept: StoredBundle, last: LastCount | None) -> Project | None:
    """Return the project that most sets of the last count went to; None where most are free."""
    sets = last.sets if last else ()
    taken = [kept.state.squares[one.squares[0]].project for one in sets
             if one.squares and one.squares[0] in kept.state.squares]  # fmt: skip
    for name, project in kept.state.projects.items():
        if sum(one == name for one in taken) * 2 > len(taken):
            return project
    return None


def hung_plan(
    kept: StoredBundle,
    request: CountRequest,
    project: Project | None = None,
    tell: Progress = unreported,
) -> HungPlan | None:
    """Plan a bundle's wall as it is to hang now.

    Parameters
    ----------
    kept : StoredBundle
    request : CountRequest
        Without the bundle's own locks and bans.
    project : Project, optional
        Whose squares hang, instead of those that are free.
    tell : callable
        Told what is being done.

    Returns
    -------
    HungPlan or None
        None where no set serves.
    """
    from catalog.planning import plan_quilt

    if project is None:
        count = count_kept(kept, request, tell, doubts=False)
    else:
        request, count = _count_of_project(kept, request, project, tell)
    planned = plan_quilt(count, request)
    if planned is None:
        return None
    hung, wall, done = hung_by_hand(kept, request, planned, count.sets)
    return HungPlan(hung, request, count, wall, done)


def _count_of_project(
    kept: StoredBundle, request: CountRequest, project: Project, tell: Progress
) -> tuple[CountRequest, Count]:
    """Count the squares of a project, its sets as they were set aside."""
    from catalog.count_results import Bundle
    from catalog.pipeline import count

    sets = [_labels(kept, one.squares) for one in project.sets]
    own = {label for one in sets for label in one}
    locked = tuple(one for one in sets if len(one) > 1)
    rules = replace(rules_of(kept, request.rules), locked=locked, held_back=frozenset())
    request = replace(request, rules=rules.among(own))
    swatches = tuple(swatch for swatch in kept.swatches if swatch.label in own)
    bundle = Bundle((), swatches)
    return request, count(bundle, request.title, request.needs, request.rules, tell, doubts=False)


def _labels(kept: StoredBundle, numbers: Sequence[int]) -> tuple[str, ...]:
    live = {one.id: label for label, one in kept.by_label.items()}
    return tuple(live[number] for number in numbers if number in live)
