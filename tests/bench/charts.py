"""How well every second patch of a colour chart foretells the others.

    python tests/bench/charts.py PHOTO...

Prints a Markdown table, a row a photo: the edition of published values that fits best; CIEDE2000
(median, mean) of the patches held out, every second one and then the others; and the median where
each patch is held out by itself.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog.colour.ciede2000 import ciede2000
from catalog.light.references.chart_fit import editions, fit_chart
from catalog.light.references.chart_reading import Chart, find_chart
from catalog.light.references.flat_patches import flat_patches
from catalog.photo import read_photo

EVEN = np.ones((24, 3))
SIDE_PX = 1500
"""Longer side of the copy that a chart is looked for in, as for the light of a photo."""
PATCH_PX, PATCH_SHARE = 60.0, 0.01
"""Area of a patch, px at least, and share of the picture at most."""


def chart_in(path: Path) -> Chart | None:
    """Look for a chart anywhere in a photo."""
    pixels = read_photo(path).pixels
    height, width = pixels.shape[:2]
    step = max(1, round(max(height, width) / SIDE_PX))
    small = cv2.resize(pixels, (width // step, height // step), interpolation=cv2.INTER_AREA)
    free = np.ones(small.shape[:2], bool)
    return find_chart(small, flat_patches(small, free, PATCH_PX, PATCH_SHARE * free.size), free)


def held_out(chart: Chart, held: np.ndarray) -> np.ndarray:
    """CIEDE2000 of the good ones of the patches (24,) held out, told by the others."""
    fit = fit_chart(chart.pixels, chart.good & ~held, EVEN)
    asked = chart.good & held
    return ciede2000(fit.colours(chart.pixels)[asked], editions()[fit.edition][asked])


def row(path: Path) -> str:
    """Return one photo's figures as a row."""
    chart = chart_in(path)
    if chart is None:
        return f"| {path.stem} | no chart found | | |"
    edition = fit_chart(chart.pixels, chart.good, EVEN).edition
    second = np.arange(24) % 2 == 0
    halves = np.concatenate([held_out(chart, second), held_out(chart, ~second)])
    single = np.concatenate([held_out(chart, np.arange(24) == place) for place in range(24)])
    away = f"{np.median(halves):.1f}, {halves.mean():.1f}"
    return f"| {path.stem} | {edition} | {away} | {np.median(single):.1f} |"


def main() -> None:
    """Print the table of the photos named."""
    sys.stdout.write(
        "| photo | edition | every second held out | one held out |\n|---|---|---|---|\n"
    )
    for name in sys.argv[1:]:
        sys.stdout.write(row(Path(name)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
