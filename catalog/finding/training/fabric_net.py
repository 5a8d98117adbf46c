"""The fabric network: what a piece of cloth looks like, whichever part of its print it shows."""

from __future__ import annotations

import torch
from layers import parted
from torch import nn

PLACE = 8
"""Pixels of cloth to a place of which the network tells."""
CHANNELS = 64
"""Of each place; of as many their mean counts and of as many more what is strongest."""
LOOKS = 64
"""Numbers told of a piece, after which comes the logarithm of how much they vary over its print."""


def layer(inner: int, outer: int, stride: int = 1, apart: int = 1) -> nn.Sequential:
    """3 x 3 convolution, batch norm, rectifier."""
    return nn.Sequential(
        nn.Conv2d(inner, outer, 3, stride, apart, dilation=apart, bias=False),
        nn.BatchNorm2d(outer),
        nn.ReLU(inplace=True),
    )


def in_fours(outer: int) -> nn.Sequential:
    """Convolution over 4 x 4 pixels each."""
    return nn.Sequential(
        nn.Conv2d(3, outer, 4, 4, bias=False), nn.BatchNorm2d(outer), nn.ReLU(inplace=True)
    )


BODIES = {
    "thorough": lambda: nn.Sequential(
        layer(3, 16, 2), layer(16, 24, 2), layer(24, 32), layer(32, 48, 2), layer(48, 64, 1, 2),
        layer(64, 96, 1, 4),
    ),
    "quick": lambda: nn.Sequential(
        in_fours(24), parted(24, 32), parted(32, 48, 2), parted(48, 64), parted(64, 64, 1, 2),
        parted(64, 96, 1, 4),
    ),
}  # fmt: skip
"""What turns 8 x 8 pixels into a place of 96 channels, by name."""


class FabricNet(nn.Module):
    """A body, what each place says of the cloth, and what a piece says.

    Parameters
    ----------
    body : str
        One of `BODIES`.
    """

    def __init__(self, body: str) -> None:
        super().__init__()
        self.body = BODIES[body]()
        f = self.body[-1][-2].num_features
        self.say = nn.Conv2d(f, 2 * CHANNELS, 1)
        self.sum = nn.Linear(2 * CHANNELS, LOOKS + 1)
        self.more = nn.Sequential(
            nn.Linear(2 * CHANNELS, 128), nn.ReLU(), nn.Linear(128, LOOKS + 1)
        )
        self.bias = nn.Parameter(torch.tensor(4.0))

    def forward(self, cloth: torch.Tensor, shown: torch.Tensor) -> torch.Tensor:
        """Tell of pieces, (n, LOOKS + 1).

        Parameters
        ----------
        cloth : (n, 3, 8 h, 8 w)
            Root of linear light, -1 to 1.
        shown : (n, 1, h, w)
            Share of each place that is shown, in all 1.
        """
        places = self.say(self.body(cloth))
        strong = torch.relu(places[:, CHANNELS:])
        means = (places[:, :CHANNELS] * shown).sum((2, 3))
        peaks = ((strong * strong * strong * shown).sum((2, 3)) + 1e-4) ** (1 / 3)
        pooled = torch.cat([means, peaks], 1)
        return self.sum(pooled) + self.more(pooled)

    def same(self, told: torch.Tensor) -> torch.Tensor:
        """Tell logits, (n, n), that pieces are cut from one fabric."""
        looks, doubt = told[:, :-1], told[:, -1].clamp(-6, 6).exp()
        square = looks.square().sum(1)
        away = (square[:, None] + square - 2 * looks @ looks.T).clamp(min=0)
        return self.bias - away / (doubt[:, None] + doubt)


def places_shown(shown: torch.Tensor) -> torch.Tensor:
    """Turn what is shown, (n, 1, 8 h, 8 w), into shares of places."""
    part = nn.functional.avg_pool2d(shown, PLACE)
    return part / part.sum((2, 3), keepdim=True)
