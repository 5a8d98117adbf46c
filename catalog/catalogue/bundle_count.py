"""A kept bundle matched and counted: only what is free, and as a person said."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from catalog.bundle.tally_notes import counted_to, flagged_from
from catalog.catalogue.records import Kept, KeptSquare
from catalog.models import MatchRules, Need, Swatch
from catalog.pipeline import Bundle, Count, PhotoResult, count


def free_swatches(kept: Kept) -> tuple[Swatch, ...]:
    """Return the squares that a count may see: neither used, cut, spoilt nor wrong side up.

    Those held back are among them: they belong to what is left, though no set may use them.
    """

    def seen(one: KeptSquare) -> bool:
        return one.free or (one.marks == ("held back",) and not one.project)

    return tuple(swatch for swatch in kept.swatches if seen(kept.by_label[swatch.label]))


def rules_of(kept: Kept, *, sets: int | None = None, over: MatchRules | None = None) -> MatchRules:
    """Return the rules for a bundle's sets: what stands, and locks, bans and squares held back.

    Parameters
    ----------
    kept : Kept
    sets : int, optional
        How many are wanted.
    over : MatchRules, optional
        What a command says instead of the standing rules; its locks, bans and squares held back
        are added to the bundle's.
    """
    state, standing = kept.state, kept.state.rules
    free = {swatch.label for swatch in free_swatches(kept)}

    def labels(numbers: Sequence[int]) -> tuple[str, ...]:
        return tuple(kept.label(number) for number in numbers)

    locked = [labels(lock) for lock in state.locks]
    forbidden = [(kept.label(a), kept.label(b)) for a, b in state.forbidden]
    held = {label for label, one in kept.by_label.items() if "held back" in one.marks}
    base = over or MatchRules(
        size=standing.set_size,
        same_fabric=standing.same_fabric,
        least_value_step=standing.least_step,
        greatest_value_step=standing.most_step,
        tolerance=_or_else(standing.tolerance, flagged_from(standing.lightness_weight)),
        k_lightness=standing.lightness_weight,
    )
    typed = {frozenset(lock) for lock in base.locked}
    return replace(
        base,
        sets=sets if over is None else base.sets,
        locked=(*base.locked, *(one for one in locked if frozenset(one) not in typed)),
        forbidden=tuple(dict.fromkeys((*base.forbidden, *forbidden))),
        held_back=frozenset(base.held_back | held),
    ).among(free)


def within_of(kept: Kept) -> float:
    """Return the CIEDE2000 up to which the bundle's sets count as a match."""
    standing = kept.state.rules
    return _or_else(standing.tolerance, counted_to(standing.lightness_weight))


def _or_else(said: float | None, usual: float) -> float:
    return usual if said is None else said


def count_kept(
    kept: Kept,
    title: str,
    needs: Sequence[Need],
    rules: MatchRules,
    tell: Callable[[str], None],
    *,
    only_within: float | None = None,
    photos: Sequence[PhotoResult] = (),
    doubts: bool = True,
) -> Count:
    """Match and count what is free of a kept bundle; see `catalog.pipeline.count`."""
    bundle = Bundle(tuple(photos), free_swatches(kept))
    return count(bundle, title, needs, rules, tell, only_within=only_within, doubts=doubts)


def rows_of(
    kept: Kept, result: Count, pattern: str, rules: MatchRules
) -> tuple[
    Mapping[str, str | int],
    Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
]:
    """Return a count as `catalog.catalogue.bundle_catalogue.Catalogue.keep_count` takes it."""
    head: dict[str, str | int] = {
        "title": result.tally.title,
        "pattern": pattern,
        "rules": json.dumps(_rules(rules)),
        "tally": json.dumps([_line(line) for line in result.tally.lines]),
        "enough": int(result.tally.enough),
    }
    sets = [
        (
            one.number,
            one.need,
            float(one.difference),
            float(one.value_step),
            one.family,
            json.dumps(list(one.flags)),
            tuple(kept.by_label[label].id for label in one.swatches),
        )
        for one in result.sets
    ]
    return head, sets


def _rules(rules: MatchRules) -> dict[str, Any]:
    told = asdict(rules)
    return {**told, "held_back": sorted(rules.held_back)}


def _line(line: Any) -> dict[str, Any]:  # noqa: ANN401 - a TallyLine, told by its fields
    return {
        "need": line.need.name,
        "needed": line.need.count,
        "on_hand": line.on_hand,
        "short": line.short,
        "left_over": line.left_over,
        "swatches": list(line.swatches),
        "note": line.note,
    }
