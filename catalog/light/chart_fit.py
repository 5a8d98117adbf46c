"""A chart's patches as read against their published colours: the camera's curve and mixing."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from catalog import camera, lab

Floats = NDArray[np.float64]

CLIPPED = (2.0, 251.0)
"""A patch with a channel at or beyond these, of 255, is no witness: the camera cut it off."""
PLACES = np.array([(float(i % 6), float(i // 6)) for i in range(24)])
"""Column and row of each patch, in reading order."""
ACROSS = np.column_stack([PLACES[:, 0] / 2.5 - 1.0, PLACES[:, 1] / 1.5 - 1.0])
"""The same from -1 to 1."""
STIFFNESS = (10.0, 10.0, 1.0, 30.0, 20.0, 50.0, 150.0)
"""CIEDE2000-like units that a departure by 1 costs: contrast, saturation, logarithm of the power,
mixing of channels relative to their gain, logarithm of the light's fall across half the chart,
stray light, its tint. With these, every second patch of a chart tells the others within (median)
1.5 on the dev photo, 3.1 and 3.3 in a cabinet, 4.3 on another make's chart, 5.7 on a paper one."""
LIMITS = ((-0.9, 0.95), (0.7, 1.8), (0.3, 2.0))
"""Of contrast (beyond 1 the curve would fall), saturation, power."""
OUTLIER = 2.0
"""Residual from which a patch pulls less (soft L1)."""


@dataclass(frozen=True, eq=False)
class ChartFit:
    """What a chart tells of the camera."""

    tone: camera.Tone
    mixing: Floats
    """(3, 4) from linear RGB, the tone taken off, and 1 to true linear sRGB."""
    edition: str
    """Of the published values, that fits best."""
    off: float
    """CIEDE2000 that is left, mean over the good patches."""

    def colours(self, pixels: Floats, light: Floats | float = 1.0) -> Floats:
        """Return CIELAB of pixels (n, 3), sRGB 0 to 255, seen in a relative light (n, 3)."""
        return lab.linear_to_lab(_mixed(_linear(pixels / 255.0, self.tone) / light, self.mixing))


@cache
def editions() -> dict[str, Floats]:
    """Return the published colours, CIELAB (24, 3), of each edition of the chart."""
    text = (files("catalog") / "light" / "chart_values.csv").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    values: dict[str, list[list[float]]] = {}
    for row in csv.DictReader(lines):
        values.setdefault(row["edition"], []).append([float(row[axis]) for axis in "Lab"])
    return {name: np.array(rows) for name, rows in values.items()}


def fit_chart(
    pixels: Floats, good: NDArray[np.bool_], light: Floats, tone: camera.Tone | None = None
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
    tone : camera.Tone, optional
        Where it is known already.

    Returns
    -------
    ChartFit
        With the edition of published values that is nearest.
    """
    fits = []
    start: Floats | None = None
    for name, true in sorted(editions().items(), key=lambda item: item[0] != "average"):
        start = _solved(pixels, good, light, true, start, tone)
        toned, mixing, _ = _parts(start)
        off = lab.ciede2000(lab.linear_to_lab(_seen(start, pixels / 255.0, light)), true)
        fits.append(ChartFit(toned, mixing, name, float(off[good].mean())))
    return min(fits, key=lambda fit: fit.off)


def _solved(
    pixels: Floats,
    good: NDArray[np.bool_],
    light: Floats,
    true: Floats,
    start: Floats | None,
    tone: camera.Tone | None,
) -> Floats:
    """Return the parameters: tone (3), mixing (3 x 4), fall of the light (2)."""
    from scipy.optimize import least_squares

    begun = tone or camera.Tone()
    usual = _linear(pixels / 255.0, begun) / light
    ratio = np.maximum(lab.lab_to_linear(true), 0.005) / np.maximum(usual, 0.005)
    gains = np.median(ratio[good], axis=0)
    if start is None:
        mixing = np.column_stack([np.diag(gains), np.zeros(3)])
        curve = (begun.contrast, begun.saturation, begun.power)
        start = np.array([*curve, *mixing.ravel(), 0.0, 0.0])
    held = start[: 3 if tone else 0]

    def residuals(loose: Floats) -> Floats:
        parameters = np.concatenate([held, loose])
        away = lab.linear_to_lab(_seen(parameters, pixels / 255.0, light)) - true
        return np.concatenate([_weighted(away, true)[good].ravel(), _stiff(parameters, gains)])

    low, high = np.full((2, len(start)), np.inf) * [[-1], [1]]
    low[:3], high[:3] = np.array(LIMITS).T
    bounds = low[len(held) :], high[len(held) :]
    begin = start[len(held) :]
    found = least_squares(residuals, begin, bounds=bounds, loss="soft_l1", f_scale=OUTLIER)
    return np.concatenate([held, found.x])


def _stiff(parameters: Floats, gains: Floats) -> Floats:
    """Return what the parameters' departures from the usual cost."""
    tone, mixing, fall = _parts(parameters)
    stray = mixing[:, 3]
    away = (
        np.array([tone.contrast - camera.CONTRAST]),
        np.array([tone.saturation - camera.SATURATION]),
        np.log([tone.power]),
        (mixing[:, :3] / gains)[~np.eye(3, dtype=bool)],
        fall,
        stray,
        stray - stray.mean(),
    )
    return np.concatenate([cost * part for cost, part in zip(STIFFNESS, away, strict=True)])


def _parts(parameters: Floats) -> tuple[camera.Tone, Floats, Floats]:
    contrast, saturation, power = (float(value) for value in parameters[:3])
    tone = camera.Tone(contrast, saturation, power)
    return tone, parameters[3:15].reshape(3, 4), parameters[15:]


def _seen(parameters: Floats, encoded: Floats, light: Floats) -> Floats:
    tone, mixing, fall = _parts(parameters)
    even = _linear(encoded, tone) / light * np.exp(-(ACROSS @ fall))[:, None]
    return _mixed(even, mixing)


def _mixed(even: Floats, mixing: Floats) -> Floats:
    return np.asarray(even @ mixing[:, :3].T + mixing[:, 3])


def _linear(encoded: Floats, tone: camera.Tone) -> Floats:
    """Return linear light as `camera.Tone.linear`, of colours between the 256 levels too."""
    x = np.linspace(0.0, 1.0, 1025)
    even = np.interp(encoded, x + tone.contrast * (3 * x**2 - 2 * x**3 - x), x)
    grey = (even @ camera.LUMA)[:, None]
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
