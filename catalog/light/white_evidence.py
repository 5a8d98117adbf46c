"""The evidence of what white looks like: the supporting surface, the squares, a name, a card."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.light.camera_balance import CameraBalance, balance
from catalog.light.candidates.surface_field import LOG_FLOOR, IlluminationField
from catalog.light.cloth_light import ClothLight
from catalog.light.reduced_view import ReducedView
from catalog.models import Ground

Floats = NDArray[np.float64]

MAX_SURFACE_SPREAD = 0.10
"""Ground with a smaller spread (natural logarithm) is a sheet, flannel, paper: not wood, not a
print. Measured on the dev photos: 0.03 to 0.09 against 0.12 and more."""
MAX_NEUTRAL_CHROMA = 8.0
"""Ground of a smaller chroma, as the camera balanced it, is taken for neutral."""
WHITE_COTTON_REFLECTANCE = 0.83
"""Linear light of white cotton, sheet or print: L* 93."""
MIN_SHEET_SHARE = 0.86
"""Share of the luminance of white in prints from which a smooth ground without tint is a white
sheet: 0.89 and more on the four such photos, less than half on all others."""
GROUND_CHROMA = 2.0
"""Chroma (CIELAB) that grey and black cloth may have and still be called so."""
DEPENDENT_DOUBT = 10.0
"""Doubt of a brightness that other evidence told already: it mustn't count twice."""
GUESS = 0.12
"""Natural logarithm by which a lightness that is guessed may be off: 0.03 to 0.16 on four rendered
photos without white."""
GUESSED_LEVEL = "overall lightness is a guess"


@dataclass(frozen=True, eq=False)
class WhiteEstimate:
    """What a white surface shows, and how that was told."""

    tint: Floats
    """(3,) linear RGB of a surface of reflectance 1."""
    evidence: str
    expected_error: float
    """CIEDE2000, median over the dev photos of this kind."""
    tint_doubt: float
    """Natural logarithm by which the ratios of its channels may be off."""
    level_doubt: float
    """The same of its brightness."""
    mixing: Floats | None = None
    """(3, 8) as in `Light`."""

    def __post_init__(self) -> None:
        """Keep every channel above the noise: what shows none of it can't be divided by."""
        object.__setattr__(self, "tint", np.maximum(self.tint, LOG_FLOOR))


def from_surface(
    surface: IlluminationField,
    view: ReducedView,
    cloth: ClothLight,
    said: Ground | None,
    lamp: bool | None = None,
) -> WhiteEstimate | None:
    """Take the ground, which was seen, for white or grey where it looks it or the user says so.

    Without a lamp no white sheet has a tint that the camera didn't take away.
    """
    shown = surface.at(view.centres).mean(axis=0)
    if said == "white":
        return WhiteEstimate(
            shown / WHITE_COTTON_REFLECTANCE, "the ground, which you call white", 2.0, 0.02, 0.04
        )
    grey = shown / (shown @ camera_response.LUMA) * cloth.white_luminance
    if said == "grey":
        return WhiteEstimate(
            grey, f"the ground, which you call grey; {GUESSED_LEVEL}", 3.5, 0.035, GUESS
        )
    neutral = _is_neutral(shown, cloth, lamp)
    sheet = _is_sheet(float(shown @ camera_response.LUMA), cloth, neutral)
    if sheet and surface.spread < MAX_SURFACE_SPREAD and (neutral or lamp is not False):
        return WhiteEstimate(
            shown / WHITE_COTTON_REFLECTANCE,
            "the white cloth that the squares lie on",
            1.5,
            0.02,
            0.06,
        )
    doubt = _tint_doubt(grey, shown)
    return WhiteEstimate(grey, "the grey ground", 2.5, doubt, DEPENDENT_DOUBT) if neutral else None


def _tint_doubt(white: Floats, shown: Floats) -> float:
    """Return by how much the channels of a ground taken for grey may differ, the more the darker.

    A chroma that nobody sees on a grey cloth is a strong tint of what little light a black one
    sends back.
    """
    lightness = float(lab.linear_to_lab(shown / white)[0])
    return 3.0 * (GROUND_CHROMA / 200.0) / ((max(lightness, 0.0) + 16.0) / 116.0)


def _is_neutral(shown: Floats, cloth: ClothLight, lamp: bool | None) -> bool:
    """Tell whether a ground has no tint beside what the squares tell of white."""
    beside = shown / from_cloth(cloth, lamp).tint
    even = beside * (shown @ camera_response.LUMA) / (beside @ camera_response.LUMA)
    return float(lab.chroma(lab.linear_to_lab(even))) <= MAX_NEUTRAL_CHROMA


def _is_sheet(luminance: float, cloth: ClothLight, neutral: bool) -> bool:
    """Tell whether a smooth ground is white: brighter than all cloth, or as bright as its white."""
    if luminance > cloth.brightest_luminance:
        return True
    return neutral and cloth.has_white and luminance > MIN_SHEET_SHARE * cloth.brightest_luminance


def from_cloth(cloth: ClothLight, lamp: bool | None = None) -> WhiteEstimate:
    """Judge by the squares alone; without white among them by the camera and the lamp."""
    if cloth.has_white:
        return WhiteEstimate(
            cloth.brightest / cloth.white_ratio, "the whites in the prints", 2.5, 0.035, 0.05
        )
    told = balance(cloth.brightest, lamp, mixed=cloth.mixed)
    return WhiteEstimate(
        told.tint * cloth.white_luminance, _balanced(told, lamp), 3.5, told.doubt, GUESS
    )


def _balanced(told: CameraBalance, lamp: bool | None) -> str:
    """Say what a white rests on that isn't seen."""
    if lamp:
        return f"the brightest prints, lit by the lamp that you told of; {GUESSED_LEVEL}"
    if told.by_lamp:
        return f"the brightest prints, as if lit by a lamp; {GUESSED_LEVEL}"
    by = "the camera's own balance" + ("" if lamp is None else " without a lamp, as you told")
    return f"{by}; {GUESSED_LEVEL}"


def from_name(shown: Floats, label: str, cloth: ClothLight, *, grey: bool) -> WhiteEstimate:
    """Judge by the light that a square shows which the user calls white or grey."""
    if not grey:
        return WhiteEstimate(
            shown / WHITE_COTTON_REFLECTANCE, f"{label}, which you call white", 2.0, 0.02, 0.04
        )
    shown = np.maximum(shown, LOG_FLOOR)
    tint = shown / (shown @ camera_response.LUMA) * cloth.white_luminance
    return WhiteEstimate(tint, f"{label}, which you call grey; {GUESSED_LEVEL}", 3.0, 0.02, GUESS)


def from_card(
    shown: Floats, reflectance: float | None, other: WhiteEstimate, spread: float = 0.0
) -> WhiteEstimate:
    """Judge by a card; where its reflectance isn't known, its lightness is another's.

    ``spread`` is the standard deviation of its pixels, of 255.
    """
    if reflectance is None:
        tint = shown / (shown @ camera_response.LUMA) * float(other.tint @ camera_response.LUMA)
        told = f"the card beside the squares; {GUESSED_LEVEL}" if other.level_doubt > 0.1 else CARD
        return WhiteEstimate(tint, told, 3.0, 0.035, DEPENDENT_DOUBT)
    what = "white card or paper" if reflectance > 0.5 else "grey card"
    doubt = 0.07 + SHINE * max(0.0, spread - MATT)
    return WhiteEstimate(shown / reflectance, f"the {what} beside the squares", 2.0, 0.035, doubt)


MATT, SHINE = 3.0, 0.07
"""Spread up to which a card doesn't shine, and the doubt of its lightness for each unit beyond:
of the two cards of the dev photos the matt one has 2.6, and the one by the window, which reads 22 %
too light, 6.1."""
CARD = "the card beside the squares"


def tint_beside(shown: Floats, white: Floats) -> float:
    """Return the chroma of a light beside another that stands for white, at 18 % of it."""
    even = shown / white
    light = max(float(even @ camera_response.LUMA), LOG_FLOOR)  # what is black has no tint
    return float(lab.chroma(lab.linear_to_lab(0.18 * even / light)))
