"""Processor seconds of the stages in one process, beside decoding the photo they work on.

    python tests/bench/stage_costs.py

Prints one line of JSON: the least of several runs each, in the environment's threads. What is
loaded at a stage's first use isn't in them: a whole `count` has that.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path.cwd()))

import cv2
import numpy as np
from process_costs import PHOTO

from catalog.finding import find_squares
from catalog.light import estimate_light
from catalog.matching import match_requests
from catalog.measuring import measure
from catalog.models import Matching, MatchRules, SetRequest, Square, Swatch
from catalog.photo import decode_photo

SQUARE: Final = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)


def least(runs: int, work: Callable[[], object]) -> float:
    """Return the processor seconds of the quickest of several runs."""
    took = []
    for _ in range(runs):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return min(took)


def drawn_swatches(squares: int) -> list[Swatch]:
    """Return squares of colours drawn evenly."""
    labs = np.random.default_rng(1).uniform([10, -60, -60], [95, 60, 60], (squares, 3))
    return [
        Swatch(f"S{place:04d}", "p.jpg", SQUARE, tuple(map(float, lab)), "plain", 0.0)
        for place, lab in enumerate(labs)
    ]


def matched(swatches: list[Swatch]) -> Matching:
    """Match all in pairs."""
    request = SetRequest("", None, 2, frozenset(one.label for one in swatches))
    return match_requests(swatches, [request], MatchRules())


def stages() -> dict[str, float]:
    """Measure each stage; decoding by turns with them, so that all meet the machine alike."""
    content = PHOTO.read_bytes()
    raw = np.frombuffer(content, np.uint8)
    photo = decode_photo(content, PHOTO.name)
    found = find_squares(photo, 5.0)
    light = estimate_light(photo, found)
    hundred, thousand = drawn_swatches(100), drawn_swatches(1000)
    works: dict[str, tuple[int, Callable[[], object]]] = {
        "finding": (1, lambda: find_squares(photo, 5.0)),
        "light": (1, lambda: estimate_light(photo, found)),
        "measuring": (2, lambda: measure(photo, found, light)),
        "matching_100": (6, lambda: matched(hundred)),
        "matching_1000": (2, lambda: matched(thousand)),
    }
    decodings, took = [], {}
    for name, (runs, work) in works.items():
        decodings.append(least(2, lambda: cv2.imdecode(raw, cv2.IMREAD_COLOR)))
        took[name] = least(runs, work)
    return {"decoding": min(decodings), **took}


def main() -> None:
    """Print what the stages take."""
    sys.stdout.write(json.dumps(stages()) + "\n")


if __name__ == "__main__":
    main()
