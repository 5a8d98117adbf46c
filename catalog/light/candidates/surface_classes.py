"""A supporting surface of several colours, all in one light: patterned cloth, sashing, a border."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.surface_field import (
    MIN_SAMPLES,
    BlockedLight,
    IlluminationField,
    drawn_to_even,
    even_field,
    surface_samples,
)
from catalog.light.reduced_view import ReducedView

Floats = NDArray[np.float64]
Numbers = NDArray[np.intp]

CLASSES = 4
"""Colours of the surface. With 2 borders of two colours stay one class; 7 part what light parts:
on 50 photographs 4 was nearest to the true light, 7 as near on patterns alone."""
ROUNDS = 6
"""Of telling the classes by the light and the light by the classes."""
MIN_SPREAD = 0.03
"""Natural logarithm by which one class varies at least."""


def fit_surface_in_classes(
    view: ReducedView, blocked: BlockedLight | None = None
) -> IlluminationField | None:
    """Fit one light to ground of several colours, each of which tells only how it changes.

    What of the ground is brighter or of another colour on one side of the squares than on the other
    says nothing of the light; what is one colour and changes from place to place does (k-means on
    what the light leaves, by turns with the light).

    Parameters
    ----------
    view : ReducedView
    blocked : callable, optional
        As for `fit_surface`.

    Returns
    -------
    IlluminationField or None
        None where there is too little ground.
    """
    points, logs = surface_samples(view, blocked)
    if len(points) < MIN_SAMPLES:
        return None
    even = even_field(view)
    terms = even.terms_at(points)[:, 1:]
    change: Floats = np.zeros((terms.shape[1], 3))
    classes, spread = None, MIN_SPREAD
    for _ in range(ROUNDS):
        classes, away = _classes(logs - terms @ change, classes)
        spread = max(1.2 * float(np.median(away)), MIN_SPREAD)
        weights = np.clip(1.0 - (away / (4.0 * spread)) ** 2, 0.0, None) ** 2 + 1e-6
        steps, apart = (_within(one, classes, weights) for one in (terms, logs))
        weighted = (steps * weights[:, None]).T
        stiff = spread**2 * drawn_to_even(terms.shape[1] + 1)[1:, 1:]
        change = np.asarray(np.linalg.solve(weighted @ steps + stiff, weighted @ apart))
    level = (logs - terms @ change).mean(axis=0)
    return replace(even, coefficients=np.vstack([level, change]), spread=spread)


def _classes(logs: Floats, before: Numbers | None) -> tuple[Numbers, Floats]:
    """Sort samples, (n, 3), into classes; also how far each lies from its own class's middle."""
    import cv2

    cv2.setRNGSeed(1)
    start = np.zeros((len(logs), 1), np.int32) if before is None else before[:, None].astype("i4")
    how = cv2.KMEANS_PP_CENTERS if before is None else cv2.KMEANS_USE_INITIAL_LABELS
    stop = cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 20, 1e-3
    tries = 3 if before is None else 1
    _, labels, middles = cv2.kmeans(logs.astype(np.float32), CLASSES, start, stop, tries, how)
    classes = np.asarray(labels, np.intp).ravel()
    away = logs - np.asarray(middles, np.float64)[classes]
    return classes, np.sqrt((away**2).mean(axis=1))


def _within(values: Floats, classes: Numbers, weights: Floats) -> Floats:
    """Take each class's own mean off values, (n, k)."""
    total = np.bincount(classes, weights, CLASSES) + 1e-12
    sums = [np.bincount(classes, weights * column, CLASSES) for column in values.T]
    return np.asarray(values - (np.array(sums) / total).T[classes])
