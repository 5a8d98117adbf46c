"""What a start of the command and a whole run cost, in time and memory.

Run with ``pytest tests/bench/test_bench_command.py --benchmark-only -s``; it prints the ratios
that are asked for: the whole command on the 12 MP photo of 100 squares to a Python that imports
OpenCV and decodes that photo (at most 20), its peak memory (at most 700 MB), and ``--help`` to a
Typer app of two empty commands (at most 2.5).
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import psutil
import pytest

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_photos" / "rainbow_tonals_10x10.jpg"
COMMAND = (sys.executable, "-m", "cli.start")
DECODE = (sys.executable, "-c", f"import cv2; assert cv2.imread({str(PHOTO)!r}) is not None")
BARE_TYPER = """
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
ROUNDS = 7


def run(words):
    """Run to the end; seconds by the clock."""
    began = time.perf_counter()
    ended = subprocess.run(words, cwd=ROOT, capture_output=True, check=False)
    assert ended.returncode in {0, 3}, ended.stderr
    return time.perf_counter() - began


def compared(benchmark, words, base, rounds=ROUNDS):
    """Time both by turns, so that a busy machine is busy for both; the ratio of medians."""
    bases = []
    benchmark.pedantic(
        run, args=(words,), setup=lambda: bases.append(run(base)), rounds=rounds, warmup_rounds=1
    )
    ratio = benchmark.stats.stats.median / median(bases)
    benchmark.extra_info.update(ratio=round(ratio, 2), base=round(median(bases), 3))
    return ratio


def tell(figure):
    print(f"\n{figure}")  # noqa: T201 - the figures are what this is run for


def peak_memory(words):
    """Run to the end; most resident memory seen, bytes."""
    running = psutil.Popen(words, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    most = 0
    while running.poll() is None:
        try:
            seen = running.memory_info()
        except psutil.Error:
            break
        most = max(most, getattr(seen, "peak_wset", seen.rss))
        time.sleep(0.005)
    assert running.wait() in {0, 3}
    return most


@pytest.mark.benchmark(group="command")
def test_whole_command(benchmark, tmp_path):
    words = (*COMMAND, "count", str(PHOTO), "--out", str(tmp_path / "out"), "--replace")
    ratio = compared(benchmark, words, DECODE)
    tell(f"whole command: {ratio:.1f} times starting Python, importing OpenCV and decoding")
    assert ratio <= 20


@pytest.mark.benchmark(group="memory")
def test_memory_of_the_whole_command(benchmark, tmp_path):
    words = (*COMMAND, "count", str(PHOTO), "--out", str(tmp_path / "out"), "--replace")
    most = benchmark.pedantic(peak_memory, args=(words,), rounds=1)
    benchmark.extra_info["peak_mb"] = round(most / 1e6)
    tell(f"peak memory of the whole command: {most / 1e6:.0f} MB")
    assert most <= 700e6


@pytest.mark.benchmark(group="start")
def test_help(benchmark):
    ratio = compared(benchmark, (*COMMAND, "--help"), (sys.executable, "-c", BARE_TYPER), 15)
    tell(f"--help: {ratio:.2f} times the help of a bare Typer app")
    assert ratio <= 2.5


@pytest.mark.benchmark(group="start")
def test_help_of_count(benchmark):
    words = (*COMMAND, "count", "--help")
    ratio = compared(benchmark, words, (sys.executable, "-c", BARE_TYPER), 15)
    tell(f"count --help: {ratio:.2f} times the help of a bare Typer app")
    assert ratio <= 2.5
