"""Which squares are told as cut from one fabric, by stated cases.

    python tests/bench/fabrics.py [PHOTOS]

Draws as many photos (12 by default) of six groups of squares: three cut from one print, two from it
in other colours, two from another print in its colours, one plain of its mean colour. Prints a
Markdown table: for each kind of print, the share of pairs told as one fabric, by case, and of all
pairs the share told so surely. The prints share nothing with those that the network learns from.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog.bundle.fabrics import surely_same, tell_fabrics
from catalog.colour import lab
from catalog.measuring import label_bundle, measure
from catalog.models import Found, Light, Photo, Square, Swatch

Picture = NDArray[np.float64]
Rng = np.random.Generator
SIDE, GAP, TILE = 270, 20, 660
"""Pixels along a square of 5 in., between two, and along the cloth that squares are cut from."""
GROUPS, COLUMNS = 6, 8
EVEN = Light(np.ones(3), np.ones((1, 1, 3), np.float32), "made", 1.0, 0.0)
CASES = ("one print", "other colours", "other print", "its mean")
CUTS = (0, 0, 0, 1, 1, 2, 2, 3)
"""Which case's fabric each square of a group is cut from."""


def inks(rng: Rng) -> Picture:
    """Draw four colours, linear light (4, 3), the first light or dark."""
    lightness = np.r_[rng.choice([25, 90]), rng.uniform(30, 85, 3)]
    hue, chroma = rng.uniform(0, 2 * np.pi, 4), np.r_[rng.uniform(0, 30), rng.uniform(20, 65, 3)]
    colours = np.stack([lightness, chroma * np.cos(hue), chroma * np.sin(hue)], 1)
    return np.clip(lab.lab_to_linear(colours), 0.01, 0.95)


def leaf(place: Picture, turn: float, size: float, slim: float) -> NDArray[np.int32]:
    """Return a leaf's outline, 1/16 px."""
    t = np.linspace(0, 2 * np.pi, 24)
    x, y = size * np.cos(t), slim * size * np.sin(t) * np.abs(np.cos(t / 2))
    cos, sin = np.cos(turn), np.sin(turn)
    there = place + np.stack([cos * x - sin * y, sin * x + cos * y], 1)
    return np.round(there * 16).astype(np.int32)


def tossed(rng: Rng, low: float, high: float) -> Picture:
    """Flowers and leaves strewn over the cloth, (TILE, TILE) which ink."""
    cloth, step = np.zeros((TILE, TILE), np.uint8), rng.uniform(low, high)
    petals, slim = int(rng.integers(3, 8)), rng.uniform(0.25, 0.6)
    grid = np.arange(-1, TILE / step + 2)
    for x, y in rng.permutation(np.stack(np.meshgrid(grid, grid), -1).reshape(-1, 2)):
        place = (np.array([x, y]) + rng.uniform(-0.3, 0.3, 2)) * step
        size, ink = step * rng.uniform(0.3, 0.6), int(rng.integers(1, 4))
        for turn in rng.uniform(0, 2 * np.pi) + np.arange(petals) * 2 * np.pi / petals:
            middle = place + 0.5 * size * np.array([np.cos(turn), np.sin(turn)])
            cv2.fillPoly(cloth, [leaf(middle, turn, size / 2, slim)], ink, cv2.LINE_8, 4)
        cv2.circle(cloth, np.round(place).astype(int).tolist(), int(size / 5), 1 + ink % 3, -1)
    return cloth


def checked(rng: Rng) -> Picture:
    """Stripes both ways or one way, one over the other."""
    widths = np.tile(rng.integers(6, 40, 4), TILE)
    bands = np.repeat(np.tile(rng.permutation(4), TILE), widths)[:TILE].astype(np.uint8)
    one_way = np.tile(bands, (TILE, 1))
    if rng.random() < 0.4:
        return one_way
    weave = np.add.outer(np.arange(TILE), np.arange(TILE)) % 4 < 2
    return np.where(weave, one_way, one_way.T)


def dotted(rng: Rng) -> Picture:
    """Dots in rows that are set off."""
    cloth, step = np.zeros((TILE, TILE), np.uint8), rng.uniform(14, 60)
    radius, several = rng.uniform(0.15, 0.4) * step, int(rng.integers(1, 4))
    for row in range(int(TILE / step) + 2):
        for col in range(int(TILE / step) + 2):
            place = int((col + 0.5 * (row % 2)) * step), int(row * step)
            ink = 1 + int(rng.integers(several))
            cv2.circle(cloth, place, max(2, int(radius)), ink, -1)
    return cloth


def mottled(rng: Rng) -> Picture:
    """Areas that run into each other, as with hand-dyed cloth."""
    fields = []
    for cells in rng.integers(4, 26) * np.ones(4, int):
        small = rng.normal(size=(cells, cells)).astype(np.float32)
        fields.append(cv2.resize(small, (TILE, TILE), interpolation=cv2.INTER_CUBIC))
    return np.argmax(fields, axis=0).astype(np.uint8)


KINDS: dict[str, Callable[[Rng], Picture]] = {
    "small figures": lambda rng: tossed(rng, 22, 45),
    "figures of an inch": lambda rng: tossed(rng, 55, 90),
    "large figures": lambda rng: tossed(rng, 110, 190),
    "stripes and checks": checked,
    "dots": dotted,
    "mottled": mottled,
}


def photographed(rng: Rng) -> tuple[tuple[Swatch, ...], list[tuple[str, int, int]]]:
    """Draw a photo of groups of squares; its swatches, and each one's kind, group and case."""
    pitch = SIDE + GAP
    linear = np.full((GROUPS * pitch, COLUMNS * pitch, 3), 0.3)
    squares, truth = [], []
    for group in range(GROUPS):
        kind = list(KINDS)[group]
        one, two = KINDS[kind](rng), KINDS[kind](rng)
        own = inks(rng)
        mean = np.full_like(own, own[one.ravel()].mean(axis=0))
        fabrics = [(one, own), (one, inks(rng)), (two, own), (one, mean)]
        for place, case in enumerate(CUTS):
            cloth, colours = fabrics[case]
            y, x = rng.integers(0, TILE - SIDE, 2)
            cut = np.rot90(cloth[y : y + SIDE, x : x + SIDE], rng.integers(4))
            left, top = place * pitch + GAP // 2, group * pitch + GAP // 2
            light = np.exp(rng.normal(0, 0.025))
            linear[top : top + SIDE, left : left + SIDE] = colours[cut] * light
            right, low = left + SIDE, top + SIDE
            corners = ((left, top), (right, top), (right, low), (left, low))
            squares.append(Square(corners, group + 1, place + 1, 5.0, 5.0, 1.0))
            truth.append((kind, group, case))
    seen = cv2.GaussianBlur(linear, (0, 0), rng.uniform(0.7, 1.4))
    seen += rng.normal(size=seen.shape) * 0.006
    pixels = np.round(lab.linear_to_srgb(np.clip(seen, 0, 1)) * 255).astype(np.uint8)
    found = Found(tuple(squares), SIDE / 5)
    return label_bundle([measure(Photo("drawn", pixels), found, EVEN)]), truth


def main() -> None:
    """Print the table."""
    told: dict[tuple[str, int], list[float]] = defaultdict(list)
    sure: dict[tuple[str, int], list[float]] = defaultdict(list)
    for seed in range(int(sys.argv[1]) if len(sys.argv) > 1 else 12):
        swatches, truth = photographed(np.random.default_rng(seed))
        named = tell_fabrics(swatches)
        for (a, (kind, group, case)), (b, (_, beside, other)) in combinations(
            zip(named, truth, strict=True), 2
        ):
            if group == beside and case in {0, other}:
                place = 0 if case == other else other
                told[kind, place].append(a.fabric == b.fabric)
                sure[kind, place].append(surely_same(a, b) is True)
            elif group != beside:
                told["two prints", 1].append(a.fabric == b.fabric)
    head = "| prints | " + " | ".join(CASES) + " |\n|---" + "|---" * len(CASES) + "|\n"
    rows = []
    for kind in KINDS:
        each = [(np.mean(told[kind, n]), np.mean(sure[kind, n])) for n in range(4)]
        rows.append(
            f"| {kind} | " + " | ".join(f"{one:.2f}, {two:.2f}" for one, two in each) + " |\n"
        )
    apart = told["two prints", 1]
    sys.stdout.write(head + "".join(rows))
    sys.stdout.write(
        f"\nOf {len(apart)} pairs of two groups {int(np.sum(apart))} were told as one.\n"
    )


if __name__ == "__main__":
    main()
