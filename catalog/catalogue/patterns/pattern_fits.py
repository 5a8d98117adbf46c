"""Which pattern a bundle could make, and which bundle a pattern: each pair counted, none planned.

Sets are chosen as `calicount count` chooses them, but no doubt about the photos is gone into, which
would take several times as long and changes no number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from catalog.catalogue.bundle_count import count_kept, request_for
from catalog.catalogue.patterns.stored_pattern import line_of, line_of_pattern, shipped_read
from catalog.errors import CalicountError
from catalog.pattern.pattern_file import EXAMPLE

if TYPE_CHECKING:
    from catalog.catalogue.patterns.stored_pattern import PatternLine, StoredPattern
    from catalog.catalogue.records import StoredBundle
    from catalog.models import TallyLine
    from catalog.pattern.patterns import Pattern


@dataclass(frozen=True)
class PatternFit:
    """A bundle counted for a pattern."""

    bundle: str
    bundle_id: int
    pattern: str
    pattern_id: int | None
    """None for one that comes with calicount."""
    title: str
    construction: str
    short: tuple[TallyLine, ...] = ()
    """What there is too little of."""
    problem: str = ""
    """Why it can't be counted, in a clause; empty where it was."""

    @property
    def enough(self) -> bool:
        """Whether the bundle makes the pattern."""
        return not self.short and not self.problem

    @property
    def pieces_short(self) -> int:
        """Pieces that are missing."""
        return sum(line.short for line in self.short)


@dataclass(frozen=True)
class TriedPattern:
    """A pattern that bundles are counted for."""

    line: PatternLine
    read: Pattern | None
    """None where it can't be read."""


def tried_patterns(own: Iterable[StoredPattern]) -> tuple[TriedPattern, ...]:
    """Return the shipped patterns without the example, and those that are kept."""
    shipped = [tried_pattern(read) for read in shipped_read() if read.name != EXAMPLE]
    return (*shipped, *map(tried_own, own))


def tried_pattern(read: Pattern) -> TriedPattern:
    """Return a pattern that was read from a file, or comes with calicount."""
    return TriedPattern(line_of_pattern(read), read)


def tried_own(stored: StoredPattern) -> TriedPattern:
    """Return a pattern that is kept."""
    try:
        return TriedPattern(line_of(stored), stored.read())
    except CalicountError:
        return TriedPattern(line_of(stored), None)


def fits_of(
    bundles: Sequence[StoredBundle], patterns: Sequence[TriedPattern]
) -> tuple[PatternFit, ...]:
    """Count each bundle for each pattern."""
    return in_order(fit_of(kept, tried) for kept in bundles for tried in patterns)


def in_order(fits: Iterable[PatternFit]) -> tuple[PatternFit, ...]:
    """Return what is made first, then what is least short."""
    return tuple(sorted(fits, key=_rank))


def fit_of(kept: StoredBundle, tried: TriedPattern) -> PatternFit:
    """Count a bundle for a pattern."""
    line = tried.line
    told = PatternFit(kept.name, kept.id, line.name, line.id, line.title, line.construction)
    if tried.read is None:
        return replace(told, problem=line.says)
    try:
        request = request_for(kept, tried.read)
        sizes = {need.match for need in request.needs}
        locked = tuple(one for one in request.rules.locked if len(one) in sizes)
        rules = replace(request.rules, locked=locked)
        tally = count_kept(kept, replace(request, rules=rules), doubts=False).tally
    except CalicountError as error:
        return replace(told, problem=error.problem)
    return replace(told, short=tuple(one for one in tally.lines if one.short))


def _rank(fit: PatternFit) -> tuple[bool, bool, int, str, str]:
    return (not fit.enough, bool(fit.problem), fit.pieces_short,
            fit.pattern.casefold(), fit.bundle.casefold())  # fmt: skip
