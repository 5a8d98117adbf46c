"""What squares are laid on, made by the batch: (n, 3, side, side), RGB 0 to 1."""

from __future__ import annotations

import math
from collections.abc import Callable

import torch
from prints import clouds, colours, cut_from, noise, printed, recoloured, uniform
from torch.nn import functional as nnf

Kind = Callable[[int, int, torch.device], torch.Tensor]


def flat(n: int, side: int, device: torch.device) -> torch.Tensor:
    """One colour, calmer ones oftener."""
    out = colours(n, device)
    calm = torch.rand(n, 1, device=device) < 0.5
    grey = out.mean(1, keepdim=True)
    out = torch.where(calm, grey + (out - grey) * 0.3, out)
    return out[:, :, None, None].expand(n, 3, side, side)


def sheet(n: int, side: int, device: torch.device) -> torch.Tensor:
    """A cloth or paper with folds."""
    folds = noise(n, side, 5, device)
    slope = torch.tanh(nnf.pad(folds[:, :, 2:] - folds[:, :, :-2], (1, 1)) * 12)
    return flat(n, side, device) * (1 + 0.12 * slope + 0.04 * noise(n, side, 3, device))[:, None]


def wood(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Boards with grain and joints."""
    base = torch.tensor([0.55, 0.38, 0.22], device=device) * uniform(0.25, 1.75, n, device)[:, 0]
    base = base * (1 + 0.08 * torch.randn(n, 3, device=device))
    grain = torch.randn(n, 1, side // 3, 12, device=device)
    coarse = torch.randn(n, 1, side // 14, 6, device=device)
    shape = (side, side)
    grain = nnf.interpolate(grain, shape, mode="bilinear") + 1.6 * nnf.interpolate(
        coarse, shape, mode="bicubic"
    )
    boards = int(torch.randint(1, 12, (1,)))
    across = torch.arange(side, device=device) * boards / side
    tone = 1 + 0.1 * torch.randn(n, boards, device=device)[:, across.long()]
    joint = 1 - uniform(0, 0.5, n, device)[:, 0] * ((across % 1) * side / boards < 2)
    tone = (tone * joint)[:, None, :, None]
    out = base[:, :, None, None] * (1 + uniform(0.02, 0.1, n, device)[:, None] * grain) * tone
    return out if torch.rand(1).item() < 0.5 else out.transpose(2, 3)


def mat(n: int, side: int, device: torch.device) -> torch.Tensor:
    """A cutting mat: thin lines in a net, every so many of them bolder."""
    k = float(torch.rand(1) * 22 + 10)
    ramp = torch.arange(side, device=device) * k / side
    thin = (ramp % 1 < 1.2 * k / side).float() * 0.6
    bold = ((ramp.floor() % 5) == 0) * (ramp % 1 < 2.2 * k / side)
    line = torch.maximum(thin, bold.float())
    line = torch.maximum(line[:, None], line[None])
    paint = torch.where(torch.rand(n, 1, 1, 1, device=device) < 0.7, 0.35, -0.25)
    base = flat(n, side, device)
    green = torch.tensor([0.1, 0.42, 0.3], device=device)[:, None, None]
    base = torch.where(torch.rand(n, 1, 1, 1, device=device) < 0.4, green, base)
    return base + line * paint * uniform(0.3, 1, n, device)[:, None]


def carpet(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Pile: noise of one grain."""
    grain = torch.randn(n, 1, side, side, device=device)
    grain = nnf.avg_pool2d(grain, 3, 1, 1) * 3
    return flat(n, side, device) + grain * uniform(0.01, 0.12, n, device)[:, None]


def tablecloth(n: int, side: int, device: torch.device) -> torch.Tensor:
    """A print over and over."""
    times = int(torch.randint(1, 6, (1,)))
    tile = printed(n, side // times, device)
    tile = torch.cat([tile, tile.flip(3)], 3)
    tile = torch.cat([tile, tile.flip(2)], 2)
    return tile.repeat(1, 1, times // 2 + 1, times // 2 + 1)[:, :, :side, :side]


def tiles(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Bricks and tiles with grout, a few of them square."""
    rows = float(torch.rand(1) * 14 + 4)
    shape = float(torch.rand(1) * 2 + 1.5) if torch.rand(1) < 0.75 else 1.0
    y = torch.arange(side, device=device)[:, None] * rows / side
    x = torch.arange(side, device=device)[None] * rows / shape / side
    x = x + 0.5 * (y.floor() % 2) * float(torch.rand(1) < 0.7)
    index = (x.floor() * 7 + y.floor() * 131).long() % 1024
    tone = 1 + uniform(0.02, 0.3, n, device) * torch.randn(n, 1024, device=device)[:, index]
    grout = ((x % 1 < 0.06 / shape) | (y % 1 < 0.06)).float()
    out = flat(n, side, device) * tone[:, None]
    return out + grout * (flat(n, side, device) - out)


def checked(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Large checks: woven, where bands cross in a third colour, or of two colours in turn."""
    count = uniform(math.log(3), math.log(40), n, device)[:, 0].exp()
    ramp = torch.arange(side, device=device)[None] * count / side + uniform(0, 1, n, device)[:, 0]
    band = (ramp % 1 < uniform(0.3, 0.7, n, device)[:, 0]).float()
    across, along = band[:, :, None], band[:, None]
    in_turn = torch.rand(n, 1, 1, device=device) < 0.3
    share = torch.where(in_turn, (across - along).abs(), (across + along) / 2)
    one, two = flat(n, side, device), flat(n, side, device)
    return one + (share * uniform(0.2, 1, n, device))[:, None] * (two - one)


def stained(n: int, side: int, device: torch.device) -> torch.Tensor:
    """Stone, concrete, old paper."""
    return flat(n, side, device) * (0.75 + 0.4 * clouds(n, side, device))[:, None]


MADE = (
    flat, sheet, sheet, sheet, wood, wood, wood, mat, mat, carpet, carpet, tablecloth, tiles,
    stained, checked, checked,
)  # fmt: skip


REGULAR = (mat, tiles, checked, checked, checked)


def laid(
    n: int, side: int, cloth: torch.Tensor, kinds: tuple[Kind, ...] | None = None
) -> torch.Tensor:
    """Draw grounds, of some kinds alone if given; else some are the real cloth (m, 3, h, w)."""
    made = kinds or MADE
    kind = int(torch.randint(len(made) + (kinds is None), (1,)))
    if kind == len(made):
        return recoloured(cut_from(cloth, n, side, (0.5, 1.0)))
    out = made[kind](n, side, cloth.device)
    speck = torch.randn(n, 1, side, side, device=cloth.device)
    return (out + speck * uniform(0, 0.02, n, cloth.device)[:, None]).clamp(0, 1)
