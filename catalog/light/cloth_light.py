"""How bright the squares' cloth is, and whether white is among it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.light.candidates.surface_field import LOG_FLOOR

Floats = NDArray[np.float64]

WHITE_QUANTILE = 0.98
"""Quantile of the cloth's light, channel by channel, that stands for its white."""
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


@dataclass(frozen=True, eq=False)
class ClothLight:
    """The squares' light, freed of its unevenness; each thing told of it is worked out once."""

    pixels: Floats
    """(n, 3) linear."""

    @cached_property
    def brightest(self) -> Floats:
        """The brightest light, (3,), that the squares show in each channel."""
        channels = np.ascontiguousarray(self.pixels.T)
        return np.maximum(np.quantile(channels, WHITE_QUANTILE, axis=1), LOG_FLOOR)

    @cached_property
    def luminances(self) -> Floats:
        """(n,) of the pixels."""
        return np.asarray(self.pixels @ camera_response.LUMA)

    @cached_property
    def brightest_luminance(self) -> float:
        """The luminance of the squares' brightest light."""
        return float(np.quantile(self.luminances, WHITE_QUANTILE))

    @cached_property
    def has_white(self) -> bool:
        """Whether the squares have white in them, whatever the lamp's tint."""
        return self.white_share > WHITE_SHARE and self.mixed

    @cached_property
    def white_share(self) -> float:
        """The share of the cloth in which all channels are bright at once."""
        return float((self.pixels > TOGETHER * self.brightest).all(axis=1).mean())

    @property
    def white_ratio(self) -> float:
        """The brightest of cloth with white in it over the light of reflectance 1."""
        share = min(self.white_share, MAX_COUNTED_SHARE) / USUAL_WHITE_SHARE
        return float(PRINTED_WHITE_RATIO * share**WHITE_SHARE_EXPONENT)

    @cached_property
    def mixed(self) -> bool:
        """Whether squares' colours lie on both sides of the brightest's tint, taken for white.

        The palest of nothing but reds and yellows is no white under a lamp: no blue is seen beside
        it.
        """
        tint = self.brightest
        away = np.log(tint) - np.log(tint).mean()
        if np.ptp(away) < BALANCED_WITHIN:
            return True
        logs = np.log((self.pixels + 0.01 * tint) / tint)
        against = (logs - logs.mean(axis=1, keepdims=True)) @ (-away / np.linalg.norm(away))
        return float((against > OPPOSITE_CHROMA).mean()) > OPPOSITE_SHARE

    @cached_property
    def white_luminance(self) -> float:
        """The luminance that a white surface shows."""
        if self.has_white:
            return self.brightest_luminance / self.white_ratio
        by_mean = float(np.sqrt(self.luminances.mean() / MEAN_REFLECTANCE))
        by_dyes = float((self.brightest / BRIGHTEST_DYES) @ camera_response.LUMA)
        return float(np.sqrt(by_mean * by_dyes))
