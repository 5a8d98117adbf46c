"""What white looks like in the photo, from all the evidence there is, each by its worth."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.light.candidates.selection import LightCandidate
from catalog.light.candidates.shadow_matte import ShadowMatte
from catalog.light.candidates.surface_field import IlluminationField
from catalog.light.cloth_light import ClothLight
from catalog.light.reduced_view import ReducedView, thinned
from catalog.light.references.flat_patches import FlatPatch
from catalog.light.references.neutral_cards import find_card
from catalog.light.white_evidence import (
    GUESSED_LEVEL,
    WhiteEstimate,
    from_card,
    from_cloth,
    from_name,
    from_surface,
    tint_beside,
)
from catalog.models import Found, LightHints, label_of

Floats = NDArray[np.float64]

MAX_SAMPLES = 30_000
"""Pixels of cloth used."""
MAX_SHADOW_SHARE = 0.05
"""Cloth with a larger share of shadow is no evidence."""
SURE, UNSURE = (0.75, 1.3), (0.6, 1.6)
"""How far from 18 % a card may seem and still be taken for an 18 % card, where the prints have
white in them and where overall lightness is a guess: what those two err by on the dev photos."""
CONTRADICTING_CHROMA = 10.0
"""Chroma of a card, beside the square that the user names, from which it is taken for no card."""

GUESSED_DOUBT = 0.1
"""Doubt of a brightness, natural logarithm, from which on it is a guess: 2.5 of L* at mid grey."""
MIN_TOLD_WEIGHT = 0.15
"""Weight from which on evidence is named."""
CONTRADICTION_SIGMAS = 3.0
"""Standard deviations by which two estimates have to differ to contradict each other."""


def estimate_white_point(
    view: ReducedView,
    found: Found,
    light: LightCandidate,
    cloth: ClothLight,
    patches: Sequence[FlatPatch],
    hints: LightHints,
) -> WhiteEstimate:
    """Tell what white looks like among the squares, outside any shadow.

    The ground and the whites in the prints, a square that the user names and a card each count by
    how far they may be off; where card and user contradict each other, the card doesn't count.
    A surface that the squares disproved as evidence of the light is none of white either.
    """
    field, shadow = light.field, light.shadow
    told = _by_surface_and_cloth(view, light.surface, field, cloth, hints)
    named = _named(view, found, field, shadow, cloth, hints)
    other = fuse(named, told)
    band = SURE if cloth.has_white else UNSURE
    card = find_card(view, patches, field, other, band, cloth.brightest_luminance)
    if card is None or (named and tint_beside(card.shown, named.tint) > CONTRADICTING_CHROMA):
        return other
    return fuse(from_card(card.shown, card.reflectance, other, card.spread), other)


def _by_surface_and_cloth(
    view: ReducedView,
    surface: IlluminationField,
    field: IlluminationField,
    cloth: ClothLight,
    hints: LightHints,
) -> WhiteEstimate:
    believed = np.isfinite(field.spread) or hints.ground in {"white", "grey"}
    believed = (
        believed and np.isfinite(surface.spread) and hints.ground not in {"wood", "mat", "other"}
    )
    lain_on = from_surface(surface, view, cloth, hints.ground, hints.lamp) if believed else None
    by_cloth = from_cloth(cloth, hints.lamp)
    if lain_on is None:
        return by_cloth
    return lain_on if hints.ground and not cloth.has_white else fuse(by_cloth, lain_on)


def fuse(first: WhiteEstimate | None, second: WhiteEstimate) -> WhiteEstimate:
    """Join two estimates, each weighted by the inverse square of its doubts.

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
    level_doubt = (first.level_doubt**-2 + second.level_doubt**-2) ** -0.5
    guessed = level_doubt > GUESSED_DOUBT
    errors = first.expected_error, second.expected_error
    return WhiteEstimate(
        np.exp(tint + bright * level_1 + (1.0 - bright) * level_2),
        _evidence(first, second, hue, guessed=guessed),
        max(errors) if guessed else min(errors),
        (first.tint_doubt**-2 + second.tint_doubt**-2) ** -0.5,
        level_doubt,
        first.mixing,
    )


def _evidence(first: WhiteEstimate, second: WhiteEstimate, hue: float, *, guessed: bool) -> str:
    """Say what two estimates rest on, the first with a weight of 0 to 1 as to the tint."""
    one, two = (white.evidence.split("; ", 1)[0] for white in (first, second))
    told = two if hue < MIN_TOLD_WEIGHT else one
    if MIN_TOLD_WEIGHT < hue < 1.0 - MIN_TOLD_WEIGHT and two not in one:
        told = f"{one} and {two}"
    unknown = any(GUESSED_LEVEL in white.evidence for white in (first, second))
    return f"{told}; {GUESSED_LEVEL}" if guessed and unknown else told


def _share(one: float, two: float, apart: float) -> float:
    """Return the weight, 0 to 1, of the first of two estimates."""
    if apart > CONTRADICTION_SIGMAS * float(np.hypot(one, two)):
        return float(one <= two)
    return one**-2 / (one**-2 + two**-2)


def even_cloth(
    view: ReducedView, field: IlluminationField, shadow: ShadowMatte | None
) -> ClothLight:
    """Return the light of the squares' pixels, freed of its unevenness."""
    picked = thinned(np.flatnonzero(view.inside), MAX_SAMPLES)
    if shadow is not None:
        picked = picked[shadow.at(view, view.points_at(picked)) < MAX_SHADOW_SHARE]
    light = view.light_at(picked)
    at_pixels = field.at(view.points_at(picked))
    return ClothLight(light / at_pixels * field.at(view.centres).mean(axis=0))


def _named(
    view: ReducedView,
    found: Found,
    field: IlluminationField,
    shadow: ShadowMatte | None,
    cloth: ClothLight,
    hints: LightHints,
) -> WhiteEstimate | None:
    """Judge by the squares that the user names."""
    told: WhiteEstimate | None = None
    for label, grey in ((hints.grey, True), (hints.white, False)):
        numbers = [n for n, one in enumerate(found.squares, 1) if label_of(one, n) == label]
        if label is None or not numbers:
            continue
        picked = thinned(np.flatnonzero(view.inside == numbers[0]), MAX_SAMPLES)
        if not picked.size:  # another square hides it
            continue
        points, light = view.points_at(picked), view.light_at(picked)
        if shadow is not None:
            light = light / np.exp(np.outer(shadow.at(view, points), shadow.depth))
        even = np.median(light / field.at(points), axis=0) * field.at(view.centres).mean(axis=0)
        one = from_name(even, label, cloth, grey=grey)
        told = fuse(one, told) if told else one
    return told
