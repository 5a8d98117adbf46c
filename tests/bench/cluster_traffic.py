"""What travels to a Dask cluster and back, and two of its workers beside two of joblib's.

    python tests/bench/cluster_traffic.py [--photos 40] [--folder FOLDER]

The photos are those of many_photos.py. A cluster of two worker processes on this machine, and two
processes of joblib, each look at all of them, workers started and warmed up on two photos before.
Bytes are the photo files', the pickled results' and, of Dask, what the first process (the one that
asks, the scheduler in it) wrote to connections, by the count of distributed's own `TCP.write`: a
photo twice, to the scheduler and on to a worker, a result once. Prints a Markdown table.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from many_photos import make_photos
from process_costs import ROOT

RUN: Final = """
import json, os, pickle, sys, time
from contextlib import ExitStack
from pathlib import Path
import joblib, psutil
from catalog.analysis import analyse_photos

def spent():
    own = psutil.Process()
    workers = sum(sum(one.cpu_times()[:2]) for one in own.children(recursive=True))
    return time.time(), sum(own.cpu_times()[:2]), workers

sent = [0]

def counted(write):
    async def counting(self, *words, **named):
        number = await write(self, *words, **named)
        sent[0] += number or 0
        return number
    return counting

def main():
    files = [Path(name) for name in sys.argv[2:]]
    photos = [(file.name, file) for file in files]
    with ExitStack() as stack:
        if sys.argv[1] == "Dask":
            from dask.distributed import Client, LocalCluster
            from distributed.comm.tcp import TCP
            TCP.write = counted(TCP.write)
            cluster = stack.enter_context(LocalCluster(
                n_workers=2, threads_per_worker=1, dashboard_address=None))
            stack.enter_context(Client(cluster))
            stack.enter_context(joblib.parallel_config(backend="dask"))
        list(analyse_photos(photos[:2], 5.0, jobs=2))
        before, sent[0] = spent(), 0
        looked = list(analyse_photos(photos, 5.0, jobs=2))
        took = [b - a for a, b in zip(before, spent())]
        result = sum(len(pickle.dumps(one, 5)) for one in looked)
        print(json.dumps([*took, sum(file.stat().st_size for file in files), result, sent[0]]))

if __name__ == "__main__":
    main()
"""


def row(name: str, photos: Sequence[Path]) -> str:
    """Look at the photos in one of the ways; return a line of the table, all by photo."""
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "run.py"  # a cluster's processes import the script that starts them
        script.write_text(RUN, encoding="utf-8")
        words = [sys.executable, str(script), name, *map(str, photos)]
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        told = subprocess.run(
            words, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True, check=True
        ).stdout
    wall, own, workers, files, results, sent = (one / len(photos) for one in json.loads(told))
    seconds = " | ".join(f"{one:.3f}" for one in (wall, own, workers))
    return (
        f"| {name} | {seconds} | "
        + " | ".join(f"{one / 1000:,.0f}" for one in (files, results, sent))
        + " |"
    )


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--photos", type=int, default=40)
    asked.add_argument("--folder", type=Path)
    said = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        photos = make_photos(said.folder or Path(folder), said.photos)
        heads = (
            "of one photo",
            "s by the clock",
            "first process",
            "workers",
            "file kB",
            "result kB",
        )
        lines = [f"| {' | '.join((*heads, 'written kB'))} |", "|---" * 7 + "|"]
        lines += [row(name, photos) for name in ("joblib", "Dask")]
    sys.stdout.write("\n".join([*lines, ""]))


if __name__ == "__main__":
    main()
