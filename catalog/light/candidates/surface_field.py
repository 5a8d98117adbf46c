"""The supporting surface that the squares lie on, as evidence of the light over the plane."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]
BlockedLight = Callable[[Floats], Floats]

MIN_SAMPLES = 300
"""Fewer ground pixels than this can't carry six coefficients a channel."""
DEGREE = 2
"""Of the polynomial: 1 left regret 1.24, 2 gave 1.08, 3 gave 1.33 (measured on 14 dev photos)."""
LOG_FLOOR = 0.002
"""Added to linear light before the logarithm: about the read noise of a phone."""
MIN_CHANNEL_DIFFERENCE = 0.15
"""Share of its light by which a ground's channels must differ to tell its own colour from sheen."""
DIFFERENCE_LOG_FLOOR = 0.004
"""Added to that difference before the logarithm: noise of two channels."""
COEFFICIENT_SPREAD = 1.0
"""Standard deviation of the polynomial's terms, natural logarithm over the radius of the bundle, as
far as the ground that is seen doesn't tell: 0.1 to 0.7 on the dev photos. Where only a strip or a
corner of it shows, the terms that it can't tell would else be anything."""
CORRELATED_PIXELS = 50.0
"""Pixels of ground that tell no more than one: its grain is as coarse, and its pattern coarser."""
MAX_EXTRAPOLATION = 2.5
"""Radii from the bundle's middle beyond which the light stays as it is there: no ground further out
than `MAX_DISTANCE` is looked at."""
_MAX_ITERATIONS = 12
_POWERS = np.array([(i, j) for i in range(DEGREE + 1) for j in range(DEGREE + 1 - i)]).T
"""Of x and of y in each term of the polynomial."""


@dataclass(frozen=True, eq=False)
class IlluminationField:
    """A polynomial for the logarithm of the ground's light, one for each channel."""

    middle: Floats
    radius: float
    coefficients: Floats
    """(terms, 3)"""
    spread: float
    """Typical residual, natural logarithm: the ground's grain and pattern; infinite where no
    ground was seen."""

    def terms_at(self, points: Floats) -> Floats:
        """Return the polynomial's terms, (..., terms), at points (..., 2); the first is 1."""
        return _terms(self.scaled(points))

    def scaled(self, points: Floats, axis: int | slice = np.s_[:]) -> Floats:
        """Return points as the polynomial has them, radii from the middle; or one axis of them."""
        away = (points - self.middle[axis]) / self.radius
        return np.clip(away, -MAX_EXTRAPOLATION, MAX_EXTRAPOLATION)

    def at(self, points: Floats) -> Floats:
        """Return the ground's linear light, (..., 3), at points (..., 2) in working px."""
        return np.asarray(np.exp(self.terms_at(points) @ self.coefficients))

    def changed(self, centres: Floats, change: Floats) -> IlluminationField:
        """Add a change to all terms but the first, (terms - 1, 3), as bright as before.

        ``centres`` (n, 2), working px, are where the light keeps its mean.
        """
        level = -(self.terms_at(centres)[:, 1:] @ change).mean(axis=0)
        return replace(self, coefficients=self.coefficients + np.vstack([level, change]))


def fit_surface(view: ReducedView, blocked: BlockedLight | None = None) -> IlluminationField:
    """Fit the light to the ground near the squares; even light where there is too little of it.

    ``blocked`` tells the logarithm of the light, (n, 3), that a shadow leaves at points (n, 2).
    """
    points, logs = surface_samples(view, blocked)
    return _fitted(view, points, logs) if len(points) >= MIN_SAMPLES else even_field(view)


def surface_samples(
    view: ReducedView, blocked: BlockedLight | None = None
) -> tuple[Floats, Floats]:
    """Return where ground near the squares was looked at, (n, 2), and its light's logarithm."""
    picked = view.surface
    logs = np.log(view.light_at(picked) + LOG_FLOOR)
    return view.points_at(picked), logs - _dark(view, picked, blocked)


def fit_surface_without_sheen(
    view: ReducedView, blocked: BlockedLight | None = None
) -> IlluminationField | None:
    """Fit the light to the ground's own colour, which leaves out what a glossy ground mirrors.

    A mirrored lamp or window adds about as much to every channel of a balanced picture, so that the
    difference between the ground's strongest and weakest channel holds light that went through
    the ground alone (dichromatic reflection: Shafer 1985, Color Research and Application 10, 210).

    Returns
    -------
    IlluminationField or None
        One light for all channels; None where the ground has too little colour of its own.
    """
    picked = view.surface
    if len(picked) < MIN_SAMPLES:
        return None
    light = view.light_at(picked)
    colour = np.ptp(light, axis=1)
    if np.median(colour) < MIN_CHANNEL_DIFFERENCE * np.median(light.mean(axis=1)):
        return None
    logs = np.log(colour + DIFFERENCE_LOG_FLOOR)[:, None].repeat(3, axis=1)
    return _fitted(view, view.points_at(picked), logs - _dark(view, picked, blocked))


def _dark(view: ReducedView, picked: NDArray[np.intp], blocked: BlockedLight | None) -> Floats:
    return np.zeros(3) if blocked is None else blocked(view.points_at(picked))


def even_field(view: ReducedView) -> IlluminationField:
    """Return a light that is the same everywhere."""
    middle = view.centres.mean(axis=0)
    radius = float(max(np.abs(view.centres - middle).max(), view.side))
    return IlluminationField(middle, radius, np.zeros((_terms(middle).shape[-1], 3)), np.inf)


def _fitted(view: ReducedView, points: Floats, logs: Floats) -> IlluminationField:
    """Fit the polynomial to the logarithms of light, (n, 3), at points (n, 2)."""
    even = even_field(view)
    coefficients, spread = _robust(even.terms_at(points), logs)
    return replace(even, coefficients=coefficients, spread=spread)


def drawn_to_even(terms: int) -> Floats:
    """Return the ridge, (terms, terms), that holds a light even, for a spread of 1."""
    return np.diag([0.0, *np.ones(terms - 1)]) * CORRELATED_PIXELS / COEFFICIENT_SPREAD**2


def field_grid(field: IlluminationField, view: ReducedView, shape: tuple[int, ...]) -> Floats:
    """Return the light, (rows, columns, 3), at the centres of cells that tile the photo."""
    return np.exp(field_logs(field, view, shape))


def field_logs(field: IlluminationField, view: ReducedView, shape: tuple[int, ...]) -> Floats:
    """Return the logarithm of the light, (rows, columns, 3), at the centres of such cells."""
    across, down = (
        np.vander(field.scaled((np.arange(n) + 0.5) * px / n, axis), DEGREE + 1, increasing=True)
        for axis, n, px in zip((0, 1), shape[1::-1], view.pixels.shape[1::-1], strict=True)
    )
    weights = np.zeros((DEGREE + 1, DEGREE + 1, 3))  # of each power of y and of x
    weights[_POWERS[1], _POWERS[0]] = field.coefficients
    return np.asarray(across @ np.tensordot(down, weights, 1))


def _terms(points: Floats) -> Floats:
    x, y = points[..., 0], points[..., 1]
    terms = np.empty((*x.shape, len(_POWERS[0])))
    column, place = np.ones_like(x), 0
    for i in range(DEGREE + 1):
        term = column
        for _ in range(DEGREE + 1 - i):
            terms[..., place] = term
            term, place = term * y, place + 1
        column = column * x
    return terms


def _robust(terms: Floats, logs: Floats) -> tuple[Floats, float]:
    """Fit by least squares, reweighted first as Huber and then as Tukey (biweight) does.

    All terms but the constant are drawn towards 0, as `COEFFICIENT_SPREAD` says how large they are.
    """
    weights, spread = np.ones(len(logs)), COEFFICIENT_SPREAD
    drawn = drawn_to_even(terms.shape[1])
    rows, seen = np.ascontiguousarray(terms.T), np.ascontiguousarray(logs.T)
    for turn in range(_MAX_ITERATIONS):
        weighted = rows * weights
        coefficients = np.linalg.solve(weighted @ terms + spread**2 * drawn, weighted @ logs)
        residual = np.sqrt(np.square(seen - coefficients.T @ rows).mean(axis=0))
        spread = max(1.2 * float(np.median(residual)), 0.03)
        if turn < _MAX_ITERATIONS // 3:
            weights = 1.0 / np.maximum(residual / spread, 1.0)
        else:
            weights = np.clip(1.0 - (residual / (4.0 * spread)) ** 2, 0.0, None) ** 2 + 1e-9
    return np.asarray(coefficients, np.float64), spread
