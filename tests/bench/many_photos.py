"""How much quicker 200 photos are added on two cores than on one.

    python tests/bench/many_photos.py [--photos 200] [--large 5] [--folder FOLDER]

Makes the photos of the sample ones, mirrored, their colours dealt anew, at 3 MP (every so many at
12), so that no two show the same squares, and has `calicount add` look at all of them with one
process held to one core, then with two on two. Seconds by the clock hold on a machine with nothing
else to do; those of processor hold on any: what the second way takes more is what sharing costs,
and what the first process takes of its own is what no second core can help with. Prints a table.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations, product
from pathlib import Path
from typing import Final

import cv2
import psutil
from process_costs import ROOT, command

SIDE: Final = 2000
"""Pixels of a photo's longer side: 3 megapixels."""
LARGE_SIDE: Final = 4000
"""12 megapixels."""
ONE_CORE: Final = {"OMP_NUM_THREADS": "1", "OPENCV_FOR_THREADS_NUM": "1"}


@dataclass(frozen=True)
class Added:
    """What adding all photos took."""

    wall_s: float
    parent_s: float
    """Processor seconds of the process that was started."""
    workers_s: float
    """Those of the processes that it started."""


def make_photos(folder: Path, photos: int, large: int) -> list[Path]:
    """Write so many photos, every so manieth of them at 12 megapixels."""
    samples = sorted((ROOT / "sample_photos").glob("*.jpg"))
    ways = list(product(permutations(range(3)), (False, True), (1.0, 0.9, 0.8), samples))
    places = []
    for number in range(photos):
        channels, mirrored, bright, sample = ways[number % len(ways)]
        place = folder / f"photo_{number:03d}.jpg"
        places.append(place)
        if place.exists():
            continue
        pixels = cv2.imread(str(sample))
        longer = LARGE_SIDE if large and number % large == large - 1 else SIDE
        scale = longer / max(pixels.shape)
        pixels = cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        pixels = cv2.convertScaleAbs(pixels[..., channels], alpha=bright)
        cv2.imwrite(str(place), pixels[:, ::-1] if mirrored else pixels)
    return places


def add(photos: Sequence[Path], jobs: int) -> Added:
    """Add the photos to a new bundle, with so many processes on as many cores."""
    cores = psutil.Process().cpu_affinity()[:jobs]
    with tempfile.TemporaryDirectory() as folder:
        kept = ("--catalogue", Path(folder) / "many.catalogue", "--jobs", jobs, "--quiet")
        began = time.perf_counter()
        process = psutil.Popen(
            command("add", "many", *photos, *kept),
            cwd=ROOT,
            env={**os.environ, **(ONE_CORE if jobs == 1 else {})},
            preexec_fn=lambda: os.sched_setaffinity(0, cores),
        )
        _, status, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - began
    if status:
        sys.exit(f"add ended with {os.waitstatus_to_exitcode(status)}")
    own = used.ru_utime + used.ru_stime
    return Added(wall, own, 0.0)
