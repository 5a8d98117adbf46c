"""What `count` takes in two trees: ten runs by turns, on a photo and on a phone's HEIC of it.

    python tests/bench/before_after.py OLD_TREE NEW_TREE [PHOTO] [--rounds 10] [WORDS OF COUNT ...]

A tree is a checkout, as of ``git worktree add FOLDER COMMIT``. Words after the rest, such as
``--no-pictures``, go to the new tree's count alone. The floor (Python, OpenCV imported, the same
file decoded) runs by turns with both. Threads are as they come: for the seconds by the clock
nothing else may run. Prints a Markdown table: the least and the median of seconds by the clock and
of processor, the most memory.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import median
from typing import Final

from process_costs import COUNT_ENDS, PHOTO, ROOT, ProcessCost, command, floor, run_process

WRITE_HEIC: Final = """
import sys
import pillow_heif
from PIL import Image
pillow_heif.register_heif_opener()
Image.open(sys.argv[1]).save(sys.argv[2], quality=80)
"""
"""In a process of its own: what this one held would count as held by those that it starts."""
HEAD: Final = (
    "| photo | run | wall s, least | median | processor s, least | median | peak MB "
    "| floors, wall | floors, processor |"
)


def written_as_heic(photo: Path, folder: Path) -> Path:
    """Write the photo as a phone would, and return where."""
    place = folder / f"{photo.stem}.heic"
    run_process([sys.executable, "-c", WRITE_HEIC, str(photo), str(place)])
    return place


def costs_by_turns(
    runs: Mapping[str, tuple[tuple[str, ...], Path]], rounds: int
) -> dict[str, list[ProcessCost]]:
    """Run each once to warm up, then all by turns; each run is its words and its tree."""
    costs: dict[str, list[ProcessCost]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, (words, tree) in runs.items():
            costs[name].append(run_process(words, tree=tree, ends=COUNT_ENDS))
    return {name: all_runs[1:] for name, all_runs in costs.items()}


def row(photo: str, name: str, costs: Sequence[ProcessCost], base: Sequence[ProcessCost]) -> str:
    """Return a line of the table; floors are medians to medians."""
    wall, processor = ([getattr(one, of) for one in costs] for of in ("wall_s", "processor_s"))
    bases = [median(getattr(one, of) for one in base) for of in ("wall_s", "processor_s")]
    floors = [median(wall) / bases[0], median(processor) / bases[1]]
    seconds = [min(wall), median(wall), min(processor), median(processor)]
    cells = [
        *(f"{one:.2f}" for one in seconds),
        f"{max(one.peak_mb for one in costs):.0f}",
        *(f"{one:.1f}" for one in floors),
    ]
    return f"| {photo} | {name} | {' | '.join(cells)} |"


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("old", type=Path)
    asked.add_argument("new", type=Path)
    asked.add_argument("photo", type=Path, nargs="?", default=PHOTO)
    asked.add_argument("--rounds", type=int, default=10)
    said, more = asked.parse_known_args()
    photo = said.photo.resolve()
    sys.stdout.write(f"{HEAD}\n|---|---|---|---|---|---|---|---|---|\n")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for path in (photo, written_as_heic(photo, folder)):
            words = command("count", path, "--out", folder / "out", "--replace")
            runs = {
                "floor": (floor(path), ROOT),
                "before": (words, said.old.resolve()),
                "after": ((*words, *more), said.new.resolve()),
            }
            costs = costs_by_turns(runs, said.rounds)
            for run, several in costs.items():
                sys.stdout.write(row(path.name, run, several, costs["floor"]) + "\n")
                sys.stdout.flush()


if __name__ == "__main__":
    main()
