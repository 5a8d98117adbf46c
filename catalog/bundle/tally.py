"""Needs, swatches and sets to the tally: needed, on hand, short, left over."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from catalog.bundle.piece_stock import PieceStock, Scrap
from catalog.bundle.pieces import pieces_from
from catalog.bundle.tally_notes import bought_note, bundle_note, rest_note, small_note
from catalog.colour.ciede2000 import as_shown
from catalog.errors import SetError
from catalog.models import Need, Rest, SetRequest, SquareSet, Swatch, Tally, TallyLine

LARGEST_SET: Final = 4


def sets_need(size: int, sets: int | None, *, square: Fraction = Fraction(0)) -> Need:
    """Return the need for matched sets alone, where there is no pattern.

    Parameters
    ----------
    size : int
        Squares in a set, 2 to 4.
    sets : int, optional
        How many sets; None for as many as there can be.
    square : Fraction
        Side, inches, that a square must have; 0 for any.

    Returns
    -------
    Need
        Its count is 0 where `sets` is None.

    Raises
    ------
    SetError
        No such set.
    """
    if not 2 <= size <= LARGEST_SET:
        raise SetError(f"a set can't be of {size} squares", f"ask for 2 to {LARGEST_SET}")
    if sets is not None and sets < 1:
        raise SetError(f"{sets} sets are none", "ask for 1 or more")
    return Need("matched sets", "feature", "square", square, (sets or 0) * size, size)


def requests_of(needs: Sequence[Need], swatches: Sequence[Swatch]) -> tuple[SetRequest, ...]:
    """Ask for the sets that the bundle must give, with the squares that may serve each need.

    Parameters
    ----------
    needs : sequence of Need
        What is bought or cut from squares left over asks for none.
    swatches : sequence of Swatch
        The bundle.

    Returns
    -------
    tuple of SetRequest
        One for each need from the bundle, in order; of size 1 where no squares must match.
    """
    return tuple(
        SetRequest(
            need=need.name,
            sets=need.count // need.match or None,
            size=need.match,
            eligible=frozenset(swatch.label for swatch in swatches if serves(swatch, need)),
        )
        for need in needs
        if need.source == "bundle"
    )


def count_needs(
    title: str,
    needs: Sequence[Need],
    swatches: Sequence[Swatch],
    sets: Sequence[SquareSet],
    *,
    tolerance: float | None = None,
    held_back: Set[str] = frozenset(),
    k_lightness: float = 1.0,
) -> Tally:
    """Count what is needed against the bundle; no piece of a square counts twice.

    Parameters
    ----------
    title : str
        Of the pattern.
    needs : sequence of Need
        Names differ.
    swatches : sequence of Swatch
        The bundle; labels differ.
    sets : sequence of SquareSet
        As `sets_for_needs` chooses them. One counts for the need that it names, unless the need
        is full, a square of it does not serve the need or has no piece left to give, or it is not
        of the need's size.
    tolerance : float, optional
        CIEDE2000 above which the squares of a set are taken not to match, so that it does not
        count; None counts every set.
    held_back : set of str
        Labels that serve nothing and are not spare either.
    k_lightness : float
        Weight kL of lightness in the differences that notes tell.

    Returns
    -------
    Tally
        One line for each need, in order.
    """
    swatches = sorted(swatches, key=lambda swatch: _reading_order(swatch.label))
    stock = PieceStock([swatch for swatch in swatches if swatch.label not in held_back])
    filled = _filled(needs, stock, sets, math.inf if tolerance is None else tolerance)
    short = [need for need in needs if len(filled[need.name]) * need.match < _from_bundle(need)]
    stay = _locked_beside(sets, filled)
    scraps = [one for one in stock.scraps() if one.label not in stay]
    cut = _cut_small(needs, stock, scraps, short)
    spare = [stock.bundle[one.label] for one in scraps if one.size is None and not one.used]
    lines, told = [], set[str]()
    for need in needs:
        line = _line(need, filled[need.name], cut[need.name], swatches, spare, k_lightness)
        if need.source == "left over":
            pool = {swatch.label for swatch in spare if serves(swatch, need)}
            line = replace(line, left_over=len(pool - told))
            told |= pool
        lines.append(line)
    rests = tuple(Rest(s.label, s.left, s.size) for s in scraps if s.size is not None and s.left)
    lines = _with_rests(lines, rests)
    serving = {label for line in lines for label in line.swatches}
    unused = tuple(swatch.label for swatch in swatches if swatch.label not in serving)
    return Tally(title, tuple(lines), unused, rests)


def _with_rests(lines: Sequence[TallyLine], rests: Sequence[Rest]) -> list[TallyLine]:
    """Say of each square that was cut up what is left of it, at the last need that it serves."""
    at = {
        label: place
        for place, line in enumerate(lines)
        if line.need.source == "bundle"
        for label in line.swatches
    }
    told = list(lines)
    for place, line in enumerate(lines):
        note = rest_note([rest for rest in rests if at[rest.label] == place])
        told[place] = replace(line, note="; ".join(filter(None, (line.note, note))))
    return told


def serves(swatch: Swatch, need: Need) -> bool:
    """Say whether a square is of the family and value that a need asks for, and large enough."""
    return of_kind(swatch, need) and large_enough(swatch, need)


def of_kind(swatch: Swatch, need: Need) -> bool:
    """Say whether a square is of the family, value and role that a need asks for.

    A family also stands for its shades: "blue" for "dark blues". A square that nobody gave a role
    serves as feature and as background.
    """
    if swatch.role and need.role not in {"small", swatch.role}:
        return False
    if need.value is not None and swatch.value != need.value:
        return False
    if need.family is None:
        return True
    wanted, words = _words(need.family), _words(swatch.family)
    return bool(wanted) and words[-len(wanted) :] == wanted


def large_enough(swatch: Swatch, need: Need) -> bool:
    """Say whether a need's piece can be cut from a square, as far as a photo can tell."""
    return pieces_from(swatch, need) > 0


def _from_bundle(need: Need) -> int:
    return need.count if need.source == "bundle" else 0


def _filled(
    needs: Sequence[Need], stock: PieceStock, sets: Sequence[SquareSet], tolerance: float
) -> dict[str, list[SquareSet]]:
    """Return the sets that count, by the name of their need, and take their pieces."""
    filled: dict[str, list[SquareSet]] = {need.name: [] for need in needs}
    by_name = {need.name: need for need in needs if need.source == "bundle"}
    for one in sorted(sets, key=lambda one: one.number):
        need = by_name.get(one.need)
        too_far = need is not None and as_shown(one.difference) > tolerance
        if need is None or too_far or not _fits(one, need, stock):
            continue
        if need.count and len(filled[need.name]) * need.match >= need.count:
            continue
        filled[need.name].append(one)
        stock.take(one.swatches, need)
    return filled


def _locked_beside(
    sets: Sequence[SquareSet], filled: Mapping[str, Sequence[SquareSet]]
) -> set[str]:
    """Return the squares of locked sets that serve no need: they stay sets and are not cut up."""
    serving = {one.number for own in filled.values() for one in own}
    beside = (one for one in sets if "locked" in one.flags and one.number not in serving)
    return {label for one in beside for label in one.swatches}


def _fits(one: SquareSet, need: Need, stock: PieceStock) -> bool:
    return (
        len(one.swatches) == need.match
        and stock.has(one.swatches, need)
        and all(serves(stock.bundle[label], need) for label in one.swatches)
    )


@dataclass
class _Small:
    """Small pieces cut for one need."""

    pieces: Counter[str] = field(default_factory=Counter)
    """By the label of the square, in the order of cutting."""
    each: list[int] = field(default_factory=list)
    """How many come from each whole square cut for it."""
    rests: int = 0
    """Squares of which only a rest was cut for it."""


def _cut_small(
    needs: Sequence[Need], stock: PieceStock, scraps: Sequence[Scrap], short: Sequence[Need]
) -> dict[str, _Small]:
    """Choose the rests and squares left over that small pieces are cut from, by the need's name.

    The order in which a need takes squares does not depend on what other squares there are;
    therefore one more square never makes a piece short that was not. Squares that a short need
    or another small need could use go last, rests of squares first.
    """
    small = [need for need in needs if need.source == "left over"]
    cut = {need.name: _Small() for need in needs}

    def gives(one: Scrap, need: Need) -> bool:
        return bool(of_kind(stock.bundle[one.label], need) and one.each(need))

    for need in small:

        def cost(one: Scrap, need: Need = need) -> tuple[bool, int, bool, int, _Order]:
            missed = any(gives(one, other) for other in short)
            rivals = sum(gives(one, other) for other in small)
            each = one.each(need)
            return missed, rivals, one.size is None, -each, _reading_order(one.label)

        missing = need.count
        for one in sorted((scrap for scrap in scraps if gives(scrap, need)), key=cost):
            taken = min(missing, one.room(need))
            if taken > 0:
                mine = cut[need.name]
                mine.pieces[one.label] += taken
                if one.size is None:
                    mine.each.append(one.each(need))
                else:
                    mine.rests += 1
                one.take(taken, need)
                missing -= taken
    return cut


def _line(
    need: Need,
    filled: Sequence[SquareSet],
    cut: _Small,
    swatches: Sequence[Swatch],
    spare: Sequence[Swatch],
    k_lightness: float,
) -> TallyLine:
    if need.source == "yardage":
        return TallyLine(need, 0, 0, 0, (), bought_note(need))
    free = [swatch for swatch in spare if serves(swatch, need)]
    kin = [swatch for swatch in swatches if of_kind(swatch, need)]
    too_small = sum(not large_enough(swatch, need) for swatch in kin)
    if need.source == "left over":
        on_hand = cut.pieces.total()
        note = small_note(need, on_hand, cut.each, cut.rests)
        labels, pieces = tuple(cut.pieces), tuple(cut.pieces.values())
        return TallyLine(need, on_hand, need.count - on_hand, len(free), labels, note, pieces)
    taken = Counter(label for one in filled for label in one.swatches)
    on_hand = taken.total()
    need = need if need.count else replace(need, count=on_hand)
    short = need.count - on_hand
    note = bundle_note(
        need, short, filled, free, kin=len(kin), too_small=too_small, k_lightness=k_lightness
    )
    numbers = tuple(one.number for one in filled)
    labels, pieces = tuple(taken), tuple(taken.values())
    return TallyLine(need, on_hand, short, len(free), labels, note, pieces, numbers)


def _words(family: str) -> list[str]:
    """Return a family's words without plural, number and spelling of the country."""
    words = re.findall("[^\\W\\d_]+", family.casefold())
    return [re.sub("(?<=[^s])s$", "", word).replace("gray", "grey") for word in words]


_Order = tuple[str | int, ...]


def _reading_order(label: str) -> _Order:
    """Return a key that puts R2C10 after R2C9."""
    parts = re.split("([0-9]+)", label)
    return tuple(int(part) if place % 2 else part for place, part in enumerate(parts))
