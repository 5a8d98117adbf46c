"""The boundary networks: small networks that tell where in a band along a side the cloth ends.

The one that is shipped has learnt from the truth and from a larger one.
"""

from __future__ import annotations

import torch
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


class BoundaryNet(nn.Module):
    """Six convolutions; the side is made shorter by six, the band keeps its width.

    Parameters
    ----------
    widths : tuple of int
        Channels after the first, the second and the others.
    """

    def __init__(self, widths: tuple[int, int, int]) -> None:
        super().__init__()
        a, b, c = widths
        self.body = nn.Sequential(
            layer(4, a, 2), layer(a, b, 3), layer(b, c), layer(c, c, 1, (1, 2)),
            layer(c, c, 1, (2, 4)), layer(c, c, 1, (3, 1)),
        )  # fmt: skip
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


COLUMNS = (ACROSS + 1) // 2
"""Places across the band that the shipped network works on: every other one."""


def wide_layer(
    inner: int, outer: int, size: int, stride: tuple[int, int], wide: tuple[int, int] = (1, 1)
) -> nn.Sequential:
    """Convolution of any size, strided both ways, batch norm, rectifier."""
    margin = tuple(size // 2 * step for step in wide)
    return nn.Sequential(
        nn.Conv2d(inner, outer, size, stride, margin, dilation=wide, bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )


class SmallBoundaryNet(nn.Module):
    """Five convolutions on every other place across the band, of which each tells of two.

    Parameters
    ----------
    width : int
        Channels.
    """

    def __init__(self, width: int = 16) -> None:
        super().__init__()
        self.body = nn.Sequential(
            wide_layer(4, width, 5, (3, 2)),
            wide_layer(width, width, 3, (2, 1)),
            *(wide_layer(width, width, 3, (1, 1), wide) for wide in ((1, 1), (2, 2), (3, 1))),
        )
        self.place = nn.Conv2d(width, 2, 1)
        self.none = nn.Conv2d(width, 1, (1, COLUMNS))

    def forward(self, bands: torch.Tensor) -> torch.Tensor:
        """Tell logits of where the cloth ends.

        Parameters
        ----------
        bands : (S, 4, ALONG, ACROSS)
            As `BoundaryNet` is shown.

        Returns
        -------
        (S, STRETCHES, 2 * COLUMNS + 1)
            Of the even places, of the odd ones (the last lies beyond the band), and that it isn't
            to be seen.
        """
        x = self.body(bands)
        places = self.place(x)
        return torch.cat([places[:, 0], places[:, 1], self.none(x)[:, 0]], 2)


def ordered(told: torch.Tensor) -> torch.Tensor:
    """Logits of `SmallBoundaryNet` in the order of the larger network's."""
    even, odd, none = told.split([COLUMNS, COLUMNS, 1], 2)
    return torch.cat([torch.stack([even, odd], 3).flatten(2)[..., :ACROSS], none], 2)
