"""What is set aside for a project: by a pattern, by the sets of the last count, or by squares."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from catalog.errors import CatalogueError, UsageError
from cli.bundles.named_squares import squares_of
from cli.bundles.open_bundle import quoted
from cli.corrections.said_of_bundle import Catalogue, Event, StoredBundle, events

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from catalog.models import Tally

MAX_SET_NUMBER: Final = 10_000
"""Highest number of a set that can be meant."""


def by_pattern(
    kept: StoredBundle, project: str, pattern: str, catalogue: Path | None
) -> tuple[Event, Tally]:
    """Count the bundle for a pattern, which may be one of the catalogue's, and set aside its sets.

    Returns
    -------
    Event
    Tally
        Which may be short.
    """
    from catalog.catalogue.bundle_count import count_kept, request_for
    from catalog.catalogue.patterns.named_patterns import find_pattern
    from catalog.planning import serving_sets

    read = find_pattern(pattern, catalogue)
    request = request_for(kept, read)
    sizes = {need.match for need in request.needs}
    locked = tuple(one for one in request.rules.locked if len(one) in sizes)
    result = count_kept(kept, replace(request, rules=replace(request.rules, locked=locked)))
    sets = [one.swatches for one in serving_sets(result)]
    sets += [(label,) for line in result.tally.lines for label in line.swatches]
    if not sets:
        raise CatalogueError(
            f"no free square of {kept.name} serves {read.title}",
            f"calicount count {quoted(kept.name)} --pattern {pattern} tells what is short",
        )
    chosen = once([kept.by_label[label].id for label in one] for one in sets)
    return events.ReservedSets.of(project, chosen, pattern), result.tally


def by_numbers(catalogue: Catalogue, kept: StoredBundle, project: str, text: str) -> Event:
    """Set aside sets of the last count by their numbers, if their squares are still free."""
    from catalog.catalogue.last_count import last_count, not_free

    numbers = numbers_in(text)
    count = last_count(catalogue, kept)
    again = f"calicount count {quoted(kept.name)} chooses and numbers them anew"
    if count is None:
        raise CatalogueError(f"{kept.name} has not been counted yet", again)
    sets = {one.number: one for one in count.sets}
    for number in numbers:
        if number not in sets:
            raise CatalogueError(
                f"the last count of {kept.name} has no set {number}; it has {len(sets)}", again
            )
        gone = not_free(kept, sets[number].squares)
        if gone:
            raise CatalogueError(f"set {number} can't be had any more: {', '.join(gone)}", again)
    chosen = once(sets[number].squares for number in numbers)
    return events.ReservedSets.of(project, chosen, count.pattern)


def by_squares(kept: StoredBundle, project: str, texts: list[str]) -> Event:
    """Set aside squares by their labels; each text is one set."""
    chosen = [squares_of(kept, [text]) for text in texts]
    seen: set[int] = set()
    for square in (square for one in chosen for square in one):
        if not square.free:
            raise CatalogueError(
                f"{square.label} can't be set aside ({square.why_not_free})",
                "choose another square, or take that back first",
            )
        if square.id in seen:
            raise UsageError(f"{square.label} is named twice", "name each square once")
        seen.add(square.id)
    sets = tuple(tuple(square.id for square in one) for one in chosen)
    return events.ReservedSets.of(project, sets)


def once(sets: Iterable[Sequence[int]]) -> tuple[tuple[int, ...], ...]:
    """Return each square with the first of its sets: one that gives several pieces goes whole."""
    seen: set[int] = set()
    chosen = []
    for one in sets:
        fresh = tuple(square for square in dict.fromkeys(one) if square not in seen)
        seen.update(fresh)
        if fresh:
            chosen.append(fresh)
    return tuple(chosen)


def numbers_in(text: str) -> list[int]:
    """Read numbers such as ``1,2,5`` or ``1-4``, each once.

    Raises
    ------
    UsageError
        They are none.
    """
    found: list[int] = []
    for part in text.replace(" ", ",").split(","):
        first, dash, last = part.partition("-")
        if not part:
            continue
        if not first.isdecimal() or (dash and not last.isdecimal()):
            raise UsageError(f"'{part}' is no number of a set", "write them as in --sets 1,2,5")
        ends = int(first), int(last or first)
        if not 1 <= ends[0] <= ends[1] <= MAX_SET_NUMBER:
            raise UsageError(f"'{part}' can't be meant", "sets are numbered from 1 upwards")
        found += range(ends[0], ends[1] + 1)
    if not found:
        raise UsageError("--sets names no set", "write their numbers as in --sets 1,2,5")
    return list(dict.fromkeys(found))
