"""A history of what the work costs, beside what this machine takes for the least of it.

    python tests/bench/history.py append   # measure all, and add a line to history.csv
    python tests/bench/history.py check    # measure again; fails where a ratio grew by a quarter

``append`` wants a machine with nothing else to do, for the seconds by the clock; ``check`` looks
at processor seconds and memory only, which hold on a busy one. README.md beside this says what is
compared to what, and how far the ratios differ from run to run and from machine to machine.
"""

from __future__ import annotations

import compileall
import csv
import datetime
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Final

from process_costs import ROOT
from work_ratios import WALL_RATIO, WORKS, measure_alone

HISTORY: Final = Path(__file__).parent / "history.csv"
MAX_GROWTH: Final = 1.25
"""A quarter is twice what one tree's ratios differ by from run to run (README.md)."""
MAX_GROWTH_ELSEWHERE: Final = 2.5
"""Where no entry was made on a machine of this kind. Without AVX2 finding takes 1.9 times as many
decodings, so that only what went badly wrong can be told there."""
TRIES: Final = 3
MEASURED: Final = ("catalog", "cli", "sample_photos")
"""What costs hang on: an entry names the last commit that changed any of it."""
RATIOS: Final = tuple(ratio for work in WORKS for ratio in work.ratios)
COLUMNS: Final = (
    *("commit", "date", "machine", "cores", "floor_wall_s", "floor_processor_s"),
    WALL_RATIO,
    *RATIOS,
)

Entry = Mapping[str, str]
Ratios = Mapping[str, float]
Measure = Callable[[Sequence[str]], Ratios]


def read_entries(path: Path = HISTORY) -> list[dict[str, str]]:
    """Return the lines of the history, the oldest first."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def ratios_of(entry: Entry) -> dict[str, float]:
    """Return what an entry says of the ratios that are checked; one made before a ratio was is
    silent on it.
    """
    return {name: float(entry[name]) for name in RATIOS if entry.get(name)}


def entry_to_beat(entries: Sequence[Entry], kind: str) -> tuple[Entry, float]:
    """Return the last entry made on a machine of a kind, else the last, and how much is allowed."""
    alike = [entry for entry in entries if entry["machine"] == kind]
    return (alike[-1], MAX_GROWTH) if alike else (entries[-1], MAX_GROWTH_ELSEWHERE)


def still_grown(last: Ratios, growth: float, measure: Measure) -> dict[str, float]:
    """Return the ratios that are too large in every try, each as small as it was seen.

    Parameters
    ----------
    last : mapping
        The entry's ratios by their names.
    growth : float
        Times the entry's that they may come to.
    measure : callable
        Measures the ratios named, and maybe others that come with them.
    """
    least = dict.fromkeys(last, float("inf"))
    names = list(last)
    for _ in range(TRIES):
        now = measure(names)
        least = {name: min(least[name], now[name]) for name in names}
        names = [name for name in names if least[name] > last[name] * growth]
        if not names:
            break
    return {name: least[name] for name in names}


def sentences(entry: Entry, now: Ratios) -> list[str]:
    """Say of each ratio that grew what it was and what it is."""
    meaning = {name: text for work in WORKS for name, text in work.ratios.items()}
    return [
        f"{name} grew from {entry[name]} to {ratio:.3g} ({meaning[name]}) since {entry['commit']} "
        f"of {entry['date']}, in the best of {TRIES} tries: mend it, or append an entry and say in "
        "its commit what it is worth."
        for name, ratio in now.items()
    ]


def machine() -> str:
    """Say what kind of machine this is, as far as ratios hang on it, and not which."""
    asked = [sys.executable, "-c", "import cv2; print(cv2.getCPUFeaturesLine())"]
    told = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.split()
    widest = [feature.strip("*") for feature in told if not feature.endswith("?")][-1:]
    python = ".".join(platform.python_version_tuple()[:2])
    return " ".join([platform.system(), platform.machine(), *widest, "Python", python])


def measured(names: Sequence[str]) -> dict[str, float]:
    """Measure the works that have a part in the ratios named, in a folder of their own."""
    found: dict[str, float] = {}
    compileall.compile_dir(ROOT / "catalog", quiet=1)
    compileall.compile_dir(ROOT / "cli", quiet=1)
    with tempfile.TemporaryDirectory() as folder:
        for work in WORKS:
            if not work.ratios.keys().isdisjoint(names):
                found.update(work.measure(Path(folder)))
    return found


def check() -> int:
    """Measure, tell what grew, and return the exit code."""
    kind = machine()
    entry, growth = entry_to_beat(read_entries(), kind)
    told = sentences(entry, still_grown(ratios_of(entry), growth, measured))
    if growth != MAX_GROWTH:
        sys.stdout.write(f"No entry of {kind} yet: ratios may be {growth:g} times the last's.\n")
    sys.stdout.write("\n".join([*told, "" if told else "No work's cost grew.\n"]))
    return 1 if told else 0


def append() -> int:
    """Measure this commit and add its line."""
    changed = _git("status", "--porcelain", *MEASURED)
    if changed:
        sys.stderr.write(f"commit first, so that the line names what was measured:\n{changed}\n")
        return 2
    with tempfile.TemporaryDirectory() as folder:
        floor, alone = measure_alone(Path(folder))
    now = {**alone, **measured(RATIOS)}
    entry = {
        "commit": _git("log", "-1", "--format=%h", "--", *MEASURED),
        "date": datetime.datetime.now(datetime.UTC).date().isoformat(),
        "machine": machine(),
        "cores": str(os.cpu_count()),
        "floor_wall_s": f"{floor.wall_s:.3f}",
        "floor_processor_s": f"{floor.processor_s:.3f}",
        **{name: f"{ratio:.3g}" for name, ratio in now.items()},
    }
    before = read_entries() if HISTORY.exists() else []
    with HISTORY.open("w", encoding="utf-8", newline="") as file:
        lines = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        lines.writeheader()
        lines.writerows([*before, entry])
    sys.stdout.write(f"{entry}\n")
    return 0


def _git(*words: str) -> str:
    told = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=True)
    return told.stdout.strip()


def main() -> int:
    """Do what is asked."""
    deeds = {"append": append, "check": check}
    if len(sys.argv) != 2 or sys.argv[1] not in deeds:
        sys.stderr.write(f"say one of: {', '.join(deeds)}\n")
        return 2
    return deeds[sys.argv[1]]()


if __name__ == "__main__":
    sys.exit(main())
