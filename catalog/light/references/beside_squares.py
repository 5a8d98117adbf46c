"""What lies beside the squares and can tell the light: patches, and a chart made of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.shadow_matte import ShadowMatte
from catalog.light.candidates.surface_field import IlluminationField, fit_surface
from catalog.light.reduced_view import ReducedView
from catalog.light.references.chart_fit import ChartFit, fit_chart
from catalog.light.references.chart_reading import Chart, find_chart
from catalog.light.references.flat_patches import FlatPatch, flat_patches
from catalog.light.white_evidence import WhiteEstimate

Floats = NDArray[np.float64]

MIN_PATCH_AREA_PX = 60.0
"""Area of a patch, px of the working copy, at least: 8 x 8."""
MAX_PATCH_SQUARES = 6.0
"""Area of a patch, in squares, at most."""
SEARCH_DISTANCE = 0.03
"""Distance from the squares, in sides, at which patches are looked for: hems are flat too."""
CHART_ERROR = 2.0
"""CIEDE2000, median over the dev photo's squares, rounded up: its chart is the only one whose
squares' colours are known."""


@dataclass(frozen=True, eq=False)
class ChartLight:
    """A photo with a chart in it."""

    view: ReducedView
    """With the camera's tone as the chart tells it."""
    field: IlluminationField
    """The ground's light with that tone taken off."""
    chart: Chart
    fit: ChartFit
    """In the ground's light."""

    def white(self, field: IlluminationField, shadow: ShadowMatte | None) -> WhiteEstimate:
        """Tell white and the mixing of channels, once the light over the plane is known."""
        light = _relative(self.view, field, self.chart, shadow)
        fit = fit_chart(self.chart.pixels, self.chart.good, light, self.fit)
        error = max(CHART_ERROR, fit.off)
        return WhiteEstimate(fit.tint, "the colour chart", error, 0.02, 0.035, fit.mixing)


def find_patches(view: ReducedView) -> list[FlatPatch]:
    """Find the flat patches beside the squares."""
    free = view.outside > SEARCH_DISTANCE * view.side
    return flat_patches(view.pixels, free, MIN_PATCH_AREA_PX, MAX_PATCH_SQUARES * view.side**2)


def chart_light(
    view: ReducedView, patches: list[FlatPatch], field: IlluminationField
) -> ChartLight | None:
    """Look for a chart, and take the camera's tone from it."""
    chart = find_chart(view.pixels, patches, view.outside > 0)
    if chart is None:
        return None
    fit = fit_chart(chart.pixels, chart.good, _relative(view, field, chart, None))
    toned = replace(view, tone=fit.tone)
    return ChartLight(toned, fit_surface(toned), chart, fit)


def _relative(
    view: ReducedView, field: IlluminationField, chart: Chart, shadow: ShadowMatte | None
) -> Floats:
    """Return the light on each patch of the chart, (24, 3), over that on the squares."""
    light = field.at(chart.centres) / field.at(view.centres).mean(axis=0)
    if shadow is not None:
        light = light * np.exp(np.outer(shadow.at(view, chart.centres), shadow.depth))
    return np.asarray(light)
