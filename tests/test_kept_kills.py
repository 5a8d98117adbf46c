"""A catalogue whose process is killed at any instant is whole, and holds the old or the new."""

import os
import random
import shutil
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest
from waiting import LONG

from catalog.catalogue.store.catalogue_file import connect
from catalog.catalogue.store.integrity import check_up

TESTS = Path(__file__).parent

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system can't fork a process")


def killed(folder, kills, seed):
    """Kill a process again and again in the midst of its changes; see ``killed.py``."""
    return subprocess.run(
        [sys.executable, str(TESTS / "killed.py"), str(folder), str(seed), str(kills)],
        env={**os.environ, "PYTHONPATH": str(TESTS.parent)},
        capture_output=True,
        encoding="utf-8",
        timeout=LONG * kills,
        check=False,
    )


@needs_fork
def test_a_dozen_kills(tmp_path):
    ended = killed(tmp_path, 12, seed=1)
    assert ended.returncode == 0, ended.stdout + ended.stderr
    assert "12 kills, 0 faults" in ended.stdout


@needs_fork
@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 6))
def test_two_hundred_kills(tmp_path, seed):
    ended = killed(tmp_path, 50, seed)
    assert ended.returncode == 0, ended.stdout + ended.stderr


@pytest.mark.slow
def test_kills_while_photos_are_looked_at_and_squares_measured_again(tmp_path, two_photos):
    """The command itself, with real photos; a kill is what the system's own task list does."""
    place = tmp_path / "kept.catalogue"
    connect(place).close()
    chance = random.Random(7)
    for words in (
        ["add", "blues", str(two_photos[0])],
        ["square", "isnt", "blues", "R1C1"],
        ["add", "blues", str(two_photos[1])],
        ["light", "blues", "--white", "R2C2", "--yes"],
        ["undo", "blues"],
        ["count", "blues"],
    ):
        before, old = tmp_path / "before.catalogue", state(place)
        shutil.copy(place, before)
        lasted = ran(place, words, tmp_path)
        new = state(place)
        assert new != old
        for kill in range(4):
            tried = tmp_path / f"{words[0]} {len(list(tmp_path.iterdir()))} {kill}.catalogue"
            shutil.copy(before, tried)
            ran(tried, words, tmp_path, chance.uniform(0.3, 1.1) * lasted)
            assert state(tried) in (old, new)


def ran(place, words, folder, kill_after=None):
    """Run the command, or kill it after some seconds; give how long it took."""
    began = time.monotonic()
    with subprocess.Popen(
        [sys.executable, "-m", "cli.start", *words],
        cwd=folder,
        env={
            **os.environ,
            "CALICOUNT_CATALOGUE": str(place),
            "PYTHONPATH": str(TESTS.parent),
        },
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as process:
        try:
            process.wait(kill_after)
        except subprocess.TimeoutExpired:
            process.kill()
    return time.monotonic() - began


def state(place):
    """Return the versions and the counts that a catalogue holds, which is whole."""
    with closing(connect(place)) as sql:
        assert check_up(sql).faults == ()
        versions = sql.execute("select name, version from bundles order by name").fetchall()
        counts = sql.execute("select count(*) from counts").fetchone()
    return [tuple(row) for row in (*versions, counts)]
