"""What a process takes from its start to its end: seconds by the clock and of processor, memory."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
PHOTO: Final = ROOT / "sample_photos" / "rainbow_tonals_10x10.jpg"
"""12 megapixels, 100 squares."""
COUNT_ENDS: Final = (0, 3)
"""A count has done its work too where it says that squares are short."""
ONE_THREAD: Final = {
    "OMP_NUM_THREADS": "1",
    "OPENBLAS_NUM_THREADS": "1",
    "OPENCV_FOR_THREADS_NUM": "1",
}
"""Threads that wait for one another spin, more of them on more cores: with one each the processor's
seconds are those of the work."""
BYTES_A_UNIT: Final = 1 if sys.platform == "darwin" else 1024
"""What ``ru_maxrss`` counts in."""


@dataclass(frozen=True)
class ProcessCost:
    """What one process took, those that it waited for with it."""

    wall_s: float
    processor_s: float
    peak_mb: float
    """Most memory resident at once, megabytes."""


def floor(photo: Path = PHOTO) -> tuple[str, ...]:
    """Return the least that looking at a photo takes: Python, OpenCV and decoding it.

    OpenCV decodes no HEIC; libheif does, as it does for the command.
    """
    decoded = f"cv2.imread({str(photo)!r}) is not None"
    if photo.suffix == ".heic":
        decoded = f"numpy.asarray(pillow_heif.open_heif({str(photo)!r})).size"
        return (sys.executable, "-c", f"import cv2, numpy, pillow_heif; assert {decoded}")
    return (sys.executable, "-c", f"import cv2; assert {decoded}")


def command(*words: object) -> tuple[str, ...]:
    """Return our command, of the tree in which it is run."""
    return (sys.executable, "-m", "cli.start", *map(str, words))


def run_process(
    words: Sequence[str],
    *,
    tree: Path = ROOT,
    threads: Mapping[str, str] | None = None,
    ends: Sequence[int] = (0,),
) -> ProcessCost:
    """Run to the end and measure.

    Parameters
    ----------
    words : sequence of str
    tree : Path
        Where to run it: its modules are those that Python finds.
    threads : mapping, optional
        Environment that holds libraries to so many threads; as it comes for None.
    ends : sequence of int
        Exit codes of a run that did its work.

    Raises
    ------
    RuntimeError
        It ended with another code; the message is what it said.
    """
    environment = {**os.environ, **(threads or {})}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # else each run compiles all modules anew
    began = time.perf_counter()
    with subprocess.Popen(
        words, cwd=tree, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    ) as process:
        said = process.stderr.read() if process.stderr else b""
        _, status, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - began
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in ends:
        raise RuntimeError(f"{' '.join(words)} ended with {process.returncode}: {said.decode()}")
    memory = used.ru_maxrss * BYTES_A_UNIT / 1e6
    return ProcessCost(wall, used.ru_utime + used.ru_stime, memory)
