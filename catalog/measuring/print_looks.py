"""How a print is built: how large its figures are, and of what kind it is."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import ciede2000
from catalog.measuring.print_palettes import PrintColours
from catalog.measuring.print_spectrum import PrintWaves, waves_of
from catalog.models import Motif, PrintLook, PrintScale

Pixels = NDArray[np.float32]

MAX_TONAL_DIFFERENCE: Final = 20.0
"""CIEDE2000 between the colours of a print up to which they are shades of one: 12 at most for
98 of 100 tonals, 33 at least for as many florals (the 23 photos with truth)."""
MIN_COUNTED_SHARE: Final = 0.03
"""Share of the cloth from which a colour is asked for that."""
MAX_SMALL_IN, MAX_MEDIUM_IN = 0.45, 0.8
"""Inches that the figures of a small and of a medium print measure at most, as
`catalog.measuring.print_spectrum` sizes them: what parts ditsies (0.21 to 0.42, the middle half),
geometrics (0.40 to 0.84) and florals (0.84 to 1.07)."""
MIN_STRIPE, MIN_CHECK = 0.85, 0.7
"""How much of a print's waves run one way in stripes (0.92 and more; others to 0.73), and two ways
in checks (0.78 and more; others to 0.54)."""
MIN_DIRECTIONAL, MIN_DIRECTIONAL_TONAL = 0.4, 0.6
"""How much of a print's waves run one way that a quarter turn shows, and of one that has but one
colour: prints that are scattered, by chance, have 0.33 at most, tonals 0.38."""
MAX_DOT_ASPECT, MAX_DOTS_ASPECT = 1.13, 1.08
"""Longer over shorter side of a figure that is a dot, whose pixels may be one more across than
down, and of all of them, of which hexagons have 1.15."""
DOT_FILL, MAX_DOT_SPREAD = (0.72, 0.86), 0.15
"""Of figures that are dots: area over that of the rectangle round it (a
circle has 0.785), and by how much half of them differ in area."""
MIN_DOTS, MIN_DOT_PX = 4, 5
"""Figures, and pixels of one, from which shapes are told."""


def look_of(
    planes: Pixels,
    shown: NDArray[np.bool_],
    told: PrintColours,
    width_in: float,
    *,
    plain: bool,
) -> PrintLook:
    """Tell how a print is built.

    Parameters
    ----------
    planes : (3, side, side) float32
        L*, a* and b* of a square laid flat.
    shown : (side, side) bool
        Which pixels are the square's cloth.
    told : PrintColours
        Its colours, and where they are.
    width_in : float
        Inches of cloth along a side.
    plain : bool
        Whether its colours spread no more than those of a plain.
    """
    one = len(told.palette) == 1
    if one and plain:
        return PrintLook("plain")
    step = 2 if one else 1  # a tonal's waves are long
    waves = waves_of(planes[:, ::step, ::step], shown[::step, ::step], width_in)
    directional = waves.one_way >= (MIN_DIRECTIONAL_TONAL if one else MIN_DIRECTIONAL)
    return PrintLook(_scale(told, waves), _motif(told, waves), directional, waves.repeat_in)


def _scale(told: PrintColours, waves: PrintWaves) -> PrintScale:
    labs = np.array([one.lab for one in told.palette if one.share >= MIN_COUNTED_SHARE])
    if len(labs) < 2 or float(ciede2000(labs[:, None], labs).max()) <= MAX_TONAL_DIFFERENCE:
        return "tonal"
    if waves.figure_in <= MAX_SMALL_IN:
        return "small"
    return "medium" if waves.figure_in <= MAX_MEDIUM_IN else "large"


def _motif(told: PrintColours, waves: PrintWaves) -> Motif:
    if waves.one_way >= MIN_STRIPE:
        return "stripe"
    if waves.two_ways >= MIN_CHECK:
        return "check"
    return "dots" if are_dots(told) else ""


def are_dots(told: PrintColours) -> bool:
    """Tell whether a print's figures are round, apart on their ground, and of one size."""
    import cv2

    ground = next((k for k, one in enumerate(told.palette) if one.ground), None)
    if ground is None or len(told.palette) == 1:
        return False
    figures = (told.places != ground) & (told.places < len(told.palette))
    _, _, found, _ = cv2.connectedComponentsWithStats(figures.astype(np.uint8), connectivity=4)
    left, top, wide, high, area = found[1:].T
    side = len(figures)
    whole = (left > 0) & (top > 0) & (left + wide < side) & (top + high < side)
    whole &= area >= MIN_DOT_PX
    if whole.sum() < MIN_DOTS:
        return False
    wide, high, area = wide[whole], high[whole], area[whole].astype(float)
    in_all = sorted((float(wide.mean()), float(high.mean())))
    return bool(
        np.median(np.maximum(wide, high) / np.minimum(wide, high)) <= MAX_DOT_ASPECT
        and in_all[1] <= MAX_DOTS_ASPECT * in_all[0]
        and DOT_FILL[0] <= np.median(area / (wide * high)) <= DOT_FILL[1]
        and np.median(np.abs(area - (usual := np.median(area)))) <= MAX_DOT_SPREAD * usual
    )
