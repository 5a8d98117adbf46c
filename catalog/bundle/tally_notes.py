"""The remarks of a tally in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from catalog.bundle.family_words import family_noun
from catalog.bundle.square_differences import difference_matrix
from catalog.colour.ciede2000 import as_shown, threshold_scale
from catalog.lengths import show_length
from catalog.models import USUAL_LIKENESS, Likeness, MatchBy, Need, Rest, SquareSet, Swatch
from catalog.phrases import count_of

DIFFERENCE_STEPS: Final = (
    (1.0, "too near to tell apart"),
    (2.0, "barely to be told apart"),
    (5.0, "a small step"),
    (10.0, "a visible step"),
)
"""Differences below which the words hold. Below 1 observers see none, from 1 to 2 only the
practised do, above 5 one sees two colours: W. Mokrzycki, M. Tatol, "Colour difference Delta E - a
survey", Machine Graphics and Vision 20 (2011), for CIELAB, as quoted at
https://colour.readthedocs.io/en/latest/generated/colour.difference.JND_CIE1976.html. In CIEDE2000
half of observers see 0.8 and half accept 1.8: R. Paravina and others, "Color difference thresholds
in dentistry", J. Esthet. Restor. Dent. 27 (2015). At 10 lies grade 1-2 (9.6) of the grey scale for
change in colour of textiles, ISO 105-A02."""
WORDS_BEYOND_STEPS: Final = "clearly different"

IN_WHAT: Final[dict[MatchBy, str]] = {"colour": "", "value": " in value", "hue": " in hue"}
"""In what squares differ, after the word."""

MIN_WIDEST_TOLD: Final = 5.0
"""CIEDE2000 from which the widest set is pointed out: from here on it shows two colours."""

FLAGGED_FROM: Final = 5.0
"""CIEDE2000 above which a set is flagged where nobody named a tolerance: from here on it shows two
colours, and uncalibrated photos don't decide below it (see `DIFFERENCE_STEPS`)."""
COUNTED_TO: Final = 10.0
"""CIEDE2000 up to which a set counts as a match where nobody named a tolerance: from here on two
colours are clearly different (see `DIFFERENCE_STEPS`)."""


def flagged_from(k_lightness: float = 1.0) -> float:
    """Return `FLAGGED_FROM`, which shrinks where lightness counts less (weight kL)."""
    return FLAGGED_FROM * threshold_scale(k_lightness)


def counted_to(k_lightness: float = 1.0) -> float:
    """Return `COUNTED_TO`, which shrinks where lightness counts less (weight kL)."""
    return COUNTED_TO * threshold_scale(k_lightness)


def words_for_difference(difference: float, k_lightness: float = 1.0) -> str:
    """Say in words how far apart two colours are, by the number that is shown (`as_shown`).

    Parameters
    ----------
    difference : float
        CIEDE2000.
    k_lightness : float
        Weight kL of lightness in it.
    """
    shown, scale = float(as_shown(difference)), threshold_scale(k_lightness)
    return next(
        (words for below, words in DIFFERENCE_STEPS if shown < below * scale), WORDS_BEYOND_STEPS
    )


def bought_note(need: Need) -> str:
    """Say what a need from yardage asks to buy."""
    return f"to be bought: fabric for {count_of(need.count, 'square')} of {show_length(need.size)}"


def small_note(need: Need, on_hand: int, each: Sequence[int], rests: int = 0) -> str:
    """Say what small pieces come from.

    Parameters
    ----------
    need : Need
        What is cut.
    on_hand : int
        Pieces that there are.
    each : sequence of int
        Pieces that each of the whole squares cut gives.
    rests : int
        Squares cut for something else, of whose rest some come.
    """
    sources = []
    if rests:
        sources.append(f"what is left of {count_of(rests, 'square')} cut up")
    if each or not rests:
        sources.append(
            f"{count_of(len(each), 'square')} left over, up to {max(each, default=0)} from each"
        )
    source = f"from {' and '.join(sources)}"
    short = need.count - on_hand
    if not short:
        return source
    missing = f"{count_of(short, 'piece')} short"
    cure = "cut the rest from other fabric"
    return (
        f"{missing}: {source}; {cure}" if on_hand else f"{missing}: no square is left over; {cure}"
    )


def rest_note(rests: Sequence[Rest]) -> str:
    """Say what is left of squares that were cut up; nothing where nothing is."""
    if not rests:
        return ""
    pieces = sum(rest.pieces for rest in rests)
    which = rests[0].label if len(rests) == 1 else count_of(len(rests), "square")
    are = "is" if pieces == 1 else "are"
    return f"{count_of(pieces, 'more piece')} {are} left of {which}"


def bundle_note(
    need: Need,
    short: int,
    filled: Sequence[SquareSet],
    free: Sequence[Swatch],
    *,
    kin: int,
    too_small: int,
    likeness: Likeness = USUAL_LIKENESS,
) -> str:
    """Say what is short of a need from the bundle and what comes nearest.

    Parameters
    ----------
    need : Need
        What is wanted.
    short : int
        Squares missing.
    filled : sequence of SquareSet
        The sets that serve it.
    free : sequence of Swatch
        Squares that could serve it and serve nothing.
    kin : int
        Squares of its family and value in the bundle, of whatever size.
    too_small : int
        Those of them that are too small.
    likeness : Likeness
        By what squares are compared.
    """
    if not short:
        return _widest_note(filled)
    what = f"{count_of(short // need.match, 'set' if need.match > 1 else 'square')} short"
    rest = _nearest_note(need, free, likeness) if kin else f"the bundle has no {_kind(need)}"
    small = f"; {too_small} more too small for {show_length(need.size)}" if too_small else ""
    return f"{what}; {rest}{small}"


def _widest_note(filled: Sequence[SquareSet]) -> str:
    widest = max(filled, key=lambda one: one.difference, default=None)
    if widest is None:
        return ""
    if as_shown(widest.difference) < MIN_WIDEST_TOLD * threshold_scale(widest.k_lightness):
        return ""
    labels = " and ".join(widest.swatches) if len(widest.swatches) == 2 else "in one set"
    how = IN_WHAT[widest.match_by]
    told = _shown(widest.difference, widest.k_lightness)
    return f"the least alike ({labels}) differ{how} by {told}"


def _nearest_note(need: Need, free: Sequence[Swatch], likeness: Likeness) -> str:
    if not free:
        return f"no {_kind(need)} are left"
    if len(free) == 1 or need.match == 1:
        left = "one is" if len(free) == 1 else f"{len(free)} are"
        return f"of the {_kind(need)} only {left} left"
    away = difference_matrix(free, likeness).copy()
    np.fill_diagonal(away, np.inf)
    nearest = np.unravel_index(int(np.argmin(away)), away.shape)
    families = {free[int(place)].family for place in nearest}
    family = need.family or (families.pop() if len(families) == 1 else None)
    kind = _kind(need, family)
    how = IN_WHAT[likeness.match_by]
    told = _shown(float(away[nearest]), likeness.k_lightness)
    return f"the nearest spare {kind} differ{how} by {told}"


def _kind(need: Need, family: str | None = None) -> str:
    family = family or need.family
    noun = family_noun(family) if family else "squares"
    return f"{need.value} {noun}" if need.value and need.value not in noun.split() else noun


def _shown(difference: float, k_lightness: float) -> str:
    return f"{as_shown(difference):.1f}, {words_for_difference(difference, k_lightness)}"
