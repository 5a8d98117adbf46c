"""Regular things that are no squares of cloth: windows, lattices, slats, rulers."""

from __future__ import annotations

import numpy as np
from layouts import plain_colour
from things import PRINT, Things


def lattice(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Lay bars both ways over whatever lies below: a window's, a grating's, a pergola's."""
    pitch = np.full(2, np.exp(rng.uniform(np.log(0.5), np.log(3))))
    if rng.random() < 0.5:
        pitch[0] *= rng.uniform(0.5, 2)
    bar = pitch.min() * rng.uniform(0.04, 0.45)
    angle = rng.normal(0, 0.05) + rng.choice([0, np.pi / 4], p=[0.85, 0.15])
    colour = bar_colour(rng)
    for k in (0, 1):
        slats(rng, things, (area, pitch[k], bar, angle + k * np.pi / 2), colour)


def bench(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Lay slats one way, light and dark in turn or alike."""
    pitch = np.exp(rng.uniform(np.log(0.3), np.log(1.5)))
    colour = bar_colour(rng)
    if rng.random() < 0.4:
        colour = np.stack([np.full(3, 0.05), np.full(3, 0.9)])
    angle = rng.uniform(0, np.pi)
    slats(rng, things, (area, pitch, pitch * rng.uniform(0.5, 0.95), angle), colour)
    if rng.random() < 0.6:  # beams under or over them
        wide = pitch * rng.uniform(2, 6)
        beams = (area, wide, wide * rng.uniform(0.1, 0.4), angle + np.pi / 2)
        slats(rng, things, beams, bar_colour(rng))


def bar_colour(rng: np.random.Generator) -> np.ndarray:
    """One paint (1, 3), oftener white, dark or brown."""
    kind = rng.integers(0, 4)
    if kind == 0:
        return np.full((1, 3), rng.uniform(0.75, 1))
    if kind == 1:
        return np.full((1, 3), rng.uniform(0, 0.2))
    if kind == 2:
        return np.array([[0.5, 0.34, 0.2]]) * rng.uniform(0.3, 1.5)
    return plain_colour(rng)


def slats(
    rng: np.random.Generator,
    things: Things,
    laid: tuple[np.ndarray, float, float, float],
    colour: np.ndarray,
) -> None:
    """Add parallel bars over an area: pitch, width, angle; colours (k, 3) in turn."""
    area, pitch, bar, angle = laid
    long = 0.6 * np.linalg.norm(area[1] - area[0])
    n = int(np.clip(2 * long / pitch, 2, 40))
    along = (np.arange(n) - (n - 1) / 2) * pitch
    across = np.array([-np.sin(angle), np.cos(angle)])
    things.add(
        area.mean(0) + along[:, None] * across, angle, [long, bar / 2],
        things.some(rng, PRINT, n), gain=rng.uniform(0, 0.2),
        offset=colour[np.arange(n) % len(colour)] * 0.9,
        shadow=[rng.uniform(0, 0.5), 0.05, rng.uniform(-0.1, 0.1), rng.uniform(-0.1, 0.1)],
        rim=[rng.normal(0, 0.1), 0.04],
    )  # fmt: skip


def ruler(rng: np.random.Generator, things: Things, middle: np.ndarray, angle: float) -> None:
    """Lay a ruler: a strip with a line for every inch, or with blocks in two colours in turn."""
    wide, n = rng.uniform(0.15, 1.2), int(rng.integers(4, 24))
    inch = wide * rng.choice([1.0, rng.uniform(0.2, 1.5)])
    strip, ink = bar_colour(rng)[0], bar_colour(rng)[0]
    plain, low = things.some(rng, PRINT, 1), [0.3, 0.04, 0.02, 0.02]
    half = np.array([n * inch / 2, wide / 2])
    things.add(middle, angle, half, plain, gain=0.03, offset=strip, shadow=low)
    way = np.array([np.cos(angle), np.sin(angle)])
    along = (np.arange(n) - (n - 1) / 2) * inch
    if rng.random() < 0.5:
        along, own = along[::2], np.array([inch, wide * rng.choice([1.0, 0.5])]) / 2
    else:
        own = np.array([0.03 * inch, wide * rng.uniform(0.15, 0.5)])
    things.add(middle + along[:, None] * way, angle, own, plain, gain=0.03, offset=ink)


def regular(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Lay one of these."""
    kind = rng.integers(0, 3)
    if kind == 0:
        lattice(rng, things, area)
    elif kind == 1:
        bench(rng, things, area)
    else:
        for _ in range(rng.integers(1, 4)):
            ruler(rng, things, rng.uniform(area[0], area[1]), rng.uniform(0, 6.3))
