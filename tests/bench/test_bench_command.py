"""What a start of the command and a whole run cost, in time and memory.

Run with ``pytest tests/bench/test_bench_command.py --benchmark-only -s``; it prints by the clock
what ``tests/bench/history.py`` follows in processor seconds: the whole command on the 12 MP photo
of 100 squares to a Python that imports OpenCV and decodes that photo (at most 14; 6 is what we are
after), its peak memory (at most 250 MB), and ``--help`` to a Typer app of two empty commands (at
most 1.3; 2 for the help of ``count``, which has to know its options).
"""

from __future__ import annotations

import sys
from statistics import median

import pytest
from process_costs import COUNT_ENDS, PHOTO, command, floor, run_process
from work_ratios import BARE_TYPER

BARE = (sys.executable, "-c", BARE_TYPER)
ROUNDS = 7


def run(words):
    """Run to the end; seconds by the clock."""
    return run_process(words, ends=COUNT_ENDS).wall_s


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
    return run_process(words, ends=COUNT_ENDS).peak_mb * 1e6


@pytest.mark.benchmark(group="command")
def test_whole_command(benchmark, tmp_path):
    words = command("count", PHOTO, "--out", tmp_path / "out", "--replace")
    ratio = compared(benchmark, words, floor())
    tell(f"whole command: {ratio:.1f} times starting Python, importing OpenCV and decoding")
    assert ratio <= 14


@pytest.mark.benchmark(group="memory")
def test_memory_of_the_whole_command(benchmark, tmp_path):
    words = command("count", PHOTO, "--out", tmp_path / "out", "--replace")
    most = benchmark.pedantic(peak_memory, args=(words,), rounds=1)
    benchmark.extra_info["peak_mb"] = round(most / 1e6)
    tell(f"peak memory of the whole command: {most / 1e6:.0f} MB")
    assert most <= 250e6


@pytest.mark.benchmark(group="start")
def test_help(benchmark):
    ratio = compared(benchmark, command("--help"), BARE, 15)
    tell(f"--help: {ratio:.2f} times the help of a bare Typer app")
    assert ratio <= 1.3


@pytest.mark.benchmark(group="start")
def test_help_of_count(benchmark):
    words = command("count", "--help")
    ratio = compared(benchmark, words, BARE, 15)
    tell(f"count --help: {ratio:.2f} times the help of a bare Typer app")
    assert ratio <= 2.0
