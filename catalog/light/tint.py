"""What white looks like in the photo, from the best evidence there is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog import camera, lab
from catalog.light.ground import Smooth
from catalog.light.shadow import Shadow
from catalog.light.view import View, every

Floats = NDArray[np.float64]

SAMPLES = 30_000
"""Pixels of cloth used."""
BRIGHTEST = 0.98
"""Quantile of the cloth's light, channel by channel, that stands for its white."""
LIT = 0.05
"""Cloth with a larger share of shadow is no witness."""
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


@dataclass(frozen=True, eq=False)
class White:
    """What a white surface shows, and how that was told."""

    tint: Floats
    """(3,) linear RGB of a surface of reflectance 1."""
    evidence: str
    expected_error: float
    """CIEDE2000, median over the dev photos of this kind."""


def tell_white(view: View, smooth: Smooth, shadow: Shadow | None = None) -> White:
    """Tell what white looks like among the squares, outside any shadow."""
    cloth = _cloth(view, smooth, shadow)
    whole = None
    if np.isfinite(smooth.spread):
        shown = smooth.at(view.centres).mean(axis=0)
        whole = _from_ground(shown, smooth.spread, cloth)
    return whole or _from_cloth(cloth)


def _cloth(view: View, smooth: Smooth, shadow: Shadow | None) -> Floats:
    """Return linear light of the squares' pixels, (n, 3), freed of the light's unevenness."""
    picked = every(np.flatnonzero(view.inside), SAMPLES)
    if shadow is not None:
        picked = picked[shadow.at(view, view.points_at(picked)) < LIT]
    light = view.light_at(picked)
    field = smooth.at(view.points_at(picked))
    return np.asarray(light / field * smooth.at(view.centres).mean(axis=0))


def _from_ground(shown: Floats, spread: float, cloth: Floats) -> White | None:
    """Take the ground for white or grey where it looks it."""
    if spread > SMOOTH_GROUND and float(lab.chroma(lab.linear_to_lab(shown))) > GREY_CHROMA:
        return None
    bright = float(np.quantile(cloth @ camera.LUMA, BRIGHTEST))
    luminance = float(shown @ camera.LUMA)
    if spread < SMOOTH_GROUND and luminance > bright:
        return White(shown / WHITE_CLOTH, "the white cloth that the squares lie on", 1.5)
    if float(lab.chroma(lab.linear_to_lab(shown))) > GREY_CHROMA:
        return None
    level = _brightness(cloth)
    return White(shown / luminance * level, "the grey ground; overall lightness is a guess", 3.5)


def _from_cloth(cloth: Floats) -> White:
    """Judge by the squares alone."""
    level = _brightness(cloth)
    if not _has_white(cloth):
        return White(
            np.full(3, level), "the camera's own balance; overall lightness is a guess", 3.5
        )
    brightest = np.quantile(cloth, BRIGHTEST, axis=0)
    return White(brightest / (brightest @ camera.LUMA) * level, "the whites in the prints", 2.5)


def _has_white(cloth: Floats) -> bool:
    return float(np.quantile(cloth @ camera.LUMA, BRIGHTEST)) > WHITE_IN_PRINTS


def _brightness(cloth: Floats) -> float:
    """Return the luminance that a white surface shows."""
    luminance = cloth @ camera.LUMA
    if _has_white(cloth):
        return float(np.quantile(luminance, BRIGHTEST)) / PRINTED_WHITE
    return float(np.sqrt(luminance.mean() / USUAL_MEAN))
