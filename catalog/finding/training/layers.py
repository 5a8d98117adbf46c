"""What networks that compute little are made of."""

from __future__ import annotations

from torch import nn


def parted(
    inner: int, outer: int, stride: int = 1, apart: int | tuple[int, int] = 1
) -> nn.Sequential:
    """3 x 3 convolution of each channel by itself, then of all at each place: a tenth of one."""
    return nn.Sequential(
        nn.Conv2d(inner, inner, 3, stride, apart, dilation=apart, groups=inner, bias=False),
        nn.BatchNorm2d(inner),
        nn.Conv2d(inner, outer, 1, bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )
