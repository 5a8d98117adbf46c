"""Turn a checkpoint of the boundary network into weights that OpenCV runs, and check them there.

export_boundary.py CHECKPOINT BODY OUT.onnx
"""

from __future__ import annotations

import argparse

import torch
from boundary_net import ACROSS, ALONG, BODIES, BoundaryNet
from export import exported


def main() -> None:
    """Write OUT.onnx."""
    parser = argparse.ArgumentParser()
    parser.add_argument("checkpoint")
    parser.add_argument("body", choices=list(BODIES))
    parser.add_argument("out")
    args = parser.parse_args()
    net = BoundaryNet(args.body).eval()
    net.load_state_dict(torch.load(args.checkpoint, map_location="cpu")["mean"][args.body])
    exported(net, args.out, (8, 4, ALONG, ACROSS), "bands", any_number=True)


if __name__ == "__main__":
    main()
