"""Train the judge of hems on bands of pictures made as it goes. Wants a GPU.

train_hem.py PHOTOS OUT --minutes M [--resume FOLDER] [--from F] [--to T] [--seed S]

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
from hem_net import HemNet
from torch import nn
from train import Mean

LOG = logging.getLogger("train_hem")

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


def resumed(folder: Path, nets: dict[str, HemNet], device: torch.device) -> int:
    """Take the mean weights of an earlier run where they fit; how many steps it had taken."""
    state = torch.load(folder / "hem.pt", map_location=device)
    for name, net in nets.items():
        own = net.state_dict()
        for key, value in state["mean"].get(name, {}).items():
            if own[key].shape == value.shape:
                own[key].copy_(value)
    return int(state["step"])


def learnt(
    net: HemNet, opt: torch.optim.Optimizer, truth: dict[str, torch.Tensor], rate: float
) -> torch.Tensor:
    """Take one step, unless the gradient isn't finite; the loss."""
    for group in opt.param_groups:
        group["lr"] = rate
    with torch.autocast(truth["bands"].device.type, torch.bfloat16):
        told = net(truth["bands"])
    loss = loss_of(told, truth)
    opt.zero_grad(set_to_none=True)
    loss.backward()
    if torch.isfinite(nn.utils.clip_grad_norm_(net.parameters(), STEEPEST)):
        opt.step()
    return loss.detach()


def main() -> None:
    """Train for the minutes given."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    args, began = parsed(), time.time()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(args.seed)
    torch.backends.cudnn.benchmark = True
    torch.set_float32_matmul_precision("high")
    nets = {name: HemNet(widths).to(device) for name, widths in SIZES.items()}
    step = first = resumed(Path(args.resume), nets, device) if args.resume else 0
    opts = {
        name: torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY)
        for name, net in nets.items()
    }
    means = {name: Mean(net) for name, net in nets.items()}
    maker = Maker(args, device)
    LOG.info(f"{time.time() - began:.0f} s ready on {device}")
    told_of: list[torch.Tensor] = []
    while (part := (time.time() - began) / (60 * args.minutes)) < 1:
        whole = min(1, args.start + (args.end - args.start) * part)
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        rate *= min(1, (step - first + 1) / WARM_UP)
        truth = maker.batch()
        told_of.append(torch.stack([learnt(nets[n], opts[n], truth, rate) for n in nets]))
        step += 1
        for name, net in nets.items():
            means[name].take(net, step)
        if step % 100 == 0 or step - first in (1, 10, 30):
            value = torch.stack(told_of[-100:]).mean(0).tolist()
            words = " ".join(f"{name} {v:.4f}" for name, v in zip(nets, value, strict=True))
            LOG.info(f"{time.time() - began:5.0f} s step {step} {words}")
    out = Path(args.out)
    out.mkdir(parents=True, exist_ok=True)
    state = {"step": step, "mean": {name: mean.state for name, mean in means.items()}}
    torch.save(state, out / "hem.part")
    (out / "hem.part").rename(out / "hem.pt")
    LOG.info(f"saved after {step} steps")


if __name__ == "__main__":
    main()
