"""What commands take on catalogues of different sizes.

    python tests/bench/catalogue_scale.py SMALL LARGE ... [--rounds 5]

The catalogues are those of ``large_catalogue.py``. The commands are run on one after another, by
turns, and for each the least processor time and the most memory are printed as a Markdown table;
what the first, small one takes is the start.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
from pathlib import Path

COMMANDS = (
    ("bundles",),
    ("bundles", "--json"),
    ("near", "dusty", "teal"),
    ("near", "dusty", "teal", "--left-over"),
    ("near", "birch 1:R3C2"),
    ("partner", "birch 1:R3C2"),
    ("show", "birch 1"),
    ("show", "birch 1", "--json"),
    ("history", "birch 1"),
)
ALONE = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "COLUMNS": "100"}


def took(words: tuple[str, ...], catalogue: Path) -> tuple[float, float]:
    """Run a command to its end; milliseconds of processor time, and MB."""
    run = subprocess.Popen(
        [sys.executable, "-m", "cli.start", *words, "--catalogue", str(catalogue)],
        cwd=Path(__file__).parents[2],
        env={**os.environ, **ALONE},
        stdout=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(run.pid, 0)
    assert status == 0, words
    return 1000 * (used.ru_utime + used.ru_stime), _megabytes(used)


def _megabytes(used: resource.struct_rusage) -> float:
    return used.ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("files", type=Path, nargs="+")
    asked.add_argument("--rounds", type=int, default=5)
    given = asked.parse_args()
    sys.stdout.write(
        "| command | " + " | ".join(f"{one.stem}, ms | MB" for one in given.files) + " |" + "\n"
    )
    sys.stdout.write("|---" * (1 + 2 * len(given.files)) + "|\n")
    for words in COMMANDS:
        runs = [[took(words, one) for one in given.files] for _ in range(given.rounds)]
        cells = [
            f"{min(ms for ms, _ in told):.0f} | {max(mb for _, mb in told):.0f}"
            for told in zip(*runs, strict=True)
        ]
        sys.stdout.write(f"| `{' '.join(words)}` | " + " | ".join(cells) + " |\n")


if __name__ == "__main__":
    main()
