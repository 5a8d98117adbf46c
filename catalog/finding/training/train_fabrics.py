"""Train fabric networks on pieces cut from prints that are made while they learn.

train_fabrics.py PHOTOS OUT --minutes M [--teacher WEIGHTS.onnx] [--resume OUT] [--from F] [--to T]

Networks of several makes learn side by side from the same pieces; with a teacher from what it tells
of each as well, so that what is told of cloth by its distances stays as it is.
"""

from __future__ import annotations

import argparse
import copy
import math
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import torch
from fabric_cuts import cut, moved, partly, photographed, rand
from fabric_net import FabricNet, places_shown
from fabric_prints import INKS, drawn, palettes
from fabric_prints import photographed as photographed_prints
from teacher import filled
from torch.nn import functional as nnf

CHUNK = 16
"""Prints of one make drawn at a time."""
SIZES = (((120,), 0.42), ((56,), 0.33), ((88,), 0.1), ((120, 56), 0.15))
"""Pixels along the pieces of a step, and how often."""
PIECES = (0, 0, 0, 1, 1, 2, 2, 3, 3)
"""Which of a group's fabrics each of its pieces is cut from: a print, it in other colours, another
print in its colours, and something else that is near."""
SOLIDS, OF_PHOTOS = 0.12, 0.2
"""Share of groups that are of plain fabrics, and of prints made of photographs."""
WEIGHTS = (1.0, 1.0, 0.5, 0.5)
"""Of the losses of one fabric, of near ones, of others, and of which piece goes with which."""
TAUGHT = 4.0, 2.0
"""Weights of how far looks, in deviations, and distances of pieces are from the teacher's."""
KEPT = 0.998
"""Of the running mean of the weights at each step."""


@dataclass
class Store:
    """Prints to cut from."""

    prints: torch.Tensor
    own: torch.Tensor
    """The colours that those made of photographs had; the last of the prints."""
    at: int = 0

    def renew(self) -> None:
        """Draw some of the prints anew."""
        fresh = drawn(CHUNK, self.prints.device)
        self.prints[self.at : self.at + CHUNK] = (fresh * 255).round().to(torch.uint8)
        self.at = (
            (self.at + CHUNK) % (len(self.prints) - len(self.own) - CHUNK + 1) // CHUNK * CHUNK
        )


@dataclass
class Batch:
    """Pieces of cloth."""

    parts: list[tuple[torch.Tensor, torch.Tensor]]
    fabric: torch.Tensor
    group: torch.Tensor


def batch(store: Store, groups: int) -> Batch:
    """Cut the pieces of a step."""
    device = store.prints.device
    first, inks = firsts(store, groups)
    other = others(store, first)
    zoom = 1 + 0.7 * rand(groups, device=device)
    which = torch.stack([first, first, other, first], 1)
    inked = torch.stack([inks, recoloured(inks), inks, inks], 1)
    sizes = zoom[:, None].repeat(1, 4)
    kind = rand(groups, device=device)
    larger, plain, print_ = kind < 0.4, (kind >= 0.4) & (kind < 0.65), kind >= 0.65
    sizes[:, 3] = torch.where(larger, torch.where(zoom < 1.4, zoom * 1.5, zoom / 1.5), zoom)
    shares = store.prints[first].float().mean((2, 3)) / 255
    mean = torch.einsum("gi,gic->gc", shares, inks)[:, None].expand(-1, INKS, -1)
    last = torch.where(plain[:, None, None], mean, moved(inks))
    inked[:, 3] = torch.where(larger[:, None, None], inks, last)
    which[:, 3] = torch.where(print_, other, first)
    one = inks[:, :1].expand(-1, INKS, -1)
    solids = torch.stack([one, moved(one), moved(one), moved(one)], 1)
    solid = rand(groups, device=device) < SOLIDS
    return pieces(store, which, torch.where(solid[:, None, None, None], solids, inked), sizes)


def firsts(store: Store, groups: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Draw groups' prints, some of them made of photographs, and their inks."""
    device, made = store.prints.device, len(store.prints) - len(store.own)
    first, inks = torch.randint(0, made, (groups,), device=device), palettes(groups, device)
    taken = torch.randint(0, len(store.own), (groups,), device=device)
    of_photo = rand(groups, device=device) < OF_PHOTOS
    kept = of_photo & (rand(groups, device=device) < 0.5)
    return (
        torch.where(of_photo, made + taken, first),
        torch.where(kept[:, None, None], store.own[taken], inks),
    )


def others(store: Store, first: torch.Tensor) -> torch.Tensor:
    """Draw other prints, half of them of the same make."""
    device, made = first.device, len(store.prints) - len(store.own)
    beside = torch.randint(1, CHUNK, first.shape, device=device)
    akin = first // CHUNK * CHUNK + (first + beside) % CHUNK
    akin = torch.where(first < made, akin, torch.randint(0, made, first.shape, device=device))
    half = rand(len(first), device=device) < 0.5
    return torch.where(half, akin, torch.randint(0, made, first.shape, device=device))


def recoloured(inks: torch.Tensor) -> torch.Tensor:
    """Draw other colours for prints: all a little other, some wholly, or all wholly."""
    how = rand(len(inks), 1, 1, device=inks.device)
    wholly = torch.where(how < 0.75, partly(inks), palettes(len(inks), inks.device))
    return torch.where(how < 0.4, moved(inks), wholly)


def pieces(store: Store, which: torch.Tensor, inked: torch.Tensor, sizes: torch.Tensor) -> Batch:
    """Cut and photograph pieces of fabrics (groups, 4)."""
    device, groups = store.prints.device, len(which)
    number = torch.arange(groups, device=device)[:, None]
    group = number.expand(-1, len(PIECES)).flatten()
    fabric = (number * 4 + torch.tensor(PIECES, device=device)).flatten()
    several = SIZES[int(torch.multinomial(torch.tensor([share for _, share in SIZES]), 1))][0]
    turn = torch.arange(len(fabric), device=device) % len(several)
    parts, order = [], []
    for k, px in enumerate(several):
        some = torch.nonzero(turn == k)[:, 0]
        chosen = fabric[some]
        inks, zoom = inked.flatten(0, 1)[chosen], sizes.flatten()[chosen]
        cloth = cut(store.prints, which.flatten()[chosen], inks, zoom, px)
        parts.append(photographed(cloth, group[some]))
        order.append(some)
    placed = torch.cat(order)
    return Batch(parts, fabric[placed], group[placed])


def told_of(net: FabricNet, given: Batch) -> torch.Tensor:
    """Return what a network tells of the pieces."""
    with torch.autocast(given.fabric.device.type, torch.bfloat16):
        told = torch.cat([net(cloth, places_shown(shown)) for cloth, shown in given.parts])
    return told.float()


def off_from(told: torch.Tensor, taught: torch.Tensor, net: FabricNet) -> torch.Tensor:
    """Return how far looks, in deviations, and distances of pieces are from the teacher's."""
    spread = taught.var(0).clamp(min=1e-4)
    looks = ((told - taught).square() / spread).mean()
    apart = net.same(told) - net.same(taught)
    return torch.stack([looks, nnf.huber_loss(apart, torch.zeros_like(apart), delta=1.0)])


def losses(net: FabricNet, told: torch.Tensor, given: Batch) -> torch.Tensor:
    """Return the loss of same, of near and of other fabrics, and of which piece goes with which."""
    logits = net.same(told)
    same = given.fabric[:, None] == given.fabric
    near = (given.group[:, None] == given.group) & ~same
    upper = torch.ones_like(same).triu(1)
    far = ~same & ~near & upper
    wrong = nnf.softplus(logits)
    hardest = wrong[far].topk(int(far.sum()) // 50).values
    others = logits.masked_fill(same, -1e9).logsumexp(1)[:, None]
    alike = same & ~torch.eye(len(same), dtype=torch.bool, device=same.device)
    which = nnf.softplus(others.expand_as(logits)[alike] - logits[alike]).mean()
    return torch.stack(
        [nnf.softplus(-logits)[alike].mean(), wrong[near & upper].mean(), hardest.mean(), which]
    )


def parsed() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser()
    parser.add_argument("photos", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--minutes", type=float, default=9)
    parser.add_argument("--groups", type=int, default=96)
    parser.add_argument("--stored", type=int, default=4096)
    parser.add_argument("--rate", type=float, default=3e-3)
    parser.add_argument("--resume", type=Path)
    parser.add_argument("--from", dest="start", type=float, default=0)
    parser.add_argument("--to", dest="end", type=float, default=1)
    parser.add_argument("--teacher")
    parser.add_argument("--only", help="the networks to train of several, with commas between")
    parser.add_argument("--seed", type=int, default=1)
    return parser.parse_args()


def stored(photos: Path, count: int, device: torch.device) -> Store:
    """Draw the first prints, and make some of photographs."""
    seen, own = photographed_prints(photos, device)
    made = torch.zeros(count, *seen.shape[1:], dtype=torch.uint8, device=device)
    store = Store(torch.cat([made, (seen * 255).round().to(torch.uint8)]), own)
    for _ in range(count // CHUNK):
        store.renew()
    return store


@torch.no_grad()
def averaged(mean: FabricNet, net: FabricNet, step: int) -> None:
    """Bring the running mean of the weights up to a step."""
    kept = min(KEPT, 1 - 1 / (step + 2))
    for old, new in zip(mean.state_dict().values(), net.state_dict().values(), strict=True):
        old.copy_(old * kept + new * (1 - kept) if old.is_floating_point() else new)


@dataclass
class Pupil:
    """A network that learns, and the running mean of its weights."""

    net: FabricNet
    mean: FabricNet
    course: torch.optim.Optimizer

    def learn(self, given: Batch, taught: torch.Tensor | None, rate: float) -> torch.Tensor:
        """Take one step, unless the gradient isn't finite; the losses."""
        for part in self.course.param_groups:
            part["lr"] = rate
        told = told_of(self.net, given)
        lost = losses(self.net, told, given)
        whole = (lost * torch.tensor(WEIGHTS, device=lost.device)).sum()
        if taught is not None:
            off = off_from(told, taught, self.net)
            whole = whole + (off * torch.tensor(TAUGHT, device=off.device)).sum()
            lost = torch.cat([lost, off])
        self.course.zero_grad()
        whole.backward()
        if torch.isfinite(torch.nn.utils.clip_grad_norm_(self.net.parameters(), 5.0)):
            self.course.step()
        return lost.detach()


def pupil(body: str, args: argparse.Namespace, device: torch.device) -> Pupil:
    """Begin a network, or go on with one."""
    net = FabricNet(body).to(device)
    if args.resume:
        net.load_state_dict(torch.load(args.resume / f"{body}.pt", map_location=device))
    course = torch.optim.AdamW(net.parameters(), args.rate, weight_decay=0.01)
    return Pupil(net, copy.deepcopy(net).eval(), course)


def main() -> None:
    """Write OUT/BODY.pt of each network."""
    args = parsed()
    torch.manual_seed(args.seed)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    began = time.perf_counter()
    store = stored(args.photos, args.stored, device)
    pupils = {body: pupil(body, args, device) for body in (args.only or "thorough").split(",")}
    teacher = filled(FabricNet("thorough"), args.teacher).to(device) if args.teacher else None
    begin, step = time.perf_counter(), 0
    logs: dict[str, list[torch.Tensor]] = {body: [] for body in pupils}
    args.out.mkdir(parents=True, exist_ok=True)
    while (done := (time.perf_counter() - begin) / (began + args.minutes * 60 - begin)) < 1:
        whole = args.start + (args.end - args.start) * done
        rate = args.rate * min(1, (step + 1) / 100) * (0.5 + 0.5 * math.cos(math.pi * whole))
        if step % 2 == 0:
            store.renew()
        with torch.no_grad():
            given = batch(store, args.groups)
            taught = told_of(teacher, given) if teacher else None
        for body, one in pupils.items():
            logs[body].append(one.learn(given, taught, rate))
            averaged(one.mean, one.net, step)
        step += 1
        if step % 100 == 0:
            report(logs, f"{step} {time.perf_counter() - began:.0f} s")
            keep(pupils, args.out)
    keep(pupils, args.out)


def report(logs: dict[str, list[torch.Tensor]], begun: str) -> None:
    """Say the mean losses since the last time."""
    for body, lost in logs.items():
        told = [round(value, 3) for value in torch.stack(lost).mean(0).tolist()]
        sys.stdout.write(f"{begun} {body} {told}\n")
        sys.stdout.flush()
        lost.clear()


def keep(pupils: dict[str, Pupil], out: Path) -> None:
    """Write checkpoints, each whole or not at all."""
    for body, one in pupils.items():
        torch.save(one.mean.state_dict(), out / f"{body}.part")
        (out / f"{body}.part").rename(out / f"{body}.pt")


if __name__ == "__main__":
    main()
