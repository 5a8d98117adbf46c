"""How well a wall is checked, on drawn walls by how hard they are and on rendered ones.

    python tests/bench/wall_checks.py PHOTOS [--walls WALLS] [--cases 60] [--seed 1]

PHOTOS holds bundles' photos with truth beside them (`accuracy.py` says how), WALLS a folder for
each rendered wall. For every difficulty: places in the frame, mistakes that show, those told
rightly, told as another difference, missed; false alarms; places not told; mistakes between cloths
nearer than 3 CIEDE2000, which are counted apart.
"""

from __future__ import annotations

import argparse
import csv
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import cv2
import numpy as np
from wall_patterns import PATTERNS
from wall_scenes import Hung, WallScene, any_hanging, crop_squares, draw_wall, hang

from catalog.colour.ciede2000 import ciede2000
from catalog.count_request import CountRequest, needs_for
from catalog.count_results import Bundle
from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Patch
from catalog.models import MatchRules, SeenPlace
from catalog.pattern.patterns import load_pattern, read_pattern
from catalog.photo import read_photo
from catalog.pipeline import catalogue, count
from catalog.planning import plan
from catalog.system.progress import unreported
from catalog.wall_checking import check_wall
from catalog.wall_checking.contents import look_of
from catalog.wall_checking.planned_wall import PlannedWall, planned_wall
from catalog.wall_checking.wall_cloth import WallCloth, cloths_of

BUNDLES = {
    "pale_wood_gap_6x8",
    "touching_8x8_dark_table_window",
    "rainbow_tonals_10x10",
    "dark_wood_grey_card_5x7",
    "grey_flannel_gap_5x6_tonals",
    "pinked_5x8_tilt_28_grey_card",
    "green_mat_ruler_4x6_prints",
    "black_cloth_7x5_incomplete_row_portrait",
}
"""Of the photos those of 5 in squares that lie whole beside one another."""
MATCHED_SHARE = 0.2
"""Of a side, by which a square found may lie off the truth's."""
EXCEPTED = 3.0
"""CIEDE2000 of the true means below which two cloths needn't be told apart."""
HEAD = """
title = "{name}"
description = "Drawn walls."
[layout]
rows = {rows}
columns = {columns}
finished_block = "{block}"
"""


@dataclass(frozen=True, eq=False)
class Source:
    """A bundle, its cloth as measured, and as it truly is."""

    bundle: Bundle
    cloths: tuple[WallCloth, ...]
    crops: dict[str, tuple[np.ndarray, float]]
    lab: dict[str, np.ndarray]
    fabric: dict[str, str]


def source_of(path: Path) -> Source:
    """Catalogue one bundle photo that has truth beside it."""
    truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    side = float(np.median([square.get("size_in") or 5.0 for square in truth["squares"]]))
    bundle = catalogue([path], side, None, unreported)
    return with_truth(bundle, cloths_of(bundle), read_photo(path), truth)


def with_truth(bundle, cloths, photo, truth) -> Source:
    """Match swatches with the truth's squares by where they lie."""
    cut = crop_squares(photo, truth)
    middles = np.array(list(cut))
    crops, lab, fabric = {}, {}, {}
    for swatch in bundle.swatches:
        far = np.linalg.norm(middles - np.mean(swatch.square.corners, axis=0), axis=1)
        square = truth["squares"][int(far.argmin())]
        if far.min() > MATCHED_SHARE * np.linalg.norm(np.diff(swatch.square.corners[:2], axis=0)):
            continue  # a card that was taken for cloth
        crops[swatch.label] = (cut[tuple(middles[far.argmin()])], square.get("size_in") or 5.0)
        lab[swatch.label] = np.array(square["mean_lab"])
        fabric[swatch.label] = square["fabric_id"]
    known = tuple(swatch for swatch in bundle.swatches if swatch.label in crops)
    kept = tuple(cloth for cloth in cloths if cloth.label in crops)
    return Source(replace(bundle, swatches=known), kept, crops, lab, fabric)


def planned(bundle: Bundle, name: str, share: float = 1.0) -> PlannedWall:
    """Plan a wall of a bundle by one of the patterns, or a part of it."""
    per_block, block, text = PATTERNS[name]
    blocks = max(4, int(len(bundle.swatches) * share) // per_block)
    columns = max(2, round(np.sqrt(blocks)))
    rows = max(2, blocks // columns)
    if name == "on point":
        columns = max(2, int(np.sqrt(blocks / 2)))
        rows = columns + 1
    head = HEAD.format(name=name, rows=rows, columns=columns, block=block)
    pattern = read_pattern(head + text, name)
    side, rules = Fraction(5), MatchRules()
    request = CountRequest(side, rules, needs_for(pattern, rules, side, None), pattern)
    made = plan(count(bundle, name, request.needs, rules, unreported, doubts=False), request)
    return planned_wall(pattern.quilt, made.wall)


@dataclass
class Score:
    """What was told of walls."""

    places: int = 0
    mistakes: int = 0
    right: int = 0
    other: int = 0
    missed: int = 0
    false: int = 0
    untold: int = 0
    excepted: int = 0

    def add(self, more: Score) -> None:
        """Count another's as well."""
        for name, value in vars(more).items():
            setattr(self, name, getattr(self, name) + value)

    def row(self) -> str:
        """Return it as a row of a table."""
        return " | ".join(str(value) for value in vars(self).values())


def judged(scene: WallScene, wall: PlannedWall, told: list[SeenPlace], source: Source):
    """Score one scene; yields the notes of what is wrong after the score."""
    score, notes = Score(), []
    for number, (block, hung, place) in enumerate(zip(wall.blocks, scene.hung, told, strict=True)):
        if not scene.in_frame[number] or not block.patches:
            continue
        truth = _truth(block, hung, source)
        if truth == "excepted":
            score.excepted += 1
            continue
        score.places += 1
        silent = place.state in ("can't tell", "not in the photo")
        note = (block.place, hung, place.state, place.shows, place.turned_deg, round(place.sure, 2))
        if truth == "as planned":
            score.untold += silent
            score.false += not silent and place.state != "as planned"
            if place.state != "as planned":
                notes.append(("untold" if silent else "FALSE", *note))
            continue
        score.mistakes += 1
        if silent or place.state == "as planned":
            score.missed += 1
            notes.append(("missed", *note))
        elif _is_right(block, hung, place, wall, source):
            score.right += 1
        else:
            score.other += 1
            notes.append(("other", *note))
    return score, notes


def _fabrics(look, source: Source):
    return tuple(source.fabric.get(label, label) for label in look)


def _truth(block, hung: Hung, source: Source) -> str:
    if hung.squares is None:
        return "missing"
    want, have = look_of(block, block.squares, 0), look_of(block, hung.squares, hung.turn)
    if _fabrics(want, source) == _fabrics(have, source):
        return "as planned"
    if len(want) != len(have):
        return "differs"
    pairs = [(a, b) for a, b in zip(want, have, strict=True) if a != b]
    if any(a not in source.lab or b not in source.lab for a, b in pairs):
        return "differs"
    far = max(float(ciede2000(source.lab[a], source.lab[b])) for a, b in pairs)
    return "excepted" if far < EXCEPTED else "differs"


def _is_right(block, hung: Hung, place: SeenPlace, wall: PlannedWall, source: Source) -> bool:
    if hung.squares is None:
        return place.state == "missing"
    if hung.kind in ("turned", "sides"):
        return place.state in ("turned", "sides")
    if place.state != "other":
        return False
    have = _fabrics(look_of(block, hung.squares, 0), source)
    if place.shows is None:
        return hung.kind == "foreign"
    shown = next(one for one in wall.blocks if one.place == place.shows)
    return _truth(
        replace(block, squares=shown.squares), hung, source
    ) != "differs" or have == _fabrics(look_of(block, shown.squares, 0), source)


@cache
def _planned(source: Source, name: str, share: float) -> PlannedWall:
    return planned(source.bundle, name, share)


def cases(sources: list[Source], difficulty: str, number: int, seed: int) -> Iterator[tuple]:
    """Draw walls of one difficulty."""
    for case in range(number):
        rng = np.random.default_rng([seed, case, len(difficulty)])
        name = list(PATTERNS)[case % len(PATTERNS)]
        source = sources[(case + 3 * (case // len(PATTERNS))) % len(sources)]
        wall = _planned(source, name, float(rng.choice([0.6, 1.0])))
        used = {label for block in wall.blocks for label in block.squares}
        spare = [label for label in source.crops if label not in used]
        hanging = any_hanging(rng, difficulty)
        hung = hang(rng, wall, spare, hanging.mistakes)
        yield case, name, wall, draw_wall(rng, wall, hung, source.crops, hanging), source


def drawn_table(sources: list[Source], number: int, seed: int) -> None:
    """Print the table of drawn walls."""
    _say("walls", "found", *vars(Score()), "s")
    for difficulty in ("easy", "usual", "hard"):
        total, found, took = Score(), 0, 0.0
        for _, _, wall, scene, source in cases(sources, difficulty, number, seed):
            began = time.process_time()
            told = check_wall([scene.photo], wall, source.cloths)
            took += time.process_time() - began
            total.add(judged(scene, wall, list(told.places), source)[0])
            found += told.wall_found
        _say(f"{number} {difficulty}", found, total.row(), f"{took / number:.2f}")


def rendered_table(walls: Path, photos: Path) -> None:
    """Print the table of rendered walls, against their decoding."""
    _say("wall", "found", *vars(Score()), "s", "decoding, s")
    for folder in sorted(path for path in walls.iterdir() if path.is_dir()):
        truth = json.loads((folder / f"{folder.name}.json").read_text(encoding="utf-8"))
        source = source_of(photos / f"{truth['bundle_photos'][0]}.jpg")
        wall = _as_written(folder / "wall.csv", truth["pattern"])
        began = time.process_time()
        photo = read_photo(folder / truth["file"])
        read = time.process_time()
        told = check_wall([photo], wall, source.cloths)
        took = time.process_time() - read
        scene = _as_rendered(photo, truth, wall)
        score = judged(scene, wall, list(told.places), source)[0]
        _say(folder.name, told.wall_found, score.row(), f"{took:.2f}", f"{read - began:.2f}")


def _as_written(path: Path, pattern: str) -> PlannedWall:
    """Read the plan that a rendered wall was hung by; sets of two squares."""
    quilt = load_pattern(pattern).quilt
    name = next(kind.name for kind in quilt.kinds if kind.source == "bundle")
    size = float(quilt.finished_block)
    blocks = []
    with path.open(encoding="utf-8", newline="") as lines:
        for number, row in enumerate(csv.DictReader(lines), 1):
            down, across = int(row["row"]), int(row["column"])
            labels = [row["darker"], row["lighter"]] if row["set"] else []
            blocks.append(
                WallBlock(
                    number,
                    row["place"],
                    down,
                    across,
                    (across - 0.5) * size,
                    (down - 0.5) * size,
                    int(row["turned"] or 0),
                    (int(row["set"]),) if row["set"] else (),
                    tuple((Patch(name, k), label) for k, label in enumerate(labels, 1)),
                )
            )
    return planned_wall(quilt, WallPlan("scattered", tuple(blocks), 0.0, None))


def _as_rendered(photo, truth: dict, wall: PlannedWall) -> WallScene:
    """Return what a rendered wall's truth says as a drawn one's would."""
    at = {block.place: number for number, block in enumerate(wall.blocks)}
    by_place = {place["place"]: place for place in truth["places"]}
    hung, outlines, inside = [], [], []
    for block in wall.blocks:
        place = by_place[block.place]
        hangs, kinds = place["hangs"], place["errors"]
        kind = "other" if {"swap_places", "other_set"} & set(kinds) else "turned" if kinds else ""
        if hangs is None:
            hung.append(Hung("missing" if kinds else "", None))
        else:
            source = at.get(hangs.get("planned_at"))
            kind = "foreign" if kind == "other" and source is None else kind
            turn = hangs["turned_from_plan_deg"] % 360
            hung.append(Hung(kind, tuple(hangs["labels"]), turn, source))
        outlines.append(place["polygon"])
        inside.append(place["in_frame"])
    return WallScene(photo, tuple(hung), np.array(outlines), np.array(inside), None)


def _say(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")
    sys.stdout.flush()


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photos", type=Path)
    parser.add_argument("--walls", type=Path)
    parser.add_argument("--cases", type=int, default=30)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    cv2.setNumThreads(1)
    if given.walls:
        rendered_table(given.walls, given.photos)
    paths = [
        path for path in sorted(given.photos.glob("*.jpg")) if path.with_suffix(".json").exists()
    ]
    paths = [path for path in paths if path.stem in BUNDLES] or paths
    drawn_table([source_of(path) for path in paths], given.cases, given.seed)


if __name__ == "__main__":
    main()
