"""Train the eye on pictures made as it goes. Wants a GPU.

train.py PHOTOS OUT --minutes M [--resume FILE] [--from F] [--to T] [--seed S] [--direct]

PHOTOS is made by photographs.py. Training may be cut into several runs: --from and --to say which
part of the whole course (0 to 1) this run is, for the rate of learning.
"""

from __future__ import annotations

import argparse
import math
import time
from pathlib import Path

import numpy as np
import torch
from atlas import Atlas
from camera import photographed
from compose import BLANK, ask, compose, outside
from net import Eye
from scenes import scene
from targets import losses, targets
from torch import nn

RATE, DECAY, KEEP = 2e-3, 0.02, 0.998
"""Peak rate of learning, decay of weights, share of the running mean kept each step."""

WARM_UP = 300
"""Steps until the full rate."""


class Scenes(torch.utils.data.IterableDataset):
    """Endless scenes, drawn by workers.

    Parameters
    ----------
    seed : int
    counts : tuple of int
        Pictures of each kind in the atlas.
    """

    def __init__(self, seed: int, counts: tuple[int, int, int]) -> None:
        self.seed, self.counts = seed, counts

    def __iter__(self):
        worker = torch.utils.data.get_worker_info()
        rng = np.random.default_rng([self.seed, worker.id if worker else 0])
        while True:
            yield scene(rng, self.counts)


class Maker:
    """Makes batches of pictures and what should be told of them.

    Parameters
    ----------
    args
        As parsed.
    device : torch.device
    """

    def __init__(self, args: argparse.Namespace, device: torch.device) -> None:
        self.atlas = Atlas(Path(args.photos), args.prints, args.grounds, device)
        loader = torch.utils.data.DataLoader(
            Scenes(args.seed, self.atlas.counts), batch_size=args.batch, num_workers=args.workers,
            prefetch_factor=4 if args.workers else None, pin_memory=device.type == "cuda",
        )  # fmt: skip
        self.scenes, self.device = iter(loader), device
        self.ask = torch.compile(ask, dynamic=False) if args.compile else ask

    @torch.no_grad()
    def batch(self) -> tuple[torch.Tensor, dict[str, torch.Tensor]]:
        """Make pictures (B, 3, h, w), -1 to 1, and what is wanted."""
        self.atlas.refresh()
        drawn = next(self.scenes)
        drawn = {key: value.to(self.device, non_blocking=True) for key, value in drawn.items()}
        try:
            pictures, share = compose(drawn, self.atlas.texels, self.ask)
        except Exception as fault:  # a machine without a compiler: slower, but the same
            if self.ask is ask:
                raise
            print(f"not compiled: {fault}"[:300], flush=True)
            self.ask = ask
            pictures, share = compose(drawn, self.atlas.texels)
        pictures = torch.where(outside(drawn["frame"]), BLANK, photographed(pictures))
        return pictures * 2 - 1, targets(drawn, share)


class Mean:
    """Running mean of a network's weights.

    Parameters
    ----------
    net : nn.Module
    """

    def __init__(self, net: nn.Module) -> None:
        self.state = {key: value.clone() for key, value in net.state_dict().items()}

    @torch.no_grad()
    def take(self, net: nn.Module, step: int) -> None:
        """Take in the weights after a step."""
        keep = min(KEEP, (1 + step) / (10 + step))
        for key, value in net.state_dict().items():
            if value.is_floating_point():
                self.state[key].lerp_(value, 1 - keep)
            else:
                self.state[key].copy_(value)


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
    parser.add_argument("--direct", action="store_true")
    parser.add_argument("--batch", type=int, default=64)
    parser.add_argument("--workers", type=int, default=12)
    parser.add_argument("--prints", type=int, default=1024)
    parser.add_argument("--grounds", type=int, default=256)
    parser.add_argument("--compile", action="store_true")
    return parser.parse_args()


def save(path: Path, net: nn.Module, mean: Mean, opt: torch.optim.Optimizer, step: int) -> None:
    """Write a checkpoint, whole or not at all."""
    beside = path.with_suffix(".part")
    state = {"net": net.state_dict(), "mean": mean.state, "opt": opt.state_dict(), "step": step}
    torch.save(state, beside)
    beside.rename(path)


def main() -> None:
    """Train for the minutes given."""
    args = parsed()
    began = time.time()
    torch.manual_seed(args.seed)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.backends.cudnn.benchmark = True
    net = Eye(turnless=not args.direct).to(device).to(memory_format=torch.channels_last)
    opt = torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY)
    step, first = 0, 0
    if args.resume:
        state = torch.load(args.resume, map_location=device)
        net.load_state_dict(state["net"])
        opt.load_state_dict(state["opt"])
        step = first = state["step"]
    mean = Mean(net)
    if args.resume:
        mean.state = state["mean"]
    maker = Maker(args, device)
    out = Path(args.out)
    out.mkdir(parents=True, exist_ok=True)
    print(f"{time.time() - began:.0f} s ready on {device}", flush=True)
    saved, told_of = time.time(), []
    while (part := (time.time() - began) / (60 * args.minutes)) < 1:
        whole = args.start + (args.end - args.start) * part
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        for group in opt.param_groups:
            group["lr"] = rate * min(1, (step - first + 1) / WARM_UP)
        pictures, wanted = maker.batch()
        with torch.autocast(device.type, torch.bfloat16):
            told = net(pictures.contiguous(memory_format=torch.channels_last))
        parts = losses(told.float(), wanted)
        opt.zero_grad(set_to_none=True)
        sum(parts.values()).backward()
        nn.utils.clip_grad_norm_(net.parameters(), 5.0)
        opt.step()
        step += 1
        mean.take(net, step)
        told_of.append(torch.stack([value.detach() for value in parts.values()]))
        if step % 100 == 0 or step - first in (1, 10, 30):
            value = torch.stack(told_of[-100:]).mean(0).tolist()
            words = " ".join(f"{key} {v:.4f}" for key, v in zip(parts, value, strict=True))
            pace = (step - first) * args.batch / (time.time() - began)
            print(f"{time.time() - began:5.0f} s step {step} {words} pictures/s {pace:.0f}", flush=True)
        if time.time() - saved > 120:
            save(out / "eye.pt", net, mean, opt, step)
            saved = time.time()
    save(out / "eye.pt", net, mean, opt, step)
    print(f"saved after {step} steps, {step * args.batch} pictures", flush=True)


if __name__ == "__main__":
    main()
