"""Whether the tests notice faults: mutmut makes small ones, one at a time, in a copy of the tree.

    python tests/bench/mutation.py [AREA ...] [--sample 40] [--seed 1]

Needs `pip install '.[mutation]'` and git. Of each area (all of `AREAS` unless named) so many
mutants are drawn by the seed and run against the tests that concern it, in one process. Prints
how many were killed of each module, and what every survivor changed; exits with 1 where fewer
than `AIM` of an area's were killed. `README.md` beside it lists survivors that change nothing.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
AIM = 0.9
KILLED = {1, 3, 24, 36, 152, 255, -24}
"""Exit codes of mutmut's runs: a test failed, pytest broke, or the time was up."""


@dataclass(frozen=True)
class Area:
    """Modules that are changed, and the tests that ought to notice."""

    modules: tuple[str, ...]
    """Glob patterns from the root."""
    tests: tuple[str, ...]
    """Names of files in ``tests``, without ``test_`` and ``.py``."""


AREAS = {
    "units": Area(
        ("catalog/cutting/units/*.py",),
        ("units", "units_trade_checks", "surd", "your_seam", "sewn_shapes", "cli_size"),
    ),
    "yardage": Area(("catalog/cutting/yardage/*.py",), ("yardage", "yardage_trade_checks")),
    "tally": Area(
        ("catalog/bundle/tally*.py", "catalog/bundle/*piece*.py", "catalog/bundle/eligibility.py"),
        ("tally", "choosing"),
    ),
    "matching": Area(
        ("catalog/matching/*.py", "catalog/matching/solver/*.py"),
        ("matching", "choosing", "doubt", "lock_notes"),
    ),
    "pattern": Area(
        ("catalog/pattern/*.py",),
        ("pattern", "pattern_fit", "pattern_quilt", "pattern_resized"),
    ),
    "guard": Area(("cli/page/guard.py",), ("guard",)),
    "events": Area(
        ("catalog/catalogue/events/*.py",),
        (
            *("kept_replay", "kept_words", "kept_bundle", "kept_hanging", "kept_catalogue"),
            *("drawn_squares", "event_fields"),
        ),
    ),
}


@dataclass
class Outcome:
    """What became of an area's sample."""

    killed: Counter[str] = field(default_factory=Counter)
    """By module."""
    survived: dict[str, str] = field(default_factory=dict)
    """What each survivor changed, by its name."""

    @property
    def share(self) -> float:
        """Part of the mutants that were killed."""
        killed = self.killed.total()
        return killed / max(killed + len(self.survived), 1)


def run_area(area: Area, sample: int, seed: int, folder: Path) -> Outcome:
    """Change the area's modules in a copy of the tree in `folder`, and run its tests each time."""
    _copy_tree(area, folder)
    _mutmut(folder, "run", "--max-children", "1", "none of them")  # makes them all, runs none
    names = sorted(_exit_codes(folder))
    if not names:
        raise SystemExit(f"mutmut made nothing of {area.modules}; are its tests green?")
    chosen = random.Random(seed).sample(names, min(sample, len(names)))
    _mutmut(folder, "run", "--max-children", "1", *chosen)
    codes = _exit_codes(folder)
    outcome = Outcome()
    for name in chosen:
        if codes[name] is None:
            raise SystemExit(f"{name} was never run; see `mutmut run` in {folder}")
        if codes[name] in KILLED:
            outcome.killed[_module(name)] += 1
        else:
            outcome.survived[name] = _mutmut(folder, "show", name)
    return outcome


def _copy_tree(area: Area, folder: Path) -> None:
    git = ["git", "-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(git, check=True, capture_output=True, text=True).stdout
    files = [name for name in listed.split("\0") if name and (ROOT / name).is_file()]
    for name in files:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes((ROOT / name).read_bytes())
    top = {name.split("/")[0] for name in files} - {"catalog", "cli", "tests", "pyproject.toml"}
    settings = {
        "source_paths": ["catalog", "cli"],
        "only_mutate": list(area.modules),
        "also_copy": sorted(top),
        "use_git_change_detection": False,
        "track_dependencies": False,
        # What mutmut breaks off on purpose may leave a coroutine behind that nobody awaits.
        "pytest_add_cli_args": [
            "-n",
            "0",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:unraisableexception",
        ],
        "pytest_add_cli_args_test_selection": [f"tests/test_{name}.py" for name in area.tests],
    }
    with (folder / "pyproject.toml").open("a", encoding="utf-8") as project:
        project.write("\n[tool.mutmut]\n")
        project.writelines(f"{key} = {json.dumps(value)}\n" for key, value in settings.items())


def _mutmut(folder: Path, *words: str) -> str:
    command = [sys.executable, "-m", "mutmut", *words]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    (folder / f"{words[0]}.log").write_text(done.stdout + done.stderr, encoding="utf-8")
    return done.stdout


def _exit_codes(folder: Path) -> dict[str, int | None]:
    codes: dict[str, int | None] = {}
    for meta in (folder / "mutants").rglob("*.py.meta"):
        codes |= json.loads(meta.read_text(encoding="utf-8"))["exit_code_by_key"]
    return codes


def _module(name: str) -> str:
    return name.rpartition(".")[0]


def told(name: str, outcome: Outcome) -> str:
    """Return a table of an area's modules, and what every survivor changed."""
    lost = Counter(map(_module, outcome.survived))
    rows = [f"## {name}: {outcome.share:.0%} of {outcome.killed.total() + lost.total()} killed"]
    rows += ["", "| module | killed | survived |", "|---|---|---|"]
    modules = sorted(set(outcome.killed) | set(lost))
    rows += [f"| {module} | {outcome.killed[module]} | {lost[module]} |" for module in modules]
    return "\n".join([*rows, "", *outcome.survived.values(), ""])


def main() -> int:
    """Run the areas asked for and print what became of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("areas", nargs="*", metavar="AREA", help=", ".join(AREAS))
    parser.add_argument("--sample", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="work in this folder, and leave it")
    given = parser.parse_args()
    below = False
    for name in given.areas or AREAS:
        with tempfile.TemporaryDirectory() as folder:
            place = (given.keep or Path(folder)) / name
            outcome = run_area(AREAS[name], given.sample, given.seed, place)
        sys.stdout.write(told(name, outcome))
        sys.stdout.flush()
        below |= outcome.share < AIM
    return int(below)


if __name__ == "__main__":
    sys.exit(main())
