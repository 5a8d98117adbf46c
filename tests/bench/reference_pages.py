"""What a reference page beside the squares brings, on photos whose contents are known.

    python tests/bench/reference_pages.py FOLDER...

A folder holds photos with their truth as for `accuracy.py`. Prints two Markdown tables. The first
has a row for each photo that shows a page, beside the same scene without it
(``NAME_without.jpg``): what the squares measure (median), by how much their sizes are off (median
and 95th percentile, inches), with the page and without it where they are said to measure 5 in; the
median CIEDE2000 to the true colours with the page, with the page there but not known as one, and
without it. The second tells of all photos without a page how many pages were seen in them, and what
looking for one costs.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, assign, corners_of

from catalog.colour.ciede2000 import ciede2000
from catalog.finding import find_squares
from catalog.image_pyramid import image_pyramid
from catalog.light import estimate_light
from catalog.measuring import measure
from catalog.models import Found, Photo
from catalog.photo import read_photo
from catalog.reference_page.mark_detection import find_page

SAID_IN = 5.0
WITHOUT = "_without"


def table_of_scenes(photos: list[Path]) -> list[str]:
    """Lines of the table of photos with a page."""
    head = "| photo | marks | measure | off | off without | dE50 | not known | without |"
    lines = [head, "|---" * 8 + "|"]
    for path in photos:
        other = path.with_stem(path.stem + WITHOUT)
        photo, truth = read_photo(path), truth_of(path)
        found = find_squares(photo, SAID_IN)
        marks = len(found.page.marks) if found.page else 0
        middle = np.median([(one.width_in, one.height_in) for one in found.squares])
        colours = [colour_off(photo, one, truth) for one in (found, replace(found, page=None))]
        offs = [sizes_off(found, truth)]
        if other.exists():
            photo, truth = read_photo(other), truth_of(other)
            found = find_squares(photo, SAID_IN)
            offs.append(sizes_off(found, truth))
            colours.append(colour_off(photo, found, truth))
        offs, shown = offs + [""] * (2 - len(offs)), [f"{one:.2f}" for one in colours]
        told = [*offs, *shown, *[""] * (3 - len(shown))]
        lines.append(" | ".join([f"| {path.stem}", str(marks), f"{middle:.3f}", *told]) + " |")
    return lines


def truth_of(path: Path) -> dict:
    """The truth beside a photo."""
    return json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))


def pairs(found: Found, truth: dict) -> list[tuple[int, int]]:
    """Numbers of squares found and of the true ones that they are."""
    told = np.array([corners_of(one) for one in found.squares])
    met = assign(told, np.array([one["polygon"] for one in truth["squares"]]))
    return [(i, j) for i, j, overlap in met if overlap >= MET]


def sizes_off(found: Found, truth: dict) -> str:
    """Median and 95th percentile of what sizes are off, inches."""
    off = np.array([
        (found.squares[i].width_in - truth["squares"][j]["size_in"],
         found.squares[i].height_in - truth["squares"][j]["size_in"])
        for i, j in pairs(found, truth)
    ])  # fmt: skip
    return f"{np.median(off):+.3f}, {np.quantile(np.abs(off), 0.95):.3f}"


def colour_off(photo: Photo, found: Found, truth: dict) -> float:
    """Median CIEDE2000 to the true colours."""
    told = measure(photo, found, estimate_light(photo, found))
    seen, true = zip(
        *((told[i].lab, truth["squares"][j]["mean_lab"]) for i, j in pairs(found, truth)),
        strict=True,
    )
    return float(np.median(ciede2000(np.array(seen), np.array(true))))


def table_of_others(photos: list[Path]) -> list[str]:
    """Lines of the table of photos without a page."""
    seen, took = 0, []
    for path in photos:
        pixels = read_photo(path).pixels
        begun = time.process_time()
        seen += find_page(image_pyramid(pixels)) is not None
        took.append(time.process_time() - begun)
    milliseconds = f"{1000 * np.mean(took):.0f}, {1000 * np.max(took):.0f}" if took else ""
    return [
        "| photos without a page | seen in them | ms of processor time, mean and most |",
        "|---|---|---|",
        f"| {len(photos)} | {seen} | {milliseconds} |",
    ]


def main(folders: list[str]) -> None:
    """Print both tables."""
    shown, others = [], []
    for path in (one for folder in folders for one in sorted(Path(folder).glob("*.jpg"))):
        truth = truth_of(path) if path.with_suffix(".json").exists() else {}
        kinds = [one["kind"] for one in truth.get("objects", ())]
        (shown if "reference_page" in kinds else others).append(path)
    for table in (table_of_scenes(shown), table_of_others(others)):
        print("\n".join(table), end="\n\n")  # noqa: T201 - what it is for


if __name__ == "__main__":
    main(sys.argv[1:])
