"""Pieces cut from prints, as a photograph of them laid flat shows them."""

from __future__ import annotations

import math

import torch
from fabric_prints import INKS, SIDE, palettes
from prints import noise
from torch.nn import functional as nnf

OFTEN = 0.05
"""Share of pieces whose light is misjudged by more than is usual."""


def rand(*shape: int, device: torch.device) -> torch.Tensor:
    """Draw 0 to 1."""
    return torch.rand(shape, device=device)


def moved(inks: torch.Tensor) -> torch.Tensor:
    """Draw colours (n, INKS, 3) all a little other than these."""
    n, device = len(inks), inks.device
    step = torch.randn(n, 1, 3, device=device) * 0.6 + torch.randn(n, 1, 1, device=device)
    step = step / step.norm(dim=2, keepdim=True) * (0.04 + 0.14 * rand(n, 1, 1, device=device))
    return (inks.clamp(0, 1).sqrt() + step).clamp(0.02, 1) ** 2


def partly(inks: torch.Tensor) -> torch.Tensor:
    """Draw colours of which about two are others."""
    kept = rand(len(inks), INKS, 1, device=inks.device) < 0.6
    return torch.where(kept, inks, palettes(len(inks), inks.device))


def cut(
    prints: torch.Tensor, which: torch.Tensor, colours: torch.Tensor, zoom: torch.Tensor, px: int
) -> torch.Tensor:
    """Cut pieces (n, 3, px, px) in linear light out of prints (m, INKS, SIDE, SIDE) uint8."""
    n, device = len(which), prints.device
    turn = (
        torch.randint(0, 4, (n,), device=device) * (math.pi / 2)
        + torch.randn(n, device=device) * 0.02
    )
    size = px / SIDE / zoom * torch.exp(torch.randn(n, device=device) * 0.012)
    room = (1 - size * 1.06).clamp(min=0)
    shift = (rand(n, 2, device=device) * 2 - 1) * room[:, None]
    cos, sin = size * turn.cos(), size * turn.sin()
    theta = torch.stack(
        [torch.stack([cos, -sin, shift[:, 0]], 1), torch.stack([sin, cos, shift[:, 1]], 1)], 1
    )
    grid = nnf.affine_grid(theta, [n, 1, px, px], align_corners=False)
    out = torch.empty(n, 3, px, px, device=device)
    for part in torch.arange(n, device=device).split(64):
        told = prints[which[part]].float() / 255
        laid = nnf.grid_sample(told, grid[part], padding_mode="reflection", align_corners=False)
        out[part] = torch.einsum("nihw,nic->nchw", laid, colours[part])
    return out


def blurred(cloth: torch.Tensor, sigma: torch.Tensor) -> torch.Tensor:
    """Blur pieces by a Gauss of each its own width, px."""
    reach = torch.arange(-4, 5, device=cloth.device)
    bell = torch.exp(-(reach**2) / (2 * sigma[:, None] ** 2 + 1e-6))
    bell = (bell / bell.sum(1, keepdim=True))[:, :, None, None, None]
    h, w = cloth.shape[2:]
    wide = nnf.pad(cloth, (4, 4, 0, 0), mode="replicate")
    flat = sum(bell[:, k] * wide[..., k : k + w] for k in range(9))
    tall = nnf.pad(flat, (0, 0, 4, 4), mode="replicate")
    return sum(bell[:, k] * tall[:, :, k : k + h] for k in range(9))


def photographed(cloth: torch.Tensor, group: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Put pieces through a camera and take the light off again, not quite rightly.

    Pieces of one group (n,) lie in one photograph. Returns the root of light, -1 to 1, and what is
    shown, (n, 1, px, px).
    """
    n, device, px = len(cloth), cloth.device, cloth.shape[-1]
    many = int(group.max()) + 1

    def of_photo(*shape: int) -> torch.Tensor:
        return rand(many, *shape, device=device)[group]

    weave = 1 + torch.randn(n, 1, px, px, device=device) * 0.05 * of_photo(1, 1, 1)
    cloth = blurred(
        cloth * weave, 0.2 + 1.3 * of_photo(1)[:, 0] ** 2 + 0.15 * rand(n, device=device)
    )
    often = rand(n, 1, 1, 1, device=device) < OFTEN
    bright = torch.randn(n, 1, 1, 1, device=device) * torch.where(often, 0.12, 0.025)
    tint = torch.randn(n, 3, 1, 1, device=device) * torch.where(often, 0.03, 0.008)
    field = noise(n, px, 1 + int(torch.randint(0, 3, (1,))), device)[:, None]
    field = field * torch.where(often, 0.1, 0.025) * rand(n, 1, 1, 1, device=device)
    cloth = cloth * torch.exp(bright + tint + field) + 0.004 * rand(n, 1, 1, 1, device=device)
    cloth = cloth.clamp(min=1e-4) ** (0.88 + 0.26 * of_photo(1, 1, 1))
    seen = cloth.clamp(0, 1.15).sqrt()
    grey = seen.mean(1, keepdim=True)
    seen = grey + (seen - grey) * (0.88 + 0.24 * of_photo(1, 1, 1))
    sharp = seen - blurred(seen, torch.full((n,), 1.2, device=device))
    seen = seen + sharp * (0.5 * of_photo(1, 1, 1))
    grain = torch.randn(n, 1, px, px, device=device) + 0.5 * torch.randn(
        n, 3, px, px, device=device
    )
    seen = seen + grain * 0.02 * of_photo(1, 1, 1) ** 2
    shown = hidden(n, px, device)
    mean = (seen * shown).sum((2, 3), keepdim=True) / shown.sum((2, 3), keepdim=True)
    return torch.where(shown > 0, seen, mean).clamp(0, 1.1) * 2 - 1, shown


def hidden(n: int, px: int, device: torch.device) -> torch.Tensor:
    """Mark what is shown, (n, 1, px, px): of a fifth of the pieces a side is covered."""
    ramp = (torch.arange(px, device=device) + 0.5) / px
    edge = torch.where(rand(n, 1, device=device) < 0.2, 0.6 * rand(n, 1, device=device), 0.0)
    side = (ramp[None] > edge).float()
    across = rand(n, 1, 1, device=device) < 0.5
    out = torch.where(across, side[:, None, :], side[:, :, None]).expand(n, px, px)
    return out[:, None].contiguous()
