"""The evidence of what white looks like: the supporting surface, the squares, a name, a card."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.light.camera_balance import CameraBalance, balance
from catalog.light.candidates.surface_field import LOG_FLOOR, IlluminationField
from catalog.light.reduced_view import ReducedView
from catalog.models import Ground

Floats = NDArray[np.float64]

WHITE_QUANTILE = 0.98
"""Quantile of the cloth's light, channel by channel, that stands for its white."""
MAX_SURFACE_SPREAD = 0.10
"""Ground with a smaller spread (natural logarithm) is a sheet, flannel, paper: not wood, not a
print. Measured on the dev photos: 0.03 to 0.09 against 0.12 and more."""
MAX_NEUTRAL_CHROMA = 8.0
"""Ground of a smaller chroma, as the camera balanced it, is taken for neutral."""
WHITE_COTTON_REFLECTANCE = 0.83
"""Linear light of white cotton, sheet or print: L* 93."""
PRINTED_WHITE_RATIO = 0.83
"""The brightest 2 % of each channel, where a bundle has white in its prints, over the light of a
surface of reflectance 1, where `USUAL_WHITE_SHARE` of the cloth is white."""
USUAL_WHITE_SHARE, WHITE_SHARE_EXPONENT = 0.065, 0.075
"""Share of pixels in which all channels are bright at once, and the power of it that the ratio goes
with: of less white the brightest 2 % show the edge, of more only the best. By 21 rendered photos,
on which white was 0.15 too dark (natural logarithm) with the least and 0.11 too light with the
most; 0.03 is left, root mean square, and as much where the photo in question is left out."""
MAX_COUNTED_SHARE = 0.2
"""Share up to which this was seen."""
TOGETHER, WHITE_SHARE = 0.85, 0.012
"""White is where all channels are bright at once: share of each channel's brightest light that a
pixel shows, and share of such pixels: 0.017 to 0.105 on photos with white in their prints, under
lamps too, 0.009 and less on the five without."""
MIN_SHEET_SHARE = 0.86
"""Share of the luminance of white in prints from which a smooth ground without tint is a white
sheet: 0.89 and more on the four such photos, less than half on all others."""
BRIGHTEST_DYES = np.array([0.77, 0.65, 0.75])
"""The brightest 2 % of each channel where no white is in the prints, over the light of a surface of
reflectance 1: dyes are bright in red and blue, less in green. On ten photographs red is 0.65 to
0.81, green 0.51 to 0.82, blue 0.54 to 0.84."""
MEAN_REFLECTANCE = 0.30
"""Mean linear light of a bundle; 0.25 to 0.43 in the dev photos."""
BALANCED_WITHIN = 0.25
"""Natural logarithm by which the brightest of a channel may differ from another's as prints do."""
OPPOSITE_CHROMA, OPPOSITE_SHARE = 0.35, 0.03
"""Natural logarithm by which a pixel's channels stand away from a tint, and share of such pixels
that a bundle shows in the true light: 0.13 and more on 36 photographs of mixed bundles, under lamps
too, none on three bundles of reds, pinks and yellows. 0.35: blue is 1.6 times as bright as red."""
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
    cloth: Floats,
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
    grey = shown / (shown @ camera_response.LUMA) * brightness(cloth)
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


def _is_neutral(shown: Floats, cloth: Floats, lamp: bool | None) -> bool:
    """Tell whether a ground has no tint beside what the squares tell of white."""
    beside = shown / from_cloth(cloth, lamp).tint
    even = beside * (shown @ camera_response.LUMA) / (beside @ camera_response.LUMA)
    return float(lab.chroma(lab.linear_to_lab(even))) <= MAX_NEUTRAL_CHROMA


def _is_sheet(luminance: float, cloth: Floats, neutral: bool) -> bool:
    """Tell whether a smooth ground is white: brighter than all cloth, or as bright as its white."""
    if luminance > brightest_of(cloth):
        return True
    return neutral and has_white(cloth) and luminance > MIN_SHEET_SHARE * brightest_of(cloth)


def from_cloth(cloth: Floats, lamp: bool | None = None) -> WhiteEstimate:
    """Judge by the squares alone; without white among them by the camera and the lamp."""
    if has_white(cloth):
        return WhiteEstimate(
            brightest(cloth) / _white_ratio(cloth), "the whites in the prints", 2.5, 0.035, 0.05
        )
    white = brightest(cloth)
    told = balance(white, lamp, mixed=borne_out(cloth, white))
    return WhiteEstimate(
        told.tint * brightness(cloth), _balanced(told, lamp), 3.5, told.doubt, GUESS
    )


def _balanced(told: CameraBalance, lamp: bool | None) -> str:
    """Say what a white rests on that isn't seen."""
    if lamp:
        return f"the brightest prints, lit by the lamp that you told of; {GUESSED_LEVEL}"
    if told.by_lamp:
        return f"the brightest prints, as if lit by a lamp; {GUESSED_LEVEL}"
    by = "the camera's own balance" + ("" if lamp is None else " without a lamp, as you told")
    return f"{by}; {GUESSED_LEVEL}"


def from_name(shown: Floats, label: str, cloth: Floats, *, grey: bool) -> WhiteEstimate:
    """Judge by the light that a square shows which the user calls white or grey."""
    if not grey:
        return WhiteEstimate(
            shown / WHITE_COTTON_REFLECTANCE, f"{label}, which you call white", 2.0, 0.02, 0.04
        )
    shown = np.maximum(shown, LOG_FLOOR)
    tint = shown / (shown @ camera_response.LUMA) * brightness(cloth)
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


def has_white(cloth: Floats) -> bool:
    """Tell whether the squares' light (n, 3) has white in it, whatever the lamp's tint."""
    return _white_share(cloth) > WHITE_SHARE and borne_out(cloth, brightest(cloth))


def _white_share(cloth: Floats) -> float:
    """Return the share of the cloth's light (n, 3) in which all channels are bright at once."""
    return float((cloth > TOGETHER * brightest(cloth)).all(axis=1).mean())


def _white_ratio(cloth: Floats) -> float:
    """Return the brightest of cloth with white in it over the light of reflectance 1."""
    share = min(_white_share(cloth), MAX_COUNTED_SHARE) / USUAL_WHITE_SHARE
    return float(PRINTED_WHITE_RATIO * share**WHITE_SHARE_EXPONENT)


def borne_out(cloth: Floats, tint: Floats) -> bool:
    """Tell whether squares' colours, (n, 3), lie on both sides of a tint taken for white.

    The palest of nothing but reds and yellows is no white under a lamp: no blue is seen beside it.
    """
    away = np.log(tint) - np.log(tint).mean()
    if np.ptp(away) < BALANCED_WITHIN:
        return True
    logs = np.log((cloth + 0.01 * tint) / tint)
    against = (logs - logs.mean(axis=1, keepdims=True)) @ (-away / np.linalg.norm(away))
    return float((against > OPPOSITE_CHROMA).mean()) > OPPOSITE_SHARE


def brightest(cloth: Floats) -> Floats:
    """Return the brightest light, (3,), that the squares (n, 3) show in each channel."""
    return np.maximum(np.quantile(cloth, WHITE_QUANTILE, axis=0), LOG_FLOOR)


def brightest_of(cloth: Floats) -> float:
    """Return the luminance of the squares' brightest light (n, 3)."""
    return float(np.quantile(cloth @ camera_response.LUMA, WHITE_QUANTILE))


def brightness(cloth: Floats) -> float:
    """Return the luminance that a white surface shows, by the squares' light (n, 3)."""
    if has_white(cloth):
        return brightest_of(cloth) / _white_ratio(cloth)
    by_mean = float(np.sqrt((cloth @ camera_response.LUMA).mean() / MEAN_REFLECTANCE))
    by_dyes = float((brightest(cloth) / BRIGHTEST_DYES) @ camera_response.LUMA)
    return float(np.sqrt(by_mean * by_dyes))


def tint_beside(shown: Floats, white: Floats) -> float:
    """Return the chroma of a light beside another that stands for white, at 18 % of it."""
    even = shown / white
    light = max(float(even @ camera_response.LUMA), LOG_FLOOR)  # what is black has no tint
    return float(lab.chroma(lab.linear_to_lab(0.18 * even / light)))
