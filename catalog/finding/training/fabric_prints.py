"""Prints as inks laid on cloth, so that one print can be had in any colours.

A print is a tensor (n, INKS, SIDE, SIDE) of how much of each pixel each ink has, 0 to 1, in all 1.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import torch
from PIL import Image
from prints import colours, noise, uniform
from torch.nn import functional as nnf

SIDE = 384
"""Pixels along a piece of cloth."""
PPI = 25.6
"""Pixels an inch."""
INKS = 6
FINE = 2
"""A piece is drawn at so many times its pixels and averaged."""


def log_uniform(low: float, high: float, n: int, device: torch.device) -> torch.Tensor:
    """Draw (n, 1, 1)."""
    return torch.exp(uniform(math.log(low), math.log(high), n, device))


def chance(share: float, n: int, device: torch.device) -> torch.Tensor:
    """Draw (n, 1, 1) bool."""
    return torch.rand(n, 1, 1, device=device) < share


def whole(low: int, high: int, n: int, device: torch.device) -> torch.Tensor:
    """Draw whole numbers (n, 1, 1), the last left out."""
    return torch.randint(low, high, (n, 1, 1), device=device)


def inches(n: int, device: torch.device, turned: float) -> tuple[torch.Tensor, torch.Tensor]:
    """Coordinates (n, side, side) in inches, some of them turned."""
    side = SIDE * FINE
    ramp = (torch.arange(side, device=device) + 0.5) / (FINE * PPI)
    turn = chance(turned, n, device) * torch.where(
        chance(0.5, n, device), math.pi / 4, uniform(0, math.pi, n, device)
    )
    turn = turn + chance(0.5, n, device) * (math.pi / 2)
    x, y = ramp[None, None, :], ramp[None, :, None]
    shift = uniform(0, 30, n, device)
    return turn.cos() * x - turn.sin() * y + shift, turn.sin() * x + turn.cos() * y + shift


def wild(x: torch.Tensor, y: torch.Tensor, seed: torch.Tensor) -> torch.Tensor:
    """Return what looks random, 0 to 1, of whole numbers."""
    mixed = torch.sin(x * 12.9898 + y * 78.233 + seed * 37.719) * 43758.5453
    return mixed - mixed.floor()


def motifs(n: int, device: torch.device, low: float, high: float) -> torch.Tensor:
    """Figures in a lattice, strict or loose: (n, side, side) which ink, -1 for none."""
    x, y = inches(n, device, 0.3)
    pitch = log_uniform(low, high, n, device)
    u, v = x / pitch, y / pitch
    u = u + chance(0.5, n, device) * 0.5 * (v.floor() % 2)
    seed = uniform(0, 9, n, device)
    loose = chance(0.65, n, device) * uniform(0.1, 0.9, n, device)
    reach, varied = (
        uniform(0.15, 0.62, n, device),
        chance(0.5, n, device) * uniform(0, 0.6, n, device),
    )
    petals = whole(2, 9, n, device)
    depth = chance(0.7, n, device) * uniform(0.1, 0.7, n, device)
    long, power = uniform(1, 3.5, n, device), uniform(0.7, 4, n, device)
    starry, spun = chance(0.6, n, device), chance(0.6, n, device)
    share = torch.where(chance(0.6, n, device), 1.1, uniform(0.3, 1, n, device))
    inner, heart = uniform(0.3, 0.85, n, device), uniform(0, 0.35, n, device)
    first, kinds = whole(0, INKS, n, device), whole(1, 5, n, device)
    second, third = whole(0, INKS, n, device), whole(0, INKS, n, device)
    out = torch.full_like(u + v, -1.0)
    for i in (-1, 0, 1):
        for j in (-1, 0, 1):
            cx, cy = u.floor() + i, v.floor() + j
            draw = [wild(cx, cy, seed + c) for c in range(5)]
            dx = u - cx - 0.5 - loose * (draw[0] - 0.5)
            dy = v - cy - 0.5 - loose * (draw[1] - 0.5)
            spin = spun * draw[2] * 6.283
            size = reach * (1 - varied * draw[3])
            a = spin.cos() * dx - spin.sin() * dy
            b = spin.sin() * dx + spin.cos() * dy
            star = torch.hypot(a, b) / (1 - depth + depth * torch.cos(petals * torch.atan2(b, a)))
            star = torch.where(star < 0, 9.0, star)
            oval = (a.abs() ** power + (b.abs() * long) ** power) ** (1 / power)
            far = torch.where(starry, star, oval) / size
            inside = (far < 1) & (draw[4] < share)
            ink = (first + (draw[3] * 977 % 1 * kinds).floor()) % INKS
            ink = torch.where(far < inner, (ink + second) % INKS, ink)
            ink = torch.where(far < heart, third.expand_as(ink).float(), ink)
            out = torch.where(inside, ink, out)
    return out


def small(n: int, device: torch.device) -> torch.Tensor:
    """Small figures."""
    return motifs(n, device, 0.14, 0.8)


def medium(n: int, device: torch.device) -> torch.Tensor:
    """Figures of about an inch."""
    return motifs(n, device, 0.6, 2.2)


def large(n: int, device: torch.device) -> torch.Tensor:
    """Figures of which a square shows some."""
    return motifs(n, device, 1.4, 4.5)


def table(n: int, device: torch.device) -> torch.Tensor:
    """Draw the inks of a stripe's repeat, (n, parts)."""
    parts = 2 if torch.rand(1).item() < 0.35 else int(torch.randint(2, 20, (1,)))
    several = int(torch.randint(2, 5, (1,)))
    drawn = torch.randint(0, several, (n, parts), device=device)
    drawn[:, 0], drawn[:, 1] = 0, 1
    return (drawn + torch.randint(0, INKS, (n, 1), device=device)) % INKS


def banded(along: torch.Tensor, repeat: torch.Tensor, inks: torch.Tensor) -> torch.Tensor:
    """Stripes along a coordinate in inches."""
    parts = inks.shape[1]
    index = ((along / repeat % 1) * parts).long().clamp(0, parts - 1)
    return inks.gather(1, index.flatten(1)).view_as(along).float()


def repeat_of(n: int, device: torch.device) -> torch.Tensor:
    """Draw how long stripes' repeats are, inches."""
    return log_uniform(0.2, 5, n, device)


def stripes(n: int, device: torch.device) -> torch.Tensor:
    """Stripes, straight or wavy."""
    x, y = inches(n, device, 0.25)
    wave = chance(0.25, n, device) * uniform(0, 0.4, n, device)
    x = x + wave * torch.sin(y * uniform(0.8, 6, n, device))
    return banded(x, repeat_of(n, device), table(n, device))


def chequer(n: int, device: torch.device) -> torch.Tensor:
    """Checks, triangles."""
    x, y = inches(n, device, 0.4)
    k = log_uniform(0.12, 3, n, device)
    u, v = x / k, y / k
    odd = (u.floor() + v.floor()) % 2
    half = chance(0.5, n, device) & ((u % 1) + (v % 1) < 1)
    some = torch.floor(wild(u.floor(), v.floor(), uniform(0, 9, n, device)) * 3)
    ink = torch.where(half, torch.full_like(odd, 2.0), odd) + chance(0.3, n, device) * some
    return (ink + whole(0, INKS, n, device)) % INKS


def zigzag(n: int, device: torch.device) -> torch.Tensor:
    """Zigzags."""
    x, y = inches(n, device, 0.15)
    wide, steep = log_uniform(0.2, 3, n, device), uniform(0.2, 1.4, n, device)
    along = y + ((x / wide) % 1 - 0.5).abs() * steep * wide
    return banded(along, repeat_of(n, device), table(n, device))


def panes(n: int, device: torch.device) -> torch.Tensor:
    """Lines in a net, -1 between them."""
    x, y = inches(n, device, 0.4)
    k, thin = log_uniform(0.2, 3, n, device), uniform(0.06, 0.25, n, device)
    lines = ((x / k) % 1 < thin) | (((y / k) % 1 < thin) & chance(0.7, n, device))
    return torch.where(lines, whole(0, INKS, n, device).float().expand_as(lines), -1.0)


def rough(n: int, device: torch.device) -> torch.Tensor:
    """Smooth noise (n, side, side), deviation about 1."""
    cells = math.exp(torch.rand(1).item() * 2.9 + 1.7)
    out = noise(n, SIDE * FINE, cells, device)
    return out + 0.5 * noise(n, SIDE * FINE, cells * 2.3, device)


def patches(n: int, device: torch.device) -> torch.Tensor:
    """Areas of any shape."""
    several = int(torch.randint(2, INKS + 1, (1,)))
    fields = torch.stack([rough(n, device) for _ in range(several)], 1)
    return (fields.argmax(1) + whole(0, INKS, n, device)).float() % INKS


def vines(n: int, device: torch.device) -> torch.Tensor:
    """Winding lines, -1 between them."""
    field, thin = rough(n, device), uniform(0.04, 0.3, n, device)
    lines = (field.abs() < thin) | ((field - 0.9).abs() < thin * chance(0.5, n, device))
    return torch.where(lines, whole(0, INKS, n, device).float().expand_as(lines), -1.0)


def laid(inks: torch.Tensor) -> torch.Tensor:
    """Turn which ink (n, side, side) into weights."""
    each = torch.arange(INKS, device=inks.device)[None, :, None, None]
    return (inks[:, None] == each).half()


def clouds(n: int, device: torch.device) -> torch.Tensor:
    """Weights of blended dyes."""
    field = torch.sigmoid(rough(n, device) * uniform(0.6, 3, n, device)) * (INKS - 1)
    each = torch.arange(INKS, device=device)[None, :, None, None]
    return (1 - (field[:, None] - each).abs()).clamp(min=0).half()


def plaid(n: int, device: torch.device) -> torch.Tensor:
    """Weights of stripes both ways, woven."""
    x, y = inches(n, device, 0.15)
    repeat, inks = repeat_of(n, device), table(n, device)
    other = inks if torch.rand(1).item() < 0.7 else table(n, device)
    return (laid(banded(x, repeat, inks)) + laid(banded(y, repeat, other))) / 2


Figure = Callable[[int, torch.device], torch.Tensor]
GROUNDS: list[tuple[Figure | None, float]] = [
    (None, 0.45), (clouds, 0.15), (stripes, 0.1), (plaid, 0.13), (chequer, 0.07), (patches, 0.1),
]  # fmt: skip
"""What lies behind, and how often; None: one ink."""
FIGURES: list[tuple[Figure, float]] = [
    (small, 0.3), (medium, 0.2), (large, 0.28), (zigzag, 0.06), (panes, 0.06), (vines, 0.1),
]  # fmt: skip
LAYERS = (0.27, 0.31, 0.25, 0.17)
"""How often nought to three figures lie on a ground."""


def one_of(
    several: list[tuple[Figure | None, float]] | list[tuple[Figure, float]],
) -> Figure | None:
    """Draw one."""
    shares = torch.tensor([share for _, share in several])
    return several[int(torch.multinomial(shares, 1))][0]


def drawn(n: int, device: torch.device) -> torch.Tensor:
    """Draw prints of one make, each in its own measures: (n, INKS, SIDE, SIDE)."""
    layers = int(torch.multinomial(torch.tensor(LAYERS), 1))
    ground = one_of(GROUNDS) if layers else one_of(GROUNDS[1:])
    plain = whole(0, INKS, n, device).float().expand(n, SIDE * FINE, SIDE * FINE)
    under = plain if ground is None else ground(n, device)
    out = under if under.ndim == 4 else laid(under)
    for _ in range(layers):
        figure = one_of(FIGURES)
        inks = figure(n, device) if figure else plain
        shown = (inks >= 0)[:, None]
        if figure is zigzag:
            shown = shown & (noise(n, SIDE * FINE, 3, device) > 0)[:, None]
        dense = torch.where(chance(0.75, n, device), 1.0, uniform(0.3, 1, n, device))[
            :, None
        ].half()
        out = torch.where(shown, dense * laid(inks) + (1 - dense) * out, out)
    return nnf.avg_pool2d(out.float(), FINE)


def photographed(folder: Path, device: torch.device) -> tuple[torch.Tensor, torch.Tensor]:
    """Turn photographs into prints, and give the colours, (n, INKS, 3) linear, that they had."""
    prints, palettes = [], []
    for path in sorted(folder.glob("*.jpg")):
        image = colours_of(path, device)
        centres = common_colours(image.reshape(-1, 3)[::7])
        near = ((image[..., None, :] - centres).square().sum(-1) + 1e-4) ** -2
        prints.append((near / near.sum(-1, keepdim=True)).permute(2, 0, 1))
        palettes.append(centres**2.2)
    return torch.stack(prints), torch.stack(palettes)


def colours_of(path: Path, device: torch.device) -> torch.Tensor:
    """Read a corner of a picture made smaller, (SIDE, SIDE, 3) from 0 to 1."""
    with Image.open(path) as image:
        scale = SIDE / min(image.size)
        size = (math.ceil(image.width * scale), math.ceil(image.height * scale))
        pixels = np.asarray(image.convert("RGB").resize(size, Image.Resampling.BOX))
    return torch.tensor(pixels[:SIDE, :SIDE], device=device).float() / 255


def common_colours(some: torch.Tensor, rounds: int = 20) -> torch.Tensor:
    """Return the centres (INKS, 3) of so many clusters of colours (n, 3), by Lloyd's rounds.

    The first is the first colour, each further one what lies farthest from those there are.
    """
    centres = some[:1]
    while len(centres) < INKS:
        farthest = torch.cdist(some, centres).min(1).values.argmax()
        centres = torch.cat([centres, some[farthest : farthest + 1]])
    for _ in range(rounds):
        nearest = nnf.one_hot(torch.cdist(some, centres).argmin(1), INKS).float()
        count = nearest.sum(0)[:, None]
        centres = torch.where(count > 0, nearest.T @ some / count.clamp(min=1), centres)
    return centres


def palettes(n: int, device: torch.device) -> torch.Tensor:
    """Draw the inks' colours, (n, INKS, 3) linear RGB."""
    free = colours(n * INKS, device).view(n, INKS, 3)
    base = colours(n, device)[:, None]
    shades = base * (
        1 + (torch.rand(n, INKS, 1, device=device) - 0.5) * uniform(0.1, 1.1, n, device)
    )
    shades = shades + 0.05 * torch.randn(n, INKS, 3, device=device)
    few = free.gather(1, torch.randint(0, 3, (n, INKS, 1), device=device).expand(n, INKS, 3))
    pale = torch.where(
        torch.rand(n, INKS, 1, device=device) < 0.4,
        0.88 + 0.1 * torch.rand(n, 1, 3, device=device),
        free,
    )
    how = torch.rand(n, 1, 1, device=device)
    out = torch.where(
        how < 0.3, shades, torch.where(how < 0.55, few, torch.where(how < 0.8, pale, free))
    )
    return (out.clamp(0.01, 1) * 0.97) ** 2.2
