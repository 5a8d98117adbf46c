"""Which squares may serve a need, and the sets that needs ask for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from catalog.bundle.pieces import pieces_from
from catalog.errors import SetError
from catalog.models import Need, SetRequest, Swatch
from catalog.rule_limits import SET_SIZE


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
    if not SET_SIZE.hold(size):
        raise SetError(f"a set can't be of {size} squares", f"ask for {SET_SIZE}")
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
            match_by=need.match_by,
        )
        for need in needs
        if need.source == "bundle"
    )


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


def _words(family: str) -> list[str]:
    """Return a family's words without plural, number and spelling of the country."""
    words = re.findall("[^\\W\\d_]+", family.casefold())
    return [
        re.sub("(?<=[^s])s$", "", word).replace("gray", "grey").replace("colored", "coloured")
        for word in words
    ]
