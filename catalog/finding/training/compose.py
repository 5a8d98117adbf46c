"""Put pictures together by the batch: which thing does each pixel show, and in what colour.

The picture is cut into tiles; each tile keeps the few things whose boxes touch it, the highest
first, and every pixel of it asks them in turn. Twice the resolution, then halved.
"""

from __future__ import annotations

from collections.abc import Callable

import torch
from atlas import unpacked
from net import HEIGHT, WIDTH
from things import COLUMNS, SUPERSAMPLING
from view import LENS

TILE = 16
"""Side of a tile, px."""

CANDIDATES = 16
"""Things that a tile keeps at most."""

BLANK = 127 / 255
"""Grey of what lies outside the photograph."""

HORIZON = 1e-3
"""How near the horizon the plane is still followed; 1 is the middle of the picture. At the horizon
itself points would be infinite."""

CURLED_FROM = 0.3
"""Edges that curl do so from this far from their middle on, in units."""

Tensors = dict[str, torch.Tensor]


def tile_lists(box: torch.Tensor) -> torch.Tensor:
    """List the things that touch each tile, the highest first, -1 where there are no more.

    Parameters
    ----------
    box : (B, N, 4)
        Left, top, right, bottom in px; far outside for things that aren't there.

    Returns
    -------
    (B, tiles, CANDIDATES)
    """
    x = torch.arange(WIDTH // TILE, device=box.device) * float(TILE)
    y = torch.arange(HEIGHT // TILE, device=box.device) * float(TILE)
    left, top, right, bottom = (box[:, None, :, k] for k in range(4))
    across = (left < x[None, :, None] + TILE) & (right > x[None, :, None])
    down = (top < y[None, :, None] + TILE) & (bottom > y[None, :, None])
    touch = (down[:, :, None] & across[:, None]).flatten(1, 2)
    rank = torch.arange(1, box.shape[1] + 1, device=box.device, dtype=torch.int32)
    return (touch * rank).topk(CANDIDATES, dim=2).values.long() - 1


def pixel_places(scenes: Tensors) -> tuple[torch.Tensor, torch.Tensor]:
    """Give the point of the plane that each subpixel shows: x, y (B, tiles, subpixels)."""
    device = scenes["plane"].device
    sub = (torch.arange(TILE * SUPERSAMPLING, device=device) + 0.5) / SUPERSAMPLING
    y, x = torch.meshgrid(
        torch.arange(0, HEIGHT, TILE, device=device),
        torch.arange(0, WIDTH, TILE, device=device),
        indexing="ij",
    )
    px = (x.reshape(-1, 1, 1) + sub[None, None, :]).expand(-1, len(sub), -1).flatten(1)
    py = (y.reshape(-1, 1, 1) + sub[None, :, None]).expand(-1, -1, len(sub)).flatten(1)
    dx, dy = (px - WIDTH / 2)[None], (py - HEIGHT / 2)[None]
    bend, undo = scenes["bend"][:, None, None], torch.ones_like(dx)
    for _ in range(4):
        square = (dx * dx + dy * dy) * undo * undo / LENS**2
        undo = 1 / (1 + bend * square.clamp(max=2))
    ux, uy = dx * undo + WIDTH / 2, dy * undo + HEIGHT / 2
    h = scenes["plane"][:, :, :, None, None]
    middle = h[:, 2, 0] * (WIDTH / 2) + h[:, 2, 1] * (HEIGHT / 2) + h[:, 2, 2]
    low = (h[:, 2, 0] * ux + h[:, 2, 1] * uy + h[:, 2, 2]) / middle
    low = low.clamp(min=HORIZON) * middle
    return (
        (h[:, 0, 0] * ux + h[:, 0, 1] * uy + h[:, 0, 2]) / low,
        (h[:, 1, 0] * ux + h[:, 1, 1] * uy + h[:, 1, 2]) / low,
    )


def curl_of(along: torch.Tensor) -> torch.Tensor:
    """How far the edge is off near its ends, 1 at half a unit from the middle."""
    return ((along.abs() - CURLED_FROM).clamp(min=0) / (0.5 - CURLED_FROM)) ** 2


def distance(u: torch.Tensor, v: torch.Tensor, c: list[torch.Tensor]) -> torch.Tensor:
    """Signed distance from a thing's edge in its own frame, below 0 inside; c: its columns."""
    qx, qy = u.abs() - c[6] + c[8], v.abs() - c[7] + c[8]
    outside = torch.sqrt(qx.clamp(min=0) ** 2 + qy.clamp(min=0) ** 2 + 1e-12)
    box = torch.maximum(qx, qy).clamp(max=0) + outside - c[8]
    along = torch.where(qx > qy, v, u) * c[15] + c[16]
    wave = torch.where(c[17] > 0.5, torch.sin(along * 6.2832), (along % 1 - 0.5).abs() * 4 - 1)
    wave = torch.where(c[17] > 1.5, curl_of(along), wave)
    box = box + c[14] * wave
    ring = (torch.sqrt((u / c[6]) ** 2 + (v / c[7]) ** 2 + 1e-12) - 1) * torch.minimum(c[6], c[7])
    return torch.where(c[9] > 0.5, ring, box)


def ask(x: torch.Tensor, y: torch.Tensor, place: torch.Tensor, row: torch.Tensor,
        at: torch.Tensor, state: tuple[torch.Tensor, ...]) -> tuple[torch.Tensor, ...]:  # fmt: skip
    """Let one candidate of each tile cover what it covers and shade what lies under it.

    Parameters
    ----------
    x, y : (B, tiles, subpixels)
        Points of the plane.
    place : (B, tiles)
        Which thing is asked, -1 none.
    row : (B, tiles, columns)
    at : (B, tiles, 2)
    state
        Who is seen (-1 nobody yet), texel, light, how pale (folded back), the shadow so far.
    """
    seen, texel, light, pale, dark = state
    c = [row[..., k : k + 1] for k in range(row.shape[-1])]
    there = place[..., None] >= 0
    dx, dy = x - c[0], y - c[1]
    u, v = c[2] * dx + c[3] * dy, c[4] * dx + c[5] * dy
    edge = distance(u, v, c)
    corner = (c[6] + c[7] - c[10] * u - c[11] * v) - c[12]  # below 0 in the corner cut off
    cut = (c[12] > 0) & (corner < 0)
    fold = (c[12] > 0) & (c[13] > 0.5) & (corner >= 0) & (corner < c[12])
    mirror = (c[10] * u > c[6] - c[12]) & (c[11] * v > c[7] - c[12])
    fold = fold & mirror
    free = (seen < 0) & there
    hit = free & (edge < 0) & ~cut
    inner = torch.exp(edge.clamp(max=0) / (c[35] + 1e-4))
    crease = torch.exp(-(((c[36] * u + c[37] * v - c[38]) / 0.12) ** 2))
    shine = (1 + c[34] * inner) * (1 + c[39] * crease) * (1 - dark)
    tx = c[18] * u + c[19] * v + c[22]
    ty = c[20] * u + c[21] * v + c[23]
    seen = torch.where(hit, place[..., None].int(), seen)
    texel = torch.where(hit, texel_at(tx, ty, at[..., :1], at[..., 1:]), texel)
    light = torch.where(hit, shine, light)
    pale = torch.where(hit, fold.float() * 0.6, pale)
    su, sv = dx - c[32], dy - c[33]
    behind = distance(c[2] * su + c[3] * sv, c[4] * su + c[5] * sv, c)
    shade = c[30] * torch.sigmoid(-behind / (c[31] + 1e-4) * 2)
    dark = torch.where(free & ~hit, torch.maximum(dark, shade), dark)
    return seen, texel, light, pale, dark


def texel_at(x: torch.Tensor, y: torch.Tensor, start: torch.Tensor,
             side: torch.Tensor) -> torch.Tensor:  # fmt: skip
    """Find the texel at x, y, in sides of a picture that is mirrored at its edges."""
    fx = 1 - ((x * 0.5 % 1) * 2 - 1).abs()
    fy = 1 - ((y * 0.5 % 1) * 2 - 1).abs()
    column = torch.minimum((fx * side).int(), side - 1)
    line = torch.minimum((fy * side).int(), side - 1)
    return start + line * side + column


def painted(x: torch.Tensor, y: torch.Tensor, scenes: Tensors, texels: torch.Tensor,
            state: tuple[torch.Tensor, ...]) -> tuple[torch.Tensor, torch.Tensor]:  # fmt: skip
    """Colour what is seen, the ground where nothing is.

    Returns
    -------
    colours : (B, tiles, TILE * TILE, 3)
        Averaged over the subpixels of each pixel.
    who : (B, tiles, subpixels)
        Which thing is seen; as many as there are things: the ground.
    """
    seen, texel, light, pale, dark = state
    g = scenes["ground"][:, :, None, None]
    at = scenes["ground_at"][:, :, None, None]
    under = texel_at(
        g[:, 0] * x + g[:, 1] * y + g[:, 4], g[:, 2] * x + g[:, 3] * y + g[:, 5], at[:, 0], at[:, 1]
    )
    empty = seen < 0
    light = torch.where(empty, 1 - dark, light)
    columns = slice(COLUMNS["gain"].start, COLUMNS["offset"].stop)
    paint = torch.cat([scenes["things"][..., columns], scenes["ground"][:, None, 6:12]], 1)
    who = torch.where(empty, paint.shape[1] - 1, seen)
    batch = torch.arange(len(x), device=x.device)[:, None, None]
    paint = paint[batch, who]
    colour = unpacked(texels[torch.where(empty, under, texel)])
    colour = colour * paint[..., :3] + paint[..., 3:]
    colour = (colour + pale[..., None] * (0.85 - colour)) * light[..., None]
    colour = colour.clamp(0, 1).view(*x.shape[:2], TILE, SUPERSAMPLING, TILE, SUPERSAMPLING, 3)
    return colour.mean((3, 5)).flatten(2, 3), who


def joined(tiles: torch.Tensor) -> torch.Tensor:
    """Join tiles (B, tiles, TILE * TILE, c) to pictures (B, c, HEIGHT, WIDTH)."""
    rows, cols = HEIGHT // TILE, WIDTH // TILE
    out = tiles.view(len(tiles), rows, cols, TILE, TILE, -1).permute(0, 5, 1, 3, 2, 4)
    return out.reshape(len(tiles), -1, HEIGHT, WIDTH)


def split(pictures: torch.Tensor, times: int) -> torch.Tensor:
    """Cut (B, 1, HEIGHT, WIDTH) into (B, tiles, subpixels), every pixel so many times squared."""
    big = pictures.repeat_interleave(times, 2).repeat_interleave(times, 3)
    rows, cols, side = HEIGHT // TILE, WIDTH // TILE, TILE * times
    return big.view(len(big), rows, side, cols, side).transpose(2, 3).flatten(3).flatten(1, 2)


def outside(frame: torch.Tensor) -> torch.Tensor:
    """Tell which pixels lie right of or below the photograph: (B, 1, HEIGHT, WIDTH)."""
    x = torch.arange(WIDTH, device=frame.device)[None, None, None]
    y = torch.arange(HEIGHT, device=frame.device)[None, None, :, None]
    return (x >= frame[:, 0, None, None, None]) | (y >= frame[:, 1, None, None, None])


def drawn(
    scenes: Tensors,
    texels: torch.Tensor,
    question: Callable[..., tuple[torch.Tensor, ...]] = ask,
    paint: Callable[..., tuple[torch.Tensor, torch.Tensor]] = painted,
) -> tuple[torch.Tensor, torch.Tensor]:
    """Make the pictures.

    Parameters
    ----------
    scenes : dict
        A batch of what `scenes.scene` draws.
    texels : (T,)
        The atlas.
    question, paint
        `ask` and `painted`, or the same compiled.

    Returns
    -------
    pictures : (B, 3, HEIGHT, WIDTH)
        RGB, 0 to 1.
    who : (B, tiles, subpixels)
        Which thing is seen; as many as there are things: the ground.
    """
    x, y = pixel_places(scenes)
    lists = tile_lists(scenes["box"])
    batch = torch.arange(len(x), device=x.device)[:, None]
    seen = torch.full_like(x, -1, dtype=torch.int32)
    state = (
        seen,
        torch.zeros_like(seen),
        torch.ones_like(x),
        torch.zeros_like(x),
        torch.zeros_like(x),
    )
    for k in range(CANDIDATES):
        place = lists[..., k]
        if k % 4 == 0 and not (place >= 0).any():
            break
        index = place.clamp(min=0)
        state = question(
            x, y, place, scenes["things"][batch, index], scenes["at"][batch, index], state
        )
    pictures, who = paint(x, y, scenes, texels, state)
    return torch.where(outside(scenes["frame"]), BLANK, joined(pictures)), who


def compose(
    scenes: Tensors,
    texels: torch.Tensor,
    question: Callable[..., tuple[torch.Tensor, ...]] = ask,
    paint: Callable[..., tuple[torch.Tensor, torch.Tensor]] = painted,
) -> tuple[torch.Tensor, torch.Tensor]:
    """Make the pictures (see `drawn`) and tell what is seen of each thing.

    Returns
    -------
    pictures : (B, 3, HEIGHT, WIDTH)
    share : (B, N)
        Pixels of the picture that each thing is seen in.
    """
    pictures, who = drawn(scenes, texels, question, paint)
    count = scenes["things"].shape[1]
    inside = split(~outside(scenes["frame"]), SUPERSAMPLING)[..., :: SUPERSAMPLING**2].float()
    few = who[..., :: SUPERSAMPLING**2]
    share = torch.zeros(len(who), count + 1, device=who.device)
    share.scatter_add_(1, few.flatten(1).long(), inside.flatten(1))
    return pictures, share[:, :-1]


def seen_in(who: torch.Tensor) -> torch.Tensor:
    """Which thing each pixel shows, (B, HEIGHT, WIDTH), from `who` as `drawn` gives it."""
    tiles = who.view(*who.shape[:2], TILE, SUPERSAMPLING, TILE, SUPERSAMPLING)[:, :, :, 0, :, 0]
    return joined(tiles.flatten(2)[..., None])[:, 0]
