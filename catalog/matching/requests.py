"""The sets for one request or several, no square used twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalog.matching.difference_table import SUM_ROUNDING, DifferenceTable, make_table, tables_of
from catalog.matching.locks import place_locks
from catalog.matching.open_requests import OpenRequests, groups_of, open_requests, shared_out
from catalog.matching.set_naming import Chosen, name_sets
from catalog.matching.solver.pair_costs import PairCosts
from catalog.matching.solver.pair_matching import PairProblem, best_pairs
from catalog.matching.standing_sets import Placed, place_standing
from catalog.models import Matching, MatchRules, SetRequest, Swatch

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


def match_requests(
    swatches: Sequence[Swatch], requests: Sequence[SetRequest], rules: MatchRules
) -> Matching:
    """Choose the sets that all requests ask for, of least total difference.

    First come the locked sets and those that stand, then as many squares served by sets that count
    as there can be, then the rule on fabrics, then the least sum of CIEDE2000 over all pairs inside
    the sets, then the least worst set, then labels. What is still asked for then comes from the
    squares left, by the same order, though too far apart to count: such a set never has a place or
    a square that one that counts could have had. The answer doesn't depend on the order of the
    swatches.

    Exact beside locked and standing sets, with ``bound`` equal to ``total``: pairs, wherever no
    other request may use the same squares (requests of one size with the same squares count as
    one). The choice of squares to leave out is part of it. Equal means equal to 1e-8 for each
    pair; where more than 30 equally good pairs a square exist, labels decide among the first of
    them only.

    Near the best, with an honest ``bound``: sets of 3 or 4, and requests of different kinds
    that may use the same squares. ``bound`` equals ``total`` where all sets that could improve
    the choice were listed and searched: so for a hundred squares in the colours tried, for four
    hundred in some, the others within 1 %. Of pieces of few squares, which are alike, it may be
    far too low. It holds for choices that serve as many squares, as many of them by sets that
    count, as much by the rule on fabrics, with the same locks.
    Among equal ones the least worst set is taken where proven, labels don't decide.

    Squares that need no partner: when other requests may use them too, they are chosen
    together with the sets, so that the best sets are left to the others; else the first by
    label.

    Parameters
    ----------
    swatches : sequence of Swatch
        Labels unique. ``lab``, ``fabric`` and ``family`` are used.
    requests : sequence of SetRequest
        Sizes 1 to 4. Eligible labels that no swatch has are passed over.
    rules : MatchRules
        ``size`` and ``sets`` are not used: the requests say them. The least and greatest value
        steps are never broken but by a locked set, which is then flagged ``value step``. A locked
        set that is too far apart to count takes the place of no other; one that isn't asked for
        is left aside.

    Returns
    -------
    Matching
        Sets in the order of requests, then of their first labels, R2C9 before R2C10. May hold
        fewer sets than ``wanted``, and besides them locked sets that don't count. Flags:
        ``locked``, ``far apart`` (over the tolerance), ``same fabric`` (where to be avoided),
        ``value step``. ``same_fabric`` means all of one fabric.

    Raises
    ------
    SetError
        Where the rules contradict each other, or name squares that there aren't.
    """
    table = make_table(swatches, requests, rules)
    tables = tables_of(table, requests)
    choice = choose(tables, requests, rules)
    total = sum(_difference(tables[r], places) for r, (_, places, _) in choice.sets)
    used = {place for _, (_, places, _) in choice.sets for place in places}
    made = Counter(r for r, _ in choice.sets)
    return Matching(
        sets=name_sets(tables, choice.sets),
        unused=tuple(s.label for i, s in enumerate(table.swatches) if i not in used),
        total=total,
        bound=min(choice.bound, total) if total - choice.bound > SUM_ROUNDING else total,
        wanted=sum(made[at] if r.sets is None else r.sets for at, r in enumerate(requests)),
        left_aside=choice.left_aside,
    )


@dataclass(frozen=True, eq=False)
class Choice:
    """Sets by the places of their squares."""

    sets: Sequence[tuple[int, Chosen]]
    """Each with the place of its request."""
    bound: float
    """Of their total difference."""
    left_aside: tuple[tuple[str, ...], ...]
    """Locks that no request has room for."""


def choose(
    tables: Sequence[DifferenceTable], requests: Sequence[SetRequest], rules: MatchRules
) -> Choice:
    """Do what `match_requests` does with tables that are made, one for each request."""
    place = tables[0].place if tables else {}
    locks = place_locks(requests, rules, tables)
    held = [
        (r, tuple(place[label] for label in lock)) for r, lock in (*locks.placed, *locks.beside)
    ]
    standing = place_standing(requests, rules, tables, held)
    chosen = [(r, (requests[r].need, places, True)) for r, places in held]
    chosen += _free(requests, standing.first)
    bound = sum(_difference(tables[r], places) for r, (_, places, _) in chosen)
    for only_counting in (True, False) if rules.within is not None else (False,):
        if not only_counting:
            stay = _still_there(requests, standing.last, chosen)
            bound += sum(_difference(tables[r], places) for r, places in stay)
            chosen += _free(requests, stay)
        for group in groups_of(open_requests(tables, requests, chosen)):
            picks, least = _solve(group, only_counting=only_counting)
            bound += least
            chosen += _free(requests, picks)
    return Choice(chosen, bound, locks.left_aside)


def _free(requests: Sequence[SetRequest], picks: Sequence[Placed]) -> list[tuple[int, Chosen]]:
    """Return sets that aren't locked, each with the need that it serves."""
    return [(r, (requests[r].need, places, False)) for r, places in picks]


def _still_there(
    requests: Sequence[SetRequest], beside: Sequence[Placed], chosen: Sequence[tuple[int, Chosen]]
) -> list[Placed]:
    """Return the sets too far apart to count that no other took a square or the place of."""
    used = {place for _, (_, places, _) in chosen for place in places}
    room = Counter({r: one.sets or 0 for r, one in enumerate(requests)})
    room.subtract(r for r, (_, _, locked) in chosen if not locked)
    stay = []
    for r, places in beside:
        if used.isdisjoint(places) and (requests[r].sets is None or room[r] > 0):
            stay.append((r, places))
            room[r] -= 1
    return stay


def _difference(table: DifferenceTable, places: Sequence[int]) -> float:
    return sum(float(table.difference[a, b]) for a, b in combinations(places, 2))


def _kept_apart(group: list[OpenRequests]) -> bool:
    """Tell whether no set may be of one fabric while those that count are chosen.

    Where as many sets are taken as there can be, no number asks for two of one fabric that are to
    be avoided.
    """
    open_ended = all(wanted is None for asked in group for wanted in asked.sets)
    return open_ended and group[0].table.rules.same_fabric == "avoid"


def _solve(
    group: list[OpenRequests], *, only_counting: bool
) -> tuple[list[tuple[int, tuple[int, ...]]], float]:
    """Return the sets of a group of open requests, each with its request, and the bound."""
    where = np.array(sorted(frozenset().union(*(asked.eligible for asked in group))), dtype=np.intp)
    if len(group) == 1 and group[0].size == 1:
        alone = [(0, (int(v),)) for v in where[: group[0].most]]
        return shared_out(group, alone), 0.0
    apart = only_counting and _kept_apart(group)
    table = group[0].table
    if len(group) == 1 and group[0].size == 2:
        barred = table.barred(where, counting=only_counting, apart=apart, stepped=True)
        cost = PairCosts(table.difference, where, barred)
        pairs = _pairs(table, group[0].most, cost)
        return shared_out(group, [(0, p) for p in pairs]), sum(_difference(table, p) for p in pairs)
    return _packed(group, where, only_counting=only_counting, apart=apart)


def _packed(
    group: list[OpenRequests], where: Ints, *, only_counting: bool, apart: bool
) -> tuple[list[tuple[int, tuple[int, ...]]], float]:
    """Return sets of more than two, or of squares that several requests ask for, and the bound."""
    # a dozen modules that most counts, of pairs, do without
    from catalog.matching.packing.exchange import Demand, Rules
    from catalog.matching.packing.set_packing import pack

    table = group[0].table
    demands = [
        Demand(w.size, w.most, np.isin(where, list(w.eligible)), any(s is None for s in w.sets))
        for w in group
    ]
    costs = [one.table.cost(where, counting=only_counting, apart=apart) for one in group]
    rules = Rules(costs[0], table.light[where], table.rules.least_value_step, tuple(costs))
    packing = pack(rules, _worse(table, where), demands)
    picks = [(at, tuple(int(where[v]) for v in squares)) for at, squares in packing.picks]
    return shared_out(group, picks), packing.bound


def _worse(table: DifferenceTable, where: Ints) -> Bools | None:
    """Return the pairs that the rule on fabrics speaks against; None where there is none."""
    if table.rules.same_fabric == "allow":
        return None
    same = table.same[np.ix_(where, where)]
    return same if table.rules.same_fabric == "avoid" else ~same


def _pairs(table: DifferenceTable, most: int, cost: PairCosts) -> list[tuple[int, int]]:
    rule, where = table.rules.same_fabric, cost.places
    same = None if rule == "allow" else table.same
    if same is not None and len(where) < len(same):  # else a copy of a large table
        same = same[np.ix_(where, where)]
    found = best_pairs(PairProblem(cost, same, rule), most)
    return [(int(where[a]), int(where[b])) for a, b in found]
