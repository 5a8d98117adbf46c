"""Works whose cost is kept in the history, each beside the least that a machine takes for its like.

All are measured in processes, one after another by turns with their yardstick, in processor
seconds with one thread each; of several runs the least counts.
"""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from process_costs import (
    COUNT_ENDS,
    ONE_THREAD,
    PHOTO,
    ROOT,
    ProcessCost,
    command,
    floor,
    run_process,
)

BARE_TYPER: Final = """
import typer
app = typer.Typer(add_completion=False)
@app.command()
def one(name: str) -> None:
    '''Do one thing.'''
@app.command()
def two(name: str) -> None:
    '''Do another.'''
app(["--help"])
"""
FEW: Final = ROOT / "tests" / "golden" / "kept" / "v4.sql"
"""A catalogue of four squares, as it was dumped."""
ALONE_ROUNDS: Final = 5
"""Runs by the clock, where nothing else runs."""
WALL_RATIO: Final = "count_wall"


@dataclass(frozen=True)
class Work:
    """Something that is measured as a whole."""

    ratios: Mapping[str, str]
    """What it gives, by column, each in words."""
    measure: Callable[[Path], Mapping[str, float]]
    """Handed an empty folder."""


def count_words(folder: Path, *more: str) -> tuple[str, ...]:
    """Return a whole count of the photo, its files written to a folder."""
    return command("count", PHOTO, "--out", folder / "out", "--replace", *more)


def least_of(costs: Sequence[ProcessCost]) -> ProcessCost:
    """Return the quickest seconds and the least memory of several runs."""
    return ProcessCost(
        min(cost.wall_s for cost in costs),
        min(cost.processor_s for cost in costs),
        min(cost.peak_mb for cost in costs),
    )


def _by_turns(
    works: Sequence[tuple[str, ...]], rounds: int, threads: Mapping[str, str] = ONE_THREAD
) -> list[ProcessCost]:
    """Run works by turns; of each the least."""
    done = [
        [run_process(words, threads=threads, ends=COUNT_ENDS) for words in works]
        for _ in range(rounds)
    ]
    return [least_of(costs) for costs in zip(*done, strict=True)]


def measure_alone(folder: Path) -> tuple[ProcessCost, dict[str, float]]:
    """Return the floor, and a whole count by the clock beside it, with threads as they come."""
    base, whole = _by_turns([floor(), count_words(folder)], ALONE_ROUNDS, {})
    return base, {WALL_RATIO: whole.wall_s / base.wall_s}


def _whole_count(folder: Path) -> dict[str, float]:
    words = [floor(), count_words(folder), floor(), count_words(folder, "--no-pictures")]
    before, whole, after, tables = _by_turns(words, 1)
    base = least_of([before, after])
    return {
        "count": whole.processor_s / base.processor_s,
        "count_no_pictures": tables.processor_s / base.processor_s,
        "count_memory": whole.peak_mb / base.peak_mb,
    }


def _stages(folder: Path) -> dict[str, float]:
    words = [sys.executable, str(Path(__file__).with_name("stage_costs.py"))]
    environment = {**os.environ, **ONE_THREAD}
    told = subprocess.run(
        words, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True, check=True
    )
    took = json.loads(told.stdout)
    decoding = took.pop("decoding")
    return {name: seconds / decoding for name, seconds in took.items()}


def _starts(folder: Path) -> dict[str, float]:
    place = folder / "few.catalogue"
    with closing(sqlite3.connect(place)) as file:
        file.executescript(FEW.read_text(encoding="utf-8"))
    words = {
        "help": command("--help"),
        "near": command("near", "teal", "--catalogue", place),
        "size": command("size", "half-square-triangle", "--square", "5"),
    }
    bare, *took = _by_turns([(sys.executable, "-c", BARE_TYPER), *words.values()], 3)
    seconds = bare.processor_s
    return {name: cost.processor_s / seconds for name, cost in zip(words, took, strict=True)}


WORKS: Final = (
    Work(
        {
            "help": "processor seconds of --help to those of a bare Typer app's",
            "near": "processor seconds of near, four squares, to those of a bare Typer app's help",
            "size": "processor seconds of size to those of a bare Typer app's help",
        },
        _starts,
    ),
    Work(
        {
            "count": "processor seconds of a whole count to those of Python, OpenCV and decoding",
            "count_no_pictures": "processor seconds of count --no-pictures to those of the same",
            "count_memory": "peak memory of a whole count to that of Python, OpenCV and decoding",
        },
        _whole_count,
    ),
    Work(
        {
            name: f"processor seconds of {text} to those of decoding the photo"
            for name, text in (
                ("finding", "finding 100 squares"),
                ("light", "judging their light"),
                ("measuring", "measuring them"),
                ("matching_100", "matching 100 squares in pairs"),
                ("matching_1000", "matching 1,000 squares in pairs"),
            )
        },
        _stages,
    ),
)
