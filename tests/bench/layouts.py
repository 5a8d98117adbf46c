"""How squares of drawn layouts are found (`scenes.py`), kind by kind, and how odd sizes are told.

    python tests/bench/layouts.py [COUNT [FIRST [LEAST MOST]]]

Prints a Markdown table for COUNT layouts (1,000 unless given) from the number FIRST on, seen from
LEAST to MOST degrees from straight above (0 to 35 unless given): squares;
recall (intersection over union of at least `MET`); told where none is; told with a confidence of
`SURE` and more; of these, not met; odd squares (6 % smaller), told as odd, of these right. In
overlapping rows sizes can hardly be read, so odd ones are told apart without them in the last row.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, TOUCHED, assign
from scenes import TILTS, draw

from catalog.finding import find_squares
from catalog.models import Photo

SURE = 0.9
"""Squares told with so much confidence should be found."""


@dataclass(frozen=True)
class Layouts:
    """What came of some layouts."""

    squares: int = 0
    met: int = 0
    false: int = 0
    sure: int = 0
    wrong: int = 0
    odd: int = 0
    told_odd: int = 0
    of_these_right: int = 0

    def __add__(self, other: Layouts) -> Layouts:
        """Both together."""
        return Layouts(*(a + b for a, b in zip(astuple(self), astuple(other), strict=True)))

    @property
    def recall(self) -> float:
        """Share of the squares that are found."""
        return self.met / max(self.squares, 1)


def look_at(seed: int, tilts: tuple[float, float]) -> tuple[str, Layouts]:
    """Draw one layout and find its squares; its kind, and what came of it."""
    scene = draw(seed, tilts)
    found = find_squares(Photo(str(seed), scene.picture), 5.0)
    told = np.array([square.corners for square in found.squares]).reshape(-1, 4, 2)
    pairs = assign(told, scene.corners)
    right = {i for i, _, share in pairs if share >= MET}
    certain = {i for i, square in enumerate(found.squares) if square.confidence >= SURE}
    flagged = {i for i, square in enumerate(found.squares) if "odd size" in square.flags}
    odd = {i for i, j, share in pairs if share >= MET and scene.sizes[j] != 1.0}
    return scene.kind, Layouts(
        squares=len(scene.corners),
        met=len(right),
        false=len(told) - sum(share >= TOUCHED for *_, share in pairs),
        sure=len(certain),
        wrong=len(certain - right),
        odd=int((scene.sizes != 1.0).sum()),
        told_odd=len(flagged),
        of_these_right=len(flagged & odd),
    )


def by_kind(seeds: Iterable[int], tilts: tuple[float, float] = TILTS) -> dict[str, Layouts]:
    """Look at layouts, and put together what came of those of a kind."""
    kinds: dict[str, Layouts] = {}
    for seed in seeds:
        kind, one = look_at(seed, tilts)
        kinds[kind] = kinds.get(kind, Layouts()) + one
    return kinds


def table(kinds: dict[str, Layouts]) -> str:
    """The figures as Markdown."""
    names = ["layouts", *(field.name for field in fields(Layouts)), "recall"]
    lines = [f"| {' | '.join(names)} |", "|---" * len(names) + "|"]
    flat = sum((one for kind, one in kinds.items() if kind != "overlapping"), Layouts())
    for kind, one in [*sorted(kinds.items()), ("all but overlapping", flat)]:
        cells = [kind, *map(str, astuple(one)), f"{one.recall:.4f}"]
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def main() -> None:
    """Print the table of the layouts asked for."""
    given = [int(word) for word in sys.argv[1:]]
    count, first, *tilts = given + [1000, 0, *TILTS][len(given) :]
    sys.stdout.write(table(by_kind(range(first, first + count), (tilts[0], tilts[1]))) + "\n")


if __name__ == "__main__":
    main()
