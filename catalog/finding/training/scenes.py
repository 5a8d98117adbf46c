"""Draw a whole picture's worth of numbers: things, ground, camera, and the truth."""

from __future__ import annotations

import clutter
import numpy as np
import openings
from atlas import regular_ground
from cloth import cuts, fabrics, loosened, windows
from layouts import plain_colour, rows_of, scatter_of, turned
from net import HEIGHT, WIDTH
from sewn import sashed, seam
from things import COLUMNS, GROUND, MOST, PHOTO, PRINT, Things, address
from view import Camera

STEEP, STEEPEST = 0.45, 0.75
"""Tilts of pictures taken steeply, radians: 26 to 43 degrees."""

BEND = 0.06
"""Largest radial distortion either way."""

ROLLED = 0.5
"""Largest turn of the camera about its line of sight, radians: 29 degrees."""

SASHED, LOOSE = 0.12, 0.15
"""Share of the pictures of cloth that show a quilt with sashing; of the others, loosely laid."""

REGULAR = 0.35
"""Share of the drawn pictures without squares that show windows, lattices, slats or rulers."""

SHARES = {"cloth": 0.74, "stickers": 0.09, "photograph": 0.07, "drawn": 0.1}


def lay_cloth(rng: np.random.Generator, things: Things) -> np.ndarray:
    """Lay squares of cloth and what is round them; give the middles."""
    if rng.random() < SASHED:
        return lay_sashed(rng, things)
    middle, angle = scatter_of(rng) if rng.random() < 0.2 else rows_of(rng)
    quarters = rng.integers(0, 2) * 2
    if np.ptp(middle[:, 1]) > np.ptp(middle[:, 0]):  # a photo is taken along the longer side
        quarters += rng.random() < 0.8
    middle, angle = turned(middle, angle, rng.normal(0, 0.1) + quarters * np.pi / 2)
    n = len(middle)
    area = np.stack([middle.min(0) - 0.6, middle.max(0) + 0.6])
    wide = area + np.array([[-1.5], [1.5]])
    if rng.random() < 0.25:
        clutter.table(rng, things, area)
    clutter.strewn(rng, things, rng.choice([0, 0, 3, 8, 25]), wide, (0.15, 4))
    if rng.random() < 0.05:
        clutter.bricks(rng, things, wide + np.array([[-2], [1]]))
    if rng.random() < 0.08:
        clutter.machinery(rng, things, rng.integers(1, 5), wide, (0.3, 1.2))
    if rng.random() < 0.12:
        beside = rng.uniform(wide[0], wide[1])
        clutter.chart(rng, things, beside, rng.uniform(0.12, 0.4), rng.uniform(0, 6.3))
    half = np.full((n, 2), 0.5) * (1 + rng.normal(0, 0.006, (n, 2)))
    if rng.random() < 0.15:  # odd sizes among the rest
        half[rng.random(n) < 0.15] *= rng.choice([0.5, 0.9, 0.95, 1.05, 1.3])
    cloth = fabrics(rng, things, n)
    rows = things.add(
        middle, angle, half, square=True, **cloth, **cuts(rng, n), **windows(rng, n, angle, middle)
    )
    rows[:, COLUMNS["frame"]] *= 1 + rng.normal(0, 0.004, (n, 4))
    if rng.random() < LOOSE:
        loosened(rng, things)
    while rng.random() < 0.25:
        clutter.on_top(rng, things, area)
    return area


def lay_sashed(rng: np.random.Generator, things: Things) -> np.ndarray:
    """Lay squares sewn into a quilt top; give the area they fill."""
    by = rng.normal(0, 0.1) + rng.integers(0, 4) * np.pi / 2
    if rng.random() < 0.15:
        by += np.pi / 4
    clutter.strewn(rng, things, rng.choice([0, 0, 8]), np.array([[-6.0, -6], [6, 6]]), (0.3, 4))
    middle = sashed(rng, things, by)
    n = len(middle)
    middle, angle = turned(middle, np.full(n, 0.0), by)
    area = np.stack([middle.min(0) - 0.6, middle.max(0) + 0.6])
    half = np.full((n, 2), 0.5) * (1 + rng.normal(0, 0.004, (n, 2)))
    shown = {**cuts(rng, n), "cut": np.zeros(n), "teeth": np.zeros(4), "shadow": seam(rng)}
    cloth = {**fabrics(rng, things, n), **windows(rng, n, angle, middle)}
    things.add(middle, angle, half, square=True, **cloth, **shown)
    while rng.random() < 0.1:
        clutter.on_top(rng, things, area)
    return area


def lay_stickers(rng: np.random.Generator, things: Things) -> np.ndarray:
    """Lay rounded, plainly coloured squares on a dark body."""
    k, gap = rng.integers(2, 8), rng.uniform(0.04, 0.28)
    r, c = np.mgrid[0:k, 0:k]
    middle = np.stack([c.ravel(), r.ravel()], 1) * (1 + gap)
    area = np.stack([middle.min(0) - 0.5 - gap, middle.max(0) + 0.5 + gap])
    wide = area + np.array([[-0.6], [0.6]]) * k
    clutter.strewn(rng, things, rng.integers(0, 30), wide, (0.05 * k, 0.9 * k))
    if rng.random() < 0.7:
        clutter.machinery(rng, things, rng.integers(1, 16), wide, (0.3, 1.3))
    body = np.full(3, rng.uniform(0, 0.12)) if rng.random() < 0.85 else plain_colour(rng)
    body_half = (area[1] - area[0]) / 2
    things.add(area.mean(0), 0, body_half, things.some(rng, PRINT, 1), gain=0.04, offset=body,
               round=[rng.uniform(0, 0.4)], shadow=[0.4, 0.2, 0.1, 0.1])  # fmt: skip
    n, few = k * k, plain_colour(rng, rng.integers(1, 7))
    few = np.where(rng.random((len(few), 1)) < 0.6, few / few.max(1, keepdims=True).clip(0.05), few)
    things.add(
        middle + rng.normal(0, 0.01, middle.shape), rng.normal(0, 0.01, n), [0.5, 0.5],
        things.some(rng, PRINT, n), square=True, gain=rng.choice([0.02, 0.08]),
        offset=few[rng.integers(0, len(few), n)] * 0.95,
        round=np.full(n, rng.uniform(0.03, 0.28)),
        rim=np.tile([rng.normal(0, 0.1), 0.04], (n, 1)),
        crease=clutter.shading(rng, np.full((n, 2), 0.5)) * [1, 1, 1, 0.5],
    )  # fmt: skip
    while rng.random() < 0.2:
        clutter.on_top(rng, things, area + np.array([[0.3], [-0.3]]))
    return area


def lay_none(rng: np.random.Generator, things: Things) -> np.ndarray:
    """Lay only things that aren't squares of cloth."""
    area = np.array([[-4.0, -3.0], [4.0, 3.0]])
    if rng.random() < REGULAR:
        openings.regular(rng, things, area)
        clutter.strewn(rng, things, rng.choice([0, 3, 12]), area, (0.3, 3))
        return area
    if rng.random() < 0.4:
        clutter.bricks(rng, things, area)
    clutter.strewn(rng, things, rng.integers(0, 60), area, (0.3, 6))
    if rng.random() < 0.4:
        clutter.machinery(rng, things, rng.integers(1, 12), area, (0.2, 1.5))
    if rng.random() < 0.5:
        clutter.chart(
            rng, things, rng.uniform(-2, 2, 2), rng.uniform(0.2, 0.9), rng.uniform(0, 6.3)
        )
    for _ in range(rng.integers(0, 3)):
        clutter.on_top(rng, things, area)
    return area


def ground(
    rng: np.random.Generator, things: Things, kind: str, area: np.ndarray, camera: Camera
) -> dict[str, np.ndarray]:
    """Choose what lies under all: picture, map from the plane, tint."""
    size = (area[1] - area[0]).max()
    photo = kind == "photograph" or rng.random() < {"stickers": 0.75}.get(kind, 0.12)
    zoom = rng.uniform(0.4, 1.2) / size
    gain, offset = np.ones(3), np.zeros(3)
    if photo:
        zoom = rng.uniform(0.35, 0.8) / size
        mapping = np.array([zoom, 0, 0, zoom * 4 / 3])
        if rng.random() < 0.3:
            mapping = mapping[[1, 0, 3, 2]]
        if rng.random() < 0.5:
            mapping *= -1
    else:
        turn = rng.integers(0, 4) * np.pi / 2 + rng.normal(0, 0.1)
        mapping = np.array([np.cos(turn), -np.sin(turn), np.sin(turn), np.cos(turn)]) * zoom
        if rng.random() < 0.3:
            gain, offset = like_squares(rng, things)
    number = rng.integers(0, things.counts[PHOTO if photo else GROUND])
    if kind == "drawn" and not photo and rng.random() < 0.3:
        number = regular_ground(rng, things.counts[GROUND])
    middle = camera_middle(camera)
    shift = 0.5 - mapping.reshape(2, 2) @ middle + rng.uniform(-0.1, 0.1, 2)
    scale = (
        np.sqrt(abs(np.linalg.det(mapping.reshape(2, 2)))) / pixels_a_unit(camera, middle[None])[0]
    )
    source = address(things.counts, PHOTO if photo else GROUND, number, scale)
    return {
        "ground": np.concatenate([mapping, shift, gain, offset]).astype(np.float32),
        "ground_at": np.array(source, np.int32),
    }


def like_squares(rng: np.random.Generator, things: Things) -> tuple[np.ndarray, np.ndarray]:
    """A tint that brings the ground near the colour of squares, or them near it."""
    colour = np.array([1, 1, 1]) * rng.uniform(0.8, 0.97) + rng.normal(0, 0.02, 3)
    if rng.random() < 0.4:
        colour = plain_colour(rng)[0]
    flat = rng.uniform(0.05, 0.35)
    near = things.square & (rng.random(len(things.square)) < rng.uniform(0.3, 1))
    n = int(near.sum())
    own = rng.uniform(0.05, 0.5, (n, 1))
    unlike = rng.choice([0.012, 0.03])
    shade = colour + rng.normal(0, unlike, (n, 3)) + rng.normal(0, unlike, (n, 1))
    things.rows[near, COLUMNS["gain"]] *= own
    things.rows[near, COLUMNS["offset"]] = (
        things.rows[near, COLUMNS["offset"]] * own + (1 - own) * shade
    )
    return np.full(3, flat), colour * (1 - flat)


def camera_middle(camera: Camera) -> np.ndarray:
    """The point of the plane seen in the middle of the picture."""
    point = np.linalg.inv(camera.matrix) @ [WIDTH / 2, HEIGHT / 2, 1]
    return point[:2] / point[2]


def pixels_a_unit(camera: Camera, points: np.ndarray) -> np.ndarray:
    """Scale of the picture at points (n, 2) of the plane."""
    step = 1e-3
    here = camera.flat(points)
    dx, dy = (camera.flat(points + step * axis) - here for axis in np.eye(2))
    area = np.abs(dx[:, 0] * dy[:, 1] - dx[:, 1] * dy[:, 0])
    return np.nan_to_num(np.sqrt(area) / step, nan=1.0).clip(0.5, 4000)


def tilted(rng: np.random.Generator) -> float:
    """Draw a tilt, radians: steep, any, or hardly any."""
    ranges = ((STEEP, STEEPEST), (0, STEEPEST), (0, 0.12))
    return float(rng.uniform(*ranges[rng.choice(3, p=[0.22, 0.42, 0.36])]))


def scene(rng: np.random.Generator, counts: tuple[int, int, int]) -> dict[str, np.ndarray]:
    """Draw a picture's numbers; see `compose.compose` for what they mean."""
    kind = rng.choice(list(SHARES), p=list(SHARES.values()))
    things = Things(counts)
    area = np.array([[-4.0, -3.0], [4.0, 3.0]])
    if kind == "cloth":
        area = lay_cloth(rng, things)
    elif kind == "stickers":
        area = lay_stickers(rng, things)
    elif kind == "drawn":
        area = lay_none(rng, things)
    x, y = np.meshgrid(area[:, 0], area[:, 1])
    outline = np.stack([x.ravel(), y.ravel()], 1)
    tilt = tilted(rng)
    fill = rng.uniform(0.7, 1.02) if kind != "stickers" else rng.uniform(0.35, 0.95)
    if kind == "cloth" and rng.random() < 0.25:
        fill = rng.uniform(0.45, 0.7) if rng.random() < 0.4 else rng.uniform(1.02, 1.6)
    if kind in ("photograph", "drawn"):
        fill, tilt = 1.05, tilt * (kind == "drawn")
    turn = rng.normal(0, 0.08) if rng.random() < 0.8 else rng.uniform(-ROLLED, ROLLED)
    bend = rng.uniform(-BEND, BEND) if rng.random() < 0.7 else 0
    frame = np.array([WIDTH, HEIGHT], float)
    if rng.random() < 0.2:
        frame[rng.integers(0, 2)] *= rng.uniform(0.7, 0.97)
    camera = Camera(rng, outline, tilt, fill, turn, bend, frame)
    things.rows, things.source, things.square = (
        a[-MOST:] for a in (things.rows, things.source, things.square)
    )
    out = ground(rng, things, kind, area, camera)
    return {**out, **numbers(things, camera), "frame": frame.astype(np.float32)}


def numbers(things: Things, camera: Camera) -> dict[str, np.ndarray]:
    """Pad a picture's things to a common length and project them."""
    n = len(things.rows)
    rows = np.zeros((MOST, things.rows.shape[1]), np.float32)
    at = np.ones((MOST, 2), np.int32)
    box, corners = np.full((MOST, 4), np.nan, np.float32), np.zeros((MOST, 4, 2), np.float32)
    square = np.zeros(MOST, bool)
    if n:
        seen = camera.see(things.corners())
        rows[:n], square[:n] = things.rows, things.square
        scale = pixels_a_unit(camera, things.rows[:, COLUMNS["centre"]].astype(float))
        at[:n] = things.addresses(scale)
        reach = things.rows[:, COLUMNS["shadow"]][:, 1:].max(1, keepdims=True).clip(0.02) * 2
        margin = 2 + reach * scale[:, None]
        box[:n, :2], box[:n, 2:] = seen.min(1) - margin, seen.max(1) + margin
        behind = ~np.isfinite(seen).all((1, 2))
        box[:n][behind] = [0, 0, WIDTH, HEIGHT]
        corners[:n] = np.nan_to_num(seen, nan=-1e4)
        square[:n] &= ~behind
    return {
        "things": rows, "at": at, "box": np.nan_to_num(box, nan=-1e4), "corners": corners,
        "square": square, "plane": np.linalg.inv(camera.matrix).astype(np.float32),
        "bend": np.float32(camera.bend),
    }  # fmt: skip
