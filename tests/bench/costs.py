"""What the tests cost: processor seconds of each test file, and of its dearest test.

    python tests/bench/costs.py [tests/test_X.py ...]

Runs the files (all of them, unless named) one after another in one process each, and counts what
the process and those that it started and waited for took, so that the figures hold on a machine
that does other things too. Prints a Markdown table, the dearest file first.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOLD = "CALICOUNT_COSTS"
"""Environment variable: where the plugin writes what each test took."""


@dataclass(frozen=True)
class Cost:
    """Processor seconds of a file."""

    file: str
    tests: int
    whole: float
    """Imports, fixtures and tests."""
    dearest: str
    most: float
    """What the dearest test took, its own fixtures with it."""


class Meter:
    """A pytest plugin that notes what each test takes."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.took: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> object:
        before = spent()
        answer = yield
        self.took[item.nodeid] = spent() - before
        return answer

    def pytest_sessionfinish(self) -> None:
        self.path.write_text(json.dumps({"whole": spent(), "took": self.took}), encoding="utf-8")


def spent() -> float:
    """Return the processor seconds of this process and of those it waited for."""
    return sum(os.times()[:4])


def pytest_configure(config: pytest.Config) -> None:
    """Measure where this module is loaded as a plugin."""
    config.pluginmanager.register(Meter(Path(os.environ[TOLD])), "meter of costs")


def cost_of(file: Path, folder: Path) -> Cost:
    """Run a file's tests in a process of their own."""
    told = folder / f"{file.stem}.json"
    words = ["-n", "0", "-p", "costs", str(file)]
    path = os.pathsep.join([str(Path(__file__).parent), os.environ.get("PYTHONPATH", "")])
    environment = {**os.environ, TOLD: str(told), "PYTHONPATH": path.rstrip(os.pathsep)}
    command = [sys.executable, "-m", "pytest", *words]
    subprocess.run(command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=False)
    found = json.loads(told.read_text(encoding="utf-8"))
    took = {name.partition("::")[2]: seconds for name, seconds in found["took"].items()}
    dearest = max(took, key=took.__getitem__, default="")
    return Cost(file.name, len(took), found["whole"], dearest, took.get(dearest, 0.0))


def main() -> None:
    """Measure the files named."""
    files = [Path(name).resolve() for name in sys.argv[1:]]
    with tempfile.TemporaryDirectory() as folder:
        costs = [
            cost_of(file, Path(folder))
            for file in files or sorted((ROOT / "tests").glob("test_*.py"))
        ]
    rows = [
        f"| {one.file} | {one.tests} | {one.whole:.0f} | {one.dearest} | {one.most:.1f} |"
        for one in sorted(costs, key=lambda one: -one.whole)
    ]
    head = ["| file | tests | s | dearest test | s |", "|---|---|---|---|---|"]
    sys.stdout.write("\n".join([*head, *rows, ""]))


if __name__ == "__main__":
    main()
