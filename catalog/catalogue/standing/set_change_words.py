"""What a change does to a bundle's sets, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from catalog.catalogue.standing.set_changes import counts, total_of
from catalog.phrases import count_of, joined

if TYPE_CHECKING:
    from catalog.catalogue.standing.set_changes import SetsChange
    from catalog.models import SquareSet

MAX_SETS_NAMED: Final = 6
"""Sets named one by one; of more only the number is told."""
TOO_FAR: Final = ", too far apart to count"


def would_change(change: SetsChange) -> list[str]:
    """Say what a change would do, before it is done."""
    return _told(change, "would be no more", "would be new", "would be in no set")


def has_changed(change: SetsChange) -> list[str]:
    """Say what a change has done."""
    gone = "is no more" if len(change.gone) == 1 else "are no more"
    new = "is new" if len(change.new) == 1 else "are new"
    alone = "is in no set now" if len(change.left_alone) == 1 else "are in no set now"
    return _told(change, gone, new, alone)


def better_words(change: SetsChange) -> str:
    """Say how much better sets chosen anew would be, and what that would change."""
    before, after = total_of(change.before.count.sets), total_of(change.after.count.sets)
    if after.counting > before.counting:
        more = f"{count_of(after.counting - before.counting, 'set')} more"
    else:
        more = f"sets nearer by {before.total - after.total:.1f} in all"
    gone = len(change.gone)
    return f"Choosing anew would give {more}; {count_of(gone, 'set')} would be paired otherwise."


def _told(change: SetsChange, gone: str, new: str, alone: str) -> list[str]:
    lines = []
    if change.gone:
        lines.append(f"{_named(change.gone)} {gone}.")
    if change.new:
        lines.append(f"{_named(change.new)} {new}.")
    if change.left_alone:
        squares = change.after.kept.state.squares
        here = [squares[n].label for n in change.left_alone if n in squares and squares[n].free]
        if here:
            named = joined(here) if len(here) <= MAX_SETS_NAMED else count_of(len(here), "square")
            lines.append(f"{named} {alone}.")
    return lines


def _named(sets: Sequence[SquareSet]) -> str:
    if len(sets) > MAX_SETS_NAMED:
        return count_of(len(sets), "set")
    if len(sets) == 1:
        return f"Set {_with_difference(sets[0])}"
    return f"Sets {joined([_with_difference(one) for one in sets])}"


def _with_difference(one: SquareSet) -> str:
    squares = " + ".join(one.swatches)
    return f"{one.number} ({squares}, {one.difference:.1f}{'' if counts(one) else TOO_FAR})"
