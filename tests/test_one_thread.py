import os
import subprocess
import sys
from pathlib import Path

import pytest
from waiting import LONG

from catalog.analysis import analyse_photo

ROOT = Path(__file__).parents[1]
LOOK = """
import sys
from pathlib import Path

import cv2
import scipy.linalg
from threadpoolctl import threadpool_limits

from catalog.analysis import analyse_photo

cv2.setNumThreads(int(sys.argv[2]))
threadpool_limits(int(sys.argv[3]), "blas")
looked = analyse_photo(Path(sys.argv[1]).read_bytes(), "a", 5.0)
print(looked.found, looked.swatches, looked.light.tint.tolist(), looked.crops)
"""


def seen(looked):
    return f"{looked.found} {looked.swatches} {looked.light.tint.tolist()} {looked.crops}"


def seen_elsewhere(photo, opencv, blas):
    """Return in full what a photo gives in a process with so many threads."""
    ended = subprocess.run(
        [sys.executable, "-c", LOOK, photo, str(opencv), str(blas)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "OMP_NUM_THREADS": str(blas)},
        capture_output=True,
        encoding="utf-8",
        timeout=LONG,
        check=True,
    )
    return ended.stdout.strip()


def test_a_photo_gives_the_same_to_the_last_bit_whatever_the_threads(two_photos):
    here = seen(analyse_photo(two_photos[0].read_bytes(), "a", 5.0))
    for opencv, blas in [(1, 1), (2, 2), (4, 4), (8, 2)]:
        assert seen_elsewhere(two_photos[0], opencv, blas) == here, (opencv, blas)


@pytest.mark.slow
def test_whole_photos_give_the_same_whatever_the_threads(sample_photos):
    for photo in sorted(sample_photos.glob("*.jpg")):
        one = seen_elsewhere(photo, 1, 1)
        assert all(seen_elsewhere(photo, n, n) == one for n in (2, 4, 8)), photo.name


PIN = """
import threading

import numpy as np
from threadpoolctl import threadpool_info, threadpool_limits

from catalog.system.one_thread import on_one_thread


@on_one_thread
def stage():
    return {one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"}


def meanwhile(others):
    threads = [threading.Thread(target=lambda: told.append(stage())) for _ in range(others)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


told = []
meanwhile(3)
threadpool_limits(2, "blas")
told.append(stage())
meanwhile(3)
assert told == [{1}] * 7, told
"""


def test_linear_algebra_keeps_to_one_thread_in_whichever_thread_it_runs():
    subprocess.run([sys.executable, "-c", PIN], cwd=ROOT, timeout=LONG, check=True)


LATE = """
from threadpoolctl import threadpool_info

from catalog.system.deferred_modules import defer
from catalog.system.one_thread import on_one_thread


@on_one_thread
def stage():
    return [one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"]


defer("scipy.linalg")
import scipy.linalg

before = stage()
scipy.linalg.norm([3.0, 4.0])
after = stage()
assert {*before, *after} == {1} and len(after) > len(before), (before, after)
"""


def test_what_waits_to_be_run_keeps_to_it_too():
    several = {**os.environ, "OPENBLAS_NUM_THREADS": "2"}
    subprocess.run([sys.executable, "-c", LATE], cwd=ROOT, env=several, timeout=LONG, check=True)
