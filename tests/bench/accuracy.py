"""How near the tool comes to the truth on photos whose contents are known.

    python tests/bench/accuracy.py sample_photos

The folder holds ``NAME.jpg`` with its truth ``NAME.json`` beside it: ``squares``, each with
``polygon`` (four corners in px, clockwise) and, where known, ``size_in``, ``row``, ``col``,
``fabric_id``, ``mean_lab`` and ``visible_fraction``. Squares less than half visible are not owed.
Prints a Markdown table and exits with 1 where a square is missed or seen that isn't there.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import dataclass, fields
from pathlib import Path

import cv2
import numpy as np
import rustworkx as rx
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog import pipeline
from catalog.bundle.eligibility import sets_need
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.colour.palette_difference import palette_difference_matrix
from catalog.models import MatchRules, Palette, PaletteColour, Square, SquareSet, Swatch

Array = NDArray[np.float64]
MET = 0.80
"""Intersection over union at which a square counts as found."""
TOUCHED = 0.50
"""Below this a found square meets no true one."""


@dataclass(frozen=True)
class Score:
    """One photo's figures; None where the truth doesn't tell."""

    photo: str
    squares: int
    found: int
    false: int
    corner_in: float | None
    """Median over the squares of the median corner's error, inches on the cloth."""
    places: int
    """Squares told in another row or column than the true one."""
    colour: float | None
    """Median CIEDE2000 to the true colour."""
    differences: float | None
    """Median error of the differences between any two squares, CIEDE2000."""
    fabrics: float | None
    """F1 of "cut from one fabric" over all pairs of squares."""
    regret: float | None
    """What the pairs made are worse than the best pairs, CIEDE2000 a pair, by the true mean
    colours, which the tool paired by before it knew palettes."""
    regret_palettes: float | None
    """The same by the true palettes, by which it pairs now."""
    seconds: float


def overlap(one: Array, two: Array) -> float:
    """Intersection over union of two convex quadrilaterals (4, 2)."""
    a, b = one.astype(np.float32), two.astype(np.float32)
    shared = cv2.intersectConvexConvex(a, b)[0]
    return float(shared / max(cv2.contourArea(a) + cv2.contourArea(b) - shared, 1e-9))


def assign(told: Array, true: Array) -> list[tuple[int, int, float]]:
    """Pairs of told and true squares with their overlap, the largest first, each once."""
    overlaps = np.array([[overlap(a, b) for b in true] for a in told]).reshape(len(told), len(true))
    pairs = []
    while overlaps.size and overlaps.max() > 0:
        i, j = np.unravel_index(overlaps.argmax(), overlaps.shape)
        pairs.append((int(i), int(j), float(overlaps[i, j])))
        overlaps[i, :], overlaps[:, j] = 0, 0
    return pairs


def corner_error(told: Array, true: Array) -> float:
    """Median distance of the corners, in sides of the true square."""
    side = np.linalg.norm(np.roll(true, -1, axis=0) - true, axis=1).mean()
    turns = [np.linalg.norm(np.roll(told, k, axis=0) - true, axis=1) for k in range(4)]
    return float(np.median(min(turns, key=np.sum)) / side)


def best_mean(cost: Array) -> float:
    """Mean difference inside the best pairs of all squares (one left over where they are odd)."""
    n = len(cost)
    graph = rx.PyGraph()
    graph.add_nodes_from(range(n))
    graph.add_edges_from([(i, j, int(1e8 - 1000 * cost[i, j])) for i in range(n) for j in range(i)])
    pairs = rx.max_weight_matching(graph, max_cardinality=True, weight_fn=int)
    return sum(float(cost[i, j]) for i, j in pairs) / max(len(pairs), 1)


def corners_of(square: Square) -> Array:
    """Corners (4, 2)."""
    return np.array(square.corners)


def truth_of(photo: Path) -> tuple[Array, set[int]]:
    """True corners (n, 4, 2) and which squares are at least half visible."""
    squares = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))["squares"]
    corners = np.array([s["polygon"] for s in squares], dtype=float).reshape(-1, 4, 2)
    return corners, {j for j, s in enumerate(squares) if s.get("visible_fraction", 1) >= 0.5}


def side_of(photo: Path) -> float:
    """What the photo's squares measure, inches."""
    truth = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
    sizes = [square.get("size_in", 5) for square in truth["squares"]]
    return float(truth.get("nominal_size_in") or np.median(sizes))


def bundle_of(photo: Path) -> tuple[pipeline.Bundle, list[dict]]:
    """Run the tool on one photo; its bundle, and the squares of its truth."""
    truth = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
    return pipeline.catalogue([photo], side_of(photo), None, lambda _: None), truth["squares"]


def pairs_of(bundle: pipeline.Bundle, *, doubts: bool = True) -> tuple[SquareSet, ...]:
    """Pair all squares of a bundle."""
    needs = (sets_need(2, None),)
    return pipeline.count(bundle, "", needs, MatchRules(), lambda _: None, doubts=doubts).sets


def score(photo: Path) -> Score:
    """Run the tool on one photo and compare."""
    began = time.perf_counter()
    bundle, squares = bundle_of(photo)
    seconds = time.perf_counter() - began
    side = side_of(photo)
    true, owed = truth_of(photo)
    told = np.array([corners_of(s.square) for s in bundle.swatches])
    pairs = assign(told, true)
    met = [(i, j) for i, j, share in pairs if share >= MET and j in owed]
    corner = [corner_error(told[i], true[j]) * squares[j].get("size_in", side) for i, j in met]
    mine = [bundle.swatches[i] for i, _ in met]
    theirs = [squares[j] for _, j in met]
    return Score(
        photo.stem,
        len(owed),
        len(met),
        len(told) - sum(share >= TOUCHED for *_, share in pairs),
        float(np.median(corner)) if corner else None,
        _misplaced(mine, theirs),
        *_colours(mine, theirs),
        _fabric_f1(mine, theirs),
        *_regrets(bundle, met, squares),
        seconds,
    )


def _misplaced(mine: list[Swatch], theirs: list[dict]) -> int:
    """Squares in the wrong row or column, counted from the first of each."""
    known = [(m, t) for m, t in zip(mine, theirs, strict=True) if t.get("row") is not None]
    if not known:
        return 0
    first_row, first_col = (min(t[name] for _, t in known) for name in ("row", "col"))
    return sum(
        (m.square.row, m.square.col) != (t["row"] - first_row + 1, t["col"] - first_col + 1)
        for m, t in known
    )


def _colours(mine: list[Swatch], theirs: list[dict]) -> tuple[float | None, float | None]:
    if len(mine) < 2 or not all(t.get("mean_lab") for t in theirs):
        return None, None
    told, true = np.array([m.lab for m in mine]), np.array([t["mean_lab"] for t in theirs])
    upper = np.triu_indices(len(told), 1)
    off = np.abs(ciede2000_matrix(told) - ciede2000_matrix(true))[upper]
    return float(np.median(ciede2000(told, true))), float(np.median(off))


def _fabric_f1(mine: list[Swatch], theirs: list[dict]) -> float | None:
    if len(mine) < 2 or any(t.get("fabric_id") is None for t in theirs):
        return None
    upper = np.triu_indices(len(mine), 1)
    told = np.array([m.fabric for m in mine])
    true = np.array([str(t["fabric_id"]) for t in theirs])
    one, two = ((x[:, None] == x)[upper] for x in (told, true))
    if not one.any() and not two.any():
        return 1.0
    return float(2 * (one & two).sum() / (one.sum() + two.sum()))


def _regrets(
    bundle: pipeline.Bundle, met: list[tuple[int, int]], squares: list[dict]
) -> tuple[float | None, float | None]:
    """What the pairs made are worse than the best, by true means and by true palettes."""
    if not all(s.get("mean_lab") for s in squares):
        return None, None
    true_of = {bundle.swatches[i].label: j for i, j in met}
    pairs = [
        (true_of[a], true_of[b])
        for a, b in (one.swatches for one in pairs_of(bundle, doubts=False))
        if a in true_of and b in true_of
    ]
    if not pairs:
        return None, None
    one, two = np.array(pairs).T

    def worse(cost: Array) -> float:
        return float(np.mean(cost[one, two]) - best_mean(cost))

    means = worse(ciede2000_matrix(np.array([s["mean_lab"] for s in squares])))
    if not all(s.get("palette") for s in squares):
        return means, None
    return means, worse(palette_difference_matrix([true_palette(s) for s in squares]))


def true_palette(square: dict) -> Palette:
    """The palette of a square as its truth tells it."""
    told = [PaletteColour(tuple(one["lab"]), one["weight"]) for one in square["palette"]]
    return tuple(told) if len(told) > 1 else (PaletteColour(tuple(square["mean_lab"]), 1.0),)


def table(scores: list[Score]) -> str:
    """The figures as Markdown, the mean of each column last."""
    names = [f.name for f in fields(Score)]
    lines = ["| " + " | ".join(names) + " |", "|---" * len(names) + "|"]
    lines += [
        "| " + " | ".join(_cell(getattr(one, name)) for name in names) + " |" for one in scores
    ]
    means = [
        np.mean([getattr(s, n) for s in scores if getattr(s, n) is not None] or [np.nan])
        for n in names[4:]
    ]
    found, owed = sum(s.found for s in scores), sum(s.squares for s in scores)
    cells = ["all", str(owed), str(found), str(sum(s.false for s in scores))]
    lines.append("| " + " | ".join([*cells, *(_cell(float(m)) for m in means)]) + " |")
    return "\n".join(lines)


def _cell(value: str | float | None) -> str:
    if value is None or (isinstance(value, float) and np.isnan(value)):
        return ""
    return f"{value:.2f}" if isinstance(value, float) else str(value)


def main() -> int:
    """Score the folder named on the command line."""
    folder = Path(sys.argv[1])
    photos = [p for p in sorted(folder.glob("*.jpg")) if p.with_suffix(".json").exists()]
    scores = [score(photo) for photo in photos]
    sys.stdout.write(table(scores) + "\n")
    return int(any(s.found < s.squares or s.false for s in scores))


if __name__ == "__main__":
    sys.exit(main())
