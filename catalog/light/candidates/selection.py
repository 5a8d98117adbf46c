"""Which light explains a photo best: the rivals, and how one is chosen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import RectifiedSquares, without_field
from catalog.light.candidates.compactness import log_odds, pairs_of
from catalog.light.candidates.evened_field import refine_field
from catalog.light.candidates.relighting import RelitSquares
from catalog.light.candidates.repeat_spread import parts_repeats
from catalog.light.candidates.shadow_bars import find_shadow_bars
from catalog.light.candidates.shadow_matte import ShadowMatte, find_shadow_matte, without_shadow
from catalog.light.candidates.surface_classes import fit_surface_in_classes
from catalog.light.candidates.surface_field import (
    IlluminationField,
    even_field,
    fit_surface,
    fit_surface_without_sheen,
)
from catalog.light.reduced_view import ReducedView
from catalog.system.second_thread import second_thread

SHEEN_LOG_ODDS = 0.5
"""Log odds from which the ground with its sheen taken out explains the squares better than the
ground as it is seen. On the rendered photographs they are 0.7 and more where that light comes
nearer to the truth, -2.9 and less where it is worse, between these where it makes no difference
(``tests/bench/lights.py`` prints these and the figures below)."""
EVEN_LOG_ODDS = -1.0
"""Log odds below which the ground is disproved and the light is taken to be even: -1.7 to -162 on
all 19 real photographs of stickers before a backdrop, -53 and -119 on the two of cloth on a glossy
floor, -9 on the rendered glossy floor with hard shadows; 0.5 and more on all others."""
CLASSES_LOG_ODDS = 3.0
"""Log odds from which ground of several colours in one light is believed. Over 3 (3.6 to 12) they
are on eight of 50 photographs, patterned cloth, sashing and borders, on all of which that light is
nearer to the truth or as near; where it is further off they are 1.1 and less."""
SHADOW_LOG_ODDS = 5.0
"""Log odds from which a shadow found on the ground is believed to lie on the squares: 9 to 19 on
the four photographs where one does, 1.8 and less on the 14 where none does."""


@dataclass(frozen=True, eq=False)
class LightCandidate:
    """The light over the plane."""

    field: IlluminationField
    shadow: ShadowMatte | None
    surface: IlluminationField
    """What the ground shows, outside any shadow."""


def select_light(
    view: ReducedView, squares: RectifiedSquares, surface: IlluminationField
) -> LightCandidate:
    """Choose the light in which the squares fall together, doing no more than they bear out.

    The ground as it is seen is tried against itself without its sheen, the better of the two
    against even light, the better of these against ground of several colours, and a hard shadow
    against none: one that the ground shows and one of straight bars that the squares show. What is
    left is evened out by the squares. None of it is done that parts squares of one print which the
    photo's own pixels show alike.

    Parameters
    ----------
    view : ReducedView
    squares : RectifiedSquares
        As the photo shows them; at least one.
    surface : IlluminationField
        The light as the ground shows it.
    """
    photo = RelitSquares(squares)
    with second_thread() as begin:
        beside = begin(partial(find_shadow_bars, view))
        chosen, lit = _under_traced_shadow(view, photo, surface)
        bars = beside()
    if bars is not None:
        barred = _under_bars(view, photo, bars)
        unbarred = relit(photo, view, barred)
        enough = SHADOW_LOG_ODDS if chosen.shadow is None else 0.0  # neither of two does less
        if log_odds_between(unbarred, lit) > enough:
            chosen, lit = barred, unbarred
    return next(_harmless(_from_most_to_least(view, photo, chosen, lit), view, photo))


def _under_traced_shadow(
    view: ReducedView, photo: RelitSquares, surface: IlluminationField
) -> tuple[LightCandidate, RelitSquares]:
    """Choose the light, with a shadow that the ground shows if the squares bear it out.

    Also gives the squares freed of it.
    """
    seen = RelitSquares(without_field(photo.rectified, view, surface))
    bodies = surface, fit_surface_without_sheen(view), fit_surface_in_classes(view)
    field, squares = _select_field(view, photo, seen, *bodies)
    shadow = find_shadow_matte(view, seen.rectified, surface)
    if shadow is not None:
        lit = RelitSquares(without_shadow(squares.rectified, view, shadow))
        if log_odds_between(lit, squares) > SHADOW_LOG_ODDS:
            return LightCandidate(field, shadow, surface), lit
    return LightCandidate(field, None, surface), squares


def _under_bars(view: ReducedView, photo: RelitSquares, bars: ShadowMatte) -> LightCandidate:
    """Choose the light as ground and squares show it once the shadow of bars is taken off."""

    def blocked(points: NDArray[np.float64]) -> NDArray[np.float64]:
        return bars.logs_at(view, points)

    bodies = (
        fit_surface(view, blocked),
        fit_surface_without_sheen(view, blocked),
        fit_surface_in_classes(view, blocked),
    )
    lit = RelitSquares(without_shadow(photo.rectified, view, bars))
    seen = RelitSquares(without_field(lit.rectified, view, bodies[0]))
    field, _ = _select_field(view, lit, seen, *bodies)
    return LightCandidate(field, bars, bodies[0])


def _from_most_to_least(
    view: ReducedView, photo: RelitSquares, chosen: LightCandidate, lit: RelitSquares
) -> Iterator[LightCandidate]:
    """Give what may be done about the light, the most first and nothing at all last.

    ``lit`` are the squares freed of the one that was chosen.
    """
    starts = [chosen, replace(chosen, shadow=None, field=even_field(view))]
    if chosen.shadow is not None:
        starts.insert(1, replace(chosen, shadow=None))
    for start in starts:
        squares = lit if start is chosen else relit(photo, view, start)
        shadowed = start.shadow is not None
        yield replace(start, field=refine_field(start.field, view, squares, shadowed=shadowed))
        yield start


def _harmless(
    lights: Iterator[LightCandidate], view: ReducedView, photo: RelitSquares
) -> Iterator[LightCandidate]:
    """Give the lights in which repeats of a print lie no further apart than in the photo."""
    return (one for one in lights if not parts_repeats(relit(photo, view, one), photo))


def relit(photo: RelitSquares, view: ReducedView, light: LightCandidate) -> RelitSquares:
    """Return the squares as the photo shows them freed of a light."""
    squares = without_field(photo.rectified, view, light.field)
    if light.shadow is not None:
        squares = without_shadow(squares, view, light.shadow)
    return RelitSquares(squares)


def _select_field(
    view: ReducedView,
    photo: RelitSquares,
    seen: RelitSquares,
    surface: IlluminationField,
    body: IlluminationField | None,
    classed: IlluminationField | None,
) -> tuple[IlluminationField, RelitSquares]:
    """Choose between the ground as it is seen, without its sheen, in classes, and even light."""
    if not np.isfinite(surface.spread):
        return surface, seen
    chosen, squares = _seen_or_even(view, photo, seen, surface, body)
    if classed is not None:
        sorted_out = RelitSquares(without_field(photo.rectified, view, classed))
        if log_odds_between(sorted_out, squares) > CLASSES_LOG_ODDS:
            return replace(classed, spread=chosen.spread), sorted_out  # no better witness of white
    return chosen, squares


def _seen_or_even(
    view: ReducedView,
    photo: RelitSquares,
    seen: RelitSquares,
    surface: IlluminationField,
    body: IlluminationField | None,
) -> tuple[IlluminationField, RelitSquares]:
    """Choose between the ground as it is seen, without its sheen, and even light."""
    chosen, squares = surface, seen
    if body is not None:
        matt = RelitSquares(without_field(photo.rectified, view, body))
        if log_odds_between(matt, seen) > SHEEN_LOG_ODDS:
            chosen, squares = body, matt
    if log_odds_between(squares, photo) > EVEN_LOG_ODDS:
        return chosen, squares
    return even_field(view), photo


def log_odds_between(one: RelitSquares, other: RelitSquares) -> float:
    """Return the log odds of one light over another, by the squares freed of either, nats."""
    pairs = pairs_of(np.minimum(one.looks.unlike, other.looks.unlike))
    shading = float(one.shading.log_likelihood() - other.shading.log_likelihood())
    return log_odds(one.looks.means, other.looks.means, pairs) + shading
