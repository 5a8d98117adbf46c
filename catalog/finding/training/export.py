"""Turn a checkpoint, or the mean of several, into weights that OpenCV runs, and check them there.

export.py OUT.onnx CHECKPOINT...
"""

from __future__ import annotations

import argparse

import cv2
import numpy as np
import torch
from net import HEIGHT, WIDTH, Detector
from torch import nn

CLOSE = 2e-3
"""Largest difference allowed between the two runtimes."""


def exported(
    net: nn.Module, path: str, shape: tuple[int, ...], name: str, any_number: bool
) -> None:
    """Write a network whose input of a shape has a name, and check OpenCV's answer.

    With ``any_number`` the first size of the input may be another at run time.
    """
    free = {name: {0: "number"}, "told": {0: "number"}} if any_number else None
    torch.onnx.export(
        net, torch.zeros(shape), path, input_names=[name], output_names=["told"],
        opset_version=17, dynamo=False, dynamic_axes=free,
    )  # fmt: skip
    tried = torch.rand(shape, generator=torch.Generator().manual_seed(1)) * 2 - 1
    with torch.no_grad():
        wanted = net(tried).numpy()
    other = cv2.dnn.readNetFromONNX(path)
    other.setInput(tried.numpy())
    off = float(np.abs(other.forward() - wanted).max())
    if off > CLOSE:
        raise SystemExit(f"{path}: OpenCV's answer is off by {off:.4g}")


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out")
    parser.add_argument("checkpoints", nargs="+")
    args = parser.parse_args()
    states = [torch.load(name, map_location="cpu")["mean"] for name in args.checkpoints]
    mean = {key: torch.stack([s[key].float() for s in states]).mean(0) for key in states[0]}
    net = Detector().eval()
    net.load_state_dict(mean)
    exported(net, args.out, (1, 3, HEIGHT, WIDTH), "picture", any_number=False)


if __name__ == "__main__":
    main()
