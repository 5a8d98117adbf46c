"""A grey or white card, or white paper, beside the squares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.light.candidates.surface_field import IlluminationField
from catalog.light.reduced_view import ReducedView
from catalog.light.references.flat_patches import FlatPatch
from catalog.light.white_evidence import WhiteEstimate, tint_beside

Floats = NDArray[np.float64]

MIN_CARD_AREA_IN2, MAX_CARD_AREA_IN2 = 5.0, 130.0
"""Square inches of a card: from a visiting card (7, common practice) to a sheet of paper (94)."""
MAX_CARD_SPREAD = 7.0
"""Greatest standard deviation of its pixels, of 255; the two cards of the dev photos have 2.6 and,
shining by a window, 6.1."""
MAX_TWINS = 2
"""Patches of like size and colour that a card may have beside it; a checked cloth has dozens."""
LIKE_AREA, LIKE_COLOUR = 2.0, 20.0
"""Ratio of areas, and difference in any channel of 255, that count as like."""
MIN_QUAD_FILL = 0.92
"""Least share of the quadrilateral round it that a card fills."""
MIN_SURFACE_CONTRAST = 0.15
"""Least difference from the ground beside it, natural logarithm of any channel."""
MAX_CARD_CHROMA = (9.0, 14.0)
"""Greatest chroma, at a grey card's lightness, as the other evidence balances it: where that is
ground or prints, and where it is the camera's own balance. A warm lamp that the camera left half
in the picture gives 8, wood 20."""
MAX_BALANCED_DOUBT = 0.05
"""Doubt of the other evidence's tint from which on it is no better than the camera's."""
GREY_CARD_REFLECTANCE = 0.18
"""Reflectance of a photographer's grey card (common practice)."""
PAPER_REFLECTANCE = 0.85
"""Reflectance of white paper and of white cards (from memory: 0.8 to 0.9)."""
MIN_WHITE_CARD_SHARE = 0.97
"""Share of the brightest cloth's luminance from which a card is taken for white."""


@dataclass(frozen=True, eq=False)
class NeutralCard:
    """A neutral card."""

    shown: Floats
    """(3,) linear light that it shows where the squares lie on average."""
    reflectance: float | None
    """None where it can't be told."""
    spread: float
    """Standard deviation of its pixels, of 255: a card that shines is uneven."""


def find_card(
    view: ReducedView,
    patches: Sequence[FlatPatch],
    field: IlluminationField,
    other: WhiteEstimate,
    band: tuple[float, float],
    brightest: float,
) -> NeutralCard | None:
    """Look for a card among flat patches.

    Parameters
    ----------
    view, patches, field
        The picture, what is flat in it, its light.
    other : WhiteEstimate
        What the other evidence takes for white.
    band : tuple
        How much darker and lighter than 18 % a card may seem, by the other evidence, and still be
        taken for an 18 % card.
    brightest : float
        Luminance of the brightest cloth: what outshines it is white.

    Returns
    -------
    NeutralCard or None
        The most neutral one.
    """
    inch = view.side / view.inches
    height, width = view.pixels.shape[:2]
    best, least = None, MAX_CARD_CHROMA[other.tint_doubt > MAX_BALANCED_DOUBT]
    for patch in patches:
        inside = (patch.quad > 2.0).all() and (patch.quad < (width - 2.0, height - 2.0)).all()
        large = MIN_CARD_AREA_IN2 <= patch.area / inch**2 <= MAX_CARD_AREA_IN2
        if not (
            inside and large and patch.full >= MIN_QUAD_FILL and patch.spread <= MAX_CARD_SPREAD
        ):
            continue
        if _twins(patch, patches) > MAX_TWINS:
            continue
        shown, apart = _shown(view, patch, field)
        share = float(shown @ camera_response.LUMA) / float(other.tint @ camera_response.LUMA)
        tinted = tint_beside(shown, other.tint)
        if apart < MIN_SURFACE_CONTRAST or tinted >= least or (share > 1.5):
            continue
        outshines = float(shown @ camera_response.LUMA) > MIN_WHITE_CARD_SHARE * brightest
        reflectance = PAPER_REFLECTANCE if outshines else _reflectance(share, band)
        if reflectance is None and not 0.1 < share < 0.9:
            continue
        best, least = NeutralCard(shown, reflectance, patch.spread), tinted
    return best


def _twins(patch: FlatPatch, patches: Sequence[FlatPatch]) -> int:
    return sum(
        1 / LIKE_AREA < one.area / patch.area < LIKE_AREA
        and bool((np.abs(one.colour - patch.colour) < LIKE_COLOUR).all())
        for one in patches
        if one is not patch
    )


def _shown(view: ReducedView, patch: FlatPatch, field: IlluminationField) -> tuple[Floats, float]:
    """Return a patch's linear light where the squares lie, and how unlike the ground it is."""
    centre = np.array(patch.centre)
    seen = view.tone.linear(np.round(patch.colour).astype(np.uint8)).astype(np.float64)
    surface = field.at(centre)
    shown = seen / surface * field.at(view.centres).mean(axis=0)
    if not np.isfinite(field.spread):
        return shown, np.inf
    return shown, float(np.abs(np.log((seen + 1e-3) / (surface + 1e-3))).max())


def _reflectance(share: float, band: tuple[float, float]) -> float | None:
    if GREY_CARD_REFLECTANCE * band[0] < share < GREY_CARD_REFLECTANCE * band[1]:
        return GREY_CARD_REFLECTANCE
    return PAPER_REFLECTANCE if share > 0.65 else None
