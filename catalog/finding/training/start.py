"""Turn weights that are shipped back into a checkpoint that training can go on from.

start.py EYE.onnx PHOTOS OUT

Export folds each batch norm into the convolution before it. Here each convolution gets a norm back
that changes nothing, with the mean and the spread that its answers have on pictures of the maker.
The optimiser begins anew.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import onnx
import torch
from net import HEIGHT, WIDTH, Detector
from onnx import numpy_helper
from torch import nn
from train import Maker

PICTURES = 24
"""Pictures that mean and spread are taken from."""

LONG = 1.0
"""Length given to each filter, which a batch norm makes no difference to."""

CLOSE = 2e-2
"""Largest difference allowed between the answers before and after."""


def folded(name: str) -> list[tuple[np.ndarray, np.ndarray]]:
    """Weights and biases of convolutions and products, in the order in which they are run."""
    graph = onnx.load(name).graph
    values = {w.name: numpy_helper.to_array(w) for w in graph.initializer}
    for node in graph.node:
        if node.op_type == "Cast" and node.input[0] in values:
            values[node.output[0]] = values[node.input[0]].astype(np.float32)
    parts = [node.input for node in graph.node if node.op_type in ("Conv", "Gemm")]
    return [(values[weight], values[bias]) for _, weight, bias in parts]


def order_of(net: nn.Module) -> tuple[list[nn.Conv2d], list[nn.BatchNorm2d | None]]:
    """Convolutions in the order in which they are run, each with the norm that follows it."""
    ran: list[nn.Module] = []
    hooks = [
        part.register_forward_hook(lambda m, *_: ran.append(m))
        for part in net.modules()
        if isinstance(part, nn.Conv2d | nn.BatchNorm2d)
    ]
    net(torch.zeros(1, 3, HEIGHT, WIDTH))
    for hook in hooks:
        hook.remove()
    convs = [(k, part) for k, part in enumerate(ran) if isinstance(part, nn.Conv2d)]
    after = [ran[k + 1] if k + 1 < len(ran) else None for k, _ in convs]
    norms = [part if isinstance(part, nn.BatchNorm2d) else None for part in after]
    return [part for _, part in convs], norms


@torch.no_grad()
def unfold(
    net: nn.Module, weights: list[tuple[np.ndarray, np.ndarray]], seen: torch.Tensor
) -> float:
    """Fill a network; give how far its answers to pictures (n, 3, h, w) moved."""
    convs, norms = order_of(net)
    for conv, norm, (weight, bias) in zip(convs, norms, weights, strict=True):
        conv.weight.copy_(torch.tensor(weight))
        if norm is None:
            conv.bias.copy_(torch.tensor(bias))
            continue
        norm.weight.fill_(1)
        norm.bias.copy_(torch.tensor(bias))
        norm.running_mean.zero_()
        norm.running_var.fill_(1 - norm.eps)
    stats: dict[nn.Module, tuple[torch.Tensor, torch.Tensor]] = {}
    hooks = [
        norm.register_forward_pre_hook(
            lambda m, x: stats.update({m: (x[0].mean((0, 2, 3)), x[0].var((0, 2, 3)))})
        )
        for norm in norms
        if norm is not None
    ]
    before = net(seen)
    for hook in hooks:
        hook.remove()
    for conv, norm in zip(convs, norms, strict=True):
        if norm is None:
            continue
        mean, var = stats[norm]
        by = LONG / conv.weight.flatten(1).norm(dim=1).clamp(min=1e-6)
        conv.weight.mul_(by[:, None, None, None])
        norm.running_mean.copy_(mean * by)
        norm.running_var.copy_(var * by**2)
        norm.weight.copy_((var + norm.eps / by**2).sqrt())
        norm.bias.add_(mean)
    return float((net(seen) - before).abs().max())


def main() -> None:
    """Write OUT/detector.pt."""
    parser = argparse.ArgumentParser()
    parser.add_argument("detector")
    parser.add_argument("photos")
    parser.add_argument("out", type=Path)
    args = parser.parse_args()
    few = argparse.Namespace(
        photos=args.photos, prints=64, grounds=32, seed=1, batch=PICTURES, workers=0, compile=False
    )
    torch.manual_seed(1)
    seen, _ = Maker(few, torch.device("cpu")).batch()
    net = Detector().eval()
    off = unfold(net, folded(args.detector), seen)
    if off > CLOSE:
        raise SystemExit(f"the answers moved by {off:.3g}")
    args.out.mkdir(parents=True, exist_ok=True)
    state = net.state_dict()
    torch.save({"net": state, "mean": state, "step": 0}, args.out / "detector.pt")


if __name__ == "__main__":
    main()
