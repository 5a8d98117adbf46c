"""How long the stages take on the 12 MP photo of 100 squares, and finding on every sample photo.

Run with ``pytest tests/bench/test_bench_finding.py --benchmark-only``.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog.finding import find_squares
from catalog.light import estimate_light
from catalog.measuring import measure
from catalog.photo import read_photo

SAMPLES = Path(__file__).parents[2] / "sample_photos"
LARGE = SAMPLES / "rainbow_tonals_10x10.jpg"


@pytest.fixture(scope="module")
def large():
    photo = read_photo(LARGE)
    found = find_squares(photo, 5.0)
    return photo, found, estimate_light(photo, found)


@pytest.mark.benchmark(group="stages")
def test_reading(benchmark):
    photo = benchmark.pedantic(read_photo, args=(LARGE,), rounds=5, warmup_rounds=1)
    assert photo.pixels.size >= 12_000_000 * 3 * 0.9


@pytest.mark.benchmark(group="stages")
def test_finding_a_hundred_squares(benchmark, large):
    found = benchmark.pedantic(find_squares, args=(large[0], 5.0), rounds=5)
    assert len(found.squares) == 100


@pytest.mark.benchmark(group="stages")
def test_light(benchmark, large):
    assert benchmark.pedantic(estimate_light, args=large[:2], rounds=5).evidence


@pytest.mark.benchmark(group="stages")
def test_measuring_a_hundred_squares(benchmark, large):
    assert len(benchmark.pedantic(measure, args=large, rounds=5)) == 100


@pytest.mark.benchmark(group="finding")
@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.jpg")), ids=lambda path: path.stem)
def test_finding(benchmark, path):
    photo = read_photo(path)
    found = benchmark.pedantic(find_squares, args=(photo, 5.0), rounds=3, warmup_rounds=1)
    assert found.squares
