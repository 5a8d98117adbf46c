"""A pattern by what was typed: shipped, a file, or one that is kept."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
from catalog.catalogue.patterns.stored_pattern import read_once
from catalog.errors import CatalogueError, PatternError
from catalog.pattern.pattern_file import pattern_text, shipped_name
from catalog.pattern.patterns import Pattern
from catalog.phrases import quoted_if_spaced


def find_pattern(name: str, catalogue: Path | None = None) -> Pattern:
    """Return the pattern that a command means.

    Parameters
    ----------
    name : str
        A shipped pattern's, or a pattern file, or the name of one that is kept; the file goes
        before what is kept.
    catalogue : Path, optional
        Where patterns are kept; the usual place if None. It is only read.

    Raises
    ------
    PatternError
        There is none, it can't be read, or the name means two.
    CatalogueError
        The catalogue can't be read.
    """
    if not shipped_name(name) and _is_file(name):
        return read_once(pattern_text(name), name)
    with closing(Catalogue(catalogue, reading=True)) as opened:
        own = OwnPatterns(opened)
        found = known_pattern(name, own)
        if found is not None:
            return found
        names = () if _is_there(name) else tuple(one.name for one in own.all())
    return read_once(pattern_text(name, names), name)


def known_pattern(name: str, own: OwnPatterns) -> Pattern | None:
    """Return the pattern of a name, shipped or kept; None for neither.

    Raises
    ------
    PatternError
        The name means one of each, or what is kept can't be read.
    """
    shipped = shipped_name(name)
    if not shipped:
        found = own.find(name)
        return None if found is None else found.read()
    if _is_also_own(name, own):
        raise PatternError(
            f"{shipped} is a pattern that comes with calicount and one of yours too",
            f"give yours another name: calicount pattern rename {quoted_if_spaced(name)} NEW-NAME",
        )
    return read_once(pattern_text(shipped), shipped)


def _is_also_own(name: str, own: OwnPatterns) -> bool:
    """Whether a pattern is kept under a shipped one's name: a damaged catalogue can't tell."""
    try:
        return own.find(name) is not None
    except CatalogueError:
        return False


def _is_file(name: str) -> bool:
    return _is_there(name) and not Path(name).is_dir()


def _is_there(name: str) -> bool:
    try:
        return Path(name).exists()
    except (OSError, ValueError):  # too long for a file's name, or a sign that none has
        return False
