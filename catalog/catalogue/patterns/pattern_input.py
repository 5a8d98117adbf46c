"""What may be kept as a pattern: its name and its text, judged before anything is written."""

from __future__ import annotations

from catalog.catalogue.patterns.pattern_events import MAX_LETTERS, NamedPattern, WrittenPattern
from catalog.catalogue.patterns.stored_pattern import read_once
from catalog.catalogue.records import RecordedEvent
from catalog.catalogue.store.bundle_list import fit_name
from catalog.catalogue.store.row_writing import now
from catalog.errors import CatalogueError, PatternError
from catalog.pattern.pattern_file import shipped_name


def kept_first(name: str, text: str) -> tuple[RecordedEvent, ...]:
    """Return the events that keep a pattern."""
    at = now()
    return tuple(
        RecordedEvent(one, number, at, made=1)
        for number, one in enumerate((NamedPattern(name), WrittenPattern(text)), start=1)
    )


def fit_pattern_name(name: str) -> str:
    """Return a pattern's name as it is kept.

    Raises
    ------
    CatalogueError
        It can't be called so: a name that a file or a shipped pattern might have means either.
    """
    fit = fit_name(name, "a pattern")
    if shipped_name(fit):
        raise CatalogueError(
            f"a pattern that comes with calicount is called {shipped_name(fit)}",
            "choose another name",
        )
    if any(sign in fit for sign in "/\\") or fit.casefold().endswith(".toml"):
        raise CatalogueError(
            f"a pattern can't be called '{fit}', which reads like the name of a file",
            "choose a name without / and without .toml",
        )
    return fit


def refuse_unread(text: str, name: str) -> None:
    """Raise `PatternError` where a text is no pattern that can be read."""
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError:  # half of a pair of surrogates, which no file holds
        raise PatternError(f"{name} holds half a sign", "write that text again") from None
    if size > MAX_LETTERS:
        raise PatternError(f"{name} is larger than a pattern can be (1 MB)", "shorten it")
    if not text.strip():
        raise PatternError(f"{name} is empty", "write the pattern first")
    read_once(text, name)
