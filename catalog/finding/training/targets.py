"""What the detector should have told, and how far it was off."""

from __future__ import annotations

import torch
from net import HEIGHT, REACH, STRIDE, WIDTH
from torch.nn import functional as nnf

SEEN, HARDLY = 0.4, 0.2
"""Share of a square that must be seen for it to count; under the second it does not count at all,
and between them nothing is asked."""

SEEN_CUT = 0.6
"""The same for squares that the frame cuts."""

SPREAD, LEAST_SPREAD = 0.1, 1.3
"""Deviation of the heat round a middle: share of the side, and cells."""

CORNER_WEIGHT, CUT_WEIGHT = 4.0, 0.2

MOST_SQUARES = 200
"""Squares in a picture at most."""

Tensors = dict[str, torch.Tensor]


def middle_of(quads: torch.Tensor) -> torch.Tensor:
    """Crossing of the diagonals of quadrilaterals (..., 4, 2): (..., 2)."""
    a, b = quads[..., 0, :], quads[..., 1, :]
    one, two = quads[..., 2, :] - a, quads[..., 3, :] - b
    cross = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]
    part = ((b - a)[..., 0] * two[..., 1] - (b - a)[..., 1] * two[..., 0]) / (cross + 1e-6)
    return a + part.clamp(0, 1)[..., None] * one


def area_of(quads: torch.Tensor) -> torch.Tensor:
    """Area of quadrilaterals (..., 4, 2), px."""
    one, two = quads[..., 2, :] - quads[..., 0, :], quads[..., 3, :] - quads[..., 1, :]
    return (one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]).abs() / 2


def squares_of(scenes: Tensors, share: torch.Tensor) -> Tensors:
    """Gather the squares of a batch: quads (B, M, 4, 2), asked and ignored and cut (B, M)."""
    order = scenes["square"].float().topk(MOST_SQUARES, dim=1).indices
    batch = torch.arange(len(order), device=order.device)[:, None]
    quads, there = scenes["corners"][batch, order], scenes["square"][batch, order]
    seen = share[batch, order] / area_of(quads).clamp(min=1)
    frame = scenes["frame"][:, None, None]
    cut = ((quads < -1) | (quads > frame + 1)).any(3).any(2)
    middle = middle_of(quads)
    inside = ((middle > 0) & (middle < scenes["frame"][:, None])).all(2)
    enough = torch.where(cut, SEEN_CUT, SEEN)
    asked = there & inside & (seen > enough)
    return {
        "quads": quads,
        "asked": asked,
        "ignored": there & ~asked & (seen > HARDLY),
        "cut": cut,
    }


def targets(scenes: Tensors, share: torch.Tensor) -> Tensors:
    """Make the maps that the answer is held against.

    Returns
    -------
    heat, weight : (B, h, w)
        Heat wanted; where nothing is asked the weight is 0.
    near : (B, h, w)
        Weight of the cells whose corners count.
    quads : (B, 8, h, w)
        Corners from the cell's centre, in REACH; side (B, h, w) in the same unit; cut (B, h, w).
    """
    squares = squares_of(scenes, share)
    quads = squares["quads"]
    device = quads.device
    h, w = HEIGHT // STRIDE, WIDTH // STRIDE
    y, x = torch.meshgrid(
        torch.arange(h, device=device), torch.arange(w, device=device), indexing="ij"
    )
    cell = (torch.stack([x, y], -1).reshape(-1, 2) + 0.5) * STRIDE
    middle, side = middle_of(quads), area_of(quads).clamp(min=16).sqrt()
    spread = (SPREAD * side).clamp(min=LEAST_SPREAD * STRIDE)
    away = (cell[:, 0] - middle[..., :1]) ** 2 + (cell[:, 1] - middle[..., 1:]) ** 2
    away = away / (2 * spread**2)[..., None]
    ignored = away.masked_fill(~squares["ignored"][..., None], 1e4).amin(1)
    least, which = away.masked_fill(~squares["asked"][..., None], 1e4).min(1)
    batch = torch.arange(len(quads), device=device)[:, None]
    own = quads[batch, which]
    here = (middle[batch, which] / STRIDE).floor() == (cell / STRIDE - 0.5)[None]
    heat = torch.exp(-least)
    heat = torch.where(here.all(2) & (least < 50), 1.0, heat)
    near = (least < 2.0).float() * (LEAST_SPREAD * STRIDE / spread)[batch, which]
    offset = ((own - cell[None, :, None]) / REACH).flatten(2).transpose(1, 2)
    shape = (len(quads), h, w)
    return {
        "heat": heat.view(shape),
        "weight": (ignored > 3).float().view(shape),
        "near": near.view(shape),
        "quads": offset.reshape(len(quads), 8, h, w),
        "side": (side[batch, which] / REACH).view(shape),
        "cut": squares["cut"][batch, which].float().view(shape),
    }


def size_of(off: torch.Tensor) -> torch.Tensor:
    """Add up differences (B, 8, h, w), the smallest squared."""
    return nnf.smooth_l1_loss(off, torch.zeros_like(off), reduction="none", beta=0.02).sum(1)


def losses(told: torch.Tensor, wanted: Tensors) -> dict[str, torch.Tensor]:
    """Heat (focal), corners (in sides, the first corner being any), cut."""
    p = torch.sigmoid(told[:, 0]).clamp(1e-4, 1 - 1e-4)
    heat = wanted["heat"]
    hot = (heat >= 1).float()
    cold = (1 - hot) * wanted["weight"] * (1 - heat) ** 4
    focal = -(hot * (1 - p) ** 2 * p.log() + cold * p**2 * (1 - p).log()).sum()
    near = wanted["near"]
    count = near.sum().clamp(min=1)
    side = wanted["side"][:, None]
    turns = [size_of((told[:, 1:9] - wanted["quads"].roll(2 * k, 1)) / side) for k in range(4)]
    off = torch.stack(turns).amin(0)
    corners = (off * near).sum() / count
    cut = nnf.binary_cross_entropy_with_logits(told[:, 9], wanted["cut"], reduction="none")
    return {
        "heat": focal / hot.sum().clamp(min=1),
        "corners": CORNER_WEIGHT * corners,
        "cut": CUT_WEIGHT * (cut * near).sum() / count,
    }
