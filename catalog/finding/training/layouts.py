"""Where squares of cloth lie: rows, scatter, overlaps; side of a square = 1."""

from __future__ import annotations

import numpy as np

GAPS = (
    (0, 0, 0.17),
    (0, 0.03, 0.14),
    (0.02, 0.1, 0.18),
    (0.08, 0.5, 0.15),
    (0.5, 1.15, 0.06),
    (-0.35, -0.08, 0.14),
    (-0.52, -0.3, 0.12),
    (-0.6, -0.05, 0.04),
)
"""From, to, share: the way between neighbours in one direction."""

NEAREST = 1.12
"""Least way between the middles of scattered squares."""


def rows_of(rng: np.random.Generator, most: int = 13) -> tuple[np.ndarray, np.ndarray]:
    """Lay squares in rows: middles (n, 2) and turns (n,)."""
    rows, cols = rng.integers(1 if rng.random() < 0.1 else 2, most, 2)
    if rng.random() < 0.12:
        rows, cols = rng.integers(9, 15, 2)
    cols = max(2, cols)
    low, high, _ = GAPS[rng.choice(len(GAPS), p=[g[2] for g in GAPS])]
    gap = rng.uniform(low, high)
    other = gap if rng.random() < 0.7 and gap >= 0 else rng.uniform(0, rng.choice([0, 0.03, 0.15]))
    r, c = np.mgrid[0:rows, 0:cols]
    x, y = c * (1.0 + other), r * (1.0 + gap)
    if rng.random() < 0.15:
        x = x + (r % 2) * rng.uniform(0, 0.6)
    if rng.random() < 0.1:
        x = x + rng.uniform(-0.2, 0.2, (rows, 1))
    middles = np.stack([x.ravel(), y.ravel()], 1)
    keep = np.ones(len(middles), bool)
    if rng.random() < 0.3:
        keep[len(middles) - rng.integers(1, cols + 1) :] = False
    if rng.random() < 0.2:
        keep &= rng.random(len(keep)) > rng.uniform(0, 0.4)
    keep[0] = True
    middles = middles[keep]
    if rng.random() < 0.5:  # rows that are covered by the one above instead of the one below
        middles = middles[::-1]
    wobble = rng.choice([0, 0.01, 0.03, 0.06], p=[0.25, 0.35, 0.3, 0.1])
    turn = rng.choice([0.004, 0.015, 0.05, 0.12], p=[0.3, 0.35, 0.25, 0.1])
    return middles + rng.normal(0, wobble, middles.shape), rng.normal(0, turn, len(middles))


def scatter_of(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Scatter squares at any angle: middles (n, 2) and turns (n,)."""
    wanted = rng.integers(1, 40)
    wide = np.sqrt(wanted * rng.uniform(1.4, 5)) * rng.uniform(0.8, 1.4)
    least = NEAREST if rng.random() < 0.7 else rng.uniform(0.65, 1)
    middles = np.zeros((0, 2))
    for point in rng.uniform(0, wide, (12 * wanted, 2)) * [1, rng.uniform(0.6, 1)]:
        if len(middles) < wanted and (np.linalg.norm(middles - point, axis=1) > least).all():
            middles = np.concatenate([middles, point[None]])
    spread = rng.choice([0.15, 0.8, 10])
    return middles, rng.uniform(-1, 1, len(middles)) * min(spread, np.pi)


def turned(points: np.ndarray, angles: np.ndarray, by: float) -> tuple[np.ndarray, np.ndarray]:
    """Turn a whole layout."""
    cos, sin = np.cos(by), np.sin(by)
    return points @ np.array([[cos, sin], [-sin, cos]]), angles + by


def plain_colour(rng: np.random.Generator, n: int = 1) -> np.ndarray:
    """Draw colours (n, 3) without a print, RGB 0 to 1."""
    hue, wide = rng.random((n, 1)) * 6, rng.random((n, 1))
    value = rng.uniform(0.05, 1, (n, 1))
    part = (np.array([[5, 3, 1]]) + hue) % 6
    return value * (1 - wide * np.clip(np.minimum(part, 4 - part), 0, 1))
