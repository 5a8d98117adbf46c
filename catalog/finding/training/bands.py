"""Bands along the sides of squares, as the finding straightens them, and where the cloth ends.

The pictures are the detector's own, taken from so near that a square measures 60 to 380 px. The
sides are supposed a little wrong, as the first looks of the finding leave them.
"""

from __future__ import annotations

import numpy as np
import torch
from boundary_net import ACROSS, ALONG, REACH, STEP, STRETCHES
from compose import curl_of, seen_in
from net import HEIGHT, WIDTH
from scenes import ground, lay_cloth, lay_stickers, numbers, tilted
from things import COLUMNS, MOST, Things
from torch.nn import functional as nnf
from view import LENS, Camera

SIDE = (60.0, 380.0)
"""What a square measures in the picture, px."""

OFF = (0.003, 0.008, 0.016, 0.032)
"""How far squares are supposed off, in sides; each is as likely as the others."""

INSIDE = (0.008, 0.03)
"""So far within its own edge cloth must be seen for a side to count as shown, in sides."""

A_PICTURE = 64
"""So many sides of a picture at most: else pictures of many small squares would be most of it."""

SPREAD = 0.6
"""Deviation of the place told, in steps."""

BINS, SMOOTH, FEW, MARGIN = 32, 1.2, 30.0, 7
"""As `catalog.finding.surface_colour` counts colours; pixels next to an edge count for neither."""

SHADOWS, SHADOW_WEIGHT = (0.85, 0.7, 0.55, 0.4), 0.1

Tensors = dict[str, torch.Tensor]


def pinked(rng: np.random.Generator, things: Things) -> None:
    """Cut some of the squares, or all, with shears that leave teeth of one make."""
    squares = np.flatnonzero(things.square)
    some = squares[rng.random(len(squares)) < rng.choice([1.0, 0.5])]
    number = rng.uniform(12, 70)
    teeth = np.tile([rng.uniform(0.3, 0.7) / number / 2, number, 0, 0], (len(some), 1))
    teeth[:, 2] = rng.random(len(some))
    things.rows[some, COLUMNS["teeth"]] = teeth


def curled(rng: np.random.Generator, things: Things) -> None:
    """Let the ends of the sides of some squares stray."""
    some = np.flatnonzero(things.square & (rng.random(len(things.square)) < 0.6))
    far = rng.normal(0, rng.choice([0.005, 0.012, 0.03]), len(some))
    things.rows[some, COLUMNS["teeth"]] = np.stack(
        [far, np.ones(len(some)), rng.uniform(-0.15, 0.15, len(some)), np.full(len(some), 2)], 1
    )


def shaded(rng: np.random.Generator, things: Things) -> None:
    """Let the squares cast darker, harder and longer shadows than the detector's pictures have."""
    way, far = rng.uniform(0, 2 * np.pi), rng.uniform(0, 0.06)
    soft = np.exp(rng.uniform(*np.log((0.002, 0.03))))
    things.rows[things.square, COLUMNS["shadow"]] = [
        rng.uniform(0.2, 0.9), soft, far * np.cos(way), far * np.sin(way)
    ]  # fmt: skip


def near_scene(rng: np.random.Generator, counts: tuple[int, int, int]) -> dict[str, np.ndarray]:
    """Draw a picture's numbers, see `scenes.scene`, with the camera near the squares."""
    things = Things(counts)
    stickers = rng.random() < 0.05
    kind = "stickers" if stickers else "cloth"
    area = lay_stickers(rng, things) if stickers else lay_cloth(rng, things)
    if not stickers and rng.random() < 0.6:
        shaded(rng, things)
    if not stickers and rng.random() < 0.4:
        curled(rng, things)
    if not stickers and rng.random() < 0.35:
        pinked(rng, things)
    x, y = np.meshgrid(area[:, 0], area[:, 1])
    outline = np.stack([x.ravel(), y.ravel()], 1)
    tilt = tilted(rng)
    frame = np.array([WIDTH, HEIGHT], float)
    side = np.exp(rng.uniform(*np.log(SIDE)))
    fill = side / (frame / (area[1] - area[0])).min()
    turn = rng.normal(0, 0.08) if rng.random() < 0.7 else rng.uniform(-3.2, 3.2)
    bend = rng.uniform(-0.06, 0.06) if rng.random() < 0.7 else 0
    camera = Camera(rng, outline, tilt, fill, turn, bend, frame)
    things.rows, things.source, things.square = (
        a[-MOST:] for a in (things.rows, things.source, things.square)
    )
    out = ground(rng, things, kind, area, camera)
    return {
        **out,
        **numbers(things, camera),
        "frame": frame.astype(np.float32),
        "camera": camera.matrix.astype(np.float32),
    }


def projected(points: torch.Tensor, matrix: torch.Tensor, bend: torch.Tensor) -> torch.Tensor:
    """Project points (S, ..., 2) of the plane to px with cameras (S, 3, 3) and bends (S,)."""
    shape = points.shape
    flat = points.reshape(shape[0], -1, 2)
    out = flat @ matrix[:, :, :2].transpose(1, 2) + matrix[:, None, :, 2]
    off = out[..., :2] / out[..., 2:].clamp(min=1e-6)
    centre = torch.tensor([WIDTH / 2, HEIGHT / 2], device=points.device)
    off = off - centre
    square = (off**2).sum(-1, keepdim=True) / LENS**2
    return (centre + off * (1 + bend[:, None, None] * square.clamp(max=2))).reshape(shape)


def true_corners(rows: torch.Tensor) -> torch.Tensor:
    """Corners (S, 4, 2) in the plane of things (S, columns)."""
    sign = torch.tensor([[-1.0, -1], [1, -1], [1, 1], [-1, 1]], device=rows.device)
    own = sign * rows[:, None, COLUMNS["half"]]
    back = torch.linalg.inv(rows[:, COLUMNS["frame"]].reshape(-1, 2, 2))
    return own @ back.transpose(1, 2) + rows[:, None, COLUMNS["centre"]]


def supposed(corners: torch.Tensor) -> torch.Tensor:
    """Corners (S, 4, 2) a little off, as a whole, in size, and each by itself."""
    n, device = len(corners), corners.device
    off = torch.tensor(OFF, device=device)[torch.randint(0, len(OFF), (n,), device=device)]
    off = off[:, None, None]
    whole = torch.randn(n, 1, 2, device=device)
    size = 1 + 0.7 * off * torch.randn(n, 1, 2, device=device)
    middle = corners.mean(1, keepdim=True)
    own = 0.5 * torch.randn(n, 4, 2, device=device)
    return middle + (corners - middle) * size + off * (whole + own)


def edge_of(
    rows: torch.Tensor, side: torch.Tensor, at: torch.Tensor, outward: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """How far outwards from places (S, k, 2) the cloth of things (S, columns) ends.

    Teeth count to their tips, waves and curls as they are. Also how deep its teeth are (S, 1), and
    where it is asked (S, k): not where a corner is cut off, folded or rounded. ``side`` (S,) is 0
    to 3, ``outward`` (S, 2) the way of the band.
    """
    frame = rows[:, COLUMNS["frame"]].reshape(-1, 2, 2)
    own = (at - rows[:, None, COLUMNS["centre"]]) @ frame.transpose(1, 2)
    way = (outward[:, None] @ frame.transpose(1, 2))[:, 0]
    half = rows[:, COLUMNS["half"]]
    axis = torch.where(side % 2 == 0, 1, 0)  # top and bottom end in v, right and left in u
    sign = torch.where((side == 1) | (side == 2), 1.0, -1.0)
    pick = axis[:, None, None].expand(-1, own.shape[1], 1)
    far = sign[:, None] * own.gather(2, pick)[..., 0] - half.gather(1, axis[:, None])
    speed = (sign * way.gather(1, axis[:, None])[:, 0]).clamp(min=0.2)[:, None]
    where = -far / speed
    touched = own + where[..., None] * way[:, None]
    along = touched.gather(2, 1 - pick)[..., 0]
    height, number, phase, waves = rows[:, COLUMNS["teeth"]].unbind(1)
    turn = along * number[:, None] + phase[:, None]
    kind = waves[:, None]
    wave = torch.where(kind > 1.5, -curl_of(turn), -torch.sin(turn * 6.2832))
    out = torch.where(kind > 0.5, wave, 1.0) * height[:, None]
    roots = torch.where(kind > 0.5, 0.0, 2 * height[:, None])
    spare = torch.maximum(1.1 * rows[:, 8], 1.1 * rows[:, 12])[:, None]
    asked = along.abs() < half.gather(1, 1 - axis[:, None]) - spare
    return where + out / speed, roots, asked | (spare == 0)


def likeness(pictures: torch.Tensor, cloth: torch.Tensor) -> torch.Tensor:
    """How like the ground each colour of each picture is, (B, 32 ** 3); see `finding.ground`."""
    n, device = len(pictures), pictures.device
    size = 2 * MARGIN + 1
    grown = nnf.max_pool2d(cloth.float()[:, None], size, 1, MARGIN)[:, 0] > 0
    shrunk = nnf.max_pool2d((~cloth).float()[:, None], size, 1, MARGIN)[:, 0] == 0
    grown, shrunk = grown[:, ::2, ::2], shrunk[:, ::2, ::2]  # a quarter tells as much
    level = (pictures[:, :, ::2, ::2] * 255).round().long()
    first = (torch.arange(n, device=device) * BINS**3)[:, None, None]

    def count(where: torch.Tensor, darker: float = 1.0) -> torch.Tensor:
        bins = (((level >> 3) + (0.5 if darker < 1 else 0)) * darker).floor().long()
        index = first + (bins[:, 0] * BINS + bins[:, 1]) * BINS + bins[:, 2]
        found = torch.zeros(n * BINS**3, device=device)
        found.scatter_add_(0, index.flatten(), where.flatten().float())
        return found.view(n, 1, BINS, BINS, BINS)

    inside = smoothed(count(shrunk))
    beside = smoothed(count(~grown))
    for darker in SHADOWS:
        beside = beside + SHADOW_WEIGHT * smoothed(count(~grown, darker))
    inside, beside = inside.flatten(1), beside.flatten(1)
    scale = inside.sum(1, keepdim=True).clamp(min=1) / beside.sum(1, keepdim=True).clamp(min=1)
    beside = beside * scale
    return (beside - inside) / (beside + inside + FEW * scale.clamp(min=1))


def smoothed(count: torch.Tensor) -> torch.Tensor:
    """Blur histograms (B, 1, 32, 32, 32)."""
    kernel = torch.exp(-0.5 * (torch.arange(-3.0, 4, device=count.device) / SMOOTH) ** 2)
    kernel = kernel / kernel.sum()
    for shape in ((7, 1, 1), (1, 7, 1), (1, 1, 7)):
        pad = tuple(k // 2 for k in shape)
        count = nnf.conv3d(count, kernel.view(1, 1, *shape), padding=pad)
    return count


def bands(scenes: Tensors, pictures: torch.Tensor, who: torch.Tensor, many: int) -> Tensors:
    """Bands of a batch of pictures with what should be told of them.

    Parameters
    ----------
    scenes : dict
        What `near_scene` draws, B of them.
    pictures : (B, 3, HEIGHT, WIDTH)
        RGB, 0 to 1, as the camera leaves them.
    who : (B, tiles, subpixels)
        See `compose.drawn`.
    many : int
        So many sides, drawn with putting back.

    Returns
    -------
    dict
        ``bands`` (S, 4, ALONG, ACROSS): RGB -1 to 1, likeness of the ground -1 to 1;
        ``offset`` (S, STRETCHES) in steps from the middle of the band; ``shown``, ``asked``
        (S, STRETCHES) bool.
    """
    device = pictures.device
    index = seen_in(who)
    square = torch.cat([scenes["square"], torch.zeros_like(scenes["square"][:, :1])], 1)
    picture = torch.arange(len(pictures), device=device)
    ground_like = likeness(pictures, square[picture[:, None, None], index.long()])
    quads = scenes["corners"]
    frame = scenes["frame"][:, None, None]
    near = ((quads > 4) & (quads < frame - 4)).all(3)
    whole = (near & near.roll(-1, 2)) & scenes["square"][..., None]
    count = whole.sum((1, 2), keepdim=True).clamp(min=1)
    chosen = torch.nonzero(whole & (torch.rand(whole.shape, device=device) * count < A_PICTURE))
    chosen = chosen[torch.randint(0, len(chosen), (many,), device=device)]
    which, thing, side = chosen.unbind(1)
    rows = scenes["things"][which, thing]
    corners = supposed(true_corners(rows))
    each = torch.arange(len(chosen), device=device)
    first, last = corners[each, side], corners[each, (side + 1) % 4]
    way = last - first
    outward = torch.stack([way[:, 1], -way[:, 0]], 1)
    outward = outward / outward.norm(dim=1, keepdim=True)
    along = (torch.arange(ALONG, device=device) + 0.5) / ALONG
    offset = (torch.arange(ACROSS, device=device) - ACROSS // 2) * STEP
    line = first[:, None] + along[:, None] * way[:, None]
    places = line[:, :, None] + offset[:, None] * outward[:, None, None]
    matrix, bend = scenes["camera"][which], scenes["bend"][which]
    px = projected(places, matrix, bend)
    colours = sampled(pictures, which, px)
    bins = (colours * 255).round().long() >> 3
    like = ground_like[which[:, None, None], (bins[:, 0] * BINS + bins[:, 1]) * BINS + bins[:, 2]]
    # teeth are finer than stretches, waves are not: the mean over a stretch is asked
    ends, roots, asked = edge_of(rows, side, line, outward)
    shown = torch.ones_like(asked)
    for deep in INSIDE:
        inner = projected(line + (ends - roots - deep)[..., None] * outward[:, None], matrix, bend)
        at = inner.round().long()
        x, y = at[..., 0].clamp(0, WIDTH - 1), at[..., 1].clamp(0, HEIGHT - 1)
        shown &= index[which[:, None], y, x] == thing[:, None]
    parts = (len(chosen), STRETCHES, ALONG // STRETCHES)
    share = shown.view(parts).float().mean(2)
    middle = ends.view(parts).mean(2)
    inside = (px > 1).all(3) & (px < scenes["frame"][which][:, None, None] - 1).all(3)
    asked = asked & inside.all(2)
    clear = (share > 0.75) | (share < 0.25)
    return {
        "bands": torch.cat([colours * 2 - 1, like[:, None]], 1),
        "offset": middle / STEP,
        "shown": (share > 0.5) & (middle.abs() < REACH),
        "asked": asked.view(parts).all(2) & clear,
    }


def sampled(pictures: torch.Tensor, which: torch.Tensor, px: torch.Tensor) -> torch.Tensor:
    """Colours (S, 3, ALONG, ACROSS) of some pictures at places (S, ALONG, ACROSS, 2), px."""
    x, y = px[..., 0] - 0.5, px[..., 1] - 0.5
    left, top = x.floor(), y.floor()
    out = torch.zeros(len(px), *px.shape[1:3], 3, device=px.device)
    flat = pictures.permute(0, 2, 3, 1)
    for dx in (0, 1):
        for dy in (0, 1):
            part = (1 - (x - left - dx).abs()) * (1 - (y - top - dy).abs())
            column = (left + dx).clamp(0, WIDTH - 1).long()
            line = (top + dy).clamp(0, HEIGHT - 1).long()
            out += part[..., None] * flat[which[:, None, None], line, column]
    return out.permute(0, 3, 1, 2)


def wanted_shares(truth: Tensors) -> torch.Tensor:
    """What should be told, (S, STRETCHES, ACROSS + 1): where the edge is, last that none shows."""
    place = torch.arange(ACROSS, device=truth["offset"].device) - ACROSS // 2
    near = torch.exp(-(((place - truth["offset"][..., None]) / SPREAD) ** 2) / 2)
    near = near / near.sum(-1, keepdim=True).clamp(min=1e-6)
    shown = truth["shown"][..., None].float()
    return torch.cat([near * shown, 1 - shown], -1)
