"""Rows of numbers smoothed, and what is likely told as shares: SciPy loads slowly for so little."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def logistic(logits: Floats) -> Floats:
    """Return the probability of each logit."""
    with np.errstate(over="ignore"):  # of one that is as good as 0
        return np.asarray(1.0 / (1.0 + np.exp(-logits)), np.float64)


def softmax(logits: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the shares that logits give along the last axis."""
    shares = np.exp(logits - logits.max(axis=-1, keepdims=True))
    return np.asarray(shares / shares.sum(axis=-1, keepdims=True), np.float32)


def gaussian(spread: float, radius: int) -> Floats:
    """Return weights (2 * radius + 1,) of a Gaussian that sum to 1."""
    weights = np.exp(-0.5 / (spread * spread) * np.arange(-radius, radius + 1) ** 2)
    return np.asarray(weights / weights.sum(), np.float64)


def smoothed(values: NDArray[np.floating], weights: Floats, *, axis: int = -1) -> Floats:
    """Return values averaged along an axis by symmetric weights; beyond its ends lies 0."""
    reach = len(weights) // 2
    lying = np.moveaxis(np.asarray(values, np.float64), axis, -1)
    beyond = np.zeros((*lying.shape[:-1], reach))
    padded = np.concatenate([beyond, lying, beyond], axis=-1)
    count = lying.shape[-1]
    total = weights[reach] * lying
    for step in range(reach, 0, -1):
        before, after = reach - step, reach + step
        both = padded[..., before : before + count] + padded[..., after : after + count]
        total += weights[before] * both
    return np.moveaxis(total, -1, axis)
