"""The detector: a small network that tells where squares of cloth are and how their corners lie."""

from __future__ import annotations

from itertools import pairwise

import torch
from torch import nn
from torch.nn import functional as nnf

HEIGHT, WIDTH = 480, 640
"""Size of the training pictures, px; any multiple of 32 works at run time."""

STRIDE = 4
"""Pixels of the picture per cell of the answer."""

REACH = 32.0
"""Unit of the corners told, px."""


def conv(inner: int, outer: int, size: int = 3, stride: int = 1) -> nn.Sequential:
    """Convolution, batch norm, rectifier."""
    return nn.Sequential(
        nn.Conv2d(inner, outer, size, stride, size // 2, bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )


class Residual(nn.Module):
    """Two 3 x 3 convolutions beside a short cut."""

    def __init__(self, inner: int, outer: int, stride: int = 1) -> None:
        super().__init__()
        self.way = nn.Sequential(
            conv(inner, outer, 3, stride),
            nn.Conv2d(outer, outer, 3, 1, 1, bias=False),
            nn.BatchNorm2d(outer),
        )
        same = inner == outer and stride == 1
        self.short = (
            nn.Identity()
            if same
            else nn.Sequential(
                nn.Conv2d(inner, outer, 1, stride, bias=False), nn.BatchNorm2d(outer)
            )
        )

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        """(B, inner, h, w) to (B, outer, h / stride, w / stride)."""
        return nnf.relu(self.way(x) + self.short(x))


class Detector(nn.Module):
    """Encoder to 1/32, decoder to 1/4, two heads.

    Parameters
    ----------
    widths : tuple of int
        Channels at 1/2, 1/4, 1/8, 1/16, 1/32.
    neck : int
        Channels of the decoder.
    """

    def __init__(
        self,
        widths: tuple[int, ...] = (24, 48, 72, 96, 112),
        neck: int = 48,
    ) -> None:
        super().__init__()
        self.stem = conv(3, widths[0], 5, 2)
        self.down = nn.ModuleList(
            nn.Sequential(Residual(inner, outer, 2), Residual(outer, outer))
            for inner, outer in pairwise(widths)
        )
        self.side = nn.ModuleList(nn.Conv2d(width, neck, 1) for width in widths[1:])
        self.up = nn.ModuleList(Residual(neck, neck) for _ in range(3))
        self.heat = nn.Sequential(conv(neck, neck), nn.Conv2d(neck, 2, 1))
        self.shape = nn.Sequential(conv(neck, neck), nn.Conv2d(neck, 8, 1))
        with torch.no_grad():
            self.heat[-1].bias.copy_(torch.tensor([-4.0, -2.0]))
            self.shape[-1].bias.copy_(torch.tensor([-1.0, -1, 1, -1, 1, 1, -1, 1]) / 2)
            self.shape[-1].weight.mul_(0.2)

    def forward(self, picture: torch.Tensor) -> torch.Tensor:
        """Tell heat (logit), four corners from the cell's centre (in REACH), cut (logit).

        Parameters
        ----------
        picture : (B, 3, H, W)
            RGB / 127.5 - 1; H and W multiples of 32.

        Returns
        -------
        (B, 10, H / 4, W / 4)
        """
        x, levels = self.stem(picture), []
        for down in self.down:
            x = down(x)
            levels.append(x)
        y = self.side[-1](levels[-1])
        for k in (2, 1, 0):
            y = nnf.interpolate(y, scale_factor=2.0, mode="nearest")
            y = self.up[k](y + self.side[k](levels[k]))
        heat, corners = self.heat(y).float(), self.shape(y).float()
        return torch.cat([heat[:, :1], corners, heat[:, 1:]], 1)
