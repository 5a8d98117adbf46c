"""Squares sewn into a quilt top: sashing between them, posts where strips cross, a border.

The sashing and the posts are cloth and lie in the same rows as the squares, but are none of them.
"""

from __future__ import annotations

import numpy as np
from layouts import plain_colour
from things import COLUMNS, PRINT, Things

MOST_ROWS = 7
"""Rows and columns at most, so that squares, strips and posts stay below `things.MOST`."""

NARROW, WIDE = (0.06, 0.35), (0.35, 0.85)
"""How wide the sashing is, in sides of a square."""


def sashed(rng: np.random.Generator, things: Things, by: float) -> np.ndarray:
    """Lay border, sashing and posts, all turned by an angle; the middles (n, 2) of the squares."""
    rows, cols = rng.integers(2, MOST_ROWS + 1, 2)
    width = np.full(2, rng.uniform(*(NARROW if rng.random() < 0.6 else WIDE)))
    if rng.random() < 0.2:
        width[1] = rng.uniform(0.05, 0.85)
    pitch = 1 + width
    size = np.array([cols, rows]) * pitch - width
    outer = width if rng.random() < 0.7 else np.zeros(2)
    turn = np.array([[np.cos(by), np.sin(by)], [-np.sin(by), np.cos(by)]])
    border(rng, things, (size / 2 + outer, by))
    shown = {"shadow": seam(rng), "rim": [rng.normal(-0.03, 0.04), 0.02]}
    x = np.arange(cols + 1) * pitch[0] - size[0] / 2 - width[0] / 2
    y = np.arange(rows + 1) * pitch[1] - size[1] / 2 - width[1] / 2
    if outer[0] == 0:
        x, y = x[1:-1], y[1:-1]
    middle_x = np.arange(cols) * pitch[0] - size[0] / 2 + 0.5
    middle_y = np.arange(rows) * pitch[1] - size[1] / 2 + 0.5
    upright, lying = crossed(x, middle_y) @ turn, crossed(middle_x, y) @ turn
    one = strip_cloth(rng, things)
    pieces(rng, things, (upright, by, np.array([width[0], 1]) / 2), one, shown)
    pieces(rng, things, (lying, by, np.array([1, width[1]]) / 2), one, shown)
    posts = one if rng.random() < 0.25 else strip_cloth(rng, things)
    pieces(rng, things, (crossed(x, y) @ turn, by, width / 2), posts, shown)
    return crossed(middle_x, middle_y)


def crossed(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """All points (n, 2) of a net."""
    return np.stack([v.ravel() for v in np.meshgrid(x, y)], 1)


def seam(rng: np.random.Generator) -> list[float]:
    """The shadow that sewn cloth casts: next to none."""
    return [rng.uniform(0, 0.3), rng.uniform(0.005, 0.03), 0, 0]


def strip_cloth(rng: np.random.Generator, things: Things) -> tuple[np.ndarray, np.ndarray, float]:
    """Prints (k, 2), plain colours (k, 3) and how plain: what strips or posts are cut from."""
    few = 1 if rng.random() < 0.75 else int(rng.integers(2, 12))
    plain = rng.uniform(0.6, 0.98) if rng.random() < 0.6 else 0.0
    colour = plain_colour(rng, few)
    if rng.random() < 0.35:
        colour = np.tile(rng.uniform(0.75, 1.0), (few, 3)) + rng.normal(0, 0.02, (few, 3))
    return things.some(rng, PRINT, few), colour, plain


def pieces(
    rng: np.random.Generator,
    things: Things,
    laid: tuple[np.ndarray, float, np.ndarray],
    cloth: tuple[np.ndarray, np.ndarray, float],
    shown: dict,
) -> None:
    """Add pieces of cloth: middles, angle and half sizes; sources, colours and how plain."""
    middle, angle, half = laid
    source, colour, plain = cloth
    if not len(middle):
        return
    pick = rng.integers(0, len(source), len(middle))
    things.add(
        middle, angle, half, source[pick], shift=rng.uniform(0.2, 0.8, (len(middle), 2)),
        gain=np.full(3, 1 - plain), offset=plain * colour[pick], **shown,
    )  # fmt: skip


def border(rng: np.random.Generator, things: Things, laid: tuple[np.ndarray, float]) -> None:
    """Lay the border, or the batting, that the squares lie in the middle of."""
    half, angle = laid
    cloth = strip_cloth(rng, things)
    shown = {"shadow": [rng.uniform(0, 0.5), 0.06, 0.03, 0.03]}
    wide = rng.uniform(0, 1.2, 2) if rng.random() < 0.8 else np.array([6.0, 6.0])
    pieces(rng, things, (np.zeros((1, 2)), angle, half + wide), cloth, shown)
    things.rows[-1, COLUMNS["map"]] = np.array([0.5, 0, 0, 0.5]) / (half + wide).max()
