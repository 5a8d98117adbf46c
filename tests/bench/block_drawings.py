"""How well drawn blocks are read, style by style.

``python tests/bench/block_drawings.py [--count 10] [--first 100] [--fit] [--left-out]``

Draws so many blocks in each style of ``tests/block_drawings_made.py`` and prints how often rows and
columns are right, what share of cells is, how often all of a block is, how often it looks the same,
the mean certainty, and how many wrong ones were told as sure (0.5 or more). ``--photos`` reads
pictures that show no drawing instead, and prints which get a proposal. ``--fit`` prints the weights
of `seam_odds` anew, from drawings 0 to COUNT; ``--left-out`` reads each style with weights from the
others.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from block_drawings_made import STYLES, made_drawing
from block_drawings_truth import Score, scored, seams_on, true_lattice

from catalog.errors import CalicountError
from catalog.pattern.drawing import seam_odds
from catalog.pattern.drawing.block_frame import frames_in
from catalog.pattern.drawing.drawing_reading import read_drawing
from catalog.pattern.drawing.seam_evidence import evidence_of, looks_of
from catalog.pattern.drawing.squared_drawing import squared
from catalog.pattern.drawing.unit_seams import MAX_CELLS
from catalog.photo import read_photo

SURE = 0.5


def evidence_in(style, count):
    """Evidence and truth of the short seams of a style's drawings, each drawing weighing alike."""
    found = []
    for seed in range(count):
        made = made_drawing(style, seed)
        rows, columns = true_lattice(made.truth)
        frames = frames_in(made.picture)
        if max(rows, columns) > MAX_CELLS or not frames:
            continue
        corners = min(frames, key=lambda one: np.abs(one - made.corners).max())
        drawing = squared(made.picture, corners)
        seen = evidence_of(drawing, rows, columns, looks_of(drawing, rows, columns))
        found.append((seen, seams_on(made.truth, rows, columns)))
    return found


def fitted(drawings):
    from sklearn.linear_model import LogisticRegression

    seen = np.concatenate([one for one, _ in drawings])
    true = np.concatenate([one for _, one in drawings])
    weights = np.concatenate([np.full(len(one), 1 / len(one)) for _, one in drawings])
    model = LogisticRegression(max_iter=500)
    model.fit(seen, true, sample_weight=weights / weights.mean())
    return tuple(map(float, model.coef_[0])), float(model.intercept_[0])


def read_style(style, first, count):
    rows = []
    for seed in range(first, first + count):
        made = made_drawing(style, seed)
        began = time.process_time()
        try:
            found = read_drawing(made.picture)
            score, certainty = scored(made.truth, found.drawn), found.certainty
        except CalicountError:
            score, certainty = Score(False, 0.0, False, False), 0.0
        took = time.process_time() - began
        sure_and_wrong = certainty >= SURE and not score.exact
        right = (score.grid, score.cells, score.exact, score.looks)
        rows.append((*right, certainty, sure_and_wrong, took))
    return np.array(rows, float)


def read_photos(paths):
    proposed = 0
    for path in paths:
        try:
            found = read_drawing(read_photo(path).pixels)
        except CalicountError:
            continue
        proposed += 1
        print(f"{path}: proposed, certainty {found.certainty:.2f}", flush=True)  # noqa: T201
    print(f"{len(paths)} pictures, {proposed} proposals")  # noqa: T201


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--count", type=int, default=10)
    parser.add_argument("--first", type=int, default=100)
    parser.add_argument("--fit", action="store_true")
    parser.add_argument("--left-out", action="store_true")
    parser.add_argument("--photos", nargs="+", type=Path, default=[])
    options = parser.parse_args()
    cv2.setNumThreads(1)
    if options.photos:
        read_photos(options.photos)
        return
    learnt = {}
    if options.fit or options.left_out:
        learnt = {style.name: evidence_in(style, options.count) for style in STYLES}
    if options.fit:
        weights, bias = fitted([one for own in learnt.values() for one in own])
        print("WEIGHTS", tuple(round(one, 2) for one in weights), "BIAS", round(bias, 2))  # noqa: T201
    print("| style | grid | cells | whole block | looks so | certainty | sure and wrong | s |")  # noqa: T201
    print("|---|---|---|---|---|---|---|---|")  # noqa: T201
    everything = []
    for style in STYLES:
        if options.left_out:
            others = [one for name, own in learnt.items() if name != style.name for one in own]
            seam_odds.WEIGHTS, seam_odds.BIAS = fitted(others)
        rows = read_style(style, options.first, options.count)
        everything.append(rows)
        _say(style.name, rows)
    _say("all", np.concatenate(everything))


def _say(name, rows):
    grid, cells, exact, looks, certainty, _, took = rows.mean(axis=0)
    wrong = int(rows[:, 5].sum())
    print(  # noqa: T201
        f"| {name} | {grid:.0%} | {cells:.1%} | {exact:.0%} | {looks:.0%} | {certainty:.2f} "
        f"| {wrong} | {took:.1f} |",
        flush=True,
    )


if __name__ == "__main__":
    main()
