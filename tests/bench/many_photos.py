"""How much quicker 200 photos are looked at by two processes on two cores than by one on one.

    python tests/bench/many_photos.py [--photos 200] [--every 4] [--folder FOLDER]

Makes the photos of the sample ones, mirrored, their colours dealt anew, at 3 megapixels, every
tenth at 12. One process on one core looks at the first fourth, two on two cores at all; both then
bring the lights together and measure those photos again whose light that changes. All begins with
the start of Python. Prints a Markdown table, seconds a photo; by the clock they hold on a machine
with nothing else to do (5 minutes), of processor on any: "idle" is what two cores had over.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from itertools import permutations, product
from pathlib import Path
from typing import Final

import cv2
from process_costs import ROOT

SIDE: Final = 2000
"""Pixels of a photo's longer side: 3 megapixels."""
LARGE_SIDE: Final = 4000
"""12 megapixels, of every tenth."""
RUN: Final = """
import os, sys, time
jobs = int(sys.argv[1])
os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:jobs])
import json
from pathlib import Path
import psutil
from catalog.analysis import analyse_photos, with_joined_lights

def spent():
    own = psutil.Process()
    workers = sum(sum(one.cpu_times()[:2]) for one in own.children(recursive=True))
    return time.time() - own.create_time(), sum(own.cpu_times()[:2]), workers

def main():
    if jobs == 1:
        import cv2
        cv2.setNumThreads(1)
    files = [Path(name) for name in sys.argv[2:]]
    looked = list(analyse_photos([(file.name, file) for file in files], 5.0, jobs=jobs))
    assert not any(one.problem for one in looked)
    first = spent()
    joined = with_joined_lights(looked, lambda place: files[place].read_bytes(), jobs=jobs)
    again = sum(one is not other for one, other in zip(looked, joined))
    print(json.dumps([first, [b - a for a, b in zip(first, spent())], again]))

main()
"""


def make_photos(folder: Path, photos: int) -> list[Path]:
    """Write so many photos that all show other squares; those that are there are left."""
    samples = sorted((ROOT / "sample_photos").glob("*.jpg"))
    ways = list(product((1.0, 0.9, 0.8), (False, True), permutations(range(3)), samples))
    random.Random(1).shuffle(ways)
    places = [folder / f"photo_{number:03d}.jpg" for number in range(photos)]
    for number, place in enumerate(places):
        bright, mirrored, channels, sample = ways[number % len(ways)]
        if not place.exists():
            pixels = cv2.imread(str(sample))[..., channels]
            scale = (LARGE_SIDE if number % 10 == 9 else SIDE) / max(pixels.shape)
            pixels = cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
            pixels = cv2.convertScaleAbs(pixels, alpha=bright)
            cv2.imwrite(str(place), pixels[:, ::-1] if mirrored else pixels)
    return places


def rows(photos: Sequence[Path], jobs: int) -> tuple[list[str], list[float]]:
    """Look at the photos; return lines of the table, and seconds a photo by the clock."""
    words = [sys.executable, "-c", RUN, str(jobs), *map(str, photos)]
    told = subprocess.run(words, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True).stdout
    *stages, again = json.loads(told)
    lines, took = [], []
    parts = (("looked at, with the start", len(photos)), ("measured again", again))
    for (name, number), (wall, own, workers) in zip(parts, stages, strict=True):
        each = [seconds / max(number, 1) for seconds in (wall, own, workers)]
        idle = 1 - (own + workers) / (wall * jobs)
        cells = " | ".join(f"{one:.3f}" for one in each)
        lines.append(f"| {name} | {number} | {jobs} | {cells} | {100 * idle:.0f} % |")
        took.append(each[0])
    return lines, took


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--photos", type=int, default=200)
    asked.add_argument("--every", type=int, default=4)
    asked.add_argument("--folder", type=Path)
    said = asked.parse_args()
    if len(os.sched_getaffinity(0)) < 2:
        sys.exit("needs two cores")
    with tempfile.TemporaryDirectory() as folder:
        photos = make_photos(said.folder or Path(folder), said.photos)
        one, alone = rows(photos[: said.photos // said.every], 1)
        two, shared = rows(photos, 2)
    heads = ("what", "photos", "processes", "by the clock", "first process", "workers", "idle")
    lines = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|", *one, *two]
    ratios = [before / after if after else 0.0 for before, after in zip(alone, shared, strict=True)]
    lines.append(
        f"\nTwo cores: {ratios[0]:.2f} times one looking, {ratios[1]:.2f} measuring again."
    )
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
