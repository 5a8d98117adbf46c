"""Train the detector on pictures made as it goes. Wants a GPU.

train.py PHOTOS OUT --minutes M [--resume FOLDER] [--from F] [--to T] [--seed S]

PHOTOS is made by photographs.py. Training may be cut into several runs: --from and --to say which
part of the whole course (0 to 1) this run is, for the rate of learning. Under torchrun several
processes, each with a GPU of its own, train one network together.
"""

from __future__ import annotations

import argparse
import logging
import math
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import torch
from atlas import Atlas
from camera import coarser, developed, exposed
from compose import BLANK, ask, compose, outside, painted
from net import Detector
from scenes import scene
from targets import losses, targets
from torch import distributed as dist
from torch import nn

Draw = Callable[[np.random.Generator, tuple[int, int, int]], dict[str, np.ndarray]]

LOG = logging.getLogger("train")

RATE, DECAY, KEEP = 2e-3, 0.02, 0.998
"""Peak rate of learning, decay of weights, share of the running mean kept each step."""

STEEPEST = 5.0
"""Longest gradient; longer ones are shortened."""

SAVED_EACH = 100.0
"""Seconds between checkpoints."""

WARM_UP = 150
"""Steps until the full rate."""


class Scenes(torch.utils.data.IterableDataset):
    """Endless scenes, drawn by workers.

    Parameters
    ----------
    seed : int
    counts : tuple of int
        Pictures of each kind in the atlas.
    draw : callable
        Draws one, see `scenes.scene`.
    """

    def __init__(self, seed: int, counts: tuple[int, int, int], draw: Draw) -> None:
        self.seed, self.counts, self.draw = seed, counts, draw

    def __iter__(self) -> Iterator[dict[str, np.ndarray]]:
        worker = torch.utils.data.get_worker_info()
        rng = np.random.default_rng([self.seed, worker.id if worker else 0])
        while True:
            yield self.draw(rng, self.counts)


class Maker:
    """Makes batches of pictures and what should be told of them.

    Parameters
    ----------
    args
        As parsed.
    device : torch.device
    draw : callable
        Draws a scene.
    """

    def __init__(self, args: argparse.Namespace, device: torch.device, draw: Draw = scene) -> None:
        self.atlas = Atlas(Path(args.photos), args.prints, args.grounds, device)
        loader = torch.utils.data.DataLoader(
            Scenes(args.seed, self.atlas.counts, draw),
            batch_size=args.batch, num_workers=args.workers,
            prefetch_factor=4 if args.workers else None, pin_memory=device.type == "cuda",
        )  # fmt: skip
        self.scenes, self.device = iter(loader), device
        parts = (ask, painted, exposed, developed, targets)
        self.parts = (
            tuple(torch.compile(p, dynamic=False) for p in parts) if args.compile else parts
        )

    def drawn(self) -> dict[str, torch.Tensor]:
        """Draw a batch of scenes; some of the prints are new each time."""
        self.atlas.refresh()
        scenes = next(self.scenes)
        return {key: value.to(self.device, non_blocking=True) for key, value in scenes.items()}

    @torch.no_grad()
    def batch(self) -> tuple[torch.Tensor, dict[str, torch.Tensor]]:
        """Make pictures (B, 3, h, w), -1 to 1, and what is wanted."""
        drawn = self.drawn()
        question, paint, light, develop, wanted = self.parts
        pictures, share = compose(drawn, self.atlas.texels, question, paint)
        pictures = torch.where(outside(drawn["frame"]), BLANK, develop(coarser(light(pictures))))
        return torch.nan_to_num(pictures) * 2 - 1, wanted(drawn, share)


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
    parser.add_argument("--batch", type=int, default=64)
    parser.add_argument("--workers", type=int, default=12)
    parser.add_argument("--prints", type=int, default=1024)
    parser.add_argument("--grounds", type=int, default=256)
    parser.add_argument("--compile", action="store_true")
    parser.add_argument("--only", help="the networks to train of several, with commas between")
    parser.add_argument("--teacher", help="weights that are shipped, to learn from")
    return parser.parse_args()


def save(folder: Path, net: nn.Module, mean: Mean, opt: torch.optim.Optimizer, step: int) -> None:
    """Write a checkpoint in two files, each whole or not at all."""
    weights = {"net": net.state_dict(), "mean": mean.state, "step": step}
    for name, state in (("detector.pt", weights), ("opt.pt", opt.state_dict())):
        beside = folder / f"{name}.part"
        torch.save(state, beside)
        beside.rename(folder / name)


def agreed(net: nn.Module) -> None:
    """Average the gradients of all processes."""
    if not dist.is_initialized():
        return
    grads = [p.grad for p in net.parameters() if p.grad is not None]
    flat = torch.cat([g.flatten() for g in grads])
    dist.all_reduce(flat)
    flat /= dist.get_world_size()
    for g, part in zip(grads, flat.split([g.numel() for g in grads]), strict=True):
        g.copy_(part.view_as(g))


def joined_processes() -> tuple[int, torch.device]:
    """Join the other processes where torchrun started several: rank, device."""
    cuda = torch.cuda.is_available()
    if "WORLD_SIZE" not in os.environ:
        return 0, torch.device("cuda" if cuda else "cpu")
    dist.init_process_group("nccl" if cuda else "gloo")
    rank = dist.get_rank()
    if cuda:
        torch.cuda.set_device(rank)
    return rank, torch.device("cuda", rank) if cuda else torch.device("cpu")


def ended(part: float, device: torch.device) -> bool:
    """Tell whether the time is up, alike in all processes."""
    if not dist.is_initialized():
        return part >= 1
    flag = torch.tensor([float(part >= 1)], device=device)
    dist.all_reduce(flag)
    return flag.item() > 0


def learnt(
    net: nn.Module, opt: torch.optim.Optimizer, maker: Maker
) -> dict[str, torch.Tensor] | None:
    """Take one step; None where a fault of the maker would have spoilt the weights."""
    pictures, wanted = maker.batch()
    with torch.autocast(pictures.device.type, torch.bfloat16):
        told = net(pictures.contiguous(memory_format=torch.channels_last))
    parts = losses(told.float(), wanted)
    opt.zero_grad(set_to_none=True)
    sum(parts.values()).backward()
    agreed(net)
    if not torch.isfinite(nn.utils.clip_grad_norm_(net.parameters(), STEEPEST)):
        return None
    opt.step()
    return parts


def main() -> None:
    """Train for the minutes given."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    args = parsed()
    began = time.time()
    rank, device = joined_processes()
    args.seed += 1000 * rank
    torch.manual_seed(args.seed)
    torch.backends.cudnn.benchmark = True
    torch.set_float32_matmul_precision("high")
    net = Detector().to(device).to(memory_format=torch.channels_last)
    opt = torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY)
    step, mean = 0, Mean(net)
    if args.resume:
        state = torch.load(Path(args.resume) / "detector.pt", map_location=device)
        net.load_state_dict(state["net"])
        remembered = Path(args.resume) / "opt.pt"
        if remembered.exists():
            opt.load_state_dict(torch.load(remembered, map_location=device))
        step, mean.state = state["step"], state["mean"]
    first = step
    maker = Maker(args, device)
    out = Path(args.out)
    out.mkdir(parents=True, exist_ok=True)
    LOG.info(f"{time.time() - began:.0f} s ready on {device}")
    saved, told_of = time.time(), []
    while not ended(part := (time.time() - began) / (60 * args.minutes), device):
        whole = min(1, args.start + (args.end - args.start) * part)
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        for group in opt.param_groups:
            group["lr"] = rate * min(1, (step - first + 1) / WARM_UP)
        parts = learnt(net, opt, maker)
        step += 1
        if parts is None:
            LOG.info(f"step {step}: not finite, passed over")
            continue
        mean.take(net, step)
        told_of.append(torch.stack([value.detach() for value in parts.values()]))
        if rank == 0 and (step % 100 == 0 or step - first in (1, 10, 30)):
            value = torch.stack(told_of[-100:]).mean(0).tolist()
            words = " ".join(f"{key} {v:.4f}" for key, v in zip(parts, value, strict=True))
            LOG.info(f"{time.time() - began:5.0f} s step {step} {words}")
        if rank == 0 and time.time() - saved > SAVED_EACH:
            save(out, net, mean, opt, step)
            saved = time.time()
    if rank == 0:
        save(out, net, mean, opt, step)
        LOG.info(f"saved after {step} steps")
    if dist.is_initialized():
        dist.destroy_process_group()


if __name__ == "__main__":
    main()
