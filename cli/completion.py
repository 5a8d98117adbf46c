"""Names that the shell completes: read from the catalogue alone, quickly, and never in the way."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import typer

from cli import console

VARIABLE: Final = "CALICOUNT_CATALOGUE"
"""Environment variable that names the catalogue (see `catalog.catalogue.store.catalogue_file`)."""
PATIENCE: Final = 0.2
"""Seconds to wait for a catalogue that is being written to."""

_BUNDLES: Final = "select name from bundles order by name collate nocase"
_OWN_PATTERNS: Final = "select name from patterns where not removed order by name collate nocase"
_SQUARES: Final = """select w.label from swatches w join bundles b on b.id = w.bundle_id
    where b.name = ? order by w.place"""
_PROJECTS: Final = """select distinct json_extract(d.args, '$.project') from deeds d
    join bundles b on b.id = d.bundle_id
    where b.name = ? and d.kind = 'reserve' and not d.undone order by 1"""


def bundles(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of bundles that begin so."""
    return _beginning(ctx, incomplete, _BUNDLES, ())


def files_and_bundles(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of bundles, and of files where no bundle begins so."""
    return bundles(ctx, incomplete) or _files(incomplete)


def own_patterns(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of patterns that are kept that begin so."""
    return _beginning(ctx, incomplete, _OWN_PATTERNS, ())


def patterns(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of patterns, shipped and kept; files where none begins so."""
    from catalog.pattern.pattern_file import shipped_files

    shipped = [name for name in shipped_files() if name.startswith(incomplete.casefold())]
    return [*shipped, *own_patterns(ctx, incomplete)] or _files(incomplete)


def squares(ctx: typer.Context, incomplete: str) -> list[str]:
    """Labels of the bundle's squares that begin so."""
    named = {*(ctx.params.get("labels") or ()), ctx.params.get("label"), ctx.params.get("first")}
    found = _beginning(ctx, incomplete, _SQUARES, (str(ctx.params.get("name") or ""),))
    return [label for label in found if label not in named]


def projects(ctx: typer.Context, incomplete: str) -> list[str]:
    """Names of the bundle's projects that begin so."""
    return _beginning(ctx, incomplete, _PROJECTS, (str(ctx.params.get("name") or ""),))


def kept_names(catalogue: Path | None) -> tuple[str, ...]:
    """Return the names of the bundles that are kept; none where there is no catalogue.

    No file is made, and whatever is wrong with the catalogue is left to the command that uses it.
    """
    with contextlib.suppress(Exception):
        return tuple(_rows(_place(catalogue), _BUNDLES, ()))
    return ()


def _beginning(ctx: typer.Context, incomplete: str, query: str, words: Sequence[str]) -> list[str]:
    """Return what begins as typed, in any case; nothing where anything goes wrong."""
    with contextlib.suppress(Exception):
        found = _rows(_place(ctx.params.get("catalogue")), query, words)
        return [one for one in found if one.casefold().startswith(incomplete.casefold())]
    return []


def _files(incomplete: str) -> list[str]:
    """Files and folders that begin so; those whose names begin with a point only if asked for."""
    with contextlib.suppress(Exception):
        folder, _, start = incomplete.rpartition("/")
        shown = f"{folder}/" if folder or incomplete.startswith("/") else ""
        return sorted(
            f"{shown}{one.name}{'/' if one.is_dir() else ''}"
            for one in Path(shown or ".").expanduser().iterdir()
            if one.name.startswith(start) and (start or not one.name.startswith("."))
        )
    return []


def _place(said: Any) -> Path:  # noqa: ANN401 - a half-typed line may hold anything
    told = said or os.environ.get(VARIABLE)
    if told:
        return Path(told)
    from catalog.catalogue.store.catalogue_file import default_file

    return default_file()


def _rows(place: Path, query: str, words: Sequence[str]) -> list[str]:
    """Read without making or changing the file; what no terminal may be told is left out."""
    from catalog.catalogue.store.catalogue_file import connect_to_read

    with contextlib.closing(connect_to_read(place, PATIENCE)) as connection:
        found = [str(row[0]) for row in connection.execute(query, tuple(words))]
    return [one for one in found if console.clean(one) == one]
