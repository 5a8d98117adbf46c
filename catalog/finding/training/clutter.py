"""What lies beside, under and on squares of cloth and is none, nearly square things among it."""

from __future__ import annotations

import numpy as np
from layouts import plain_colour
from things import COLUMNS, GROUND, PHOTO, PRINT, Things

CHART = np.array(
    [
        (115, 82, 68), (194, 150, 130), (98, 122, 157), (87, 108, 67),
        (133, 128, 177), (103, 189, 170), (214, 126, 44), (80, 91, 166),
        (193, 90, 99), (94, 60, 108), (157, 188, 64), (224, 163, 46),
        (56, 61, 150), (70, 148, 73), (175, 54, 60), (231, 199, 31),
        (187, 86, 149), (8, 133, 161), (243, 243, 242), (200, 200, 200),
        (160, 160, 160), (122, 122, 121), (85, 85, 85), (52, 52, 52),
    ]
) / 255  # fmt: skip
"""The customary chart of 24 patches in sRGB; the commonly published values, from memory."""

OBLONG = (0.08, 0.15, 0.3, 0.45, 0.62, 0.71)
"""Short side by long side of things that aren't square: strips to sheets of paper."""

LEANING = 0.2
"""Share of the things strewn that are parallelograms, as the faces of solid bodies look."""


def sources(rng: np.random.Generator, things: Things, n: int, photo: float = 0.35) -> np.ndarray:
    """Draw pictures to colour n things from."""
    kind = rng.random(n)
    out = things.some(rng, PRINT, n)
    out[kind < photo] = things.some(rng, PHOTO, n)[kind < photo]
    ground = kind > 0.85
    out[ground] = things.some(rng, GROUND, n)[ground]
    return out


def tints(rng: np.random.Generator, n: int, plain: float = 0.5) -> dict[str, np.ndarray]:
    """Gain and offset that leave some things their picture and paint others plainly."""
    flat = (rng.random((n, 1)) < plain) * rng.uniform(0.7, 1, (n, 1))
    return {"gain": np.tile(1 - flat, (1, 3)), "offset": flat * plain_colour(rng, n)}


def strewn(
    rng: np.random.Generator, things: Things, n: int, area: np.ndarray, size: tuple[float, float]
) -> None:
    """Strew boxes, discs, triangles and pieces of photographs over an area ((2, 2): low, high)."""
    if n == 0:
        return
    middle = rng.uniform(area[0], area[1], (n, 2))
    long = np.exp(rng.uniform(np.log(size[0]), np.log(size[1]), n))
    shape = rng.choice(OBLONG, n)
    ellipse = (rng.random(n) < 0.3).astype(float)
    shape = np.where(ellipse > 0, rng.uniform(0.5, 1, n), shape)
    triangle = (rng.random(n) < 0.15) * (ellipse == 0)
    half = np.stack([long, long * np.where(triangle, rng.uniform(0.4, 1, n), shape)], 1) / 2
    short = half.min(1)
    rows = things.add(
        middle,
        rng.uniform(0, 2 * np.pi, n),
        half,
        sources(rng, things, n),
        ellipse=ellipse,
        round=short * rng.choice([0, 0.05, 0.3, 1], n) * (triangle == 0),
        cut=np.where(triangle > 0, half.sum(1), 0),
        map=spread(rng, half.max(1)),
        shift=rng.uniform(0.3, 0.7, (n, 2)),
        shadow=shadows(rng, n, short),
        crease=shading(rng, half),
        **tints(rng, n),
    )
    lean = rng.uniform(-0.8, 0.8, n) * (rng.random(n) < LEANING)
    frame = rows[:, COLUMNS["frame"]]
    frame[:, :2] += lean[:, None] * frame[:, 2:]


def spread(rng: np.random.Generator, reach: np.ndarray) -> np.ndarray:
    """Map own frames of such reach into a picture: (n, 4)."""
    zoom = rng.uniform(0.15, 0.6, len(reach)) / np.maximum(reach, 1e-3) / 2
    turn = rng.uniform(0, 6.3, len(reach))
    return np.stack([np.cos(turn), -np.sin(turn), np.sin(turn), np.cos(turn)], 1) * zoom[:, None]


def shadows(rng: np.random.Generator, n: int, size: np.ndarray) -> np.ndarray:
    """Draw shadows for n things that stand up about a part of their size."""
    way, far = rng.uniform(0, 6.3), rng.uniform(0, 0.25, n) * size
    return np.stack(
        [rng.uniform(0, 0.6, n), rng.uniform(0.05, 0.3, n) * size + 0.01,
         far * np.cos(way), far * np.sin(way)], 1,
    )  # fmt: skip


def shading(rng: np.random.Generator, half: np.ndarray) -> np.ndarray:
    """A light or dark band across some of the things, as roundness gives."""
    n, way = len(half), rng.uniform(0, 6.3, len(half))
    place = rng.uniform(-1, 1, n) * half.min(1)
    strength = rng.uniform(-0.4, 0.5, n) * (rng.random(n) < 0.4)
    return np.stack([np.cos(way), np.sin(way), place, strength], 1)


def chart(
    rng: np.random.Generator, things: Things, middle: np.ndarray, patch: float, angle: float
) -> None:
    """Add a colour chart: 4 x 6 patches on a dark card."""
    gap = rng.uniform(0.1, 0.3)
    pitch = patch * (1 + gap)
    half = np.array([3.2, 2.2 + rng.uniform(0, 0.4)]) * pitch
    card = np.full(3, rng.choice([0.05, 0.1, 0.9], p=[0.6, 0.25, 0.15]))
    plain = things.some(rng, PRINT, 1)
    things.add(middle, angle, half, plain, gain=0.03, offset=card, shadow=[0.3, 0.05, 0.02, 0.02])
    r, c = np.mgrid[0:4, 0:6]
    own = (np.stack([c.ravel() - 2.5, r.ravel() - 1.5], 1)) * pitch
    cos, sin = np.cos(angle), np.sin(angle)
    own = own @ np.array([[cos, sin], [-sin, cos]])
    paint = CHART[:: rng.choice([-1, 1])]
    things.add(middle + own, angle, patch / 2, plain, gain=0.02, offset=paint)


def bricks(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Fill an area with oblong things side by side: bricks, cards, strips, shelves of books."""
    shape = rng.choice([1.5, 1.8, 2.3, 3, 5, 9])
    rows = rng.integers(1, 9)
    tall = (area[1] - area[0]).min() / rows * rng.uniform(0.5, 1)
    cols = int(np.clip((area[1] - area[0])[0] / (tall * shape), 1, 12))
    gap = rng.choice([0, rng.uniform(0, 0.2)])
    r, c = (v.ravel() for v in np.mgrid[0:rows, 0:cols])
    x = (c + (r % 2) * rng.choice([0, 0.5])) * tall * (shape + gap)
    middle = np.stack([x, r * tall * (1 + gap)], 1)
    angle = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)])
    cos, sin = np.cos(angle), np.sin(angle)
    middle = (middle - middle.mean(0)) @ np.array([[cos, sin], [-sin, cos]]) + area.mean(0)
    n = len(middle)
    same = rng.random() < 0.4
    source = np.repeat(sources(rng, things, 1), n, 0) if same else sources(rng, things, n)
    tint = tints(rng, n)
    if same:
        tint = {k: v[:1] + rng.normal(0, 0.04, (n, 3)) for k, v in tint.items()}
    half = np.array([shape, 1]) * tall / 2
    things.add(
        middle, angle, half, source, map=spread(rng, np.full(n, half.max())),
        shadow=shadows(rng, n, np.full(n, tall * 0.2)), **tint,
    )  # fmt: skip


def parts(rng: np.random.Generator, things: Things, middle: np.ndarray, wide: float) -> None:
    """Add parts of machines, barrels, rolls: a chain of shaded boxes, some nearly square."""
    n = rng.integers(1, 8)
    long = wide * rng.uniform(0.25, 1.4, n)
    angle = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)]) + rng.normal(0, 0.05)
    along = np.cumsum(long) - long / 2 - long.sum() / 2
    paint = plain_colour(rng, n)
    dull = rng.random((n, 1)) < 0.5
    paint = np.where(dull, np.tile(rng.uniform(0, 0.5, (n, 1)), (1, 3)), paint)
    across = np.tile([0, 1, rng.uniform(-0.3, 0.3) * wide, rng.uniform(-0.5, 1.5)], (n, 1))
    if rng.random() < 0.3:
        across[:, 3] = 0
    things.add(
        middle + along[:, None] * np.array([np.cos(angle), np.sin(angle)]), angle,
        np.stack([long, np.full(n, wide) * rng.uniform(0.7, 1.1, n)], 1) / 2,
        things.some(rng, PRINT, n), gain=rng.choice([0.02, 0.1]), offset=paint, crease=across,
        rim=[rng.uniform(-0.7, 0.1), wide * rng.uniform(0.05, 0.3)],
        round=np.full(n, rng.choice([0, 0.08]) * wide), shadow=[0.4, 0.1 * wide, 0.05, 0.05],
    )  # fmt: skip


def beam(rng: np.random.Generator, things: Things, middle: np.ndarray, wide: float) -> None:
    """Add a beam with a row of holes."""
    angle, holes = rng.uniform(0, np.pi), rng.integers(4, 14)
    paint = np.full(3, rng.uniform(0.1, 0.8))
    plain = things.some(rng, PRINT, 1)
    half = np.array([holes * 0.5, 0.5]) * wide
    things.add(middle, angle, half, plain, gain=0.05, offset=paint, shadow=[0.4, 0.1, 0.05, 0.05])
    along = (np.arange(holes) - holes / 2 + 0.5) * wide
    places = middle + along[:, None] * np.array([np.cos(angle), np.sin(angle)])
    things.add(places, angle, np.full(2, 0.3) * wide, plain, ellipse=np.ones(holes), gain=0.05,
               offset=paint * rng.uniform(0, 0.6))  # fmt: skip


def machinery(
    rng: np.random.Generator, things: Things, n: int, area: np.ndarray, size: tuple[float, float]
) -> None:
    """Strew parts and beams, so wide, over an area."""
    for _ in range(n):
        make = parts if rng.random() < 0.75 else beam
        make(rng, things, rng.uniform(area[0], area[1]), rng.uniform(*size))


def table(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Lay a mat, a sheet or a table top under all, with its edges near the squares."""
    middle, half = area.mean(0), (area[1] - area[0]) / 2
    half = half * rng.uniform(1.05, 1.6, 2)
    source = things.some(rng, GROUND, 1)
    things.add(
        middle + rng.normal(0, 0.03, 2) * half, rng.normal(0, 0.05), half, source,
        round=[rng.choice([0, 0.3])], map=np.array([0.5, 0, 0, 0.5]) / half.max(),
        shadow=[rng.uniform(0, 0.5), 0.1, 0.05, 0.05],
    )  # fmt: skip


def scissors(rng: np.random.Generator, things: Things, middle: np.ndarray, angle: float) -> None:
    """Lay a pair of scissors: two blades and two rings."""
    blade, ring = np.full(3, rng.uniform(0.3, 0.8)), plain_colour(rng)
    low = [0.4, 0.04, 0.03, 0.03]
    for side in (-1, 1):
        turn = angle + side * rng.uniform(0.05, 0.3)
        way = np.array([np.cos(turn), np.sin(turn)])
        plain = things.some(rng, PRINT, 1)
        things.add(
            middle + way * 0.6, turn, [0.7, 0.06], plain, round=[0.05], gain=0.05, offset=blade,
            shadow=low,
        )  # fmt: skip
        things.add(
            middle - way * 0.35, turn, [0.35, 0.16], plain, ellipse=[1], gain=0.1, offset=ring,
            shadow=low,
        )  # fmt: skip


def arm(rng: np.random.Generator, things: Things, hand: np.ndarray, area: np.ndarray) -> None:
    """Reach in from outside with an arm as far as the hand's place."""
    angle, wide = rng.uniform(0, 6.3), rng.uniform(0.3, 0.7)
    away = 0.75 * (area[1] - area[0]).max()
    edge = area.mean(0) + away * np.array([np.cos(angle), np.sin(angle)])
    long, turn = np.linalg.norm(edge - hand), np.arctan2(*(edge - hand)[::-1])
    skin = np.array([0.85, 0.62, 0.5]) * rng.uniform(0.3, 1.1)
    things.add(
        (edge + hand) / 2, turn, [long / 2 + wide, wide / 2], things.some(rng, GROUND, 1),
        round=[wide / 2], gain=0.15, offset=skin * 0.8, shadow=[0.5, 0.2, 0.1, 0.1],
        crease=[0, 1, 0, 0.15],
    )  # fmt: skip


def on_top(rng: np.random.Generator, things: Things, area: np.ndarray) -> None:
    """Lay scissors, a ruler, an arm or small things on some of the squares."""
    middle, kind = rng.uniform(area[0], area[1], 2), rng.integers(0, 4)
    if kind == 0:
        scissors(rng, things, middle, rng.uniform(0, 6.3))
    elif kind == 1:
        half = np.array([rng.uniform(1, 4), rng.uniform(0.1, 0.35)])
        things.add(
            middle, rng.uniform(0, 6.3), half, things.some(rng, PRINT, 1), map=[0.1, 0, 0, 0.4],
            gain=0.3, offset=plain_colour(rng) * 0.7, shadow=[0.3, 0.05, 0.02, 0.02],
        )  # fmt: skip
    elif kind == 2:
        arm(rng, things, middle, area)
    else:
        strewn(rng, things, rng.integers(1, 8), area, (0.1, 0.8))
