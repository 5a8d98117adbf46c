"""Pieces that are one cloth in several sizes: what a person paints a block with."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.errors import CalicountError
from catalog.length_text import parse_length
from catalog.pattern.data.field_edits import Data

_LETTERED: Final = re.compile(r"(.+) [A-Z]")
_OF_EACH: Final = frozenset({"name", "piece", "size", "per_block", "quota"})
"""Fields in which pieces of one cloth may differ."""


@dataclass(frozen=True)
class ClothGroup:
    """Pieces of one role that are cut from the same."""

    name: str
    """Of its first piece, by which a drawn block calls it."""
    role: str
    table: Data
    """Of its first piece."""
    pieces: tuple[str, ...]
    """Their names, in the order of the file."""


def cloth_groups(pieces: Mapping[str, tuple[str, Data]]) -> tuple[ClothGroup, ...]:
    """Return what blocks can be painted with.

    Pieces from yardage are one cloth where they name the same, and squares of the bundle where they
    have one name but for a letter behind it; those that are counted in all are in no block.

    Parameters
    ----------
    pieces : mapping
        Role and table by name.
    """
    found: dict[tuple[object, ...], list[str]] = {}
    for name, (role, table) in pieces.items():
        if "in_all" not in table:
            found.setdefault(_key(name, role, table, pieces), []).append(name)
    return tuple(ClothGroup(names[0], *pieces[names[0]], tuple(names)) for names in found.values())


def head_of(pieces: Mapping[str, tuple[str, Data]]) -> dict[str, str]:
    """Return for each piece the name of its group."""
    return {name: group.name for group in cloth_groups(pieces) for name in group.pieces}


def size_of(table: Data) -> Fraction | None:
    """Return the size of a piece, inches; None where it tells none."""
    try:
        return parse_length(table["size"])
    except (CalicountError, KeyError, TypeError):
        return None


def _key(
    name: str, role: str, table: Data, pieces: Mapping[str, tuple[str, Data]]
) -> tuple[object, ...]:
    others = sorted((key, str(value)) for key, value in table.items() if key not in _OF_EACH)
    cloth = table.get("cloth", name)
    if table.get("from", "") == "yardage":
        plain = [one for one in others if one[0] != "cloth"]
        return (role, "yardage", cloth, *plain)
    lettered = _LETTERED.fullmatch(name)
    base = lettered[1] if lettered and pieces.get(lettered[1], ("",))[0] == role else name
    return (role, base, *others)


def by_size(names: Sequence[str], pieces: Mapping[str, Data]) -> list[str]:
    """Return pieces from the largest to the smallest, those without a size last."""
    return sorted(names, key=lambda name: -(size_of(pieces[name]) or Fraction(0)))
