"""A pattern file's values with other rows and columns."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.sashing import post_count
from catalog.errors import PatternError
from catalog.pattern.pattern_map import BlockCounts, counts_of
from catalog.pattern.toml_table import TomlTable

Values = Mapping[str, Any]

ROLES: Final = ("feature", "background", "small")
_SHARE: Final = re.compile(r"([0-9]{1,9})/([1-9][0-9]{0,8})")


@dataclass(frozen=True)
class _Resizing:
    """The old and the new quilt."""

    old: Layout
    new: Layout
    before: BlockCounts
    after: BlockCounts
    post_piece: object
    """Name of the piece that the posts of the sashing are; None for none."""


def resized(values: Values, rows: int, columns: int) -> dict[str, Any]:
    """Return what a pattern file holds, for a quilt of so many rows and columns.

    What is counted in all grows with the number of blocks, posts of the sashing with the number of
    its crossings, each in whole sets; quotas keep their share of the sets as nearly as whole sets
    can. What makes no sense is left for the pattern's own reader to refuse.

    Parameters
    ----------
    values : mapping
        As TOML gives it; not changed.
    rows, columns : int
    """
    layout = values.get("layout")
    if not isinstance(layout, dict) or "rows" not in layout:
        return dict(values)
    changed = {**values, "layout": {**layout, "rows": rows, "columns": columns}}
    old: Any = layout["rows"], layout.get("columns")
    if not all(map(_is_count, (*old, rows, columns))) or old == (rows, columns):
        return changed
    given = values.get("sashing")
    sashing: Values = given if isinstance(given, dict) else {}
    outer, how = sashing.get("outer") is True, layout.get("set")
    if how == "offset rows" and min(columns, old[1]) < 2:
        return changed
    before, after = (
        Layout(
            *(down, across, Fraction(1)),
            sashing=Fraction(1, 2),
            outer=outer,
            posts=how != "offset rows",
            on_point=how == "on point",
            offset=how == "offset rows",
        )
        for down, across in (old, (rows, columns))
    )
    top = TomlTable("", values, {})
    try:
        old_counts, new_counts = (
            counts_of(top, top.table("layout"), *size) for size in (old, (rows, columns))
        )
    except PatternError:
        return changed
    resizing = _Resizing(before, after, old_counts, new_counts, sashing.get("post_piece"))
    for role in ROLES:
        if isinstance(values.get(role), list):
            changed[role] = [_resized_piece(piece, role, resizing) for piece in values[role]]
    return changed


def _resized_piece(piece: Any, role: str, resizing: _Resizing) -> Any:  # noqa: ANN401 - TOML holds anything
    if not isinstance(piece, dict):
        return piece
    match = piece.get("match", 1)
    each = match if _is_count(match) else 1
    if "per_block" in piece:
        return _of_blocks(piece, role, each, resizing)
    before, after = resizing.old.blocks, resizing.new.blocks
    if not _is_count(piece.get("in_all")):
        return piece
    if resizing.post_piece == piece.get("name", role):
        before, after = post_count(resizing.old), post_count(resizing.new)
    if before < 1 or after < 1:
        return piece
    new_sets = math.ceil(Fraction(piece["in_all"] * after, before * each))
    old_sets = Fraction(piece["in_all"], each)
    whole = {**piece, "in_all": new_sets * each}
    return _with_quotas(whole, old_sets, new_sets, resizing.old.blocks)


def _of_blocks(piece: Values, role: str, match: int, resizing: _Resizing) -> Values:
    """Return a piece that blocks take; as it was where what it says makes no sense."""
    before, after = resizing.before, resizing.after
    own = piece["per_block"]
    if _is_count(own):
        single = len(before.numbers) == 1
        own = [own] if single else before.each(str(piece.get("name", role)), own)
    known = isinstance(own, list | tuple) and len(own) == len(before.numbers)
    if not known or not all(one == 0 or _is_count(one) for one in own):
        return piece
    old, new = (
        sum(many * number for many, number in zip(own, blocks.numbers, strict=True))
        for blocks in (before, after)
    )
    taking = sum(number for many, number in zip(own, before.numbers, strict=True) if many)
    return _with_quotas(piece, Fraction(old, match), new // match, taking) if old else piece


def _with_quotas(piece: Values, old_sets: Fraction, new_sets: int, blocks: int) -> dict[str, Any]:
    """Give each quota its part of the sets, in whole sets that come to the same whole."""
    quotas = piece.get("quota")
    parts = _parts(quotas, old_sets, blocks) if isinstance(quotas, list) else None
    if parts is None or quotas is None:
        return dict(piece)
    upto = [Fraction(0)]
    for part in parts:
        upto.append(upto[-1] + part)
    marks = [math.floor(one * new_sets + Fraction(1, 2)) for one in upto]
    given = [later - earlier for earlier, later in pairwise(marks)]
    told = [
        {**{k: v for k, v in quota.items() if k not in {"blocks", "share"}}, "sets": sets}
        for quota, sets in zip(quotas, given, strict=True)
        if sets
    ]
    return {**{k: v for k, v in piece.items() if k != "quota"}, **({"quota": told} if told else {})}


def _parts(quotas: Sequence[Any], old_sets: Fraction, blocks: int) -> list[Fraction] | None:
    """Return which part of the sets each quota asks for; None where one makes no sense.

    Parameters
    ----------
    quotas : sequence
    old_sets : Fraction
        Sets of the piece in the quilt as written.
    blocks : int
        Blocks in it that take the piece.
    """
    parts = []
    for quota in quotas:
        if not isinstance(quota, dict):
            return None
        asked = [key for key in ("blocks", "sets", "share") if key in quota]
        share = _SHARE.fullmatch(str(quota.get("share")))
        if asked == ["share"] and share:
            parts.append(Fraction(int(share[1]), int(share[2])))
        elif asked == ["blocks"] and _is_count(quota["blocks"]):
            parts.append(Fraction(quota["blocks"], blocks))
        elif asked == ["sets"] and _is_count(quota["sets"]):
            parts.append(quota["sets"] / old_sets)
        else:
            return None
    return parts if sum(parts) <= 1 else None


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value > 0
