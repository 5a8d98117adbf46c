"""Light on the scene and what a camera makes of it, by the batch: (B, 3, h, w), RGB 0 to 1."""

from __future__ import annotations

import math

import torch
from torch.nn import functional as nnf

GAMMA = 2.2
KERNEL = 9
"""Side of the blur kernels, px."""

WITHOUT_COLOUR = 0.05
"""Share of pictures in grey."""

LUMA = torch.tensor(
    [
        [16, 11, 10, 16, 24, 40, 51, 61],
        [12, 12, 14, 19, 26, 58, 60, 55],
        [14, 13, 16, 24, 40, 57, 69, 56],
        [14, 17, 22, 29, 51, 87, 80, 62],
        [18, 22, 37, 56, 68, 109, 103, 77],
        [24, 35, 55, 64, 81, 104, 113, 92],
        [49, 64, 78, 87, 103, 121, 120, 101],
        [72, 92, 95, 98, 112, 100, 103, 99],
    ],
    dtype=torch.float,
)
"""Quantisation of brightness, ITU-T T.81, table K.1."""


def draw(n: int, low: float, high: float, device: torch.device, share: float = 1.0) -> torch.Tensor:
    """Draw (n, 1, 1, 1); nought for all but a share."""
    out = torch.rand(n, 1, 1, 1, device=device) * (high - low) + low
    return out * (torch.rand(n, 1, 1, 1, device=device) < share)


def lit(x: torch.Tensor) -> torch.Tensor:
    """Light linear pictures: slopes, hard and soft shadows, spots of glare, tint, dark corners."""
    n, _, h, w = x.shape
    device = x.device
    py = ((torch.arange(h, device=device) - h / 2) / w)[None, None, :, None]
    px = ((torch.arange(w, device=device) - w / 2) / w)[None, None, None, :]

    def along() -> torch.Tensor:
        angle = draw(n, 0, 2 * math.pi, device)
        return angle.cos() * px + angle.sin() * py

    x = x * torch.exp(draw(n, 0, 1.8, device, 0.6) * along())
    for _ in range(2):  # bars, edges
        soft, wide = draw(n, 0.001, 0.03, device), draw(n, 0.02, 0.25, device)
        off = (along() + draw(n, -0.4, 0.4, device)).abs()
        inside = torch.sigmoid(((wide - off) / soft).clamp(-30, 30))
        x = x * (1 - draw(n, 0.2, 0.75, device, 0.22) * inside)
    cx, cy = draw(n, -0.5, 0.5, device), draw(n, -0.4, 0.4, device)
    away = ((px - cx) ** 2 + (py - cy) ** 2).sqrt()
    blot = torch.sigmoid((draw(n, 0.05, 0.35, device) - away) / draw(n, 0.002, 0.08, device))
    x = x * (1 - draw(n, 0.2, 0.7, device, 0.12) * blot)
    cx, cy = draw(n, -0.5, 0.5, device), draw(n, -0.4, 0.4, device)
    spot = torch.exp(-((px - cx) ** 2 + (py - cy) ** 2) / draw(n, 0.05, 0.3, device) ** 2)
    x = x + draw(n, 0.05, 0.7, device, 0.15) * spot
    x = x * (1 - draw(n, 0, 1.3, device, 0.4) * (px**2 + py**2))
    warm = torch.randn(n, 1, 1, 1, device=device) * 0.22 + draw(n, 0.2, 0.5, device, 0.1)
    green = torch.randn(n, 1, 1, 1, device=device) * 0.06
    return x * torch.cat([warm.exp(), green.exp(), (-warm).exp()], 1)


def kernels(n: int, device: torch.device) -> torch.Tensor:
    """Draw blur or sharpening for each picture: (n, KERNEL, KERNEL)."""
    ramp = torch.arange(KERNEL, device=device) - KERNEL // 2
    y, x = ramp[None, :, None].float(), ramp[None, None, :].float()
    wide = (draw(n, 0.15, 1.3, device) * draw(n, 0.5, 1, device))[:, 0]
    angle, long = draw(n, 0, math.pi, device)[:, 0], draw(n, 0.5, 2.5, device, 0.12)[:, 0]
    one, two = angle.cos() * x + angle.sin() * y, -angle.sin() * x + angle.cos() * y
    blur = torch.exp(-(one**2) / (2 * (wide + long) ** 2) - two**2 / (2 * wide**2))
    blur = blur / blur.sum((1, 2), keepdim=True)
    soft = torch.exp(-(x**2 + y**2) / 2) / 6.28
    point = ((x == 0) & (y == 0)).float()
    sharp = point + draw(n, 0.2, 1.2, device)[:, 0] * (point - soft)
    return torch.where(torch.rand(n, 1, 1, device=device) < 0.7, blur, sharp)


def blurred(x: torch.Tensor) -> torch.Tensor:
    """Blur or sharpen each picture its own way."""
    n, c, h, w = x.shape
    weight = kernels(n, x.device).to(x.dtype)[:, None].repeat_interleave(c, 0)
    padded = nnf.pad(x.reshape(1, n * c, h, w), (KERNEL // 2,) * 4, mode="replicate")
    return nnf.conv2d(padded, weight, groups=n * c).view(n, c, h, w)


def coarser(x: torch.Tensor) -> torch.Tensor:
    """Take detail from some pictures, as a poor camera or an enlargement does."""
    few = torch.rand(len(x), device=x.device) < 0.15
    if not few.any():
        return x
    scale = float(torch.rand(1) * 0.55 + 0.35)
    small = nnf.interpolate(x[few], scale_factor=scale, mode="area")
    out = x.clone()
    out[few] = nnf.interpolate(small, x.shape[-2:], mode="bilinear", align_corners=False)
    return out


def toned(x: torch.Tensor) -> torch.Tensor:
    """Expose, encode, bend the curve, change the strength of colours."""
    n, device = len(x), x.device
    x = x * torch.exp(draw(n, -0.9, 0.5, device))
    x = x.clamp(1e-4, 1) ** (1 / GAMMA)
    bend = draw(n, -0.15, 0.45, device, 0.7)
    x = x + bend * (x * x * (3 - 2 * x) - x) * 1.5
    x = x * draw(n, 0.85, 1.0, device) + draw(n, 0, 0.1, device, 0.3)
    grey = x.mean(1, keepdim=True)
    return grey + (x - grey) * draw(n, 0.6, 1.4, device, 1 - WITHOUT_COLOUR)


def noisy(x: torch.Tensor) -> torch.Tensor:
    """Add noise of one pixel's and of some pixels' grain."""
    n, _, h, w = x.shape
    fine = torch.randn_like(x) * draw(n, 0, 0.03, x.device, 0.8)
    grain = torch.randn(n, 3, h // 2, w // 2, device=x.device) * draw(n, 0, 0.02, x.device, 0.4)
    return x + fine + nnf.interpolate(grain, (h, w), mode="bilinear", align_corners=False)


def transform(device: torch.device) -> torch.Tensor:
    """The 8 x 8 cosine transform."""
    k = torch.arange(8, device=device, dtype=torch.float)
    out = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) / 2
    out[0] /= math.sqrt(2)
    return out


def requantised(x: torch.Tensor, step: torch.Tensor) -> torch.Tensor:
    """Round the cosine transform of 8 x 8 blocks of (B, c, h, w) to steps (B, 8, 8)."""
    n, c, h, w = x.shape
    cosine = transform(x.device)
    block = x.view(n, c, h // 8, 8, w // 8, 8).transpose(3, 4)
    block = cosine @ block @ cosine.T
    step = step[:, None, None, None]
    block = cosine.T @ ((block / step).round() * step) @ cosine
    return block.transpose(3, 4).reshape(n, c, h, w)


def compressed(x: torch.Tensor) -> torch.Tensor:
    """Do to pictures what JPEG does: colour at half the resolution, coarse cosine steps."""
    n, device = len(x), x.device
    r, g, b = x[:, :1], x[:, 1:2], x[:, 2:]
    luma = 0.299 * r + 0.587 * g + 0.114 * b
    chroma = nnf.avg_pool2d(torch.cat([(b - luma) * 0.564, (r - luma) * 0.713], 1), 2)
    rough = draw(n, 0.05, 1.0, device)[:, 0] ** 2 * (torch.rand(n, 1, 1, device=device) < 0.7)
    step = (LUMA.to(device)[None] * rough / 255).clamp(min=1 / 255)
    luma = requantised(luma, step)
    chroma = nnf.interpolate(requantised(chroma, step * 1.4), scale_factor=2, mode="nearest")
    blue, red = chroma[:, :1] / 0.564 + luma, chroma[:, 1:] / 0.713 + luma
    green = (luma - 0.299 * red - 0.114 * blue) / 0.587
    return torch.cat([red, green, blue], 1)


def exposed(x: torch.Tensor) -> torch.Tensor:
    """Light pictures (B, 3, h, w); the answer is linear."""
    return lit(x.clamp(0, 1) ** GAMMA)


def developed(x: torch.Tensor) -> torch.Tensor:
    """Put linear pictures through lens, sensor and file: RGB 0 to 1, rounded to 256 steps."""
    x = compressed(noisy(toned(blurred(x))).clamp(0, 1)).clamp(0, 1)
    return (x * 255).round() / 255


STRETCHED = (60.0, 320.0)
"""Levels of 256 that a natural logarithm of linear light is drawn out to; see `flattened`."""

FIELD_CELL, FIELD_SPREAD = 16, 0.3
"""Pixels to a cell of the light's field; its blur, as a share of the longer side."""


def flattened(x: torch.Tensor) -> torch.Tensor:
    """Pictures (B, 3, h, w) with even light and stronger contrast, as the finding's second look.

    See `catalog.finding.flattened_light`.
    """
    n, _, h, w = x.shape
    linear = x.clamp(min=0.004) ** GAMMA
    field = nnf.avg_pool2d(linear.mean(1, keepdim=True), FIELD_CELL)
    field, beside = (blurred_widely(part) for part in (field, torch.ones_like(field)))
    field = nnf.interpolate(field / beside, (h, w), mode="bilinear", align_corners=False)
    ratio = (linear / field.clamp(min=1e-5)).log()
    middle = ratio.flatten(2).median(2).values[..., None, None]
    out = 0.5 + (ratio - middle) * draw(n, *STRETCHED, x.device) / 255
    return (out.clamp(0, 1) * 255).round() / 255


def blurred_widely(x: torch.Tensor) -> torch.Tensor:
    """Blur (B, 1, h, w) by `FIELD_SPREAD` of its longer side; beyond its borders it is nought."""
    for k in (2, 3):
        size = x.shape[k]
        place = torch.arange(size, device=x.device, dtype=x.dtype)
        off = (place[:, None] - place) / (FIELD_SPREAD * max(x.shape[2:]))
        x = (x.transpose(k, 3) @ torch.exp(-off * off / 2)).transpose(k, 3)
    return x
