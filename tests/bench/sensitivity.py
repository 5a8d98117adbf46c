"""What hangs on each number that finding, light and measuring were given.

    python tests/bench/sensitivity.py PHOTO... [--rooms finding light] [--factors 0.7 1.4]

Each number that stands as a constant at the head of a module is made smaller and larger, one at a
time, and the photos (each with its truth beside it, see `accuracy.py`) are scored again. Prints a
Markdown table of what the mean of each score becomes less what it is; a row of zeros is a number
that these photos don't need. Numbers made from other numbers when a module is loaded don't follow.
"""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import Score, score

ROOMS = ("finding", "light", "measuring")
FACTORS = (0.7, 1.4)
COLUMNS = ("found", "false", "corner_in", "colour", "differences", "fabrics", "regret")


@dataclass(frozen=True)
class Constant:
    """A number at the head of a module."""

    module: str
    name: str
    value: float


def constants(rooms: Sequence[str]) -> Iterator[Constant]:
    """The numbers of all modules of some rooms, in the modules that make them."""
    for room in rooms:
        package = importlib.import_module(f"catalog.{room}")
        names = [package.__name__] + [
            found.name
            for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
            if ".training" not in found.name
        ]
        for name in names:
            module = importlib.import_module(name)
            source = Path(module.__file__ or "").read_text(encoding="utf-8")
            for key, value in sorted(vars(module).items()):
                number = isinstance(value, int | float) and not isinstance(value, bool)
                if key.isupper() and number and f"\n{key}" in source:
                    yield Constant(name, key, value)


def holders(constant: Constant) -> Iterator[str]:
    """The modules that know the constant by its name."""
    for name, module in list(sys.modules.items()):
        if name.startswith("catalog") and vars(module).get(constant.name) is not None:
            made = name == constant.module
            source = Path(module.__file__ or "").read_text(encoding="utf-8")
            taken = (
                f"from {constant.module} import" in source and f"\n{constant.name}:" not in source
            )
            if made or (taken and f"\n{constant.name} =" not in source):
                yield name


def scored(photos: Sequence[Path], constant: Constant | None, factor: float) -> list[Score]:
    """Score the photos with one number changed; whole numbers stay whole."""
    with ExitStack() as stack:
        if constant is not None:
            value = constant.value * factor
            new = max(1, round(value)) if isinstance(constant.value, int) else value
            for module in holders(constant):
                stack.enter_context(patch(f"{module}.{constant.name}", new))
        return [score(photo) for photo in photos]


def means(scores: Sequence[Score]) -> np.ndarray:
    """The mean of each column, NaN where no photo's truth tells it."""
    rows = [[getattr(one, name) for name in COLUMNS] for one in scores]
    return np.nanmean(np.array(rows, dtype=float), axis=0)


def row(constant: Constant, photos: Sequence[Path], usual: np.ndarray, factor: float) -> str:
    """One line of the table."""
    try:
        off = means(scored(photos, constant, factor)) - usual
        cells = [f"{value:+.3f}" if abs(value) >= 5e-4 else "0" for value in off]
    except Exception as error:
        cells = [type(error).__name__, *[""] * (len(COLUMNS) - 1)]
    name = f"{constant.module.removeprefix('catalog.')}.{constant.name}"
    return "| " + " | ".join([name, f"{constant.value:g}", f"{factor:g}", *cells]) + " |"


def main() -> None:
    """Print the table, a line as soon as it is known."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("photos", nargs="+", type=Path)
    parser.add_argument("--rooms", nargs="+", default=ROOMS)
    parser.add_argument("--factors", nargs="+", type=float, default=FACTORS)
    given = parser.parse_args()
    usual = means(scored(given.photos, None, 1.0))
    print("| number | value | times |", " | ".join(COLUMNS), "|")  # noqa: T201
    print("|---" * (3 + len(COLUMNS)) + "|", flush=True)  # noqa: T201
    for constant in constants(given.rooms):
        for factor in given.factors:
            print(row(constant, given.photos, usual, factor), flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
