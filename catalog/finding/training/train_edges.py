"""Train the judge of edges on bands of pictures made as it goes. Wants a GPU.

train_edges.py PHOTOS OUT --minutes M [--resume FOLDER] [--from F] [--to T] [--seed S]

Networks of several sizes learn side by side from the same bands.
"""

from __future__ import annotations

import argparse
import logging
import math
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import torch
from atlas import Atlas
from bands import bands, near_scene, wanted_shares
from camera import coarser, developed, exposed
from compose import ask, drawn, painted
from edge_net import EdgeNet
from torch import nn
from train import Mean

LOG = logging.getLogger("train_edges")

SIZES = {"small": (8, 12, 16), "middle": (8, 16, 24), "wide": (12, 24, 32)}
RATE, DECAY, STEEPEST, WARM_UP = 3e-3, 0.01, 5.0, 200
SIDES = 2560
"""Sides a step."""


class Scenes(torch.utils.data.IterableDataset):
    """Endless near scenes, drawn by workers."""

    def __init__(self, seed: int, counts: tuple[int, int, int]) -> None:
        self.seed, self.counts = seed, counts

    def __iter__(self) -> Iterator[dict[str, np.ndarray]]:
        worker = torch.utils.data.get_worker_info()
        rng = np.random.default_rng([self.seed, worker.id if worker else 0])
        while True:
            yield near_scene(rng, self.counts)


class Maker:
    """Makes batches of bands and what should be told of them."""

    def __init__(self, args: argparse.Namespace, device: torch.device) -> None:
        self.atlas = Atlas(Path(args.photos), args.prints, args.grounds, device)
        loader = torch.utils.data.DataLoader(
            Scenes(args.seed, self.atlas.counts), batch_size=args.batch, num_workers=args.workers,
            prefetch_factor=4 if args.workers else None, pin_memory=device.type == "cuda",
        )  # fmt: skip
        self.scenes, self.device = iter(loader), device
        parts = (ask, painted, exposed, developed)
        self.parts = (
            tuple(torch.compile(p, dynamic=False) for p in parts) if args.compile else parts
        )

    @torch.no_grad()
    def batch(self) -> dict[str, torch.Tensor]:
        """Make bands and what is wanted of them."""
        self.atlas.refresh()
        scenes = next(self.scenes)
        scenes = {key: value.to(self.device, non_blocking=True) for key, value in scenes.items()}
        question, paint, light, develop = self.parts
        pictures, who = drawn(scenes, self.atlas.texels, question, paint)
        pictures = torch.nan_to_num(develop(coarser(light(pictures))))
        return bands(scenes, pictures, who, SIDES)


def loss_of(told: torch.Tensor, truth: dict[str, torch.Tensor]) -> torch.Tensor:
    """Cross entropy over the stretches asked."""
    off = -(wanted_shares(truth) * told.float().log_softmax(-1)).sum(-1)
    asked = truth["asked"].float()
    return (off * asked).sum() / asked.sum().clamp(min=1)


def parsed() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("photos")
    parser.add_argument("out")
    parser.add_argument("--minutes", type=float, required=True)
    parser.add_argument("--resume")
    parser.add_argument("--from", dest="start", type=float, default=0)
    parser.add_argument("--to", dest="end", type=float, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--batch", type=int, default=48)
    parser.add_argument("--workers", type=int, default=13)
    parser.add_argument("--prints", type=int, default=1024)
    parser.add_argument("--grounds", type=int, default=256)
    parser.add_argument("--compile", action="store_true")
    return parser.parse_args()


def main() -> None:
    """Train for the minutes given."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    args, began = parsed(), time.time()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(args.seed)
    torch.backends.cudnn.benchmark = True
    torch.set_float32_matmul_precision("high")
    nets = {name: EdgeNet(widths).to(device) for name, widths in SIZES.items()}
    out = Path(args.out)
    out.mkdir(parents=True, exist_ok=True)
    step = 0
    opts = {n: torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY) for n, net in nets.items()}
    means = {name: Mean(net) for name, net in nets.items()}
    if args.resume:
        state = torch.load(Path(args.resume) / "edges.pt", map_location=device)
        step = state["step"]
        for name, net in nets.items():
            own = net.state_dict()
            for key, value in state["mean"].get(name, {}).items():
                if own[key].shape == value.shape:
                    own[key].copy_(value)
        means = {name: Mean(net) for name, net in nets.items()}
    first = step
    maker = Maker(args, device)
    LOG.info(f"{time.time() - began:.0f} s ready on {device}")
    told_of: list[list[float]] = []
    sides = 0
    while (part := (time.time() - began) / (60 * args.minutes)) < 1:
        whole = min(1, args.start + (args.end - args.start) * part)
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        truth = maker.batch()
        sides += len(truth["bands"])
        step += 1
        values = []
        for name, net in nets.items():
            for group in opts[name].param_groups:
                group["lr"] = rate * min(1, (step - first + 1) / WARM_UP)
            with torch.autocast(device.type, torch.bfloat16):
                told = net(truth["bands"])
            loss = loss_of(told, truth)
            opts[name].zero_grad(set_to_none=True)
            loss.backward()
            if torch.isfinite(nn.utils.clip_grad_norm_(net.parameters(), STEEPEST)):
                opts[name].step()
                means[name].take(net, step)
            values.append(loss.detach())
        told_of.append(values)
        if step % 100 == 0 or step - first in (1, 10, 30):
            value = np.array([[float(v) for v in row] for row in told_of[-100:]]).mean(0).round(4)
            LOG.info(f"{time.time() - began:5.0f} s step {step} sides {sides} {dict(zip(nets, value, strict=True))}")
    state = {"step": step, "net": {}, "opt": {}, "mean": {}}
    for name, net in nets.items():
        state["net"][name], state["opt"][name] = net.state_dict(), opts[name].state_dict()
        state["mean"][name] = means[name].state
    torch.save(state, out / "edges.part")
    (out / "edges.part").rename(out / "edges.pt")
    LOG.info(f"saved after {step} steps")


if __name__ == "__main__":
    main()
