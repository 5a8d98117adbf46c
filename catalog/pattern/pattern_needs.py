"""The pieces of a pattern file and their quotas, as needs and as kinds of piece."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final, cast, get_args

from catalog.cutting.quilt import PieceKind
from catalog.models import MatchBy, Need, Role, Source, Value
from catalog.pattern.cloth_names import MAX_FABRIC_NAME, cloth_of
from catalog.pattern.data.field_edits import FieldEdit
from catalog.pattern.pattern_map import BlockCounts
from catalog.pattern.pattern_quilt import QUILT_FIELDS
from catalog.pattern.toml_table import TomlTable
from catalog.rule_limits import SET_SIZE

MAX_IN_A_BLOCK: Final = 1_000
MAX_SQUARES: Final = 1_000_000
MIN_SQUARE_SIDE: Final = Fraction(1, 2)
"""Inches: two seams of 1/4 leave nothing of it to see."""
MAX_SQUARE_SIDE: Final = Fraction(60)
"""Inches: more than the width of a bolt of quilting cotton (42 to 45)."""
_COUNTS = ("per_block", "in_all")
_QUOTA_COUNTS = ("blocks", "sets", "share")
_PIECE = ("name", "piece", "size", *_COUNTS, "family", "value")
FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "": (
        *("title", "description", "layout", "feature", "background", "small"),
        *("block", "sashing", "border", "binding", "backing", "sleeve", "label", "cloth"),
    ),
    "feature": (*_PIECE, "match", "match_by", "quota", "from", "directional", "cloth"),
    "background": (*_PIECE, "match", "match_by", "quota", "from", "directional", "cloth"),
    "small": (*_PIECE, "from", "cloth"),
    "quota": (*_QUOTA_COUNTS, "family", "value"),
    **QUILT_FIELDS,
    "layout": ("blocks", "rows", "columns", "finished_block", *QUILT_FIELDS["layout"]),
}
"""The fields of each table; "" is the top of the file."""
_SOURCES: Final[dict[Role, tuple[Source, ...]]] = {
    "feature": ("bundle", "yardage"),
    "background": ("bundle", "yardage"),
    "small": ("left over", "yardage"),
}


def needs_and_kinds(
    top: TomlTable, blocks: BlockCounts
) -> tuple[tuple[Need, ...], list[PieceKind]]:
    """Read every piece of a file: one need for each quota and rest, one kind for each piece."""
    needs: dict[str, Need] = {}
    kinds: list[PieceKind] = []
    for role in get_args(Role):
        for piece in top.tables(role):
            split = _piece_needs(piece, role, blocks)
            for need in split:
                if need.name in needs:
                    again, other = f'"{need.name}" is there already', f"{need.name}, other"
                    edit = piece.put("name", other[-MAX_FABRIC_NAME:].strip())
                    piece.refuse("name", again, "give another name", edit)
                needs[need.name] = need
            kinds.append(_kind(piece, role, split, blocks))
    _check_cloths(top, kinds)
    if not any(need.role == "feature" and need.source == "bundle" for need in needs.values()):
        top.refuse("feature", "it is missing", "add [[feature]] for the squares of the bundle")
    return tuple(needs.values()), [_as_its_cloth(kind, kinds) for kind in kinds]


def _check_cloths(top: TomlTable, kinds: Sequence[PieceKind]) -> None:
    """Refuse a cloth for squares of the bundle, and one that is called like them."""
    pieces = (piece for role in get_args(Role) for piece in top.tables(role))
    owned = {kind.name for kind in kinds if kind.source != "yardage"}
    for piece, kind in zip(pieces, kinds, strict=True):
        if kind.cloth and kind.source != "yardage":
            problem = f"{kind.name} is cut from squares, and a cloth is bought by the yard"
            cure = 'write from = "yardage", or leave cloth out'
            piece.refuse("cloth", problem, cure, piece.put("cloth", None))
        if kind.cloth in owned:
            problem = f'"{kind.cloth}" is squares of the bundle'
            piece.refuse("cloth", problem, "give the cloth another name", piece.put("cloth", None))


def _as_its_cloth(kind: PieceKind, kinds: Sequence[PieceKind]) -> PieceKind:
    """Return a kind with the direction of the print that others are cut from too."""
    if kind.source != "yardage" or kind.directional:
        return kind
    same = (other.directional for other in kinds if other.cut_from == kind.cut_from)
    return replace(kind, directional=any(same))


def _kind(piece: TomlTable, role: Role, needs: list[Need], blocks: BlockCounts) -> PieceKind:
    one, each = needs[0], _in_each(piece, role, blocks) if "per_block" in piece else ()
    return PieceKind(
        piece.text("name", role),
        role,
        one.size,
        max(each) if each else None,
        one.match,
        one.source,
        tuple(need.name for need in needs),
        piece.flag("directional", False),
        sum(need.count for need in needs),
        cloth_of(piece) if "cloth" in piece else "",
        each if len(each) > 1 else (),
        any_way="directional" in piece and not piece.flag("directional", False),
    )


def _in_each(piece: TomlTable, role: Role, blocks: BlockCounts) -> tuple[int, ...]:
    """Return how many squares of a piece each of the blocks takes."""
    number = len(blocks.numbers)
    if number > 1 and piece.holds_list("per_block"):
        return piece.wholes("per_block", number, MAX_IN_A_BLOCK)
    squares = piece.whole("per_block", MAX_IN_A_BLOCK)
    return blocks.each(piece.text("name", role), squares) if number > 1 else (squares,)


def _piece_needs(piece: TomlTable, role: Role, blocks: BlockCounts) -> list[Need]:
    """Return the needs of one piece: its quotas, then the rest."""
    piece.only(FIELDS[role])
    whole = _whole_need(piece, role, blocks)
    sets = rest = whole.count // whole.match
    needs = []
    for quota in piece.tables("quota"):
        quota.only(FIELDS["quota"])
        key = quota.one_of(_QUOTA_COUNTS)
        each = _in_each(piece, role, blocks) if "per_block" in piece else ()
        taken = _quota_sets(quota, key, each, blocks, whole)
        if taken > rest:
            problem = f"the quotas so far ask for {sets - rest + taken} sets of the {sets}"
            edits = (quota.put(key, None), quota.put("sets", rest)) if rest else (quota.gone(),)
            quota.refuse(key, problem, f"leave at most {rest} to this one", *edits)
        rest -= taken
        needs.append(_quota_need(quota, replace(whole, count=taken * whole.match)))
    return [*needs, replace(whole, count=rest * whole.match)] if rest else needs


def _whole_need(piece: TomlTable, role: Role, blocks: BlockCounts) -> Need:
    name = piece.text("name", role)
    match = piece.whole("match", int(SET_SIZE.most), 1)
    if piece.one_of(_COUNTS) == "in_all":
        count = piece.whole("in_all", MAX_SQUARES)
    else:
        each = _in_each(piece, role, blocks)
        count = sum(number * squares for number, squares in zip(blocks.numbers, each, strict=True))
    if count > MAX_SQUARES:
        piece.refuse("per_block", f"{count:,} in all are too many", f"plan {MAX_SQUARES:,} at most")
    if role == "feature" and match > 1 and _source(piece, role) == "yardage":
        problem = "cloth that is bought is all of one tone"
        cure = 'leave it out, or write from = "bundle"'
        piece.refuse("match", problem, cure, piece.put("match", None), piece.put("match_by", None))
    if count % match:
        problem = f"{count} squares make no whole number of sets of {match}"
        cure = f"ask for a multiple of {match} squares"
        piece.refuse("match", problem, cure, *_whole_sets(piece, count, match))
    return Need(
        name,
        role,
        piece.text("piece", name if role == "small" else "square", longest=80),
        piece.length("size", MIN_SQUARE_SIDE, MAX_SQUARE_SIDE),
        count,
        match,
        piece.text("family") if "family" in piece else None,
        _value(piece),
        _source(piece, role),
        match_by=_match_by(piece, match),
    )


def _whole_sets(piece: TomlTable, count: int, match: int) -> tuple[FieldEdit, ...]:
    """Return what makes whole sets: more pieces if they are counted in all, else smaller sets."""
    if "in_all" in piece:
        return (piece.put("in_all", -(-count // match) * match),)
    near = max(size for size in range(1, match) if not count % size)
    if near == 1:
        return piece.put("match", None), piece.put("match_by", None)
    return (piece.put("match", near),)


def _value(table: TomlTable) -> Value | None:
    return cast("Value", table.choice("value", get_args(Value))) if "value" in table else None


def _match_by(piece: TomlTable, match: int) -> MatchBy | None:
    """Return what squares of a set share, refused where there are no sets."""
    if "match_by" not in piece:
        return None
    if match == 1:
        problem = "a square by itself matches no other"
        cure = "add match = 2, or leave it out"
        piece.refuse("match_by", problem, cure, piece.put("match_by", None))
    return cast("MatchBy", piece.choice("match_by", get_args(MatchBy)))


def _source(piece: TomlTable, role: Role) -> Source:
    sources = _SOURCES[role]
    # Whether background is to be bought decides the tally, so it is never guessed.
    default = None if role == "background" else sources[0]
    return cast("Source", piece.choice("from", sources, default))


def _quota_sets(
    quota: TomlTable, key: str, each: tuple[int, ...], blocks: BlockCounts, whole: Need
) -> int:
    """Return how many sets of a piece a quota takes."""
    sets = whole.count // whole.match
    if key == "sets":
        return quota.whole("sets", sets)
    if key == "share":
        return _quota_share(quota, sets)
    if not each:
        quota.refuse(key, "the piece is counted in all, not per block", "give sets or share")
    taking = [(n, own) for n, own in zip(blocks.numbers, each, strict=True) if own]
    if len({own for _, own in taking}) > 1:
        quota.refuse(key, "blocks take different numbers of the piece", "give sets or share")
    squares = quota.whole("blocks", sum(n for n, _ in taking)) * max(each)
    if squares % whole.match:
        problem = f"{squares} squares make no whole number of sets of {whole.match}"
        near = squares // whole.match
        edits = [quota.put(key, None), quota.put("sets", near)] if near else []
        quota.refuse(key, problem, "give sets instead", *edits)
    return squares // whole.match


def _quota_share(quota: TomlTable, sets: int) -> int:
    text = quota.text("share")
    found = re.fullmatch("([0-9]+)/([1-9][0-9]*)", text)
    if not found or not 0 < Fraction(int(found[1]), int(found[2])) <= 1:
        quota.refuse("share", f'"{text}" is no part of the whole', 'write it like "1/2"')
    part = sets * Fraction(int(found[1]), int(found[2]))
    if part.denominator != 1:
        near = f"{math.floor(part)} or {math.ceil(part)}"
        problem, few = f"{text} of {sets} sets is no whole number", max(1, math.floor(part))
        edits = quota.put("share", None), quota.put("sets", few)
        quota.refuse("share", problem, f"write sets = {near}", *edits)
    return int(part)


def _quota_need(quota: TomlTable, need: Need) -> Need:
    """Return the need of a quota, called after what it asks for."""
    quota_family = quota.text("family") if "family" in quota else None
    quota_value = _value(quota)
    if not quota_family and not quota_value:
        quota.refuse("family", "it is missing", "give family, value or both")
    for key, clash in (
        ("family", quota_family and need.family),
        ("value", quota_value and need.value),
    ):
        if clash:
            problem = f"the whole piece has a {key} already"
            quota.refuse(key, problem, "give it in one place", quota.put(key, None))
    name = " ".join(filter(None, (need.name + ",", quota_value, quota_family)))
    return replace(
        need, name=name, family=quota_family or need.family, value=quota_value or need.value
    )
