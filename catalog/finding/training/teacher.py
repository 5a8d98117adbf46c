"""A network that is shipped as the teacher of a quicker one."""

from __future__ import annotations

import torch
from start import folded
from torch import nn


@torch.no_grad()
def filled(net: nn.Module, weights: str) -> nn.Module:
    """Fill a network with the weights of an .onnx file, to be asked and not trained.

    Its convolutions and products must have been made in the order in which they are run. Export
    folds each batch norm into the convolution before it, so they change nothing here.
    """
    parts = iter(folded(weights))
    last: torch.Tensor | None = None
    for part in net.modules():
        if isinstance(part, nn.Conv2d | nn.Linear):
            weight, bias = map(torch.tensor, next(parts))
            part.weight.copy_(weight)
            if part.bias is not None:
                part.bias.copy_(bias)
            last = bias
        elif isinstance(part, nn.BatchNorm2d) and last is not None:
            part.running_mean.zero_()
            part.running_var.fill_(1 - part.eps)
            part.weight.fill_(1)
            part.bias.copy_(last)
    for value in net.parameters():
        value.requires_grad_(False)
    return net.eval()
