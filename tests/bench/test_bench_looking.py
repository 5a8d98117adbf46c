"""Many photos on two cores against one, and squares seen twice in a large bundle.

Run with ``pytest tests/bench/test_bench_looking.py --benchmark-only -s`` on a machine with nothing
else to do; it prints the ratio that is asked for: photos on two cores at least 1.8 times as fast as
on one. Each run is a process of its own, held to its cores, and times the looking without the
start; the two take turns.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from statistics import median

import psutil
import pytest

ROOT = Path(__file__).parents[2]
PHOTOS = 40
ROUNDS = 3
RUN = """
import sys, time
from pathlib import Path
import psutil
from catalog.analysis import analyse_photo, analyse_photos

def main():
    jobs, count = map(int, sys.argv[1:])
    psutil.Process().cpu_affinity(psutil.Process().cpu_affinity()[:jobs])
    if jobs == 1:
        import cv2
        cv2.setNumThreads(1)
    files = [Path("sample_photos", f"bundle_25_photo_{one}.jpg").read_bytes() for one in "ab"]
    def copies(several):
        return [(f"{n}.jpg", files[n % 2] + n.to_bytes(2, "big")) for n in range(several)]
    list(analyse_photos(copies(2 * jobs), 5.0, jobs=jobs))
    began = time.perf_counter()
    seen = list(analyse_photos(copies(count), 5.0, jobs=jobs))
    print(time.perf_counter() - began)
    assert [len(one.swatches) for one in seen] == [25] * count

main()
"""


def seconds(jobs):
    ended = subprocess.run(
        [sys.executable, "-c", RUN, str(jobs), str(PHOTOS)],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert ended.returncode == 0, ended.stderr
    return float(ended.stdout)


@pytest.mark.benchmark(group="photos")
@pytest.mark.skipif(
    not hasattr(psutil.Process, "cpu_affinity") or (psutil.cpu_count() or 1) < 2,
    reason="needs two cores that processes can be held to",
)
def test_two_cores(benchmark):
    ones, twos = [], []
    benchmark.pedantic(
        lambda: twos.append(seconds(2)), setup=lambda: ones.append(seconds(1)), rounds=ROUNDS
    )
    ratio = median(ones) / median(twos)
    benchmark.extra_info.update(ratio=round(ratio, 2), photos=PHOTOS)
    print(f"\n{PHOTOS} photos: {ratio:.2f} times as fast on two cores as on one")  # noqa: T201
    assert ratio >= 1.8
