"""Train boundary networks on bands of pictures made as it goes. Wants a GPU.

train_boundary.py PHOTOS OUT --minutes M [--teacher WEIGHTS.onnx] [--resume FOLDER] [--from F]
    [--to T] [--seed S]

Networks of several makes learn side by side from the same bands; with a teacher from what it tells
as well, in places of which nothing is asked too.
"""

from __future__ import annotations

import argparse
import logging
import math
import time
from pathlib import Path

import torch
from bands import bands, near_scene, wanted_shares
from boundary_net import BODIES, BoundaryNet
from camera import coarser, flattened
from compose import drawn
from teacher import filled
from torch import nn
from torch.nn import functional as nnf
from train import SAVED_EACH, STEEPEST, Maker, Mean, parsed

LOG = logging.getLogger("train_boundary")

TRUTH = 0.3
"""Weight of the truth beside a teacher."""

RATE, DECAY, WARM_UP = 3e-3, 0.01, 200
"""See `train.py`."""

FLATTENED = 0.2
"""Share of the pictures that are seen as the finding's second look sees them."""

SIDES = 2560
"""Sides a step: always as many, since cuDNN measures anew for another number."""


class BoundaryMaker(Maker):
    """Makes batches of bands."""

    def __init__(self, args: argparse.Namespace, device: torch.device) -> None:
        super().__init__(args, device, near_scene)
        self.flat = torch.compile(flattened, dynamic=False) if args.compile else flattened

    @torch.no_grad()
    def batch(self) -> dict[str, torch.Tensor]:
        """Make bands and what is wanted of them, see `bands.bands`."""
        scenes = self.drawn()
        question, paint, light, develop, _ = self.parts
        pictures, who = drawn(scenes, self.atlas.texels, question, paint)
        pictures = torch.nan_to_num(develop(coarser(light(pictures))))
        few = torch.rand(len(pictures), 1, 1, 1, device=self.device) < FLATTENED
        pictures = torch.where(few, self.flat(pictures), pictures)
        return bands(scenes, pictures, who, SIDES)


def loss_of(told: torch.Tensor, truth: dict[str, torch.Tensor]) -> torch.Tensor:
    """Cross entropy over the stretches asked."""
    off = -(wanted_shares(truth) * told.float().log_softmax(-1)).sum(-1)
    asked = truth["asked"].float()
    return (off * asked).sum() / asked.sum().clamp(min=1)


def resumed(folder: Path, nets: dict[str, BoundaryNet], device: torch.device) -> int:
    """Take the mean weights of an earlier run where they fit; how many steps it had taken."""
    state = torch.load(folder / "boundary.pt", map_location=device)
    for name, net in nets.items():
        own = net.state_dict()
        for key, value in state["mean"].get(name, {}).items():
            if own[key].shape == value.shape:
                own[key].copy_(value)
    return int(state["step"])


def learnt(
    net: BoundaryNet, opt: torch.optim.Optimizer, truth: dict[str, torch.Tensor], rate: float
) -> torch.Tensor:
    """Take one step, unless the gradient isn't finite; the loss."""
    for group in opt.param_groups:
        group["lr"] = rate
    with torch.autocast(truth["bands"].device.type, torch.bfloat16):
        told = net(truth["bands"])
    loss = loss_of(told, truth)
    if "taught" in truth:
        taught = truth["taught"]
        loss = TRUTH * loss + nnf.kl_div(
            told.float().log_softmax(-1).flatten(0, 1), taught.flatten(0, 1),
            reduction="batchmean", log_target=True,
        )  # fmt: skip
    opt.zero_grad(set_to_none=True)
    loss.backward()
    if torch.isfinite(nn.utils.clip_grad_norm_(net.parameters(), STEEPEST)):
        opt.step()
    return loss.detach()


def save_means(folder: Path, means: dict[str, Mean], step: int) -> None:
    """Write a checkpoint, whole or not at all."""
    folder.mkdir(parents=True, exist_ok=True)
    state = {"step": step, "mean": {name: mean.state for name, mean in means.items()}}
    torch.save(state, folder / "boundary.part")
    (folder / "boundary.part").rename(folder / "boundary.pt")


def main() -> None:
    """Train for the minutes given."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    args, began = parsed(), time.time()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(args.seed)
    torch.backends.cudnn.benchmark = True
    torch.set_float32_matmul_precision("high")
    names = args.only.split(",") if args.only else list(BODIES)
    nets = {name: BoundaryNet(name).to(device) for name in names}
    teacher = filled(BoundaryNet("thorough"), args.teacher).to(device) if args.teacher else None
    step = first = resumed(Path(args.resume), nets, device) if args.resume else 0
    opts = {
        name: torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY)
        for name, net in nets.items()
    }
    means = {name: Mean(net) for name, net in nets.items()}
    maker = BoundaryMaker(args, device)
    LOG.info(f"{time.time() - began:.0f} s ready on {device}")
    told_of: list[torch.Tensor] = []
    out = Path(args.out)
    saved = time.time()
    while (part := (time.time() - began) / (60 * args.minutes)) < 1:
        whole = min(1, args.start + (args.end - args.start) * part)
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        rate *= min(1, (step - first + 1) / WARM_UP)
        truth = maker.batch()
        if teacher:
            with torch.no_grad():
                truth["taught"] = teacher(truth["bands"]).log_softmax(-1)
        told_of.append(torch.stack([learnt(nets[n], opts[n], truth, rate) for n in nets]))
        step += 1
        for name, net in nets.items():
            means[name].take(net, step)
        if step % 100 == 0 or step - first in (1, 10, 30):
            value = torch.stack(told_of[-100:]).mean(0).tolist()
            words = " ".join(f"{name} {v:.4f}" for name, v in zip(nets, value, strict=True))
            LOG.info(f"{time.time() - began:5.0f} s step {step} {words}")
        if time.time() - saved > SAVED_EACH:
            save_means(out, means, step)
            saved = time.time()
    save_means(out, means, step)
    LOG.info(f"saved after {step} steps")


if __name__ == "__main__":
    main()
