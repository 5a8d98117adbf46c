"""The ground that the squares lie on, as a witness of the light over the plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.light.view import View, every

Floats = NDArray[np.float64]

REACH = 1.0
"""How far outside the squares the ground still counts, in sides of a square."""
SAMPLES = 8_000
"""Ground pixels used."""
LEAST_SAMPLES = 300
"""Fewer ground pixels than this can't carry six coefficients a channel."""
LEAST_SQUARES = 4
"""Fewer squares can't bear out or disprove the light that the ground shows."""
DISPROOF = 6.0
"""Twice the logarithm of the odds, from which the squares disprove it: 20 to 1."""
DEGREE = 2
"""Of the polynomial: 1 left regret 1.24, 2 gave 1.08, 3 gave 1.33 (measured on 14 dev photos)."""
DARKEST = 0.002
"""Added to linear light before the logarithm: about the read noise of a phone."""
_TURNS = 12


@dataclass(frozen=True, eq=False)
class Smooth:
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
        return _terms((points - self.middle) / self.radius)

    def at(self, points: Floats) -> Floats:
        """Return the ground's linear light, (..., 3), at points (..., 2) in working px."""
        return np.asarray(np.exp(self.terms_at(points) @ self.coefficients))


def fit_ground(view: View) -> Smooth:
    """Fit the light to the ground near the squares; even light where there is too little of it."""
    middle = view.centres.mean(axis=0)
    radius = float(max(np.abs(view.centres - middle).max(), view.side))
    near = np.flatnonzero((view.outside > 0) & (view.outside < REACH * view.side))
    if len(near) < LEAST_SAMPLES:
        return _even(middle, radius)
    picked = every(near, SAMPLES)
    terms = _terms((view.points_at(picked) - middle) / radius)
    logs = np.log(view.light_at(picked) + DARKEST)
    smooth = Smooth(middle, radius, *_robust(terms, logs))
    return smooth if _borne_out(smooth, view) else _even(middle, radius)


def _even(middle: Floats, radius: float) -> Smooth:
    return Smooth(middle, radius, np.zeros((_terms(middle).shape[-1], 3)), np.inf)


def _borne_out(smooth: Smooth, view: View) -> bool:
    """Tell whether the squares share the light that the ground shows.

    Cloth lies anyhow in the light, so the squares' brightness has to rise with the ground's in
    proportion (slope 1). Where they lie in another light than what is seen round them, as on a
    stand before a backdrop, it doesn't (slope 0).
    """
    picked = every(np.flatnonzero(view.inside), SAMPLES)
    square = view.inside.ravel()[picked].astype(np.intp) - 1
    seen = np.bincount(square, minlength=len(view.centres))
    total = np.bincount(square, view.light_at(picked).mean(axis=1), len(view.centres))
    some = seen > 0
    if some.sum() < LEAST_SQUARES:
        return True
    cloth = np.log(total[some] / seen[some] + DARKEST)
    ground = np.log(smooth.at(view.centres[some]).mean(axis=1))
    cloth, ground = cloth - cloth.mean(), ground - ground.mean()
    energy = float((ground**2).sum()) + 1e-9
    slope = float((cloth * ground).sum()) / energy
    noise = min(float(((cloth - ground) ** 2).mean()), float((cloth**2).mean())) + 1e-3
    against = energy / noise * ((slope - 1.0) ** 2 - slope**2)
    return against < DISPROOF


def field_grid(smooth: Smooth, view: View, shape: tuple[int, ...]) -> Floats:
    """Return the light, (rows, columns, 3), at the centres of cells that tile the photo."""
    height, width = view.pixels.shape[:2]
    rows, columns = shape
    xs = (np.arange(columns) + 0.5) * width / columns
    ys = (np.arange(rows) + 0.5) * height / rows
    return smooth.at(np.stack(np.meshgrid(xs, ys), axis=-1))


def _terms(points: Floats) -> Floats:
    x, y = points[..., 0], points[..., 1]
    terms = np.empty((*x.shape, (DEGREE + 1) * (DEGREE + 2) // 2))
    column, place = np.ones_like(x), 0
    for i in range(DEGREE + 1):
        term = column
        for _ in range(DEGREE + 1 - i):
            terms[..., place] = term
            term, place = term * y, place + 1
        column = column * x
    return terms


def _robust(terms: Floats, logs: Floats) -> tuple[Floats, float]:
    """Fit by least squares, reweighted first as Huber and then as Tukey (biweight) does."""
    weights = np.ones(len(logs))
    for turn in range(_TURNS):
        weighted = terms * weights[:, None]
        coefficients = np.linalg.solve(weighted.T @ terms, weighted.T @ logs)
        residual = np.sqrt(((logs - terms @ coefficients) ** 2).mean(axis=1))
        spread = max(1.2 * float(np.median(residual)), 0.03)
        if turn < _TURNS // 3:
            weights = 1.0 / np.maximum(residual / spread, 1.0)
        else:
            weights = np.clip(1.0 - (residual / (4.0 * spread)) ** 2, 0.0, None) ** 2 + 1e-9
    return np.asarray(coefficients, np.float64), spread
