"""What the tests cost: processor seconds of each test file, and of its dearest test.

    python tests/bench/costs.py [tests/test_X.py ...]

Runs the files (all of them, unless named) one after another in one process each, and counts what
the process and all that it started took, browsers with it, so that the figures hold on a machine
that does other things too. Prints a Markdown table, the dearest file first. Wants Linux: a browser
is killed at its end and waited for by nobody, unless its orphans come to this process.
"""

from __future__ import annotations

import ctypes
import json
import os
import resource
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import psutil
import pytest

ROOT = Path(__file__).resolve().parents[2]
TOLD = "CALICOUNT_COSTS"
"""Environment variable: where the plugin writes what each test took."""
PR_SET_CHILD_SUBREAPER = 36
"""Orphans go to the process that asks for them (prctl(2))."""


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
        living = "chromium" in getattr(item, "fixturenames", ())
        before = spent(living=living)
        answer = yield
        self.took[item.nodeid] = spent(living=living) - before
        return answer

    def pytest_sessionfinish(self) -> None:
        self.path.write_text(json.dumps(self.took), encoding="utf-8")


def spent(*, living: bool) -> float:
    """Return the processor seconds of this process and of those it waited for.

    With those of processes that it started and that still live, such as a browser, if asked.
    """
    total = sum(os.times()[:4])
    for one in psutil.Process().children(recursive=True) if living else ():
        try:
            total += sum(one.cpu_times()[:4])
        except psutil.NoSuchProcess:
            continue
    return total


def spent_by_children() -> float:
    """Return the processor seconds of all that was started here, now that it has ended."""
    while True:
        try:
            os.wait()
        except ChildProcessError:
            break
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def pytest_configure(config: pytest.Config) -> None:
    """Measure where this module is loaded as a plugin."""
    config.pluginmanager.register(Meter(Path(os.environ[TOLD])), "meter of costs")


def cost_of(file: Path, folder: Path) -> Cost:
    """Run a file's tests in a process of their own."""
    told = folder / f"{file.stem}.json"
    words = ["-n", "0", "-p", "costs", str(file)]
    path = os.pathsep.join([str(Path(__file__).parent), os.environ.get("PYTHONPATH", "")])
    environment = {**os.environ, TOLD: str(told), "PYTHONPATH": path.rstrip(os.pathsep)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # as .ci/run does
    command = [sys.executable, "-m", "pytest", *words]
    before = spent_by_children()
    subprocess.run(command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, check=False)
    whole = spent_by_children() - before
    found = json.loads(told.read_text(encoding="utf-8"))
    took = {name.partition("::")[2]: seconds for name, seconds in found.items()}
    dearest = max(took, key=took.__getitem__, default="")
    return Cost(file.name, len(took), whole, dearest, took.get(dearest, 0.0))


def main() -> None:
    """Measure the files named."""
    ctypes.CDLL(None).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
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
