"""What white looks like in the photo, from all the evidence there is, each by its worth."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.light.candidates.ground_field import Smooth
from catalog.light.candidates.selection import Explanation
from catalog.light.candidates.shadow_matte import Shadow
from catalog.light.reduced_view import View, every
from catalog.light.references.flat_patches import Patch
from catalog.light.references.neutral_cards import find_card
from catalog.light.white_evidence import (
    White,
    brightest_of,
    from_card,
    from_cloth,
    from_ground,
    from_name,
    has_white,
    tint_beside,
)
from catalog.models import Found, LightHints, label_of

Floats = NDArray[np.float64]

SAMPLES = 30_000
"""Pixels of cloth used."""
LIT = 0.05
"""Cloth with a larger share of shadow is no witness."""
SURE, UNSURE = (0.75, 1.3), (0.6, 1.6)
"""How far from 18 % a card may seem and still be taken for an 18 % card, where the prints have
white in them and where overall lightness is a guess: what those two err by on the dev photos."""
CONTRADICTED = 10.0
"""Chroma of a card, beside the square that the user names, from which it is taken for no card."""

CONTRADICTION = 3.0
"""Standard deviations by which two witnesses have to differ to contradict each other."""


def tell_white(
    view: View,
    found: Found,
    ground: Smooth,
    light: Explanation,
    patches: Sequence[Patch],
    hints: LightHints,
) -> White:
    """Tell what white looks like among the squares, outside any shadow.

    The ground and the whites in the prints, a square that the user names and a card each count by
    how far they may be off; where card and user contradict each other, the card doesn't count.
    Ground that the squares disproved as a witness of the light is none of white either.
    """
    smooth, shadow = light.smooth, light.shadow
    cloth = _cloth(view, smooth, shadow)
    told = _by_ground_and_cloth(view, ground, smooth, cloth, hints)
    named = _named(view, found, smooth, shadow, cloth, hints)
    other = fused(named, told)
    band = SURE if has_white(cloth) else UNSURE
    card = find_card(view, patches, smooth, other, band, brightest_of(cloth))
    if card is None or (named and tint_beside(card.shown, named.tint) > CONTRADICTED):
        return other
    return fused(from_card(card.shown, card.reflectance, other, card.spread), other)


def _by_ground_and_cloth(
    view: View, ground: Smooth, smooth: Smooth, cloth: Floats, hints: LightHints
) -> White:
    believed = np.isfinite(smooth.spread) or hints.ground in {"white", "grey"}
    believed = believed and np.isfinite(ground.spread) and hints.ground not in {"wood", "mat"}
    lain_on = from_ground(ground, view, cloth, hints.ground) if believed else None
    if lain_on is None:
        return from_cloth(cloth)
    return fused(from_cloth(cloth), lain_on) if has_white(cloth) else lain_on


def fused(first: White | None, second: White) -> White:
    """Join two witnesses, each weighted by the inverse square of its doubts.

    Where they contradict each other the surer one counts alone. The first's mixing of channels is
    kept, and the smaller expected error.
    """
    if first is None:
        return second
    one, two = (np.log(white.tint) for white in (first, second))
    level_1, level_2 = one @ camera_response.LUMA, two @ camera_response.LUMA
    apart = float(np.abs((one - level_1) - (two - level_2)).max())
    hue = _share(first.tint_doubt, second.tint_doubt, apart)
    bright = _share(first.level_doubt, second.level_doubt, abs(float(level_1 - level_2)))
    tint = hue * (one - level_1) + (1.0 - hue) * (two - level_2)
    both = 0.15 < hue < 0.85 and second.evidence not in first.evidence
    return White(
        np.exp(tint + bright * level_1 + (1.0 - bright) * level_2),
        f"{first.evidence} and {second.evidence}" if both else first.evidence,
        min(first.expected_error, second.expected_error),
        (first.tint_doubt**-2 + second.tint_doubt**-2) ** -0.5,
        (first.level_doubt**-2 + second.level_doubt**-2) ** -0.5,
        first.mixing,
    )


def _share(one: float, two: float, apart: float) -> float:
    """Return the weight, 0 to 1, of the first of two witnesses."""
    if apart > CONTRADICTION * float(np.hypot(one, two)):
        return float(one <= two)
    return one**-2 / (one**-2 + two**-2)


def _cloth(view: View, smooth: Smooth, shadow: Shadow | None) -> Floats:
    """Return linear light of the squares' pixels, (n, 3), freed of the light's unevenness."""
    picked = every(np.flatnonzero(view.inside), SAMPLES)
    if shadow is not None:
        picked = picked[shadow.at(view, view.points_at(picked)) < LIT]
    light = view.light_at(picked)
    field = smooth.at(view.points_at(picked))
    return np.asarray(light / field * smooth.at(view.centres).mean(axis=0))


def _named(
    view: View,
    found: Found,
    smooth: Smooth,
    shadow: Shadow | None,
    cloth: Floats,
    hints: LightHints,
) -> White | None:
    """Judge by the squares that the user names."""
    told: White | None = None
    for label, grey in ((hints.grey, True), (hints.white, False)):
        numbers = [n for n, one in enumerate(found.squares, 1) if label_of(one, n) == label]
        if label is None or not numbers:
            continue
        picked = every(np.flatnonzero(view.inside == numbers[0]), SAMPLES)
        points, light = view.points_at(picked), view.light_at(picked)
        if shadow is not None:
            light = light / np.exp(np.outer(shadow.at(view, points), shadow.depth))
        even = np.median(light / smooth.at(points), axis=0) * smooth.at(view.centres).mean(axis=0)
        one = from_name(even, label, cloth, grey=grey)
        told = fused(one, told) if told else one
    return told
