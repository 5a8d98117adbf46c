"""Requests that may use the same squares, put together, and their sets shared out again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from catalog.matching.difference_table import DifferenceTable
from catalog.matching.set_naming import Chosen
from catalog.models import MatchBy, SetRequest


@dataclass(frozen=True, eq=False)
class OpenRequests:
    """What is left of requests of one size and one choice of squares, locked sets served."""

    requests: tuple[int, ...]
    """Places of the requests, in order."""
    sets: tuple[int | None, ...]
    """What each still wants."""
    size: int
    eligible: frozenset[int]
    """Places of squares in the table."""
    table: DifferenceTable
    """Of the squares by what these requests match by."""

    @property
    def most(self) -> int:
        """How many sets to try for."""
        room = len(self.eligible) // self.size
        if any(wanted is None for wanted in self.sets):
            return room
        return min(sum(wanted or 0 for wanted in self.sets), room)


def open_requests(
    tables: Sequence[DifferenceTable],
    requests: Sequence[SetRequest],
    chosen: Sequence[tuple[int, Chosen]],
) -> list[OpenRequests]:
    """Return what is left to do, requests alike put together."""
    gone = {place for _, (_, places, _) in chosen for place in places}
    served = Counter(
        r for r, (_, places, locked) in chosen if not locked or tables[r].counts(places)
    )
    alike: dict[tuple[int, frozenset[int], MatchBy], list[int]] = {}
    for at, request in enumerate(requests):
        table = tables[at]
        free = request.eligible - table.rules.held_back
        places = {table.place[label] for label in free if label in table.place}
        own = request.size, frozenset(places - gone), table.rules.match_by
        alike.setdefault(own, []).append(at)

    def left(at: int) -> int | None:
        wanted = requests[at].sets
        return None if wanted is None else wanted - served[at]

    return [
        OpenRequests(tuple(ats), tuple(left(at) for at in ats), size, eligible, tables[ats[0]])
        for (size, eligible, _), ats in alike.items()
    ]


def groups_of(asked: Sequence[OpenRequests]) -> list[list[OpenRequests]]:
    """Return what is asked of the same squares, together."""
    groups: list[list[OpenRequests]] = []
    for one in asked:
        if not one.most:
            continue
        meets = [g for g in groups if any(one.eligible & other.eligible for other in g)]
        groups = [g for g in groups if g not in meets]
        groups.append([*(other for g in meets for other in g), one])
    return groups


def shared_out(
    group: list[OpenRequests], picks: Iterable[tuple[int, tuple[int, ...]]]
) -> list[tuple[int, tuple[int, ...]]]:
    """Give the sets of each to its requests, the first request the first sets."""
    picks = list(picks)
    given: list[tuple[int, tuple[int, ...]]] = []
    for at, one in enumerate(group):
        mine = sorted(places for pick, places in picks if pick == at)
        order = sorted(range(len(one.requests)), key=lambda r: one.sets[r] is None)
        for r in order:
            wanted = one.sets[r]
            take = len(mine) if wanted is None else wanted
            given += [(one.requests[r], places) for places in mine[:take]]
            mine = mine[take:]
    return given
