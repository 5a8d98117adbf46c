"""Train the small boundary network by the truth and by a larger one. Wants a GPU.

distil_boundary.py PHOTOS OUT --minutes M [--resume FOLDER] [--from F] [--to T] [--seed S]

The larger one is the middle of `boundary.pt`. Begin with much of what it tells (--truth 0.25), end
with more of the truth (--truth 3.75).
"""

from __future__ import annotations

import logging
import math
import sys
import time
from pathlib import Path

import torch
from boundary_net import BoundaryNet, SmallBoundaryNet, ordered
from torch import nn
from train import SAVED_EACH, STEEPEST, Mean, parsed
from train_boundary import SIZES, WARM_UP, BoundaryMaker, loss_of, save_means

LOG = logging.getLogger("distil_boundary")

RATE, DECAY = 5e-3, 0.01
"""See `train.py`."""


def teacher_on(device: torch.device) -> nn.Module:
    """The larger network, which learns nothing more."""
    net = BoundaryNet(SIZES["middle"])
    state = torch.load(Path(__file__).with_name("boundary.pt"), map_location="cpu")
    net.load_state_dict(state["mean"]["middle"])
    return net.to(device).eval().requires_grad_(False)


def learnt(
    net: nn.Module,
    opt: torch.optim.Optimizer,
    teacher: nn.Module,
    truth: dict[str, torch.Tensor],
    weight: float,
) -> torch.Tensor:
    """Take one step, unless the gradient isn't finite; how far it is off the teacher, the truth."""
    with torch.no_grad():
        taught = teacher(truth["bands"]).float().log_softmax(-1)
    with torch.autocast(truth["bands"].device.type, torch.bfloat16):
        told = net(truth["bands"])
    logits = ordered(told).float()
    apart = (taught.exp() * (taught - logits.log_softmax(-1))).sum(-1).mean()
    off = loss_of(logits, truth)
    opt.zero_grad(set_to_none=True)
    (apart + weight * off).backward()
    if torch.isfinite(nn.utils.clip_grad_norm_(net.parameters(), STEEPEST)):
        opt.step()
    return torch.stack([apart.detach(), off.detach()])


def main() -> None:
    """Train for the minutes given."""
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    where = sys.argv.index("--truth")
    weight = float(sys.argv[where + 1])
    del sys.argv[where : where + 2]
    args, began = parsed(), time.time()
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.manual_seed(args.seed)
    torch.set_float32_matmul_precision("high")
    net, teacher, step = SmallBoundaryNet().to(device), teacher_on(device), 0
    if args.resume:
        state = torch.load(Path(args.resume) / "boundary.pt", map_location=device)
        net.load_state_dict(state["mean"]["shipped"])
        step = int(state["step"])
    opt = torch.optim.AdamW(net.parameters(), RATE, weight_decay=DECAY)
    maker, mean, first, saved = BoundaryMaker(args, device), Mean(net), step, time.time()
    while (part := (time.time() - began) / (60 * args.minutes)) < 1:
        whole = min(1, args.start + (args.end - args.start) * part)
        rate = RATE * (0.5 + 0.5 * math.cos(math.pi * whole)) + 1e-5
        for group in opt.param_groups:
            group["lr"] = rate * min(1, (step - first + 1) / WARM_UP)
        off = learnt(net, opt, teacher, maker.batch(), weight)
        step += 1
        mean.take(net, step)
        if step % 100 == 0:
            LOG.info(f"{time.time() - began:5.0f} s step {step} {off.tolist()}")
        if time.time() - saved > SAVED_EACH:
            save_means(Path(args.out), {"shipped": mean}, step)
            saved = time.time()
    save_means(Path(args.out), {"shipped": mean}, step)


if __name__ == "__main__":
    main()
