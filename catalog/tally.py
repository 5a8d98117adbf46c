"""Needs, swatches and sets to the tally: needed, on hand, short, left over."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from fractions import Fraction
from typing import Final

from catalog.errors import SetError
from catalog.models import Need, SetRequest, SquareSet, Swatch, Tally, TallyLine
from catalog.tally_notes import bought_note, bundle_note, small_note

MEASURING_ALLOWANCE: Final = 0.125
"""Inches by which a square may measure smaller than its piece and still count. Sides read from a
photo are a mean over the cloth's edge, which pinking and creases leave uncertain by about this
much: one mark of the ruler (common practice)."""

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
    """Count what is needed against the bundle; no square counts twice.

    Parameters
    ----------
    title : str
        Of the pattern.
    needs : sequence of Need
        Names differ.
    swatches : sequence of Swatch
        The bundle; labels differ.
    sets : sequence of SquareSet
        As matched for `requests_of`. One counts for the need that it names, unless the need is
        full, a square of it does not serve the need or counts already, or it is not of the
        need's size.
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
    bundle = {swatch.label: swatch for swatch in swatches if swatch.label not in held_back}
    filled = _filled(needs, bundle, sets, math.inf if tolerance is None else tolerance)
    used = {label for chosen in filled.values() for one in chosen for label in one.swatches}
    spare = {label: swatch for label, swatch in bundle.items() if label not in used}
    short = [need for need in needs if len(filled[need.name]) * need.match < _from_bundle(need)]
    cut = _cut_small(needs, spare, short)
    for squares in cut.values():
        for label in squares:
            del spare[label]
    lines = tuple(
        _line(need, filled[need.name], cut[need.name], swatches, list(spare.values()), k_lightness)
        for need in needs
    )
    serving = {label for line in lines for label in line.swatches}
    unused = tuple(swatch.label for swatch in swatches if swatch.label not in serving)
    return Tally(title, lines, unused)


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


def pieces_from(swatch: Swatch, need: Need) -> int:
    """Return how many of a need's pieces an exact grid gives from a square (common practice)."""
    if not need.size:
        return 1
    sides = (swatch.square.width_in, swatch.square.height_in)
    along = [math.floor((side + MEASURING_ALLOWANCE) / float(need.size)) for side in sides]
    return along[0] * along[1]


def _from_bundle(need: Need) -> int:
    return need.count if need.source == "bundle" else 0


def _filled(
    needs: Sequence[Need],
    bundle: Mapping[str, Swatch],
    sets: Sequence[SquareSet],
    tolerance: float,
) -> dict[str, list[SquareSet]]:
    """Return the sets that count, by the name of their need."""
    filled: dict[str, list[SquareSet]] = {need.name: [] for need in needs}
    by_name = {need.name: need for need in needs if need.source == "bundle"}
    used: set[str] = set()
    for one in sorted(sets, key=lambda one: one.number):
        need = by_name.get(one.need)
        if need is None or one.difference > tolerance or not _fits(one, need, bundle, used):
            continue
        if need.count and len(filled[need.name]) * need.match >= need.count:
            continue
        filled[need.name].append(one)
        used.update(one.swatches)
    return filled


def _fits(one: SquareSet, need: Need, bundle: Mapping[str, Swatch], used: Set[str]) -> bool:
    return len(set(one.swatches)) == len(one.swatches) == need.match and all(
        label in bundle and label not in used and serves(bundle[label], need)
        for label in one.swatches
    )


def _cut_small(
    needs: Sequence[Need], spare: Mapping[str, Swatch], short: Sequence[Need]
) -> dict[str, list[str]]:
    """Choose the squares left over that small pieces are cut from, by the need's name.

    The order in which a need takes squares does not depend on what other squares there are;
    therefore one more square never makes a piece short that was not. Squares that a short need
    or another small need could use go last.
    """
    small = [need for need in needs if need.source == "left over"]
    left = dict(spare)
    cut: dict[str, list[str]] = {need.name: [] for need in needs}
    for need in small:

        def cost(label: str, need: Need = need) -> tuple[bool, int, int, tuple[str | int, ...]]:
            swatch = spare[label]
            missed = any(serves(swatch, other) for other in short)
            rivals = sum(serves(swatch, other) for other in small)
            return missed, rivals, -pieces_from(swatch, need), _reading_order(label)

        missing = need.count
        for label in sorted((name for name in left if serves(left[name], need)), key=cost):
            if missing <= 0:
                break
            missing -= pieces_from(left.pop(label), need)
            cut[need.name].append(label)
    return cut


def _line(
    need: Need,
    filled: Sequence[SquareSet],
    cut: Sequence[str],
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
        each = [pieces_from(swatch, need) for swatch in swatches if swatch.label in set(cut)]
        on_hand = min(sum(each), need.count)
        note = small_note(need, on_hand, each)
        return TallyLine(need, on_hand, need.count - on_hand, len(free), tuple(cut), note)
    labels = tuple(label for one in filled for label in one.swatches)
    need = need if need.count else replace(need, count=len(labels))
    short = need.count - len(labels)
    note = bundle_note(
        need, short, filled, free, kin=len(kin), too_small=too_small, k_lightness=k_lightness
    )
    return TallyLine(need, len(labels), short, len(free), labels, note)


def _words(family: str) -> list[str]:
    """Return a family's words without plural, number and spelling of the country."""
    words = re.findall("[^\\W\\d_]+", family.casefold())
    return [re.sub("(?<=[^s])s$", "", word).replace("gray", "grey") for word in words]


def _reading_order(label: str) -> tuple[str | int, ...]:
    """Return a key that puts R2C10 after R2C9."""
    parts = re.split("([0-9]+)", label)
    return tuple(int(part) if place % 2 else part for place, part in enumerate(parts))
