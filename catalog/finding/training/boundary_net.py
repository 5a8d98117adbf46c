"""The boundary network: a small network that tells where in a band along a side the cloth ends."""

from __future__ import annotations

import torch
from layers import parted
from torch import nn

ALONG, ACROSS = 96, 41
"""Samples of a band along the side, from corner to corner, and across it, inwards first."""

STEP = 0.0035
"""Way between samples across, in sides."""

REACH = STEP * (ACROSS // 2)
"""Half the band's width."""

STRETCHES = 16
"""Parts of a side that are told of by themselves."""


def layer(inner: int, outer: int, stride: int = 1, wide: tuple[int, int] = (1, 1)) -> nn.Sequential:
    """3 x 3 convolution, strided along the side, batch norm, rectifier."""
    return nn.Sequential(
        nn.Conv2d(inner, outer, 3, (stride, 1), wide, dilation=wide, bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )


def shortened(inner: int, outer: int, by: int, across: int = 3) -> nn.Sequential:
    """Convolution over as many samples along the side as it is made shorter by."""
    return nn.Sequential(
        nn.Conv2d(inner, outer, (by, across), (by, 1), (0, across // 2), bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )


def thorough(a: int, b: int, c: int) -> nn.Sequential:
    """Six whole convolutions, with channels after the first, the second and the others."""
    return nn.Sequential(
        layer(4, a, 2), layer(a, b, 3), layer(b, c), layer(c, c, 1, (1, 2)),
        layer(c, c, 1, (2, 4)), layer(c, c, 1, (3, 1)),
    )  # fmt: skip


BODIES = {
    "thorough": lambda: thorough(8, 16, 24),
    "longer": lambda: nn.Sequential(
        shortened(4, 8, 3), shortened(8, 16, 2), parted(16, 24), parted(24, 24, apart=(1, 2)),
        parted(24, 24, apart=(2, 4)), parted(24, 24, apart=(3, 1)), parted(24, 24),
    ),
}  # fmt: skip
"""What makes the side shorter by six and lets the band keep its width, by name."""


class BoundaryNet(nn.Module):
    """A body, and what each place of it and each stretch says.

    Parameters
    ----------
    body : str
        One of `BODIES`.
    """

    def __init__(self, body: str) -> None:
        super().__init__()
        self.body = BODIES[body]()
        c = self.body[-1][-2].num_features
        self.place = nn.Conv2d(c, 1, 1)
        self.none = nn.Conv2d(c, 1, (1, ACROSS))

    def forward(self, bands: torch.Tensor) -> torch.Tensor:
        """Tell logits of where the cloth ends, last of that it isn't to be seen.

        Parameters
        ----------
        bands : (S, 4, ALONG, ACROSS)
            RGB / 127.5 - 1 and how like the ground, -1 to 1.

        Returns
        -------
        (S, STRETCHES, ACROSS + 1)
        """
        x = self.body(bands)
        return torch.cat([self.place(x)[:, 0], self.none(x)[:, 0]], 2)
