"""Drawn scenes of cloth squares by the thousand, with the corners known: flat, but all is random.

Prints, ground, layout, sizes of the squares, tilt, roll, lens, light, shadow, tint, blur and noise
are drawn anew for each scene from one number.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import UNIT, Plane

WIDE, HIGH = 1600, 1200
TILTS = (0.0, 35.0)
"""Degrees from straight above."""
SIDE = 160
"""Pixels to a square's side on the drawn plane."""
Array = NDArray[np.float64]
Rng = np.random.Generator


@dataclass(frozen=True, eq=False)
class Scene:
    """A picture and what is in it."""

    kind: str
    picture: NDArray[np.uint8]
    corners: Array
    """(n, 4, 2) px."""
    sizes: Array
    """(n,) sides, where 1 is usual."""


def kind_of(seed: int) -> str:
    """What kind of layout a scene shows, without drawing it."""
    return _layout(np.random.default_rng(seed))[0]


def draw(seed: int, tilts: tuple[float, float] = TILTS) -> Scene:
    """One scene, seen from so many degrees from straight above, at least and at most."""
    rng = np.random.default_rng(seed)
    kind, middles, turns, sizes = _layout(rng)
    low, high = middles.min(axis=0) - 1.2, middles.max(axis=0) + 1.2
    wide, high_px = np.ceil((high - low) * SIDE).astype(int)
    plane = _ground(rng, int(high_px), int(wide))
    bare = plane.copy()
    cos, sin = np.cos(turns), np.sin(turns)
    axes = np.stack([np.stack([cos, sin], -1), np.stack([-sin, cos], -1)], axis=1)
    corners = middles[:, None] + sizes[:, None, None] * (UNIT @ axes)
    prints = [_print(rng) for _ in range(rng.integers(3, 20))]
    for quad in corners:
        _lay(rng, plane, prints[rng.integers(len(prints))], (quad - low) * SIDE)
    view = _camera(rng, corners, tilts)
    y, x = np.mgrid[0:HIGH, 0:WIDE] + 0.5
    seen = (view.to_plane(np.stack([x, y], axis=-1)) - low) * SIDE - 0.5
    maps = np.moveaxis(seen.astype(np.float32), -1, 0)
    within = ((seen > 0) & (seen < np.array(plane.shape[1::-1]) - 1)).all(axis=-1)
    picture = np.where(
        within[..., None],
        cv2.remap(plane, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT),
        cv2.remap(bare, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT),
    )
    return Scene(kind, _photographed(rng, picture), view.to_photo(corners), sizes)


def _layout(rng: Rng) -> tuple[str, Array, Array, Array]:
    """Name, middles (n, 2), turns and sizes, in sides."""
    kind = str(rng.choice(["gaps", "touching", "staggered", "overlapping", "incomplete", "heap"]))
    rows, cols = rng.integers(2, 10), rng.integers(2, 11)
    gap = {"touching": 0.0, "overlapping": rng.uniform(-0.35, -0.1)}.get(
        kind, rng.choice([0.02, 0.05, 0.1, 0.3])
    )
    r, c = np.mgrid[0:rows, 0:cols].astype(float)
    across = c * (1 + max(gap, 0.0)) + (
        rng.uniform(0.2, 0.6) * (r % 2) if kind == "staggered" else 0
    )
    middles = np.stack([across.ravel(), (r * (1 + gap)).ravel()], axis=-1)
    if kind == "incomplete":
        middles = middles[: len(middles) - rng.integers(1, cols)]
    loose = 0.0 if kind == "touching" else rng.choice([0.0, 0.01, 0.02])
    turns = rng.normal(0, rng.choice([0.003, 0.01, 0.02]), len(middles))
    if kind == "heap":
        middles = middles * 1.35 + rng.uniform(-0.05, 0.05, middles.shape)
        turns = rng.uniform(-0.3, 0.3, len(middles))
    sizes = np.ones(len(middles))
    if rng.random() < 0.15 and kind != "touching":
        sizes[rng.random(len(middles)) < 0.1] = 0.94
    return kind, middles + rng.normal(0, loose, middles.shape), turns, sizes


def _colour(rng: Rng) -> Array:
    """A colour, linear-looking RGB 0 to 255, of any lightness and strength."""
    hue, strength, light = rng.uniform(0, 360), rng.beta(1.2, 1.6), rng.uniform(0.12, 0.97)
    hsv = np.array([[[hue, strength, light]]], np.float32)
    return np.asarray(255 * cv2.cvtColor(hsv, cv2.COLOR_HSV2RGB)[0, 0], np.float64)


def _noise(rng: Rng, high: int, wide: int, cell: float) -> NDArray[np.float32]:
    small = rng.standard_normal((int(high / cell) + 3, int(wide / cell) + 3)).astype(np.float32)
    return np.asarray(cv2.resize(small, (wide, high), interpolation=cv2.INTER_CUBIC), np.float32)


def _print(rng: Rng) -> NDArray[np.float32]:
    """Cloth of one side and a half."""
    n = SIDE * 3 // 2
    one, two = _colour(rng), _colour(rng)
    y, x = np.mgrid[0:n, 0:n] / SIDE
    kind = rng.integers(0, 6)
    if kind == 0:
        share = np.zeros((n, n))
    elif kind == 1:
        two = one * rng.uniform(0.6, 1.25)
        share = 1 / (1 + np.exp(-2 * _noise(rng, n, n, rng.uniform(8, 60))))
    elif kind == 2:
        share = ((x * rng.uniform(2, 16) + y * rng.choice([0, 0, 3])) % 1 < 0.4).astype(float)
    elif kind == 3:
        k = rng.uniform(2, 14)
        share = ((x * k % 1 < 0.5).astype(float) + (y * k % 1 < 0.5)) / 2
    elif kind == 4:
        k = rng.uniform(2, 12)
        share = (((x * k) % 1 - 0.5) ** 2 + ((y * k) % 1 - 0.5) ** 2 < 0.09).astype(float)
    else:
        share = (_noise(rng, n, n, rng.uniform(12, 40)) > 0.3).astype(float)
    cloth = one + share[..., None] * (np.clip(two, 0, 255) - one)
    return cloth.astype(np.float32)


def _ground(rng: Rng, high: int, wide: int) -> NDArray[np.float32]:
    base = _colour(rng)
    ground = np.broadcast_to(base, (high, wide, 3)).astype(np.float32).copy()
    kind = rng.integers(0, 5)
    if kind == 1:
        grain = cv2.resize(
            rng.standard_normal((high // 3 + 1, wide // 60 + 2)).astype(np.float32), (wide, high)
        )
        ground *= 1 + 0.06 * grain[..., None]
    elif kind == 2:
        ground *= 1 + 0.05 * _noise(rng, high, wide, 3)[..., None]
    elif kind == 3:
        lines = np.clip(base + rng.choice([-45, 45]), 0, 255)
        step = int(rng.uniform(20, 40))
        ground[::step] = lines
        ground[:, ::step] = lines
    elif kind == 4:
        y, x = np.mgrid[0:high, 0:wide] / SIDE
        k = rng.uniform(0.5, 3)
        check = ((x * k % 1 < 0.5).astype(float) + (y * k % 1 < 0.5)) / 2
        ground = (base + check[..., None] * (_colour(rng) - base)).astype(np.float32)
    return np.clip(ground, 0, 255)


def _lay(rng: Rng, plane: NDArray[np.float32], cloth: NDArray[np.float32], quad: Array) -> None:
    """Lay a square cut somewhere from the cloth, with the shadow of its edge."""
    at = rng.integers(0, len(cloth) - SIDE, 2)
    piece = np.rot90(cloth[at[0] : at[0] + SIDE, at[1] : at[1] + SIDE], rng.integers(4))
    low = np.floor(quad.min(axis=0)).astype(int) - 8
    wide, high = (np.ceil(quad.max(axis=0)).astype(int) + 8 - low).tolist()
    area = plane[low[1] : low[1] + high, low[0] : low[0] + wide]
    source = np.array([[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE]], np.float32) - 0.5
    target = (quad - low - 0.5).astype(np.float32)
    matrix = cv2.getPerspectiveTransform(source, target)
    size = area.shape[1::-1]
    mask = cv2.warpPerspective(np.ones((SIDE, SIDE), np.float32), matrix, size)[..., None]
    shown = cv2.warpPerspective(
        np.ascontiguousarray(piece), matrix, size, borderMode=cv2.BORDER_REPLICATE
    )
    shift = np.float32([[1, 0, rng.uniform(-3, 3)], [0, 1, rng.uniform(0, 3)]])
    dark = cv2.GaussianBlur(cv2.warpAffine(mask, shift, size), (0, 0), 2.0)
    area *= 1 - rng.uniform(0.1, 0.4) * dark[..., None]
    area[:] = area * (1 - mask) + shown * mask


def _camera(rng: Rng, corners: Array, tilts: tuple[float, float]) -> Plane:
    """A view that holds all squares.

    The camera's focal length is 1.1 to 2 half diagonals of the picture (a phone's 24 to 43 mm)."""
    tilt, way = np.tan(np.radians(rng.uniform(*tilts))), rng.uniform(0, 2 * np.pi)
    roll, bend, focal = rng.normal(0, 0.06), rng.uniform(-0.05, 0.05), rng.uniform(1.1, 2.0)
    middle, unit = np.array([WIDE, HIGH]) / 2, float(np.hypot(WIDE, HIGH) / 2)
    towards = np.array([np.cos(way), np.sin(way)])
    lean = np.eye(3)
    lean[2, :2] = tilt / focal * towards
    lean[:2, :2] += (np.hypot(1, tilt) - 1) * np.outer(towards, towards)
    cos, sin = np.cos(roll), np.sin(roll)
    turn = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
    centre = (corners.min(axis=(0, 1)) + corners.max(axis=(0, 1))) / 2
    large = float(np.ptp(corners.reshape(-1, 2), axis=0).max())
    for wider in np.geomspace(0.9, 6.0, 60):
        rectify = np.diag([large * wider, large * wider, 1.0]) @ turn @ lean
        rectify = np.array([[1, 0, centre[0]], [0, 1, centre[1]], [0, 0, 1]]) @ rectify
        view = Plane(middle, unit, rectify, bend)
        seen = view.to_photo(corners)
        if (seen > 15).all() and (seen < np.array([WIDE, HIGH]) - 15).all():
            break
    return view


def _photographed(rng: Rng, picture: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Light, shadow, tint, blur and noise."""
    y, x = np.mgrid[0:HIGH, 0:WIDE] / WIDE - 0.4
    way = rng.uniform(0, 2 * np.pi)
    light = np.exp(rng.uniform(0, 0.7) * (np.cos(way) * x + np.sin(way) * y))
    if rng.random() < 0.2:
        across = np.cos(way) * y - np.sin(way) * x + rng.uniform(-0.2, 0.2)
        light *= 1 - rng.uniform(0.3, 0.6) / (1 + np.exp((np.abs(across) - 0.08) / 0.004))
    tint = np.array([rng.uniform(0.85, 1.15), 1, rng.uniform(0.7, 1.15)])
    lit = (picture / 255) ** 2.2 * light[..., None] * tint * rng.uniform(0.6, 1.1)
    seen = 255 * np.clip(lit, 0, 1) ** (1 / 2.2)
    seen = cv2.GaussianBlur(seen, (0, 0), rng.uniform(0.4, 1.3))
    seen += rng.normal(0, rng.uniform(0, 6), seen.shape)
    return np.asarray(np.clip(seen, 0, 255), np.uint8)
