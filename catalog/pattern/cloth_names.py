"""Cloth by the yard that a pattern file names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.cutting.quilt import PieceKind
from catalog.pattern.toml_table import TomlTable

MAX_FABRIC_NAME: Final = 40


def cloth_of(table: TomlTable, key: str = "cloth") -> str:
    """Read the name of a cloth that is bought by the yard."""
    return table.text(key, longest=MAX_FABRIC_NAME)


def shared_cloth(table: TomlTable, key: str, kinds: Sequence[PieceKind]) -> str:
    """Read what something beside the blocks is cut from; empty for a cloth of its own."""
    if key not in table:
        return ""
    name = cloth_of(table, key)
    if name in owned_names(kinds):
        problem = f'"{name}" is squares of the bundle, and this is cut from yardage'
        table.refuse(key, problem, "name another cloth", table.put(key, None))
    return cloth_named(name, kinds)


def owned_names(kinds: Sequence[PieceKind]) -> set[str]:
    """Return the names of pieces that are cut from squares."""
    return {kind.name for kind in kinds if kind.source != "yardage"}


def cloth_named(name: str, kinds: Sequence[PieceKind]) -> str:
    """Return the cloth that a name means: one of its own, or the one that a piece is cut from."""
    return next((kind.cut_from for kind in kinds if kind.name == name), name)
