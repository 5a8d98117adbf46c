"""What a bundle could make, in a table for people."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from catalog.phrases import capital, count_of
from cli import console

if TYPE_CHECKING:
    from catalog.catalogue.patterns.pattern_fits import PatternFit

MAX_NEEDS_TOLD: Final = 3
"""Needs told one by one in a row of the table; --json and calicount count tell all."""


def say_fits(fits: Sequence[PatternFit], *, one_bundle: bool) -> None:
    """Say which patterns a bundle makes, or which bundles make a pattern, and what is short."""
    bundles = len({one.bundle for one in fits})
    made = sum(one.enough for one in fits)
    if one_bundle:
        console.say(f"{fits[0].bundle} is enough for {made} of {count_of(len(fits), 'pattern')}.")
        rows = [(one.pattern, one.construction, _enough(one), short_words(one)) for one in fits]
        console.table("Patterns", ("pattern", "how it is built", "enough", "short"), rows, words=4)
    else:
        console.say(f"{fits[0].title}: {made} of {count_of(bundles, 'bundle')} would do.")
        rows_of = [(one.bundle, _enough(one), short_words(one)) for one in fits]
        console.table("Bundles", ("bundle", "enough", "short"), rows_of, words=3)
    console.tell("calicount count BUNDLE --pattern NAME tells more of one.")


def short_words(fit: PatternFit) -> str:
    """Say what is short, such as ``12 wheel, 4 dark background``; why, where it wasn't counted."""
    if fit.problem:
        return capital(fit.problem)
    told = [f"{line.short:,} {line.need.name}" for line in fit.short[:MAX_NEEDS_TOLD]]
    more = len(fit.short) - MAX_NEEDS_TOLD
    return ", ".join(told) + (f" and {more} more" if more > 0 else "")


def _enough(fit: PatternFit) -> str:
    return "yes" if fit.enough else "no"
