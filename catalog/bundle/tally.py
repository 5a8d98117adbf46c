"""Needs, swatches and sets to the tally: needed, on hand, short, left over."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace

from catalog.bundle.eligibility import large_enough, of_kind, serves
from catalog.bundle.piece_stock import PieceStock
from catalog.bundle.small_pieces import SmallPieces, cut_small, reading_order
from catalog.bundle.tally_notes import bought_note, bundle_note, rest_note, small_note
from catalog.colour.ciede2000 import as_shown
from catalog.models import USUAL_LIKENESS, Likeness, Need, Rest, SquareSet, Swatch, Tally, TallyLine


def count_needs(
    title: str,
    needs: Sequence[Need],
    swatches: Sequence[Swatch],
    sets: Sequence[SquareSet],
    *,
    tolerance: float | None = None,
    held_back: Set[str] = frozenset(),
    likeness: Likeness = USUAL_LIKENESS,
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
    likeness : Likeness
        By what squares are compared where a need doesn't say it, in differences that notes tell.

    Returns
    -------
    Tally
        One line for each need, in order.
    """
    swatches = sorted(swatches, key=lambda swatch: reading_order(swatch.label))
    stock = PieceStock([swatch for swatch in swatches if swatch.label not in held_back])
    filled = _filled(needs, stock, sets, math.inf if tolerance is None else tolerance)
    short = [need for need in needs if len(filled[need.name]) * need.match < _from_bundle(need)]
    stay = _locked_beside(sets, filled)
    scraps = [one for one in stock.scraps() if one.label not in stay]
    cut = cut_small(needs, stock, scraps, short)
    spare = [stock.bundle[one.label] for one in scraps if one.size is None and not one.used]
    lines, told = [], set[str]()
    for need in needs:
        line = _line(need, filled[need.name], cut[need.name], swatches, spare, likeness)
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


def _line(
    need: Need,
    filled: Sequence[SquareSet],
    cut: SmallPieces,
    swatches: Sequence[Swatch],
    spare: Sequence[Swatch],
    likeness: Likeness,
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
    by = likeness.matched_by(need.match_by)
    note = bundle_note(need, short, filled, free, kin=len(kin), too_small=too_small, likeness=by)
    numbers = tuple(one.number for one in filled)
    labels, pieces = tuple(taken), tuple(taken.values())
    return TallyLine(need, on_hand, short, len(free), labels, note, pieces, numbers)
