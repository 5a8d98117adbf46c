"""How squares of cloth look: their prints, how they are cut, worn and lit."""

from __future__ import annotations

import numpy as np
from layouts import plain_colour
from things import COLUMNS, PRINT, Things


def fabrics(rng: np.random.Generator, things: Things, n: int) -> dict[str, np.ndarray]:
    """Choose a print and a tint for each of n squares."""
    few = things.some(rng, PRINT, rng.integers(2, 30))
    pick = rng.integers(0, len(few), n)
    gain, offset = np.ones((len(few), 3)), np.zeros((len(few), 3))
    style = rng.random()
    if style < 0.25:  # tonals
        gain = rng.uniform(0.45, 1.1, (len(few), 1)) * rng.uniform(0.8, 1.2, (len(few), 3))
        offset = (1 - gain.max(1, keepdims=True)).clip(0) * rng.uniform(0, 0.6, (len(few), 1))
    elif style < 0.35:  # plain dyes
        gain = gain * rng.uniform(0.02, 0.25, (len(few), 1))
        offset = plain_colour(rng, len(few)) * (1 - gain)
    return {"source": few[pick], "gain": gain[pick], "offset": offset[pick]}


def cuts(rng: np.random.Generator, n: int) -> dict[str, np.ndarray]:
    """Draw how n squares are cut, worn and lit."""
    teeth = np.zeros((n, 4))
    if rng.random() < 0.25:
        teeth[:] = [rng.uniform(0.005, 0.016), rng.uniform(14, 45), 0, 0]
    elif rng.random() < 0.5:
        teeth[:] = [rng.uniform(0.001, 0.008), rng.uniform(0.6, 3), 0, 1]
        teeth[:, 2] = rng.uniform(0, 6.3, n)
    folded = (rng.random(n) < 0.04).astype(float) * (rng.random() < 0.4)
    way = rng.uniform(0, 6.3, n)
    strength = rng.normal(0, rng.choice([0.05, 0.2]), n) * (rng.random(n) < 0.4)
    sun, far = rng.uniform(0, 6.3), rng.uniform(0, 0.035)
    shadow = [rng.uniform(0, 0.55), rng.uniform(0.006, 0.03), far * np.cos(sun), far * np.sin(sun)]
    return {
        "teeth": teeth,
        "cut": folded * rng.uniform(0.1, 0.3, n),
        "folded": (rng.random(n) < 0.8).astype(float),
        "cut_side": rng.choice([-1, 1], (n, 2)),
        "crease": np.stack([np.cos(way), np.sin(way), rng.uniform(-0.4, 0.4, n), strength], 1),
        "shadow": np.tile(shadow, (n, 1)),
        "rim": np.tile([rng.normal(0, 0.08), rng.uniform(0.008, 0.04)], (n, 1)),
        "round": np.full(n, rng.uniform(0.03, 0.2) if rng.random() < 0.08 else 0),
    }


def loosened(rng: np.random.Generator, things: Things) -> None:
    """Let squares be cut and laid loosely: none quite square, curled, creased."""
    some = np.flatnonzero(things.square)
    n = len(some)
    things.rows[some, COLUMNS["half"]] *= 1 + rng.normal(0, 0.015, (n, 2))
    things.rows[some, COLUMNS["frame"]] *= 1 + rng.normal(0, 0.015, (n, 4))
    far = rng.normal(0, rng.choice([0.005, 0.015]), n)
    things.rows[some, COLUMNS["teeth"]] = np.stack(
        [far, np.ones(n), rng.uniform(-0.15, 0.15, n), np.full(n, 2)], 1
    )
    way, strength = rng.uniform(0, 6.3, n), rng.normal(0, 0.3, n) * (rng.random(n) < 0.8)
    things.rows[some, COLUMNS["crease"]] = np.stack(
        [np.cos(way), np.sin(way), rng.uniform(-0.45, 0.45, n), strength], 1
    )


def windows(
    rng: np.random.Generator, n: int, turn: np.ndarray, middle: np.ndarray
) -> dict[str, np.ndarray]:
    """Draw which part of its print each square is, and which way round."""
    wide = rng.uniform(0.25, 0.66)
    quarter = rng.integers(0, 4, n) * (rng.random() < 0.7)
    cos, sin = np.round(np.cos(quarter * np.pi / 2)), np.round(np.sin(quarter * np.pi / 2))
    shift = 0.5 + rng.uniform(-1, 1, (n, 2)) * (0.5 - wide / 2)
    if rng.random() < 0.1:  # cut from one length of cloth: stripes run on into the neighbour
        cos, sin, shift = np.ones(n), np.zeros(n), middle * wide
    return {"map": np.stack([cos, -sin, sin, cos], 1) * wide, "shift": shift}
