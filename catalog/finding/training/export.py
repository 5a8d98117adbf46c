"""Turn a checkpoint, or the mean of several, into weights that OpenCV runs, and check them there.

export.py OUT.onnx CHECKPOINT...
"""

from __future__ import annotations

import argparse

import cv2
import numpy as np
import torch
from net import HEIGHT, WIDTH, Eye

CLOSE = 2e-3
"""Largest difference allowed between the two runtimes."""


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out")
    parser.add_argument("checkpoints", nargs="+")
    args = parser.parse_args()
    states = [torch.load(name, map_location="cpu")["mean"] for name in args.checkpoints]
    mean = {key: torch.stack([s[key].float() for s in states]).mean(0) for key in states[0]}
    net = Eye().eval()
    net.load_state_dict(mean)
    blank = torch.zeros(1, 3, HEIGHT, WIDTH)
    torch.onnx.export(
        net, blank, args.out, input_names=["picture"], output_names=["told"], opset_version=17,
        dynamo=False,
    )  # fmt: skip
    picture = torch.rand(1, 3, HEIGHT, WIDTH, generator=torch.Generator().manual_seed(1)) * 2 - 1
    with torch.no_grad():
        wanted = net(picture).numpy()
    other = cv2.dnn.readNetFromONNX(args.out)
    other.setInput(picture.numpy())
    off = float(np.abs(other.forward() - wanted).max())
    if off > CLOSE:
        raise SystemExit(f"{args.out}: OpenCV's answer is off by {off:.4g}")


if __name__ == "__main__":
    main()
