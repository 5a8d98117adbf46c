"""Which light explains a photo best: the rivals, and how one is chosen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog.light.border_samples import freed, lay_flat
from catalog.light.candidates.compactness import log_odds, pairs_of
from catalog.light.candidates.evened_field import even_out
from catalog.light.candidates.ground_field import Smooth, even_light, fit_body
from catalog.light.candidates.relighting import Freed
from catalog.light.candidates.shadow_matte import Shadow, find_shadow, lifted
from catalog.light.reduced_view import View
from catalog.models import Found

SHEEN = 0.5
"""Log odds from which the ground with its sheen taken out explains the squares better than the
ground as it is seen. On the rendered photographs they are 0.7 and more where that light comes
nearer to the truth, -2.9 and less where it is worse, between these where it makes no difference
(``tests/bench/lights.py`` prints these and the figures below)."""
EVEN = -1.0
"""Log odds below which the ground is disproved and the light is taken to be even: -1.7 to -162 on
all 19 real photographs of stickers before a backdrop, -53 and -119 on the two of cloth on a glossy
floor, -9 on the rendered glossy floor with hard shadows; 0.5 and more on all others."""
SHADOWED = 5.0
"""Log odds from which a shadow found on the ground is believed to lie on the squares: 9 to 19 on
the four photographs where one does, 1.8 and less on the 14 where none does."""


@dataclass(frozen=True, eq=False)
class Explanation:
    """The light over the plane."""

    smooth: Smooth
    shadow: Shadow | None


def explain(view: View, found: Found, ground: Smooth) -> Explanation:
    """Choose the light in which the squares fall together, doing no more than they bear out.

    The ground as it is seen is tried against itself without its sheen, the better of the two
    against even light, and a hard shadow against none. What is left is evened out by the squares.

    Parameters
    ----------
    view : View
    found : Found
        At least one square.
    ground : Smooth
        The light as the ground shows it.
    """
    photo = Freed(lay_flat(view, found))
    seen = Freed(freed(photo.laid, view, ground))
    smooth, squares = _smooth(view, photo, seen, ground)
    shadow = find_shadow(view, seen.laid, ground)
    if shadow is not None:
        lit = Freed(lifted(squares.laid, view, shadow))
        if log_odds_between(lit, squares) > SHADOWED:
            squares = lit
        else:
            shadow = None
    return Explanation(even_out(smooth, view, squares, shadowed=shadow is not None), shadow)


def _smooth(view: View, photo: Freed, seen: Freed, ground: Smooth) -> tuple[Smooth, Freed]:
    """Choose between the ground as it is seen, without its sheen, and even light."""
    if not np.isfinite(ground.spread):
        return ground, seen
    chosen, squares, body = ground, seen, fit_body(view)
    if body is not None:
        matt = Freed(freed(photo.laid, view, body))
        if log_odds_between(matt, seen) > SHEEN:
            chosen, squares = body, matt
    if log_odds_between(squares, photo) > EVEN:
        return chosen, squares
    return even_light(view), photo


def log_odds_between(one: Freed, other: Freed) -> float:
    """Return the log odds of one light over another, by the squares freed of either, nats."""
    pairs = pairs_of(np.minimum(one.looks.unlike, other.looks.unlike))
    shading = one.shading.log_likelihood() - other.shading.log_likelihood()
    return log_odds(one.looks.means, other.looks.means, pairs) + shading
