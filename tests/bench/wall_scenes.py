"""Drawn photographs of design walls with mistakes: flat, but cut from photographed cloth.

Blocks are pasted from squares of a bundle's photo, each brought to its true mean colour, hung with
gaps, shifts and turns or sewn together, lit by a lamp and a hanging shadow, and seen by a phone
from aside. All is drawn anew for each scene from one number.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import linear_to_srgb, srgb_to_linear
from catalog.models import Photo
from catalog.wall_checking.contents import contents_of, turns_of
from catalog.wall_checking.planned_wall import BOUGHT, PlannedBlock, PlannedWall

Array = NDArray[np.float64]
Pixels = NDArray[np.float32]
Rng = np.random.Generator
CROP_PX = 160
"""Side of a square's cloth as it is pasted."""


@dataclass(frozen=True)
class Hanging:
    """How a wall hangs and is photographed."""

    join: str
    """none, rows or top: what is sewn together."""
    gap: float
    turn: float
    """Usual degrees by which loose blocks hang askew."""
    tilt: float
    """Degrees off the wall's normal."""
    lamp: float
    """By how much one end is lit more, logarithm."""
    shadow: float
    """Part of the light that the hanging shadow takes."""
    part: float
    """Share of the wall's width and height in the frame; 1 for all."""
    mistakes: float
    """Share of places with one."""
    long_side: int = 1800


@dataclass(frozen=True)
class Hung:
    """What really hangs at a place."""

    kind: str
    """Empty where it is as planned; else turned, sides, other, missing or foreign."""
    squares: tuple[str, ...] | None
    turn: int = 0
    source: int | None = None


@dataclass(frozen=True, eq=False)
class WallScene:
    """A photo and what hangs in it."""

    photo: Photo
    hung: tuple[Hung, ...]
    outlines: Array
    """(n, 4, 2) px."""
    in_frame: NDArray[np.bool_]
    hanging: Hanging


def any_hanging(rng: Rng, difficulty: str) -> Hanging:
    """Draw how a wall hangs: easy, usual or hard."""
    hard = {"easy": 0.3, "usual": 0.7, "hard": 1.0}[difficulty]
    return Hanging(
        join=str(rng.choice(["none", "none", "rows", "top"])),
        gap=float(rng.uniform(0.0, 0.25 + 0.5 * hard)),
        turn=float(rng.uniform(0.0, hard)),
        tilt=float(rng.uniform(0.0, 25.0 * hard)),
        lamp=float(rng.uniform(0.0, 0.9 * hard)),
        shadow=float(rng.uniform(0.0, 0.6 * hard)) if rng.random() < 0.7 else 0.0,
        part=1.0 if rng.random() < 0.6 else float(rng.uniform(1.0 - 0.5 * hard, 0.9)),
        mistakes=float(rng.uniform(0.0, 0.25)),
        long_side=int(rng.integers(1500, 2200)),
    )


def hang(rng: Rng, plan: PlannedWall, spare: list[str], mistakes: float) -> list[Hung]:
    """Draw what hangs at each place of a plan.

    Parameters
    ----------
    spare : list of str
        Labels of squares in no set.
    mistakes : float
        Share of places with one.
    """
    hung = [Hung("", block.squares if block.patches else None) for block in plan.blocks]
    free = [k for k, block in enumerate(plan.blocks) if block.patches]
    rng.shuffle(free)
    for _ in range(round(mistakes * len(free))):
        if not free:
            break
        place = free.pop()
        block = plan.blocks[place]
        kind = str(
            rng.choice(["exchange", "exchange", "turned", "sides", "missing", "other", "foreign"])
        )
        if kind == "turned":
            hung[place] = Hung(kind, block.squares, int(rng.choice(turns_of(block)[1:])))
        elif kind == "missing":
            hung[place] = Hung(kind, None)
        elif kind == "sides" and len(block.squares) > 1:
            hung[place] = Hung(kind, block.squares[::-1])
        elif kind == "foreign" and len(spare) >= len(block.squares) > 0:
            labels = rng.choice(spare, len(block.squares), replace=False)
            hung[place] = Hung(kind, tuple(str(label) for label in labels))
        elif kind in ("exchange", "other"):
            own = contents_of(plan, block.kind, len(block.squares)).source
            mates = [k for k in free if k in own]
            if not mates:
                continue
            other = int(rng.choice(mates))
            hung[place] = Hung("other", plan.blocks[other].squares, 0, other)
            if kind == "exchange":
                free.remove(other)
                hung[other] = Hung("other", block.squares, 0, place)
    return hung


def crop_squares(photo: Photo, truth: dict) -> dict[tuple[float, float], Pixels]:
    """Cut a bundle photo's squares out, by their middles, brought to their true mean colour."""
    cut = {}
    for square in truth["squares"]:
        quad = np.array(square["polygon"], np.float32)
        low, high = -0.04 * CROP_PX, 1.04 * CROP_PX
        to = np.array([[low, low], [high, low], [high, high], [low, high]], np.float32)
        warp = cv2.getPerspectiveTransform(quad, to)
        flat = cv2.warpPerspective(photo.pixels, warp, (CROP_PX, CROP_PX), flags=cv2.INTER_AREA)
        linear = srgb_to_linear(flat.astype(np.float32) / 255.0)
        mean = np.maximum(linear.mean(axis=(0, 1)), 1e-3)
        goal = np.array(square["mean_linear_rgb"])
        cut[tuple(quad.mean(axis=0).tolist())] = (linear * (goal / mean)).astype(np.float32)
    return cut


def draw_wall(
    rng: Rng,
    plan: PlannedWall,
    hung: list[Hung],
    crops: dict[str, tuple[Pixels, float]],
    hanging: Hanging,
) -> WallScene:
    """Draw one wall.

    Parameters
    ----------
    crops : dict
        By label a square's cloth and its side, inches.
    """
    spots, size = _spots(rng, plan, hanging)
    per_inch = float(np.clip(1900.0 / (np.ptp(spots, axis=0).max() + 2 * size), 12.0, 40.0))
    margin = 4.0
    low = spots.min(axis=0) - size / 2 - margin
    span = np.ptp(spots, axis=0) + size + 2 * margin
    flannel = _flannel(rng, (np.ceil(span[::-1] * per_inch)).astype(int))
    bought: dict[str, Pixels] = {}
    outlines = []
    angle = np.radians(45.0 if plan.on_point else 0.0)
    for block, one, spot in zip(plan.blocks, hung, spots, strict=True):
        loose = hanging.join == "none"
        turn = angle + (np.radians(np.clip(rng.normal(0, hanging.turn), -2, 2)) if loose else 0.0)
        outlines.append(_outline(block, spot, turn, 0.25 if loose else 0.0))
        if one.squares is None or not block.patches:
            continue
        face, mask = _face(rng, block, one, crops, bought, per_inch, 0.25 if loose else 0.0)
        _paste(flannel, face, mask, (spot - low) * per_inch, turn)
    wall = flannel * _light(rng, flannel.shape[:2], hanging)
    return _photographed(rng, wall, np.array(outlines), low, per_inch, hung, hanging)


def _spots(rng: Rng, plan: PlannedWall, hanging: Hanging) -> tuple[Array, float]:
    """Return where blocks hang, inches, and how large the largest is across."""
    spots = np.array([(block.x, block.y) for block in plan.blocks])
    width = max(max(block.width, block.height) for block in plan.blocks)
    loose = 0.5 + hanging.gap
    axes = np.array([[1, 1], [-1, 1]]) / np.sqrt(2.0) if plan.on_point else np.eye(2)
    along = spots @ axes.T
    steps = [np.unique(np.round(along[:, k], 2)) for k in (0, 1)]
    pitch = [float(np.diff(s).min()) if len(s) > 1 else width for s in steps]
    extra = {"none": (loose, loose), "rows": (0.0, loose), "top": (0.0, 0.0)}[hanging.join]
    spread = 1.0 + np.array(extra) / pitch
    spots = (along * spread) @ axes
    if hanging.join == "none":
        spots = spots + np.clip(rng.normal(0, 0.1, spots.shape), -0.2, 0.2)
    return spots, width * (1.5 if plan.on_point else 1.1)


def _outline(block: PlannedBlock, spot: Array, turn: float, more: float) -> Array:
    half = np.array([block.width, block.height]) / 2 + more
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half
    cos, sin = np.cos(turn), np.sin(turn)
    return corners @ np.array([[cos, sin], [-sin, cos]]) + spot


def _flannel(rng: Rng, shape: Array) -> Pixels:
    base = float(rng.choice([0.75, 0.6, 0.25, 0.05]))
    tint = 1.0 + rng.normal(0, 0.03, 3)
    noise = cv2.GaussianBlur(rng.normal(0, 1, tuple(shape)).astype(np.float32), (0, 0), 1.5)
    large = cv2.resize(rng.normal(0, 1, (12, 12)).astype(np.float32), tuple(shape[::-1].tolist()))
    wall = base * (1 + 0.12 * noise + 0.03 * large)
    return (wall[..., None] * tint).astype(np.float32)


def _face(rng, block, one, crops, bought, per_inch, more):
    """Return a block's picture as it hangs, and where it is."""
    half = np.array([block.width, block.height]) / 2
    scale = (half + more) / half
    size = np.round(2 * (half + more) * per_inch).astype(int)
    face = np.zeros((size[1], size[0], 3), np.float32)
    for patch in block.patches:
        corners = np.array(patch.polygon) * scale
        for _ in range(one.turn // 90):
            corners = np.stack([-corners[:, 1], corners[:, 0]], axis=1)
        px = (corners + half + more) * per_inch
        if patch.slot == BOUGHT:
            cloth = bought.setdefault(patch.bought, _bought(rng))
            cloth = _cloth(rng, cloth, 5.0, px, per_inch)
        else:
            cloth = _cloth(rng, *crops[one.squares[patch.slot]], px, per_inch)
        area = np.zeros(face.shape[:2], np.uint8)
        outline = np.round(px * 16 - 8).astype(np.int32)
        cv2.fillPoly(area, [outline], 255, cv2.LINE_AA, 4)
        share = (area / np.float32(255.0))[..., None]
        low = np.floor(px.min(axis=0)).astype(int).clip(0)
        high = np.minimum(low + cloth.shape[1::-1], size)
        part = (slice(low[1], high[1]), slice(low[0], high[0]))
        cloth = cloth[: high[1] - low[1], : high[0] - low[0]]
        face[part] = face[part] * (1 - share[part]) + cloth * share[part]
        shade = np.ones(face.shape[:2], np.float32)
        cv2.polylines(shade, [outline], True, 0.8, 1, cv2.LINE_AA, 4)
        face *= cv2.GaussianBlur(shade, (0, 0), 0.8)[..., None]
    return face, np.full(face.shape[:2], np.float32(1))


def _bought(rng: Rng) -> Pixels:
    lightness = float(rng.choice([0.8, 0.75, 0.03, 0.3]))
    tint = 1 + rng.normal(0, 0.05, 3)
    cloudy = cv2.resize(
        rng.normal(0, 1, (9, 9)).astype(np.float32),
        (CROP_PX, CROP_PX),
        interpolation=cv2.INTER_CUBIC,
    )
    grain = rng.normal(0, 1, (CROP_PX, CROP_PX))
    return (
        (lightness * (1 + 0.05 * cloudy + 0.03 * grain)[..., None] * tint)
        .clip(0)
        .astype(np.float32)
    )


def _cloth(rng: Rng, crop: Pixels, side: float, px: Array, per_inch: float) -> Pixels:
    """Return cloth that covers a patch, from anywhere in the square and any way round."""
    need = np.ceil(np.ptp(px, axis=0)).astype(int) + 2
    whole = max(4, round(side * per_inch))
    cloth = cv2.resize(crop, (whole, whole), interpolation=cv2.INTER_AREA)
    cloth = np.rot90(cloth, int(rng.integers(4)))
    more = np.maximum(need[::-1] - whole, 0)
    if more.any():
        cloth = np.pad(
            cloth,
            ((0, int(more[0])), (0, int(more[1])), (0, 0)),
            mode="reflect" if more.max() < whole else "symmetric",
        )
    y = int(rng.integers(cloth.shape[0] - need[1] + 1))
    x = int(rng.integers(cloth.shape[1] - need[0] + 1))
    return cloth[y : y + need[1], x : x + need[0]]


def _paste(wall: Pixels, face: Pixels, mask: Pixels, at: Array, turn: float) -> None:
    """Lay a block on the wall with its middle at a place; its shadow falls to the lower right."""
    reach = int(np.ceil(0.75 * np.hypot(*face.shape[:2]))) + 4
    low = np.floor(at).astype(int) - reach
    high = low + 2 * reach
    low_in, high_in = low.clip(0), np.minimum(high, wall.shape[1::-1])
    part = (slice(low_in[1], high_in[1]), slice(low_in[0], high_in[0]))
    cos, sin = np.cos(turn), np.sin(turn)
    spin = np.array([[cos, -sin], [sin, cos]])
    shift = at - low_in - spin @ (np.array(face.shape[1::-1]) / 2)
    size = tuple((high_in - low_in).tolist())
    warp = np.column_stack([spin, shift])
    laid = cv2.warpAffine(face, warp, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    where = cv2.warpAffine(mask, warp, size, flags=cv2.INTER_LINEAR)[..., None]
    below = cv2.warpAffine(mask, warp + np.array([[0, 0, 2.0], [0, 0, 3.0]]), size)
    wall[part] *= 1 - 0.35 * cv2.GaussianBlur(below, (0, 0), 3.0)[..., None] * (1 - where)
    wall[part] = wall[part] * (1 - where) + laid * where


def _light(rng: Rng, shape: tuple[int, int], hanging: Hanging) -> Pixels:
    y, x = np.mgrid[0 : shape[0] : 16, 0 : shape[1] : 16].astype(np.float32)
    y, x = y / shape[0] - 0.5, x / shape[1] - 0.5
    way = rng.uniform(0, 2 * np.pi)
    along = np.cos(way) * x + np.sin(way) * y
    lamp = np.exp(hanging.lamp * (along + 0.5 * along**2))
    warm = np.array([1.0, 0.0, -1.0]) * rng.uniform(0, 0.2) * hanging.lamp
    edge = np.cos(way + 1) * x + np.sin(way + 1) * y - rng.uniform(0.0, 0.4)
    shadow = 1 - hanging.shadow / (1 + np.exp(-edge / rng.uniform(0.02, 0.1)))
    field = (lamp * shadow)[..., None] * np.exp(along[..., None] * warm)
    return cv2.resize(field.astype(np.float32), shape[::-1], interpolation=cv2.INTER_LINEAR)


def _photographed(rng, wall, outlines, low, per_inch, hung, hanging):
    """See the wall by a phone."""
    long = hanging.long_side
    high, wide = wall.shape[:2]
    size = (long, round(long * 0.75)) if wide > high else (round(long * 0.75), long)
    span = np.array([wide, high]) / per_inch
    aim = low + span * rng.uniform(0.5 * hanging.part, 1 - 0.5 * hanging.part, 2)
    focal = 0.72 * long * rng.uniform(0.95, 1.1)
    far = focal * float((span * hanging.part / size).max()) * rng.uniform(1.0, 1.15)
    tilt, way = np.radians(hanging.tilt), rng.uniform(0, 2 * np.pi)
    from_ = np.array([np.sin(tilt) * np.cos(way), np.sin(tilt) * np.sin(way), -np.cos(tilt)])
    z = -from_
    roll = np.radians(rng.normal(0, 1.5))
    x = np.cross([np.sin(roll), np.cos(roll), 0.0], z)
    x /= np.linalg.norm(x)
    camera = np.stack([x, np.cross(z, x), z])
    inner = np.array([[focal, 0, size[0] / 2], [0, focal, size[1] / 2], [0, 0, 1.0]])
    eye = np.array([*aim, 0.0]) + far * from_
    to_photo = inner @ camera @ np.column_stack([[1, 0, 0], [0, 1, 0], -eye])
    to_canvas = np.diag([per_inch, per_inch, 1.0]) @ np.array(
        [[1, 0, -low[0]], [0, 1, -low[1]], [0, 0, 1.0]]
    )
    bend = rng.uniform(-0.03, 0.01)
    picture = _lens(wall, to_canvas @ np.linalg.inv(to_photo), size, bend)
    seen = np.pad(outlines, ((0, 0), (0, 0), (0, 1)), constant_values=1.0) @ to_photo.T
    corners = _bent(seen[..., :2] / seen[..., 2:], size, bend)
    inside = ((corners > 0) & (corners < size)).all(axis=(1, 2))
    return WallScene(
        Photo("wall.jpg", _developed(rng, picture)), tuple(hung), corners, inside, hanging
    )


def _bent(points: Array, size: tuple[int, int], bend: float) -> Array:
    middle, unit = np.array(size) / 2, np.hypot(*size) / 2
    x = (points - middle) / unit
    return x * (1 + bend * (x**2).sum(axis=-1, keepdims=True)) * unit + middle


def _lens(wall: Pixels, to_canvas: Array, size: tuple[int, int], bend: float) -> Pixels:
    y, x = np.mgrid[0 : size[1] + 16 : 16, 0 : size[0] + 16 : 16].astype(np.float64)
    at = _bent(np.stack([x, y], axis=-1), size, -bend)
    seen = np.concatenate([at, np.ones((*at.shape[:2], 1))], axis=-1) @ to_canvas.T
    grid = (seen[..., :2] / seen[..., 2:] - 0.5).astype(np.float32)
    fine = cv2.resize(grid, None, fx=16, fy=16, interpolation=cv2.INTER_LINEAR)[
        8 : size[1] + 8, 8 : size[0] + 8
    ]
    return cv2.remap(wall, fine, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)


def _developed(rng: Rng, linear: Pixels) -> NDArray[np.uint8]:
    """What a phone makes of light: white balance not quite right, exposure, noise, tone curve."""
    balance = np.exp(rng.normal(0, 0.08, 3))
    linear = linear * (balance / balance[1]).astype(np.float32)
    bright = np.percentile(linear[::16, ::16].max(axis=-1), 96)
    linear = cv2.GaussianBlur(
        linear * np.float32(rng.uniform(0.75, 1.0) / bright), (0, 0), rng.uniform(0.5, 1.2)
    )
    noise = cv2.GaussianBlur(rng.standard_normal(linear.shape, dtype=np.float32), (0, 0), 0.8)
    linear = np.maximum(linear + noise * np.sqrt(np.maximum(linear, 0) * 8e-4 + 1e-5), 0)
    knee = np.float32(0.78)
    linear = np.where(
        linear > knee, knee + (1 - knee) * (1 - np.exp(-(linear - knee) / (1 - knee) * 0.9)), linear
    )
    shown = np.asarray(linear_to_srgb(np.minimum(linear, 1.0)), np.float32)
    shown += np.float32(rng.uniform(0.1, 0.3)) * (shown * shown * (3 - 2 * shown) - shown)
    luma = (shown @ np.array([0.299, 0.587, 0.114], np.float32))[..., None]
    shown = luma + (shown - luma) * np.float32(rng.uniform(1.0, 1.15))
    soft = cv2.GaussianBlur(luma, (0, 0), 1.3)[..., None]
    shown = shown + np.float32(0.4) * np.clip(luma - soft, -0.12, 0.12)
    whole = np.clip(np.round(shown * 255), 0, 255).astype(np.uint8)
    coded = cv2.imencode(".jpg", whole, [cv2.IMWRITE_JPEG_QUALITY, 88])[1]
    return np.asarray(cv2.imdecode(coded, cv2.IMREAD_COLOR), np.uint8)
