"""A chart's patches as read against their published colours: the camera's curve and mixing."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.colour.ciede2000 import ciede2000
from catalog.system.one_thread import least_squares_on_one_thread

Floats = NDArray[np.float64]

CLIPPED_LEVELS = (2.0, 251.0)
"""A patch with a channel at or beyond these, of 255, tells nothing: the camera cut it off."""
PLACES = np.array([(float(i % 6), float(i // 6)) for i in range(24)])
"""Column and row of each patch, in reading order."""
NORMALISED_PLACES = np.column_stack([PLACES[:, 0] / 2.5 - 1.0, PLACES[:, 1] / 1.5 - 1.0])
"""The same from -1 to 1."""
PRIOR_COSTS = (10.0, 10.0, 1.0, 30.0, 20.0, 50.0, 150.0, 9.0, 20.0)
"""CIEDE2000-like units that a departure by 1 costs: contrast, saturation, logarithm of the power,
mixing of channels relative to their gain, logarithm of the light's fall across half the chart,
stray light, its tint, the roots of products, logarithm of the channels' own exponents. With these,
every second patch of a chart tells the others within (median) 0.7 on the dev photo, 2.9 and 2.6 in
a cabinet, 3.0 on another make's chart, 3.0 on a paper one; without the last two 0.7, 3.0, 3.2, 3.7,
5.6. Half as much or twice as much for those two does as well."""
PARAMETER_LIMITS = ((-0.9, 0.95), (0.7, 1.8), (0.3, 2.0))
"""Of contrast (beyond 1 the curve would fall), saturation, power."""
EDITION_ITERATIONS = 6
"""Turns of the fit after which editions are compared; the best one is then fitted to the end."""
CONVERGED = 1e-5
"""Relative change at which a fit is done."""
OUTLIER_RESIDUAL = 2.0
"""Residual from which a patch pulls less (soft L1)."""


@dataclass(frozen=True, eq=False)
class ChartFit:
    """What a chart tells of the camera."""

    tone: camera_response.CameraResponse
    tint: Floats
    """(3,) what white shows in linear RGB, the tone taken off."""
    mixing: Floats
    """(3, 8) as `camera.mixed` takes it, for that light over ``tint``."""
    fall: Floats
    """(2,) logarithm by which the light falls from the chart's middle to its right and its lower
    edge, beyond what is known of it."""
    edition: str
    """Of the published values, that fits best."""
    off: float
    """CIEDE2000 that is left, mean over the good patches."""

    def colours(self, pixels: Floats, light: Floats | float = 1.0) -> Floats:
        """Return CIELAB of the chart's patches (24, 3), sRGB 0 to 255, in a relative light."""
        even = _linear(pixels / 255.0, self.tone) / light * _risen(self.fall)
        return lab.linear_to_lab(camera_response.mixed(even / self.tint, self.mixing))


@cache
def editions() -> dict[str, Floats]:
    """Return the published colours, CIELAB (24, 3), of each edition of the chart."""
    text = (files("catalog.light.references") / "chart_values.csv").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    values: dict[str, list[list[float]]] = {}
    for row in csv.DictReader(lines):
        values.setdefault(row["edition"], []).append([float(row[axis]) for axis in "Lab"])
    return {name: np.array(rows) for name, rows in values.items()}


def fit_chart(
    pixels: Floats, good: NDArray[np.bool_], light: Floats, known: ChartFit | None = None
) -> ChartFit:
    """Fit the camera's tone and mixing of channels to a chart.

    Parameters
    ----------
    pixels : (24, 3)
        The patches as read, sRGB 0 to 255.
    good : (24,) bool
        Those to be used; at least 12.
    light : (24, 3)
        Relative light on each patch.
    known : ChartFit, optional
        An earlier fit in another light, whose tone and edition stay.

    Returns
    -------
    ChartFit
        With the edition of published values that is nearest.
    """
    truth = editions()
    tone = known.tone if known else None
    first = known.edition if known else "average"
    begun = _initial(pixels, light, good, truth[first], tone or camera_response.CameraResponse())
    fits = {first: _optimised(begun, pixels, good, light, truth[first], tone)}
    if known is None:
        for name in truth:
            fits[name] = _optimised(
                fits[first], pixels, good, light, truth[name], tone, EDITION_ITERATIONS
            )
    away = {
        name: _residuals(_true_light(fit, pixels, light), truth[name], good)
        for name, fit in fits.items()
    }
    edition = min(sorted(away), key=lambda name: away[name])
    fitted = _optimised(fits[edition], pixels, good, light, truth[edition], tone)
    off = _residuals(_true_light(fitted, pixels, light), truth[edition], good)
    found = camera_response.CameraResponse(*(float(value) for value in fitted.tone))
    return ChartFit(found, fitted.white(), fitted.mixing(), fitted.fall, edition, off)


def _residuals(seen: Floats, true: Floats, good: NDArray[np.bool_]) -> float:
    return float(ciede2000(lab.linear_to_lab(seen), true)[good].mean())


@dataclass(frozen=True, eq=False)
class _Parameters:
    """All that is fitted; pixels to true linear light."""

    tone: Floats
    """(3,) contrast, saturation, power."""
    linear: Floats
    """(3, 3) mixing of channels."""
    stray: Floats
    """(3,)"""
    roots: Floats
    """(3, 3) weights of the roots of products."""
    powers: Floats
    """(3,) logarithms of the channels' own exponents."""
    fall: Floats
    """(2,)"""

    @classmethod
    def of(cls, vector: Floats) -> _Parameters:
        tone, linear, stray, roots, powers, fall = np.split(vector, (3, 12, 15, 24, 27))
        return cls(tone, linear.reshape(3, 3), stray, roots.reshape(3, 3), powers, fall)

    def vector(self) -> Floats:
        parts = (self.tone, self.linear, self.stray, self.roots, self.powers, self.fall)
        return np.concatenate([part.ravel() for part in parts])

    def exponents(self) -> Floats:
        return np.exp(self.powers)

    def mixing(self) -> Floats:
        """Return the (3, 8) that `camera.mixed` takes, for light over that of white."""
        exponents = self.exponents()
        linear = self.linear * self.white() ** exponents
        return np.column_stack([linear, self.stray, self.roots, exponents])

    def white(self) -> Floats:
        """Return what white shows; where all channels are alike, the roots add nothing."""
        whites = np.linalg.solve(self.linear, 1.0 - self.stray)
        return np.asarray(np.maximum(whites, 1e-3) ** (1.0 / self.exponents()), np.float64)


def _initial(
    pixels: Floats,
    light: Floats,
    good: NDArray[np.bool_],
    true: Floats,
    tone: camera_response.CameraResponse,
) -> _Parameters:
    usual = _linear(pixels / 255.0, tone) / light
    ratio = np.maximum(lab.lab_to_linear(true), 0.005) / np.maximum(usual, 0.005)
    gains = np.diag(np.median(ratio[good], axis=0))
    curve = np.array([tone.contrast, tone.saturation, tone.power])
    return _Parameters(curve, gains, np.zeros(3), np.zeros((3, 3)), np.zeros(3), np.zeros(2))


def _optimised(
    begun: _Parameters,
    pixels: Floats,
    good: NDArray[np.bool_],
    light: Floats,
    true: Floats,
    tone: camera_response.CameraResponse | None,
    turns: int | None = None,
) -> _Parameters:
    """Return the parameters that fit best, from where they begin; the tone held if it's known."""
    least_squares = least_squares_on_one_thread()
    start = begun.vector()
    held = start[: 3 if tone else 0]
    usual = _initial(
        pixels, light, good, true, tone or camera_response.CameraResponse()
    ).linear.diagonal()

    def residuals(loose: Floats) -> Floats:
        parameters = _Parameters.of(np.concatenate([held, loose]))
        away = lab.linear_to_lab(_true_light(parameters, pixels, light)) - true
        return np.concatenate([_weighted(away, true)[good].ravel(), _prior_cost(parameters, usual)])

    low, high = np.full((2, len(start)), np.inf) * [[-1], [1]]
    low[:3], high[:3] = np.array(PARAMETER_LIMITS).T
    bounds = low[len(held) :], high[len(held) :]
    begin = np.clip(start[len(held) :], *bounds)
    found = least_squares(
        residuals,
        begin,
        bounds=bounds,
        loss="soft_l1",
        f_scale=OUTLIER_RESIDUAL,
        ftol=CONVERGED,
        xtol=CONVERGED,
        max_nfev=turns,
    )
    return _Parameters.of(np.concatenate([held, found.x]))


def _prior_cost(parameters: _Parameters, gains: Floats) -> Floats:
    """Return what the parameters' departures from the usual cost."""
    contrast, saturation, power = parameters.tone
    away = (
        np.array([contrast - camera_response.CONTRAST]),
        np.array([saturation - camera_response.SATURATION]),
        np.log([power]),
        (parameters.linear / gains)[~np.eye(3, dtype=bool)],
        parameters.fall,
        parameters.stray,
        parameters.stray - parameters.stray.mean(),
        parameters.roots.ravel(),
        parameters.powers,
    )
    return np.concatenate([cost * part for cost, part in zip(PRIOR_COSTS, away, strict=True)])


def _true_light(parameters: _Parameters, pixels: Floats, light: Floats) -> Floats:
    """Return the true linear light, (24, 3), that patches are taken for."""
    tone = camera_response.CameraResponse(*parameters.tone)
    even = _linear(pixels / 255.0, tone) / light * _risen(parameters.fall)
    return camera_response.mixed(even / parameters.white(), parameters.mixing())


def _risen(fall: Floats) -> Floats:
    return np.asarray(np.exp(-(NORMALISED_PLACES @ fall))[:, None])


def _linear(encoded: Floats, tone: camera_response.CameraResponse) -> Floats:
    """Return linear light as `CameraResponse.linear`, of colours between the 256 levels too."""
    x = np.linspace(0.0, 1.0, 1025)
    even = np.interp(encoded, x + tone.contrast * (3 * x**2 - 2 * x**3 - x), x)
    grey = (even @ camera_response.LUMA)[:, None]
    calm = np.clip(grey + (even - grey) / tone.saturation, 0.0, 1.0)
    return np.asarray(np.maximum(lab.srgb_to_linear(calm), 1e-6) ** tone.power)


def _weighted(away: Floats, true: Floats) -> Floats:
    """Return CIELAB differences weighted as CIE94 does: lightness, chroma, hue, (n, 3)."""
    chroma, hue = lab.chroma(true), np.radians(lab.hue_angle(true))
    along = away[:, 1] * np.cos(hue) + away[:, 2] * np.sin(hue)
    round_ = away[:, 2] * np.cos(hue) - away[:, 1] * np.sin(hue)
    return np.column_stack(
        [away[:, 0], along / (1 + 0.045 * chroma), round_ / (1 + 0.015 * chroma)]
    )
