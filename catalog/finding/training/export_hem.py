"""Turn a checkpoint of the judge of hems into weights that OpenCV runs, and check them there.

export_hem.py CHECKPOINT SIZE OUT.onnx
"""

from __future__ import annotations

import argparse

import cv2
import numpy as np
import torch
from hem_net import ACROSS, ALONG, HemNet
from train_hem import SIZES

CLOSE = 2e-3
"""Largest difference allowed between the two runtimes."""


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("checkpoint")
    parser.add_argument("size", choices=list(SIZES))
    parser.add_argument("out")
    args = parser.parse_args()
    net = HemNet(SIZES[args.size]).eval()
    net.load_state_dict(torch.load(args.checkpoint, map_location="cpu")["mean"][args.size])
    any_number = {"bands": {0: "sides"}, "told": {0: "sides"}}
    torch.onnx.export(
        net, torch.zeros(8, 4, ALONG, ACROSS), args.out, input_names=["bands"],
        output_names=["told"], opset_version=17, dynamo=False, dynamic_axes=any_number,
    )  # fmt: skip
    bands = torch.rand(5, 4, ALONG, ACROSS, generator=torch.Generator().manual_seed(1)) * 2 - 1
    with torch.no_grad():
        wanted = net(bands).numpy()
    other = cv2.dnn.readNetFromONNX(args.out)
    other.setInput(bands.numpy())
    off = float(np.abs(other.forward() - wanted).max())
    if off > CLOSE:
        raise SystemExit(f"{args.out}: OpenCV's answer is off by {off:.4g}")


if __name__ == "__main__":
    main()
