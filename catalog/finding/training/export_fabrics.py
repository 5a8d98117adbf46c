"""Turn a checkpoint of the fabric network into weights that OpenCV runs, and check them there.

export_fabrics.py CHECKPOINT BODY OUT.onnx
"""

from __future__ import annotations

import argparse

import cv2
import numpy as np
import torch
from export import CLOSE
from fabric_net import BODIES, FabricNet, places_shown


def pieces(px: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Draw pieces of cloth to try it on."""
    whole = torch.rand(2, 1, px, px)
    return torch.rand(2, 3, px, px) * 2 - 1, places_shown(whole)


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("checkpoint")
    parser.add_argument("body", choices=list(BODIES))
    parser.add_argument("out")
    args = parser.parse_args()
    torch.manual_seed(1)
    net = FabricNet(args.body).eval()
    net.load_state_dict(torch.load(args.checkpoint, map_location="cpu"))
    free = {"cloth": {0: "n", 2: "h", 3: "w"}, "shown": {0: "n", 2: "i", 3: "j"}, "told": {0: "n"}}
    torch.onnx.export(
        net, pieces(120), args.out, input_names=["cloth", "shown"], output_names=["told"],
        opset_version=17, dynamo=False, dynamic_axes=free,
    )  # fmt: skip
    other = cv2.dnn.readNetFromONNX(args.out)
    for px in (120, 56, 248):
        cloth, shown = pieces(px)
        other.setInput(cloth.numpy(), "cloth")
        other.setInput(shown.numpy(), "shown")
        off = float(np.abs(other.forward() - net(cloth, shown).detach().numpy()).max())
        if off > CLOSE:
            raise SystemExit(f"{args.out}: OpenCV's answer is off by {off:.4g} at {px} px")


if __name__ == "__main__":
    main()
