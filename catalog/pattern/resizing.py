"""A pattern file's values with other rows and columns."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

Values = Mapping[str, Any]

ROLES: Final = ("feature", "background", "small")
_SHARE: Final = re.compile(r"([0-9]{1,9})/([1-9][0-9]{0,8})")


@dataclass(frozen=True)
class _Growth:
    """The old and the new quilt."""

    old: tuple[int, int]
    """Rows and columns."""
    new: tuple[int, int]
    on_point: bool
    sashing: Values

    @property
    def blocks(self) -> tuple[int, int]:
        """How many there are, before and after."""
        before, after = (
            rows * columns + ((rows - 1) * (columns - 1) if self.on_point else 0)
            for rows, columns in (self.old, self.new)
        )
        return before, after

    @property
    def posts(self) -> tuple[int, int]:
        """How many crossings the sashing has, before and after."""
        if self.on_point:
            before, after = (
                rows * (columns + 1) + columns * (rows + 1)
                for rows, columns in (self.old, self.new)
            )
            return before, after
        outer = 1 if self.sashing.get("outer") is True else -1
        before, after = (
            (rows + outer) * (columns + outer) for rows, columns in (self.old, self.new)
        )
        return before, after


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
    if not all(map(_is_count, old)) or old == (rows, columns):
        return changed
    sashing = values.get("sashing")
    growth = _Growth(
        old,
        (rows, columns),
        layout.get("set") == "on point",
        sashing if isinstance(sashing, dict) else {},
    )
    for role in ROLES:
        if isinstance(values.get(role), list):
            changed[role] = [_grown(piece, role, growth) for piece in values[role]]
    return changed


def _grown(piece: Any, role: str, growth: _Growth) -> Any:  # noqa: ANN401 - TOML holds anything
    if not isinstance(piece, dict):
        return piece
    match = piece.get("match", 1)
    each = match if _is_count(match) else 1
    before, after = growth.blocks
    if _is_count(piece.get("per_block")):
        sets = Fraction(before * piece["per_block"], each), after * piece["per_block"] // each
        return _with_quotas(piece, *sets, growth)
    if not _is_count(piece.get("in_all")):
        return piece
    if growth.sashing.get("post_piece") == piece.get("name", role):
        before, after = growth.posts
    if before < 1 or after < 1:
        return piece
    new_sets = math.ceil(Fraction(piece["in_all"] * after, before * each))
    old_sets = Fraction(piece["in_all"], each)
    return _with_quotas({**piece, "in_all": new_sets * each}, old_sets, new_sets, growth)


def _with_quotas(
    piece: Values, old_sets: Fraction, new_sets: int, growth: _Growth
) -> dict[str, Any]:
    """Give each quota its part of the sets, in whole sets that come to the same whole."""
    quotas = piece.get("quota")
    parts = _parts(quotas, old_sets, growth) if isinstance(quotas, list) else None
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


def _parts(quotas: Sequence[Any], old_sets: Fraction, growth: _Growth) -> list[Fraction] | None:
    """Return which part of the sets each quota asks for; None where one makes no sense."""
    parts = []
    for quota in quotas:
        if not isinstance(quota, dict):
            return None
        asked = [key for key in ("blocks", "sets", "share") if key in quota]
        share = _SHARE.fullmatch(str(quota.get("share")))
        if asked == ["share"] and share:
            parts.append(Fraction(int(share[1]), int(share[2])))
        elif asked == ["blocks"] and _is_count(quota["blocks"]):
            parts.append(Fraction(quota["blocks"], growth.blocks[0]))
        elif asked == ["sets"] and _is_count(quota["sets"]):
            parts.append(quota["sets"] / old_sets)
        else:
            return None
    return parts if sum(parts) <= 1 else None


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value > 0
