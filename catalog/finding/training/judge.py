"""Judge weights on photographs that the maker of pictures did not make.

judge.py PHOTOS WEIGHTS... [--least 0.3] [--draw FOLDER]

PHOTOS holds dev/, real/cubes/, real/none/, each NAME.jpg with its truth NAME.json. The detector
and the peaks of its scores alone are judged: no plane, no lattice, no refinement.
"""

from __future__ import annotations

import argparse
import json
import logging
import time
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np

LOG = logging.getLogger("judge")

STRIDE, REACH, SPAN = 4, 32.0, 32
NEAR = 0.4
"""Told squares that share so much with a hotter one are dropped."""


def seen_by(
    net: cv2.dnn.Net, image: np.ndarray, least: float, votes: int = 1, width: int = 640
) -> tuple[np.ndarray, np.ndarray]:
    """See squares in an RGB image: corners (n, 4, 2) px, heat (n,), the hottest first.

    The detector looks at width x 3/4 width px (up to the next SPAN). `votes` cells along and across
    round a peak tell the corners together, weighted by heat.
    """
    tall = image.shape[0] > image.shape[1]
    picture = np.rot90(image) if tall else image
    height = -(-width * 3 // 4 // SPAN) * SPAN
    scale = min(width / picture.shape[1], height / picture.shape[0])
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    canvas = np.full((height, width, 3), 127, np.uint8)
    canvas[: small.shape[0], : small.shape[1]] = small[:height, :width]
    net.setInput(canvas.transpose(2, 0, 1)[None].astype(np.float32) / 127.5 - 1)
    told = net.forward()[0]
    heat = 1 / (1 + np.exp(-told[0]))
    peak = (heat == cv2.dilate(heat, np.ones((5, 5)))) & (heat > least)
    quads, sure = [], []
    for y, x in sorted(zip(*np.nonzero(peak), strict=True), key=lambda p: -heat[p]):
        quad = voted(told, heat, y, x, votes)
        if all(overlap(quad, other) < NEAR for other in quads):
            quads.append(quad)
            sure.append(heat[y, x])
    out = np.array(quads).reshape(-1, 4, 2) / scale
    if tall:
        out = np.stack([image.shape[1] - out[..., 1], out[..., 0]], -1)
    return out, np.array(sure)


def voted(told: np.ndarray, heat: np.ndarray, y: int, x: int, votes: int) -> np.ndarray:
    """Corners (4, 2) in px of the canvas, told by a peak and the cells round it."""
    first, total, weights = None, 0.0, 0.0
    around = range(-(votes // 2), votes // 2 + 1)
    for dy, dx in sorted(
        ((j, i) for j in around for i in around), key=lambda p: p[0] ** 2 + p[1] ** 2
    ):
        if not (0 <= y + dy < heat.shape[0] and 0 <= x + dx < heat.shape[1]):
            continue
        quad = told[1:9, y + dy, x + dx].reshape(4, 2) * REACH
        quad = quad + (np.array([x + dx, y + dy]) + 0.5) * STRIDE
        if first is None:
            first = quad
        quad = min((np.roll(quad, k, 0) for k in range(4)), key=lambda q: np.abs(q - first).sum())
        weight = heat[y + dy, x + dx] ** 2
        total, weights = total + weight * quad, weights + weight
    return total / weights


def overlap(one: np.ndarray, two: np.ndarray) -> float:
    """Intersection over union of two quadrilaterals (4, 2)."""
    one, two = (cv2.convexHull(q.astype(np.float32)) for q in (one, two))
    shared = cv2.intersectConvexConvex(one, two)[0]
    both = cv2.contourArea(one) + cv2.contourArea(two) - shared
    return shared / both if both > 0 else 0.0


@dataclass
class Score:
    """Counts over the photographs of one folder."""

    true: int = 0
    met: dict[float, int] = field(default_factory=lambda: {0.6: 0, 0.8: 0})
    false: int = 0
    whole: int = 0
    hottest_false: float = 0.0
    corners: list[float] = field(default_factory=list)
    coolest_true: list[float] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def take(self, name: str, quads: np.ndarray, sure: np.ndarray, truth: dict) -> None:
        """Count one photograph in."""
        squares = truth["squares"]
        polygons = [np.array(s["polygon"], float) for s in squares]
        visible = [s.get("visible_fraction", 1) >= 0.5 for s in squares]
        table = np.array([[overlap(q, p) for p in polygons] for q in quads]).reshape(
            len(quads), len(polygons)
        )
        wrong = table.max(1, initial=0) < 0.5
        best = table.max(0, initial=0)
        self.true += sum(visible)
        self.false += int(wrong.sum())
        self.hottest_false = max(self.hottest_false, float(sure[wrong].max(initial=0)))
        for least in self.met:
            self.met[least] += int(sum(b >= least for b, v in zip(best, visible, strict=True) if v))
        missed = [s["id"] for s, b, v in zip(squares, best, visible, strict=True) if v and b < 0.6]
        self.whole += not missed
        for k, polygon in enumerate(polygons):
            if visible[k] and best[k] >= 0.6:
                told = quads[table[:, k].argmax()]
                self.corners.append(corner_error(told, polygon, squares[k].get("size_in") or 5))
                self.coolest_true.append(float(sure[table[:, k].argmax()]))
        if missed or wrong.any():
            self.notes.append(f"{name}: missed {missed} false {int(wrong.sum())}")

    def line(self) -> str:
        """Say it in one line."""
        recall = " ".join(f"@{k} {v / max(1, self.true):.4f}" for k, v in self.met.items())
        corner = np.percentile(self.corners, (50, 95)) if self.corners else (0, 0)
        cool = np.percentile(self.coolest_true, 1) if self.coolest_true else 0
        return (
            f"true {self.true} {recall} whole {self.whole} false {self.false} "
            f"(hottest {self.hottest_false:.2f}) corner in {corner[0]:.3f} p95 {corner[1]:.3f} "
            f"coolest 1% {cool:.2f}"
        )


def corner_error(told: np.ndarray, true: np.ndarray, size: float) -> float:
    """Median corner error in inches, for the order of corners that fits best."""
    inch = np.linalg.norm(true - np.roll(true, 1, 0), axis=1).mean() / size
    off = [
        np.linalg.norm(np.roll(q, k, 0) - true, axis=1)
        for q in (told, told[::-1])
        for k in range(4)
    ]
    return float(np.median(min(off, key=np.sum)) / inch)


def judged(net: cv2.dnn.Net, folder: Path, args: argparse.Namespace) -> Score:
    """Judge the photographs of a folder."""
    score = Score()
    for path in sorted(folder.glob("*.jpg")):
        truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        if folder.name == "charts":
            truth = {"squares": []}
        image = np.ascontiguousarray(cv2.imread(str(path), cv2.IMREAD_COLOR)[..., ::-1])
        quads, sure = seen_by(net, image, args.least, args.votes, args.width)
        score.take(path.stem, quads, sure, truth)
        if args.draw:
            drawn = image[..., ::-1].copy()
            for quad, heat in zip(quads, sure, strict=True):
                paint = (0, 255, 0) if heat > 0.6 else (0, 160, 255)
                cv2.polylines(drawn, [np.int32(quad)], True, paint, max(1, image.shape[1] // 300))
            shape = (640, 640 * image.shape[0] // image.shape[1])
            cv2.imwrite(str(args.draw / f"{folder.name}_{path.stem}.jpg"), cv2.resize(drawn, shape))
    return score


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("photos", type=Path)
    parser.add_argument("weights", nargs="+")
    parser.add_argument("--least", type=float, default=0.3)
    parser.add_argument("--votes", type=int, default=1)
    parser.add_argument("--width", type=int, default=640)
    parser.add_argument("--folders", default="dev,real/cubes,real/none,real/charts")
    parser.add_argument("--draw", type=Path)
    args = parser.parse_args()
    logging.basicConfig(level=logging.INFO, format="%(message)s")
    cv2.setNumThreads(2)
    if args.draw:
        args.draw.mkdir(parents=True, exist_ok=True)
    for weights in args.weights:
        net = cv2.dnn.readNetFromONNX(weights)
        for name in args.folders.split(","):
            score = judged(net, args.photos / name, args)
            LOG.info(f"{weights} {name}: {score.line()}")
            LOG.info("    %s", "; ".join(score.notes)[:1500])
        times = []
        for _ in range(7):
            began = time.perf_counter()
            net.setInput(
                np.zeros((1, 3, -(-args.width * 3 // 4 // SPAN) * SPAN, args.width), np.float32)
            )
            net.forward()
            times.append(time.perf_counter() - began)
        LOG.info(f"    {Path(weights).stat().st_size / 1e6:.2f} MB, {1000 * min(times):.0f} ms")


if __name__ == "__main__":
    main()
