"""What lies beside the squares and can tell the light: patches, and a chart made of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.ground_field import Smooth, fit_ground
from catalog.light.candidates.shadow_matte import Shadow
from catalog.light.reduced_view import View
from catalog.light.references.chart_fit import ChartFit, fit_chart
from catalog.light.references.chart_reading import Chart, find_chart
from catalog.light.references.flat_patches import Patch, flat_patches
from catalog.light.white_evidence import White

Floats = NDArray[np.float64]

SMALLEST = 60.0
"""Area of a patch, px of the working copy, at least: 8 x 8."""
LARGEST = 6.0
"""Area of a patch, in squares, at most."""
AWAY = 0.03
"""Distance from the squares, in sides, at which patches are looked for: hems are flat too."""
CHART_ERROR = 2.0
"""CIEDE2000, median over the dev photo's squares, rounded up: its chart is the only one whose
squares' colours are known."""


@dataclass(frozen=True, eq=False)
class Charted:
    """A photo with a chart in it."""

    view: View
    """With the camera's tone as the chart tells it."""
    smooth: Smooth
    """The ground's light with that tone taken off."""
    chart: Chart
    fit: ChartFit
    """In the ground's light."""

    def white(self, smooth: Smooth, shadow: Shadow | None) -> White:
        """Tell white and the mixing of channels, once the light over the plane is known."""
        light = _relative(self.view, smooth, self.chart, shadow)
        fit = fit_chart(self.chart.pixels, self.chart.good, light, self.fit)
        error = max(CHART_ERROR, fit.off)
        return White(fit.tint, "the colour chart", error, 0.02, 0.035, fit.mixing)


def find_patches(view: View) -> list[Patch]:
    """Find the flat patches beside the squares."""
    free = view.outside > AWAY * view.side
    return flat_patches(view.pixels, free, SMALLEST, LARGEST * view.side**2)


def charted(view: View, patches: list[Patch], smooth: Smooth) -> Charted | None:
    """Look for a chart, and take the camera's tone from it."""
    chart = find_chart(view.pixels, patches, view.outside > 0)
    if chart is None:
        return None
    fit = fit_chart(chart.pixels, chart.good, _relative(view, smooth, chart, None))
    toned = replace(view, tone=fit.tone)
    return Charted(toned, fit_ground(toned), chart, fit)


def _relative(view: View, smooth: Smooth, chart: Chart, shadow: Shadow | None) -> Floats:
    """Return the light on each patch of the chart, (24, 3), over that on the squares."""
    light = smooth.at(chart.centres) / smooth.at(view.centres).mean(axis=0)
    if shadow is not None:
        light = light * np.exp(np.outer(shadow.at(view, chart.centres), shadow.depth))
    return np.asarray(light)
