"""A kept bundle matched and counted: only what is free, and as a person said."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any

from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.events.wall_events import SETS_ALONE, as_hung, name_of_text, wall_name
from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.records import StoredBundle, StoredSquare
from catalog.count_request import CountRequest, needs_for
from catalog.models import MatchRules, SquareSet, Swatch, TallyLine
from catalog.pattern.pattern_file import shipped_name
from catalog.system.progress import Progress, unreported

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.count_results import Count, PhotoResult
    from catalog.cutting.plans import Arrangement
    from catalog.pattern.patterns import Pattern
    from catalog.planning import Planned


def free_swatches(kept: StoredBundle) -> tuple[Swatch, ...]:
    """Return the squares that a count may see: neither used, cut, spoilt nor wrong side up.

    Those held back are among them: they belong to what is left, though no set may use them.
    """

    def seen(one: StoredSquare) -> bool:
        return one.free or (one.marks == ("held back",) and not one.project)

    return tuple(swatch for swatch in kept.swatches if seen(kept.by_label[swatch.label]))


def rules_of(kept: StoredBundle, over: MatchRules | None = None) -> MatchRules:
    """Return the rules for a bundle's sets: what stands, and locks, bans and squares held back.

    Sets that were chosen before stand by them.

    Parameters
    ----------
    kept : StoredBundle
    over : MatchRules, optional
        What a command says instead of the standing rules; its locks, bans and squares held back
        are added to the bundle's.
    """
    base = match_rules(kept.state.rules) if over is None else over
    locked = [tuple(kept.label(number) for number in lock) for lock in kept.state.locks]
    forbidden = [(kept.label(a), kept.label(b)) for a, b in kept.state.forbidden]
    held = {label for label, one in kept.by_label.items() if "held back" in one.marks}
    typed = {frozenset(lock) for lock in base.locked}
    standing, far = _standing(kept, base)
    return replace(
        base,
        locked=(*base.locked, *(one for one in locked if frozenset(one) not in typed)),
        forbidden=tuple(dict.fromkeys((*base.forbidden, *forbidden))),
        held_back=base.held_back | held,
        standing=standing,
        standing_far=far,
    ).among({swatch.label for swatch in free_swatches(kept)})


def _standing(
    kept: StoredBundle, rules: MatchRules
) -> tuple[tuple[tuple[str, ...], ...], frozenset[tuple[str, ...]]]:
    """Return the sets that stand by some rules, and those of them that needn't count.

    By another likeness than the bundle's own none stands; by other rules only those that count,
    whether they are said for one count or have been said since.
    """
    own = match_rules(kept.state.rules)
    if rules.likeness != own.likeness:
        return (), frozenset()
    as_own = rules.standing_rules == own.standing_rules
    said = max((one.made for one in kept.events
                if not one.undone and isinstance(one.event, StandingRules)), default=0)  # fmt: skip
    live = {one.id: label for label, one in kept.by_label.items()}
    sets = {
        tuple(live[number] for number in one.squares): as_own and one.seen >= said
        for one in kept.state.standing.sets
        if live.keys() >= set(one.squares)
    }
    return tuple(sets), frozenset(one for one, far in sets.items() if far)


def request_for(
    kept: StoredBundle,
    pattern: Pattern | None = None,
    *,
    seam: Fraction | None = None,
    arrangement: Arrangement | None = None,
) -> CountRequest:
    """Return what is asked of a bundle by its standing rules.

    Parameters
    ----------
    kept : StoredBundle
    pattern : Pattern, optional
        None for matched sets alone.
    seam : Fraction, optional
        Really sewn, inches; the pattern's if None.
    arrangement : str, optional
        How the sets hang; sets alone don't if None.
    """
    rules = rules_of(kept)
    needs = needs_for(pattern, rules, kept.side, seam)
    return CountRequest(
        kept.side,
        rules,
        needs,
        pattern,
        seam,
        arrangement=arrangement,
        terms=kept.state.rules.names,
    )


def count_kept(
    kept: StoredBundle,
    request: CountRequest,
    tell: Progress = unreported,
    *,
    photos: Sequence[PhotoResult] = (),
    doubts: bool = True,
) -> Count:
    """Match and count what is free of a kept bundle; see `catalog.pipeline.count`."""
    from catalog.count_results import Bundle
    from catalog.pipeline import count  # slow to load, and rules need none of it

    bundle = Bundle(tuple(photos), free_swatches(kept))
    counted = count(bundle, request.title, request.needs, request.rules, tell, doubts=doubts)
    return replace(counted, numbers=set_numbers(kept, counted.matching.sets))


def set_numbers(kept: StoredBundle, sets: Sequence[SquareSet]) -> Mapping[int, int]:
    """Return the numbers that sets keep or get in a bundle, by those that they were matched under.

    Empty where none was ever chosen: they are counted from 1.
    """
    standing = kept.state.standing
    if not standing.chosen:
        return {}
    several = [one for one in sets if len(one.swatches) > 1]
    squares = [[kept.by_label[label].id for label in one.swatches] for one in several]
    numbers = standing.numbered(squares)
    return {one.number: number for one, number in zip(several, numbers, strict=True)}


def wall_pattern(pattern: Pattern | None) -> str:
    """Return what stands for a pattern in the names of its walls (see `wall_name`)."""
    if pattern is None:
        return SETS_ALONE
    shipped = shipped_name(pattern.name)
    return shipped or pattern.identity or name_of_text(pattern.text)


def hung_by_hand(
    kept: StoredBundle,
    request: CountRequest,
    planned: Planned,
    sets: Sequence[SquareSet] = (),
) -> tuple[Planned, str, frozenset[str]]:
    """Hang blocks where a person put them.

    Parameters
    ----------
    kept : StoredBundle
    request : CountRequest
    planned : Planned
    sets : sequence of SquareSet
        All that were counted: one that wasn't planned may hang.

    Returns
    -------
    Planned
    str
        Name of the wall.
    frozenset of str
        Places whose block is sewn.
    """
    wall = wall_name(wall_pattern(request.pattern), planned)
    hung, sewn = as_hung(planned, wall, kept, sets)
    return hung, wall, sewn


def rows_of(
    kept: StoredBundle, result: Count, request: CountRequest
) -> tuple[
    Mapping[str, str | int],
    Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
]:
    """Return a count as `catalog.catalogue.bundle_catalogue.Catalogue.keep_count` takes it."""
    head: dict[str, str | int] = {
        "title": result.tally.title,
        "pattern": request.pattern.name if request.pattern else "",
        "rules": json.dumps(_rules(request.rules)),
        "tally": json.dumps([_line(line) for line in result.tally.lines]),
        "enough": int(result.tally.enough),
    }
    return head, [_set_row(kept, one) for one in result.sets]


def _set_row(
    kept: StoredBundle, one: SquareSet
) -> tuple[int, str, float, float, str, str, tuple[int, ...]]:
    return (
        one.number,
        one.need,
        float(one.difference),
        float(one.value_step),
        one.family,
        json.dumps(list(one.flags)),
        tuple(kept.by_label[label].id for label in one.swatches),
    )


def _rules(rules: MatchRules) -> dict[str, Any]:
    """Return rules as catalogues hold them: ``within`` stays empty there, as it always was.

    Which sets stood is told by the bundle's own rows.
    """
    told = {**asdict(rules), "within": None, "held_back": sorted(rules.held_back)}
    del told["standing"], told["standing_far"]
    return told


def _line(line: TallyLine) -> dict[str, Any]:
    return {
        "need": line.need.name,
        "needed": line.need.count,
        "on_hand": line.on_hand,
        "short": line.short,
        "left_over": line.left_over,
        "swatches": list(line.swatches),
        "note": line.note,
    }
