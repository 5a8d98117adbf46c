"""``calicount pattern history``, ``undo`` and ``redo``: what was done to a pattern of one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cli import console
from cli.bundles.open_bundle import quoted
from cli.options import Manner
from cli.patterns.own_pattern import PatternName, answer, own_patterns, pattern_object

if TYPE_CHECKING:
    pass


def history(name: PatternName, *, manner: Manner) -> None:
    """List what was done to a pattern of yours, numbered, and whether it still holds.

    For example:

    calicount pattern history porch
    """
    from catalog.catalogue.patterns.pattern_events import told_events

    with own_patterns(manner, reading=True) as own:
        kept = own.named(name, removed=True)
    told = told_events(kept.events)

    def say() -> None:
        for one, words in told:
            gone = " (taken back)" if one.undone else ""
            console.tell(f"{one.at[:16].replace('T', ' ')}  {one.number}. {words}{gone}")
        if kept.undoes is not None:
            console.tell(f"calicount pattern undo {quoted(kept.name)} takes the last one back.")

    listed = [
        {"number": one.number, "says": words, "at": one.at, "undone": bool(one.undone)}
        for one, words in told
    ]
    console.answer(manner, lambda: {**pattern_object(kept), "history": listed}, say)


def undo(name: PatternName, *, manner: Manner) -> None:
    """Take back what was done to a pattern of yours last.

    For example:

    calicount pattern undo porch
    """
    _turned(name, manner, back=True)


def redo(name: PatternName, *, manner: Manner) -> None:
    """Do again what was taken back last.

    For example:

    calicount pattern redo porch
    """
    _turned(name, manner, back=False)


def _turned(name: str, manner: Manner, *, back: bool) -> None:
    """Undo or redo, and say what."""
    from catalog.catalogue.patterns.pattern_events import told_events

    with own_patterns(manner) as own:
        before = own.named(name, removed=True)
        after = (own.undo if back else own.redo)(before.id)
    was = {one.number: one.undone for one in before.events}
    turned = [words for one, words in told_events(after.events) if one.undone != was[one.number]]
    how = "taken back" if back else "holds again"
    again = f" calicount pattern redo {quoted(after.name)} does it again." if back else ""
    answer(after, manner, f"{after.name}, {how}: {', '.join(turned)}.{again}")
