"""What a person's locked sets come to in a count, in plain words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from catalog.colour.ciede2000 import as_shown
from catalog.matching.fewest import fewest
from catalog.models import Matching, MatchRules, SetRequest, SquareSet, Tally
from catalog.phrases import count_of

Lock = tuple[str, ...]
Again = Callable[[MatchRules], Tally]
"""Counts the same bundle for the same needs by other rules."""


def lock_notes(
    rules: MatchRules,
    requests: Sequence[SetRequest],
    matching: Matching,
    tally: Tally,
    again: Again,
) -> tuple[str, ...]:
    """Say which locked sets wait, which don't count, and which of them cost others.

    Parameters
    ----------
    rules : MatchRules
    requests : sequence of SetRequest
        What was asked for.
    matching, tally : Matching, Tally
        What came of it.
    again : callable
        Asked only where there is a shortage that letting locks go might lessen.

    Returns
    -------
    tuple of str
        Each a sentence or two.
    """
    if not rules.locked:
        return ()
    far = {frozenset(one.swatches): one for one in matching.sets if _too_far(one, rules)}
    standing = [lock for lock in rules.locked if lock not in matching.left_aside]
    standing.sort(key=lambda lock: frozenset(lock) not in far)
    cost = _Cost(rules, tally, again)
    dear = cost.dearest(standing)
    notes = _aside_notes(matching.left_aside, requests)
    if dear:
        notes.append(_cost_note(dear, far, tally, cost.without(dear)))
    idle = [lock for lock in standing if frozenset(lock) in far and lock not in dear]
    if idle:
        named = ", ".join(_named(lock, far) for lock in idle)
        notes.append(f"{_be(idle, 'A locked set does', 'Locked sets do')} not count: {named}.")
    return tuple(notes)


def _too_far(one: SquareSet, rules: MatchRules) -> bool:
    beyond = rules.within is not None and as_shown(one.difference) > rules.within
    return "locked" in one.flags and bool(beyond)


@dataclass(frozen=True)
class _Cost:
    """Counts anew without some of the locks."""

    rules: MatchRules
    tally: Tally
    again: Again

    def without(self, let_go: Sequence[Lock]) -> Tally:
        """Return the tally with these locks let go."""
        held = tuple(lock for lock in self.rules.locked if lock not in let_go)
        return self.again(replace(self.rules, locked=held))

    def dearest(self, locks: Sequence[Lock]) -> list[Lock]:
        """Return the fewest of the locks that lessen the shortage as much as all of them do."""
        short = _short(self.tally)
        if self.tally.enough or not locks:
            return []
        least = _short(self.without(locks))
        if least >= short:
            return []
        few = fewest(locks, lambda let_go: _short(self.without(let_go)) <= least)
        # Fewer locks can be worse than more where squares that sets leave are cut up.
        return few if _short(self.without(few)) <= least else list(locks)


def _short(tally: Tally) -> tuple[int, int]:
    """Return what is short of the bundle's own pieces, then of those from squares left over."""
    own = sum(line.short for line in tally.lines if line.need.source == "bundle")
    return own, sum(line.short for line in tally.lines) - own


def _aside_notes(aside: Sequence[Lock], requests: Sequence[SetRequest]) -> list[str]:
    """Say which locked sets have no place in this count, and why."""
    sizes = {request.size for request in requests}
    other = [lock for lock in aside if len(lock) not in sizes]
    fit = [lock for lock in aside if any(one.suits(lock) for one in requests)]
    unfit = [lock for lock in aside if lock not in other and lock not in fit]
    notes = []
    if other:
        notes.append(f"Locked sets of another size than those asked for wait: {_list(other)}.")
    for locks, why in (
        (unfit, "not of the kind or size that is asked for"),
        (fit, "more than are asked for"),
    ):
        if locks:
            what = _be(locks, "A locked set has", "Locked sets have")
            notes.append(f"{what} no place and {_be(locks, 'is', 'are')} left aside, {why}: "
                         f"{_list(locks)}.")  # fmt: skip
    return notes


def _cost_note(
    dear: Sequence[Lock], far: dict[frozenset[str], SquareSet], tally: Tally, without: Tally
) -> str:
    named = " and ".join(_named(lock, far) for lock in dear)
    costs = _be(dear, "Your lock on", "Your locks on"), _be(dear, "costs", "cost")
    enough = f" Without {_be(dear, 'it', 'them')} there would be enough." if without.enough else ""
    return f"{costs[0]} {named} {costs[1]} {_lost(tally, without)}.{enough}"


def _lost(tally: Tally, without: Tally) -> str:
    """Say how much less would be short."""
    (own, small), (less, smaller) = _short(tally), _short(without)
    lines = zip(tally.lines, without.lines, strict=True)
    changed = [(one, other) for one, other in lines
               if one.short != other.short and one.need.source == "bundle"]  # fmt: skip
    if own > less and all(one.need.match > 1 for one, _ in changed):
        return count_of(
            sum((one.short - two.short) // one.need.match for one, two in changed), "set"
        )
    return count_of(own - less if own > less else small - smaller, "piece")


def _named(lock: Lock, far: dict[frozenset[str], SquareSet]) -> str:
    one = far.get(frozenset(lock))
    words = f" (differing by {one.difference:.1f}, too far apart to count)" if one else ""
    return f"{' + '.join(lock)}{words}"


def _list(locks: Sequence[Lock]) -> str:
    return ", ".join(" + ".join(lock) for lock in locks)


def _be(locks: Sequence[Lock], one: str, many: str) -> str:
    return one if len(locks) == 1 else many
