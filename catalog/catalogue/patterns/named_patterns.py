"""A pattern by what was typed: shipped, a file, or one that is kept.

What is shipped and what is a file is told without loading what keeps patterns.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.catalogue.store.catalogue_file import connect_to_read, default_file
from catalog.errors import CatalogueError, PatternError
from catalog.pattern.pattern_file import pattern_text, shipped_name
from catalog.pattern.patterns import Pattern, load_pattern, read_pattern
from catalog.phrases import quoted_if_spaced

if TYPE_CHECKING:
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns


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
    shipped = shipped_name(name)
    if shipped and not _is_own(name, catalogue):
        return load_pattern(name)
    if not shipped and _is_file(name):
        return load_pattern(name)
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns

    with closing(Catalogue(catalogue, reading=True)) as opened:
        own = OwnPatterns(opened)
        found = known_pattern(name, own)
        if found is not None:
            return found
        names = () if _is_there(name) else tuple(one.name for one in own.all())
    return read_pattern(pattern_text(name, names), name)


def known_pattern(name: str, own: OwnPatterns) -> Pattern | None:
    """Return the pattern of a name, shipped or kept; None for neither.

    One that was renamed is found by its old name too, while no other has that: counts and projects
    hold the name that they were made by.

    Raises
    ------
    PatternError
        The name means one of each, or what is kept can't be read.
    """
    shipped = shipped_name(name)
    found = own.find(name)
    if found is None and shipped:
        return load_pattern(shipped)
    found = found or own.once_called(name)
    if found is None:
        return None
    if not shipped:
        return found.read()
    raise PatternError(
        f"{shipped} is a pattern that comes with calicount and one of yours too",
        f"give yours another name: calicount pattern rename {quoted_if_spaced(found.name)} "
        "NEW-NAME",
    )


def _is_own(name: str, catalogue: Path | None) -> bool:
    """Whether a pattern is kept under a name; a catalogue that can't be read doesn't matter."""
    place = catalogue or default_file()
    try:
        if not place.exists():
            return False
        with closing(connect_to_read(place)) as sql:
            query = "select 1 from patterns where name = ? collate nocase and not removed"
            return sql.execute(query, (name.strip(),)).fetchone() is not None
    except (CatalogueError, sqlite3.Error, OSError, ValueError):
        return False


def _is_file(name: str) -> bool:
    return _is_there(name) and not Path(name).is_dir()


def _is_there(name: str) -> bool:
    try:
        return Path(name).exists()
    except (OSError, ValueError):  # too long for a file's name, or a sign that none has
        return False
