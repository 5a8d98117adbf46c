"""Prints of cloth and grounds to lay it on, made by the batch where the tensors live.

Everything returns float tensors (n, 3, side, side), RGB 0 to 1.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import torch
from torch.nn import functional as nnf

KINDS_OF_COLOUR = torch.tensor(
    [  # saturation from, to; value from, to; share
        [0.60, 1.00, 0.50, 1.00, 0.30],  # vivid
        [0.10, 0.40, 0.80, 1.00, 0.15],  # pastel
        [0.20, 0.90, 0.06, 0.35, 0.17],  # dark
        [0.15, 0.50, 0.30, 0.80, 0.20],  # muted
        [0.00, 0.10, 0.85, 1.00, 0.12],  # light
        [0.00, 0.05, 0.05, 0.95, 0.06],  # grey
    ]
)


def uniform(low: float, high: float, n: int, device: torch.device) -> torch.Tensor:
    """Draw (n, 1, 1)."""
    return torch.rand(n, 1, 1, device=device) * (high - low) + low


def rgb(hue: torch.Tensor, saturation: torch.Tensor, value: torch.Tensor) -> torch.Tensor:
    """Turn hue 0 to 6, saturation and value 0 to 1, each (n,), into RGB (n, 3)."""
    k = (torch.tensor([5.0, 3.0, 1.0], device=hue.device) + hue[:, None]) % 6
    part = torch.minimum(k, 4 - k).clamp(0, 1)
    return value[:, None] * (1 - saturation[:, None] * part)


def colours(n: int, device: torch.device) -> torch.Tensor:
    """Draw colours (n, 3)."""
    kind = KINDS_OF_COLOUR.to(device)
    kind = kind[torch.multinomial(kind[:, 4], n, replacement=True)]
    draw = torch.rand(n, 3, device=device)
    saturation = kind[:, 0] + draw[:, 0] * (kind[:, 1] - kind[:, 0])
    value = kind[:, 2] + draw[:, 1] * (kind[:, 3] - kind[:, 2])
    return rgb(draw[:, 2] * 6, saturation, value)


def noise(n: int, side: int, cells: float, device: torch.device) -> torch.Tensor:
    """Smooth noise (n, side, side), deviation about 1, with so many cells along a side."""
    grid = torch.randn(n, 1, int(cells) + 3, int(cells) + 3, device=device)
    out = nnf.interpolate(grid, size=(side, side), mode="bicubic", align_corners=False)
    return out[:, 0]


def plane(
    n: int, side: int, device: torch.device, turned: float
) -> tuple[torch.Tensor, torch.Tensor]:
    """Coordinates (n, side, side), about 0 to 1, some of them turned."""
    ramp = (torch.arange(side, device=device) + 0.5) / side - 0.5
    turn = (torch.rand(n, 1, 1, device=device) < turned) * uniform(0, math.pi, n, device)
    turn = turn + (torch.rand(n, 1, 1, device=device) < 0.5) * (math.pi / 2)
    x, y = ramp[None, None, :], ramp[None, :, None]
    return turn.cos() * x - turn.sin() * y + 0.5, turn.sin() * x + turn.cos() * y + 0.5


def clouds(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Blended dyes."""
    rough = torch.rand(1).item() * 12 + 2
    out = noise(n, side, rough, device) + 0.6 * noise(n, side, rough * 2.7, device)
    return torch.sigmoid(out * uniform(0.7, 4, n, device))


def dots(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Dots in rows or set off."""
    x, y = plane(n, side, device, 0.3)
    k = uniform(4, 30, n, device)
    shift = (torch.rand(n, 1, 1, device=device) < 0.5) * 0.5
    x, y = x * k, y * k
    x = x + shift * (y.floor() % 2)
    radius = uniform(0.1, 0.45, n, device)
    return (((x % 1 - 0.5) ** 2 + (y % 1 - 0.5) ** 2) < radius**2).float()


def tables(n: int, device: torch.device) -> torch.Tensor:
    """Draw what colour each part of a repeat of stripes has: (n, parts), 0 to 1."""
    parts = 2 if torch.rand(1).item() < 0.4 else int(torch.randint(2, 24, (1,)))
    table = torch.randint(0, 3, (n, parts), device=device).float() / 2
    table[:, 0], table[:, 1] = 0, 1
    return table


def bands(along: torch.Tensor, repeats: torch.Tensor, table: torch.Tensor) -> torch.Tensor:
    """Stripes of uneven widths along a coordinate."""
    parts = table.shape[1]
    index = ((along * repeats % 1) * parts).long().clamp(0, parts - 1)
    return table.gather(1, index.flatten(1)).view_as(along)


def stripes(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Stripes, straight or slightly wavy."""
    x, y = plane(n, side, device, 0.35)
    x = x + (torch.rand(n, 1, 1, device=device) < 0.2) * 0.02 * torch.sin(y * 40)
    return bands(x, uniform(2, 26, n, device), tables(n, device))


def plaid(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Gingham and plaid: stripes both ways, mixed."""
    x, y = plane(n, side, device, 0.15)
    repeats, table = uniform(2, 18, n, device), tables(n, device)
    other = table if torch.rand(1).item() < 0.7 else tables(n, device)
    return (bands(x, repeats, table) + bands(y, repeats, other)) / 2


def chequer(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Checks and diamonds."""
    x, y = plane(n, side, device, 0.4)
    k = uniform(4, 26, n, device)
    return ((x * k).floor() + (y * k).floor()) % 2


def blooms(n: int, side: int, device: torch.device, low: float, high: float) -> torch.Tensor:
    """Tossed stars, petals and leaves, one in each cell of a loose lattice."""
    x, y = plane(n, side, device, 1)
    k = uniform(low, high, n, device)
    petals = torch.randint(2, 7, (n, 1, 1), device=device)
    depth, size = uniform(0.1, 0.6, n, device), uniform(0.3, 0.75, n, device)
    share = uniform(0.4, 1.1, n, device)
    table = torch.rand(n, 4, 4096, device=device)
    out = torch.zeros_like(x + y)
    for i in (-1, 0, 1):
        for j in (-1, 0, 1):
            cx, cy = (x * k).floor() + i, (y * k).floor() + j
            index = ((cx * 73 + cy * 1151).long() % 4096).flatten(1)
            draw = [table[:, c].gather(1, index).view_as(out) for c in range(4)]
            dx, dy = x * k - cx - draw[0], y * k - cy - draw[1]
            angle = torch.atan2(dy, dx) + draw[2] * 6.3
            reach = size * (0.4 + 0.6 * draw[3]) * (1 - depth + depth * torch.cos(petals * angle))
            inside = (dx * dx + dy * dy < reach * reach) & (draw[3] < share)
            out = torch.where(inside, 0.4 + 0.6 * (draw[2] > 0.4).float(), out)
            heart = dx * dx + dy * dy < 0.06 * size * size
            out = torch.where(inside & heart, torch.full_like(out, 0.15), out)
    return out


def small_blooms(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Small florals."""
    return blooms(n, side, device, 8, 26)


def large_blooms(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Large florals, of one to five blooms a square."""
    return torch.maximum(blooms(n, side, device, 1.5, 7), 0.5 * blooms(n, side, device, 4, 12))


def zigzag(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Zigzags and waves."""
    x, y = plane(n, side, device, 0.15)
    k, steep = uniform(3, 18, n, device), uniform(0.3, 1.6, n, device)
    return ((y * k + ((x * k) % 1 - 0.5).abs() * steep) % 1 < uniform(0.3, 0.7, n, device)).float()


def windowpane(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Lines in a net."""
    x, y = plane(n, side, device, 0.4)
    k, thin = uniform(3, 22, n, device), uniform(0.06, 0.25, n, device)
    return (((x * k) % 1 < thin) | ((y * k) % 1 < thin)).float()


def lettering(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Rows of strokes, as printed lines of text are."""
    x, y = plane(n, side, device, 0.1)
    k, wide = uniform(8, 30, n, device), uniform(1.5, 4, n, device)
    row, place = (y * k).floor(), (x * k * wide).floor()
    stroke = torch.sin(place * 12.9898 + row * 78.233) * 43758.5453
    return ((stroke % 1 > 0.35) & ((y * k) % 1 > 0.35)).float()


def mosaic(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Cells of many values."""
    x, y = plane(n, side, device, 0.5)
    k = uniform(12, 40, n, device)
    wild = torch.sin((x * k).floor() * 12.9898 + (y * k).floor() * 78.233) * 43758.5453
    return wild % 1


FIGURES: list[tuple[Callable[..., torch.Tensor], float]] = [
    (clouds, 0.2),
    (dots, 0.12),
    (stripes, 0.12),
    (plaid, 0.13),
    (chequer, 0.05),
    (small_blooms, 0.14),
    (large_blooms, 0.12),
    (zigzag, 0.05),
    (windowpane, 0.03),
    (lettering, 0.02),
    (mosaic, 0.02),
]


def figure(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Draw one kind of figure for all of the n."""
    share = torch.tensor([weight for _, weight in FIGURES])
    kind = FIGURES[int(torch.multinomial(share, 1))][0]
    return kind(n, side, device)


def mixed(figures: torch.Tensor, one: torch.Tensor, two: torch.Tensor) -> torch.Tensor:
    """Colour a figure (n, side, side) from one colour (n, 3) or picture to another."""
    one = one[:, :, None, None] if one.ndim == 2 else one
    return one + (two[:, :, None, None] - one) * figures[:, None]


def printed(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Draw prints: a base, one to three figures on it, the weave."""
    base, second = colours(n, device), colours(n, device)
    near = (base + 0.15 * torch.randn(n, 3, device=device)).clamp(0, 1)
    second = torch.where(torch.rand(n, 1, device=device) < 0.4, near, second)
    out = base[:, :, None, None].expand(n, 3, side, side)
    draw = torch.rand(1).item()
    if draw > 0.1:
        out = mixed(figure(n, side, device), out, second)
    if draw > 0.55:
        out = mixed(figure(n, side, device) * uniform(0.3, 1, n, device), out, colours(n, device))
    if draw > 0.85:
        out = mixed(large_blooms(n, side, device), out, colours(n, device))
    weave = torch.randn(n, 1, side, side, device=device) * uniform(0, 0.04, n, device)[:, None]
    return (out + weave).clamp(0, 1)


def cut_from(pictures: torch.Tensor, n: int, side: int, zoom: tuple[float, float]) -> torch.Tensor:
    """Cut turned windows, each `zoom` of the whole wide, out of pictures (m, 3, h, w)."""
    device = pictures.device
    pick = torch.randint(len(pictures), (n,), device=device)
    size = uniform(zoom[0], zoom[1], n, device)[:, 0, 0]
    turn = torch.rand(n, device=device) * 2 * math.pi
    room = (1 - size * 1.4142).clamp(min=0)
    shift = (torch.rand(n, 2, device=device) * 2 - 1) * room[:, None]
    cos, sin = size * turn.cos(), size * turn.sin()
    theta = torch.stack(
        [torch.stack([cos, -sin, shift[:, 0]], 1), torch.stack([sin, cos, shift[:, 1]], 1)], 1
    )
    grid = nnf.affine_grid(theta, [n, 3, side, side], align_corners=False)
    return nnf.grid_sample(pictures[pick], grid, padding_mode="reflection", align_corners=False)


def recoloured(cloth: torch.Tensor) -> torch.Tensor:
    """Give cloth (n, 3, h, w) other colours, keeping its light and dark."""
    n = len(cloth)
    light = cloth.mean(1)
    light = light - light.mean((1, 2), keepdim=True)
    light = light / (light.std((1, 2), keepdim=True) + 0.02)
    new = mixed(torch.sigmoid(light * 1.7), colours(n, cloth.device), colours(n, cloth.device))
    keep = torch.rand(n, 1, 1, 1, device=cloth.device) < 0.4
    return torch.where(keep, cloth, new)
