"""The shadow of straight bars: between which borders it lies, and how deep it is."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.shadow_borders import ShadowBorder, find_borders, find_other_border
from catalog.light.candidates.shadow_lines import ShadowGrid, shadow_grid
from catalog.light.candidates.shadow_matte import ShadowMatte
from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]

MAX_BAR_WIDTH = 1.6
"""Sides across which a shadow is looked for from one border to the other: an arm, a window's bar,
the edge of a board on a table."""
MAX_BAR_TURN = 0.12
"""Radians by which the borders of one bar may run apart: an arm grows wider, perspective."""
WIDTHS = (0.12, MAX_BAR_WIDTH, 0.05)
"""Widths at which a bar's other border is looked for, sides: least, most and step."""
LIKELY_WIDTHS = np.linspace(0.75, 1.25, 11)
"""The same once one bar's width is known, of that width: a window's bars are alike."""
SOFTNESS = (0.008, 0.06)
"""Least and greatest scale of a border's softness, sides: a pixel, and the sun's half degree seen
from the far side of a room."""


def find_shadow_bars(view: ReducedView) -> ShadowMatte | None:
    """Look for straight shadows that fall over the squares, whatever the smooth light is.

    Returns
    -------
    ShadowMatte or None
        None where no straight border of a shadow runs over squares.
    """
    grid = shadow_grid(view)
    borders = find_borders(grid)
    if not borders:
        return None
    bars = _bars(grid, borders)
    borders = [one for bar in bars for one in bar]
    weights = [one.squares + 0.1 for one in borders]
    softness = float(np.average([one.softness for one in borders], weights=weights))
    share = np.zeros(grid.pieces.shape)
    for bar in bars:
        beyond = np.minimum.reduce([one.beyond(grid) for one in bar])
        share = np.maximum(share, _ramp(beyond / np.clip(softness, *SOFTNESS)))
    depth = np.average([one.step for one in borders], axis=0, weights=weights)
    return ShadowMatte(np.asarray(depth, np.float64), share)


def _bars(grid: ShadowGrid, borders: list[ShadowBorder]) -> list[list[ShadowBorder]]:
    """Pair the borders that a bar lies between; one whose other side lies elsewhere stays alone."""
    bars: list[list[ShadowBorder]] = []
    alone: list[list[ShadowBorder]] = []
    for one in borders:
        other = _other_border(one, borders)
        (alone if other is None else bars).append([one] if other is None else [one, other])
    paired = list(bars)
    for (one,) in alone:
        widths = _likely_widths(one, paired)
        other = find_other_border(grid, one, np.arange(*WIDTHS) if widths is None else widths)
        if other is None and widths is not None:
            other = one.mirrored(float(np.median(widths)))
        bars.append([one] if other is None else [one, other])
    return bars


def _likely_widths(own: ShadowBorder, bars: list[list[ShadowBorder]]) -> Floats | None:
    """Return the widths of a bar that the known ones suggest, those that run its way first."""
    if not bars:
        return None
    along = [bar for bar in bars if abs(np.sin(bar[0].angle - own.angle)) < MAX_BAR_TURN]
    width = float(np.median([_width(*bar) for bar in along or bars]))
    return np.asarray(width * LIKELY_WIDTHS)


def _other_border(own: ShadowBorder, borders: list[ShadowBorder]) -> ShadowBorder | None:
    """Return the nearest border that bounds a shadow from the other side, if one was found."""
    facing = [
        (width, number)
        for number, one in enumerate(borders)
        if abs((one.angle - own.angle) % (2 * np.pi) - np.pi) < MAX_BAR_TURN
        and 0.0 < (width := _width(own, one)) < MAX_BAR_WIDTH
    ]
    return borders[min(facing)[1]] if facing else None


def _width(one: ShadowBorder, other: ShadowBorder) -> float:
    """Return how far two borders that face each other lie apart in the photo's middle, sides."""
    return -float(one.course[2] + other.course[2])


def _ramp(steps: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(steps, -40.0, 40.0))))
