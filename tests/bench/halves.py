"""How many squares are found in parts of photos, smaller than they were taken.

    python tests/bench/halves.py FOLDER...

Of each photo with truth beside it (see `accuracy.py`) the left and the right 0.6 are cut out, the
photo made 1,600 px wide before: pictures that nothing was tuned on. Prints a Markdown table of
those in which a square is missed or seen that isn't there, and of all.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import cv2
import numpy as np
from accuracy import TOUCHED, overlap

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog.finding import find_squares
from catalog.models import Photo

WIDE, PART = 1600, 0.6
MET = 0.70
"""Intersection over union at which a square counts as found."""
RIM = 0.01
"""Of the part's width: squares nearer to its edges are not owed."""


def figures(path: Path) -> list[tuple[int, int, int]]:
    """Found, owed and false of the left and the right part of a photo."""
    truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    whole = cv2.imread(str(path), cv2.IMREAD_COLOR_RGB)
    scale = min(1.0, WIDE / whole.shape[1])
    whole = cv2.resize(whole, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    part, rows = round(PART * whole.shape[1]), []
    shown = [
        np.array(one["polygon"]) * scale
        for one in truth["squares"]
        if one.get("visible_fraction", 1) >= 0.5
    ]
    for start in (0, whole.shape[1] - part):
        photo = Photo(path.name, np.ascontiguousarray(whole[:, start : start + part]))
        found = find_squares(photo, truth.get("nominal_size_in") or 5.0)
        told = [np.array(one.corners) + np.array([start, 0]) for one in found.squares]
        left, right = start + RIM * part, start + part - RIM * part
        owed = [one for one in shown if one[:, 0].min() > left and one[:, 0].max() < right]
        met = sum(max((overlap(one, true) for one in told), default=0) >= MET for true in owed)
        false = sum(
            max((overlap(one, true) for true in shown), default=0) < TOUCHED for one in told
        )
        rows.append((met, len(owed), false))
    return rows


def main() -> None:
    """Print the table of all photos in the folders named."""
    sys.stdout.write(
        "| photo | left: found | false | right: found | false |\n|---|---|---|---|---|\n"
    )
    total = np.zeros(3, int)
    for path in sorted(one for name in sys.argv[1:] for one in Path(name).glob("*.jpg")):
        rows = figures(path)
        total += np.sum(rows, axis=0)
        if any(met < owed or false for met, owed, false in rows):
            cells = " | ".join(f"{met} of {owed} | {false}" for met, owed, false in rows)
            sys.stdout.write(f"| {path.stem} | {cells} |\n")
    met, owed, false = total
    sys.stdout.write(f"| all | {met} of {owed} | {false} | | |\n")


if __name__ == "__main__":
    main()
