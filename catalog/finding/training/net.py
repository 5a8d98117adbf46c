"""The eye: a small network that tells where squares of cloth are and how their corners lie."""

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


def square_root(real: torch.Tensor, imag: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Principal square root of a complex number, by operations that every runtime knows."""
    size = torch.sqrt(real * real + imag * imag + 1e-12)
    root_real = torch.sqrt(torch.relu(size + real) * 0.5 + 1e-9)
    root_imag = imag / (2 * root_real)
    return root_real, root_imag


def times(
    one: tuple[torch.Tensor, torch.Tensor], two: tuple[torch.Tensor, torch.Tensor]
) -> tuple[torch.Tensor, torch.Tensor]:
    """Product of two complex numbers."""
    return one[0] * two[0] - one[1] * two[1], one[0] * two[1] + one[1] * two[0]


def code_of_corners(corners: torch.Tensor) -> torch.Tensor:
    """Turn corners (B, 8, h, w) into the code of `corners_of_code`."""
    z = torch.complex(corners[:, 0::2].float(), corners[:, 1::2].float())
    zero, one, two, three = (torch.fft.fft(z, dim=1) / 4).unbind(1)
    size = one.abs().clamp(min=1e-6)
    parts = [zero, one**4 / size**3, one * three / size, one**2 * two / size**2]
    return torch.view_as_real(torch.stack(parts, 1)).permute(0, 1, 4, 2, 3).flatten(1, 2)


def corners_of_code(code: torch.Tensor) -> torch.Tensor:
    """Turn a code that knows no first corner into four corners.

    With corners ``c_n`` as complex numbers and ``Z_k = mean(c_n exp(-2 pi i k n / 4))``, beginning
    at the next corner multiplies ``Z_k`` by ``i ** k``. So ``Z_0``, ``Z_1 ** 4``, ``Z_1 Z_3`` and
    ``Z_1 ** 2 Z_2`` don't depend on where one begins, and change smoothly as a square turns: what
    is learned has no jump anywhere. (Z_1 is the square in the quadrilateral, the others are what
    perspective and shear add.)

    Parameters
    ----------
    code : (B, 8, h, w)
        Z_0; Z_1 ** 4 / |Z_1| ** 3; Z_1 Z_3 / |Z_1|; Z_1 ** 2 Z_2 / |Z_1| ** 2 (real, imaginary).

    Returns
    -------
    (B, 8, h, w)
        x, y of four corners, in order round the square.
    """
    part = [code[:, k : k + 1] for k in range(8)]
    size = torch.sqrt(part[2] * part[2] + part[3] * part[3] + 1e-9)
    turn = square_root(*square_root(part[2] / size, part[3] / size))
    back = (turn[0], -turn[1])
    one = (size * turn[0], size * turn[1])
    three = times((part[4], part[5]), back)
    two = times((part[6], part[7]), times(back, back))
    out = []
    for real, imag in ((1, 0), (0, 1), (-1, 0), (0, -1)):  # i ** n for corners 0 to 3
        sign = real * real - imag * imag  # i ** 2n
        out.append(part[0] + real * one[0] - imag * one[1] + sign * two[0]
                   + real * three[0] + imag * three[1])  # fmt: skip
        out.append(part[1] + real * one[1] + imag * one[0] + sign * two[1]
                   + real * three[1] - imag * three[0])  # fmt: skip
    return torch.cat(out, 1)


class Eye(nn.Module):
    """Encoder to 1/32, decoder to 1/4, two heads.

    Parameters
    ----------
    turnless : bool
        Corners by way of the code of `corners_of_code` (while training, the code itself is
        told); else told directly.
    widths : tuple of int
        Channels at 1/2, 1/4, 1/8, 1/16, 1/32.
    neck : int
        Channels of the decoder.
    """

    def __init__(
        self,
        turnless: bool = True,
        widths: tuple[int, ...] = (24, 48, 72, 96, 112),
        neck: int = 48,
    ) -> None:
        super().__init__()
        self.turnless = turnless
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
            self.shape[-1].bias.copy_(torch.tensor([0, 0, -1.0, 0.05, 0, 0, 0, 0]))
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
        heat, code = self.heat(y).float(), self.shape(y).float()
        corners = corners_of_code(code) if self.turnless and not self.training else code
        return torch.cat([heat[:, :1], corners, heat[:, 1:]], 1)
