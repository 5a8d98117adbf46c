"""The witnesses of what white looks like: the ground, the squares, a name, a card."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog import camera, lab
from catalog.light.ground import Smooth
from catalog.light.view import View
from catalog.models import Ground

Floats = NDArray[np.float64]

BRIGHTEST = 0.98
"""Quantile of the cloth's light, channel by channel, that stands for its white."""
SMOOTH_GROUND = 0.10
"""Ground with a smaller spread (natural logarithm) is a sheet, flannel, paper: not wood, not a
print. Measured on the dev photos: 0.03 to 0.09 against 0.12 and more."""
GREY_CHROMA = 8.0
"""Ground of a smaller chroma, as the camera balanced it, is taken for neutral."""
WHITE_CLOTH = 0.83
"""Linear light of white cotton, sheet or print: L* 93."""
PRINTED_WHITE = 0.80
"""Linear light of the brightest 2 % of cloth, where a bundle has white in its prints."""
WHITE_IN_PRINTS = 0.62
"""The brightest 2 % have to be at least this bright to be taken for white in prints."""
USUAL_MEAN = 0.30
"""Mean linear light of a bundle; 0.25 to 0.43 in the dev photos."""
GUESS = "overall lightness is a guess"


@dataclass(frozen=True, eq=False)
class White:
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


def from_ground(smooth: Smooth, view: View, cloth: Floats, said: Ground | None) -> White | None:
    """Take the ground for white or grey where it looks it or the user says so."""
    if said in {"wood", "mat"} or not np.isfinite(smooth.spread):
        return None
    shown = smooth.at(view.centres).mean(axis=0)
    luminance = float(shown @ camera.LUMA)
    level = brightness(cloth)
    if said == "white":
        return White(shown / WHITE_CLOTH, "the ground, which you call white", 2.0, 0.02, 0.04)
    if said == "grey":
        tint, told = shown / luminance * level, f"the ground, which you call grey; {GUESS}"
        return White(tint, told, 3.5, 0.035, 0.14)
    neutral = float(lab.chroma(lab.linear_to_lab(shown))) <= GREY_CHROMA
    if smooth.spread < SMOOTH_GROUND and luminance > brightest_of(cloth):
        return White(
            shown / WHITE_CLOTH, "the white cloth that the squares lie on", 1.5, 0.02, 0.04
        )
    if not neutral:
        return None
    return White(shown / luminance * level, f"the grey ground; {GUESS}", 3.8, 0.05, 0.14)


def from_cloth(cloth: Floats) -> White:
    """Judge by the squares alone."""
    level = brightness(cloth)
    if not has_white(cloth):
        told = f"the camera's own balance; {GUESS}"
        return White(np.full(3, level), told, 3.5, 0.1, 0.14)
    brightest = np.quantile(cloth, BRIGHTEST, axis=0)
    tint = brightest / (brightest @ camera.LUMA) * level
    return White(tint, "the whites in the prints", 2.5, 0.04, 0.07)


def from_name(shown: Floats, label: str, cloth: Floats, *, grey: bool) -> White:
    """Judge by the light that a square shows which the user calls white or grey."""
    if not grey:
        return White(shown / WHITE_CLOTH, f"{label}, which you call white", 2.0, 0.02, 0.04)
    tint = shown / (shown @ camera.LUMA) * brightness(cloth)
    return White(tint, f"{label}, which you call grey; {GUESS}", 3.0, 0.02, 0.14)


def from_card(shown: Floats, reflectance: float | None, other: White, spread: float = 0.0) -> White:
    """Judge by a card; where its reflectance isn't known, its lightness is another's.

    ``spread`` is the standard deviation of its pixels, of 255.
    """
    if reflectance is None:
        tint = shown / (shown @ camera.LUMA) * float(other.tint @ camera.LUMA)
        told = f"the card beside the squares; {GUESS}" if other.level_doubt > 0.1 else CARD
        return White(tint, told, 3.0, 0.035, 10.0)
    what = "white card or paper" if reflectance > 0.5 else "grey card"
    doubt = 0.07 + SHINE * max(0.0, spread - MATT)
    return White(shown / reflectance, f"the {what} beside the squares", 2.0, 0.035, doubt)


MATT, SHINE = 3.0, 0.07
"""Spread up to which a card doesn't shine, and the doubt of its lightness for each unit beyond:
of the two cards of the dev photos the matt one has 2.6, and the one by the window, which reads 22 %
too light, 6.1."""
CARD = "the card beside the squares"


def has_white(cloth: Floats) -> bool:
    """Tell whether the squares' light (n, 3) has the white of prints in it."""
    return brightest_of(cloth) > WHITE_IN_PRINTS


def brightest_of(cloth: Floats) -> float:
    """Return the luminance of the squares' brightest light (n, 3)."""
    return float(np.quantile(cloth @ camera.LUMA, BRIGHTEST))


def brightness(cloth: Floats) -> float:
    """Return the luminance that a white surface shows, by the squares' light (n, 3)."""
    luminance = cloth @ camera.LUMA
    if has_white(cloth):
        return brightest_of(cloth) / PRINTED_WHITE
    return float(np.sqrt(luminance.mean() / USUAL_MEAN))


def tint_beside(shown: Floats, white: Floats) -> float:
    """Return the chroma of a light beside another that stands for white, at 18 % of it."""
    even = shown / white
    return float(lab.chroma(lab.linear_to_lab(0.18 * even / (even @ camera.LUMA))))
