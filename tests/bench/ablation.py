"""What each part of finding and measuring is worth, left out by itself.

    python tests/bench/ablation.py PHOTOS --rows ROWS.jsonl [--parts REGEX] [--layouts 1000]
    python tests/bench/ablation.py --table ROWS.jsonl

PHOTOS holds ``dev``, ``harder``, ``real/cloth``, ``real/cubes`` and ``real/none`` (see
`accuracy.py` for what lies in them). To these come drawn layouts (`scenes.py`): of the first
``--layouts`` all in which rows overlap, and one in 25 of the others. ``--share 3`` takes
every third of these. What comes of each picture and part is a line of ROWS; a run that was broken
off goes on where it stopped. The parts are those of `ablation_parts.py`.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ablation_parts import NOTHING, PARTS, Part, Stage
from accuracy import assign, truth_of
from scenes import draw, kind_of

from catalog import finding
from catalog.bundle.fabrics import tell_fabrics
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.finding import find_squares
from catalog.light import estimate_light, without_chart
from catalog.measuring import measure
from catalog.models import Found, Light, Photo, Swatch
from catalog.photo import read_photo

Array = np.ndarray
STICKERS = "real/cubes"
FOLDERS = ("dev", "harder", "real/cloth", STICKERS, "real/none")
MET, MET_STICKER, TOUCHED = 0.8, 0.6, 0.5
"""Intersection over union at which a square counts as found, at which a sticker with round corners
does, and below which what is told meets no true square."""
SURE = 0.9
"""Squares told with so much confidence should be found."""
ONE_IN = 25
"""Of the drawn layouts without overlapping rows one in so many is looked at."""


@dataclass(frozen=True, eq=False)
class Picture:
    """A photo with what is in it."""

    group: str
    photo: Photo
    side_in: float
    true: Array
    """(n, 4, 2) px."""
    owed: frozenset[int]
    """Which of them are at least half visible."""
    squares: Sequence[dict]
    """What else the truth says of each; empty for drawn ones."""


@dataclass(frozen=True)
class Row:
    """What came of one picture with one part left out."""

    part: str
    group: str
    picture: str
    owed: int
    met: int
    false: int
    sure: int
    wrong: int
    """Told with confidence `SURE` and not met."""
    corners: list[float]
    """Errors of the corners of squares met, inches."""
    sizes: list[float]
    """Errors of their width or height, the larger, inches."""
    colour: float | None = None
    """Median CIEDE2000 to the true colours."""
    differences: float | None = None
    """Median error of the differences between any two squares, CIEDE2000."""
    fabrics: float | None = None
    """F1 of "cut from one fabric" over all pairs."""


def photographs(folder: Path) -> Iterator[Callable[[], Picture]]:
    """The photos of all folders, each read when it is asked for."""
    paths = [
        (group, path)
        for group in FOLDERS
        for path in sorted((folder / group).glob("*.jpg"))
        if path.with_suffix(".json").exists()
    ]
    yield from (partial(_photograph, *one) for one in paths)


def _photograph(group: str, path: Path) -> Picture:
    truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    squares = truth["squares"]
    sizes = [s.get("size_in") or 5 for s in squares] or [5]
    side = float(truth.get("nominal_size_in") or np.median(sizes))
    true, owed = truth_of(path)
    return Picture(group, read_photo(path), side, true, frozenset(owed), squares)


def layouts(count: int, share: int) -> Iterator[Callable[[], Picture]]:
    """Drawn layouts: all in which rows overlap, and some of the others."""
    kinds = [kind_of(seed) for seed in range(count)]
    over = [seed for seed, kind in enumerate(kinds) if kind == "overlapping"]
    others = [seed for seed, kind in enumerate(kinds) if kind != "overlapping"][::ONE_IN]
    yield from (partial(_drawn, "overlapping", seed) for seed in over[::share])
    yield from (partial(_drawn, "drawn", seed) for seed in others[::share])


def _drawn(group: str, seed: int) -> Picture:
    scene = draw(seed)
    photo = Photo(str(seed), scene.picture)
    return Picture(group, photo, 5.0, scene.corners, frozenset(range(len(scene.corners))), ())


class Remembered:
    """A function that answers as it did when nothing was left out."""

    def __init__(self, usual: Callable[..., Any]) -> None:
        self.usual, self.answers, self.at = usual, [], 0

    def learn(self, *given: Any) -> Any:
        """Work it out, and remember."""
        self.answers.append(self.usual(*given))
        return self.answers[-1]

    def recall(self, *_: Any) -> Any:
        """The next answer, whatever is asked."""
        self.at += 1
        return self.answers[self.at - 1]


class Seen:
    """What the eye sees in one picture, each way that it is turned."""

    def __init__(self) -> None:
        self.usual, self.known = finding.detect, {}

    def __call__(self, pixels: Array, quarters: int | None = None) -> Any:
        """Look, or remember."""
        if quarters not in self.known:
            self.known[quarters] = self.usual(pixels, quarters)
        return self.known[quarters]


class Bench:
    """One picture, looked at with one part after the other left out."""

    def __init__(self, picture: Picture) -> None:
        self.picture, self.see = picture, Seen()
        self.settled = Remembered(finding._verify_best_hypothesis)
        self.completed = Remembered(finding._with_predicted)
        with (
            patch("catalog.finding.detect", self.see),
            patch("catalog.finding._verify_best_hypothesis", self.settled.learn),
            patch("catalog.finding._with_predicted", self.completed.learn),
        ):
            self.found = find_squares(picture.photo, picture.side_in)
        self.light: Light | None = None
        self.whole: tuple[Swatch, ...] = ()
        if self.measured:
            self.found, self.light, self.whole = self._swatches(self.found)

    @property
    def measured(self) -> bool:
        """Whether fabrics, and perhaps colours, are known."""
        known = any(s.get("fabric_id") for s in self.picture.squares)
        return known and self.picture.group != STICKERS

    def row(self, part: Part) -> Row:
        """What comes of it without a part."""
        with ExitStack() as stack:
            for name, instead in part.instead.items():
                stack.enter_context(patch(f"catalog.{name}", instead))
            if part.stage == Stage.MEASURING:
                found, swatches = self.found, self.whole
                if self.light is not None and part is not NOTHING:
                    swatches = tell_fabrics(measure(self.picture.photo, found, self.light))
            else:
                found, swatches = self._found(part.stage, stack)
        return self._scored(part.name, found, swatches)

    def _found(self, stage: Stage, stack: ExitStack) -> tuple[Found, Sequence[Swatch]]:
        self.settled.at = self.completed.at = 0
        if stage >= Stage.SETTLING:
            stack.enter_context(patch("catalog.finding.detect", self.see))
        if stage >= Stage.COMPLETING and self.settled.answers:
            stack.enter_context(
                patch("catalog.finding._verify_best_hypothesis", self.settled.recall)
            )
        if stage >= Stage.BOUNDARY and self.completed.answers:
            stack.enter_context(patch("catalog.finding._with_predicted", self.completed.recall))
        found = find_squares(self.picture.photo, self.picture.side_in)
        if not self.measured or not found.squares:
            return found, ()
        if found.squares == self.found.squares:
            return found, self.whole
        found, _, swatches = self._swatches(found)
        return found, swatches

    def _swatches(self, found: Found) -> tuple[Found, Light | None, tuple[Swatch, ...]]:
        found = without_chart(self.picture.photo, found)
        if not found.squares:
            return found, None, ()
        light = estimate_light(self.picture.photo, found)
        return found, light, tell_fabrics(measure(self.picture.photo, found, light))

    def _scored(self, part: str, found: Found, swatches: Sequence[Swatch]) -> Row:
        true, owed, squares = self.picture.true, self.picture.owed, self.picture.squares
        told = np.array([s.corners for s in found.squares]).reshape(-1, 4, 2)
        pairs = assign(told, true)
        enough = MET_STICKER if self.picture.group == STICKERS else MET
        met = [(i, j) for i, j, share in pairs if share >= enough and j in owed]
        certain = {i for i, square in enumerate(found.squares) if square.confidence >= SURE}
        size = {
            j: squares[j].get("size_in") or self.picture.side_in if squares else 5.0 for _, j in met
        }
        off = [corner_errors(told[i], true[j]) * size[j] for i, j in met]
        return Row(
            part,
            self.picture.group,
            self.picture.photo.name,
            owed=len(owed),
            met=len(met),
            false=len(told) - sum(share >= min(TOUCHED, enough) for *_, share in pairs),
            sure=len(certain),
            wrong=len(certain - {i for i, _, share in pairs if share >= enough}),
            corners=np.round(np.ravel(off), 5).tolist(),
            sizes=[_size_off(found.squares[i], size[j]) for i, j in met if squares],
            **_colours([swatches[i] for i, _ in met], [squares[j] for _, j in met])
            if swatches
            else {},
        )


def corner_errors(told: Array, true: Array) -> Array:
    """Distances of the corners (4,), in sides of the true square."""
    side = np.linalg.norm(np.roll(true, -1, axis=0) - true, axis=1).mean()
    turns = [np.linalg.norm(np.roll(told, k, axis=0) - true, axis=1) for k in range(4)]
    return min(turns, key=np.sum) / side


def _size_off(square: Any, size: float) -> float:
    return round(max(abs(square.width_in - size), abs(square.height_in - size)), 5)


def _colours(mine: Sequence[Swatch], theirs: Sequence[dict]) -> dict[str, float | None]:
    if len(mine) < 2:
        return {}
    told, fabric = np.array([m.lab for m in mine]), np.array([m.fabric for m in mine])
    upper = np.triu_indices(len(mine), 1)
    names = (fabric, np.array([str(t.get("fabric_id")) for t in theirs]))
    one, two = ((x[:, None] == x)[upper] for x in names)
    both = one.sum() + two.sum()
    figures: dict[str, float | None] = {"fabrics": 2.0 * (one & two).sum() / both if both else 1.0}
    if all(t.get("mean_lab") for t in theirs):
        true = np.array([t["mean_lab"] for t in theirs])
        off = np.abs(ciede2000_matrix(told) - ciede2000_matrix(true))[upper]
        figures["colour"] = float(np.median(ciede2000(told, true)))
        figures["differences"] = float(np.median(off))
    return figures


COLUMNS = (
    "left out", "photos missed", "false", "corners", "sizes", "dE50", "of pairs", "F1",
    "stickers missed", "false",
    "overlapping missed", "false", "corners", "sure, wrong", "drawn missed", "false", "corners",
)  # fmt: skip


def table(rows: Sequence[Row]) -> str:
    """The figures as Markdown; only pictures that every part was tried on."""
    parts = list(dict.fromkeys(row.part for row in rows))
    tried = {part: {(r.group, r.picture) for r in rows if r.part == part} for part in parts}
    common = set.intersection(*tried.values())
    lines = ["| " + " | ".join(COLUMNS) + " |", "|---" * len(COLUMNS) + "|"]
    for part in parts:
        some = [r for r in rows if r.part == part and (r.group, r.picture) in common]
        lines.append("| " + " | ".join([part, *_cells(some)]) + " |")
    counts = {group: sum(g == group for g, _ in common) for group in sorted({g for g, _ in common})}
    owed = sum(r.owed for r in rows if r.part == parts[0] and (r.group, r.picture) in common)
    return "\n".join([*lines, "", f"{counts}, {owed} squares"])


def _cells(rows: Sequence[Row]) -> Iterator[str]:
    groups = {"photos": [], STICKERS: [], "overlapping": [], "drawn": []}
    for row in rows:
        groups[row.group if row.group in groups else "photos"].append(row)
    for group, some in groups.items():
        yield str(sum(r.owed - r.met for r in some))
        yield str(sum(r.false for r in some))
        if group != STICKERS:
            yield _spread([x for r in some for x in r.corners])
        if group == "photos":
            yield _spread([x for r in some for x in r.sizes])
            yield _mean([r.colour for r in some])
            yield _mean([r.differences for r in some])
            yield _mean([r.fabrics for r in some])
        if group == "overlapping":
            yield f"{sum(r.sure for r in some)}, {sum(r.wrong for r in some)}"


def _spread(values: Sequence[float]) -> str:
    return "{:.4f}, {:.3f}".format(*np.percentile(values, (50, 95))) if values else ""


def _mean(values: Sequence[float | None]) -> str:
    known = [v for v in values if v is not None]
    return f"{np.mean(known):.3f}" if known else ""


def read_rows(path: Path) -> list[Row]:
    """The lines of an earlier run."""
    if not path.exists():
        return []
    return [Row(**json.loads(line)) for line in path.read_text(encoding="utf-8").splitlines()]


def run(pictures: Sequence[Callable[[], Picture]], parts: Sequence[Part], path: Path) -> None:
    """Look at every picture without each part; a line each."""
    done = {(r.part, r.group, r.picture) for r in read_rows(path)}
    with path.open("a", encoding="utf-8") as out:
        for number, read in enumerate(pictures, 1):
            picture = read()
            left = [p for p in parts if (p.name, picture.group, picture.photo.name) not in done]
            bench = Bench(picture) if left else None
            for part in left:
                out.write(json.dumps(asdict(bench.row(part))) + "\n")
            out.flush()
            sys.stderr.write(f"\r{number} of {len(pictures)}")


def main() -> None:
    """See the top of this file."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("photos", type=Path, nargs="?")
    parser.add_argument("--rows", type=Path, default=Path("ablation.jsonl"))
    parser.add_argument("--parts", default="")
    parser.add_argument("--layouts", type=int, default=1000)
    parser.add_argument("--share", type=int, default=1)
    parser.add_argument("--table", type=Path)
    given = parser.parse_args()
    if given.photos:
        parts = [p for p in PARTS if p is NOTHING or re.search(given.parts, p.name)]
        pictures = [*photographs(given.photos), *layouts(given.layouts, given.share)]
        run(pictures, parts, given.rows)
    sys.stdout.write(table(read_rows(given.table or given.rows)) + "\n")


if __name__ == "__main__":
    main()
