"""Hostile files through the whole command: one sentence, in bounded time and memory, and no trace.

The bounds catch what has none: unbounded, these files take many minutes or many gigabytes. Time is
`waiting.LONG`; memory is `MOST`, of which the largest took a third when it was measured.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import hostile
import pytest
from waiting import LONG

ROOT = Path(__file__).parents[1]
MOST = 1 << 30
"""Bytes of memory that the command may hold, its libraries and the file among them."""
WATCH = """
import pathlib, resource, subprocess, sys
code = subprocess.call(sys.argv[2:])
used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
pathlib.Path(sys.argv[1]).write_text(str(used))
sys.exit(code)
"""
"""Runs the command from a small process: a process counts as its own what its parent held."""
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in Linux's way")


@pytest.fixture
def folder(tmp_path):
    """A folder to work in, of which all is known that it holds."""
    made = tmp_path / "work"
    made.mkdir()
    return made


def ended(folder, *words):
    """Run the command: its exit code, what it said, what it complained of; within the bounds."""
    used = folder.with_name("used")
    with subprocess.Popen(
        [sys.executable, "-c", WATCH, used, sys.executable, "-m", "cli.start", *map(str, words)],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        start_new_session=True,
    ) as process:
        try:
            said, complained = process.communicate(timeout=LONG)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            raise
    assert int(used.read_text()) * 1024 <= MOST
    return process.returncode, said, complained


def refused(folder, *words, code=2):
    """Run the command on what it can't use; give its sentence, having seen that it left nothing."""
    before = sorted(folder.rglob("*"))
    ended_with, said, complained = ended(folder, *words)
    assert (ended_with, said) == (code, ""), complained
    assert complained.startswith("calicount: ")
    assert complained.endswith(".\n")
    assert complained.count("\n") == 1
    assert complained.isascii() or complained[:-1].isprintable()
    assert sorted(folder.rglob("*")) == before
    return complained


def written(folder, name, made):
    content = made()
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return name


@pytest.mark.parametrize("name", hostile.PHOTOS)
def test_a_hostile_photo_counted(folder, name):
    assert f"'{name}' " in refused(folder, "count", written(folder, name, hostile.PHOTOS[name]))


def test_odd_photos_counted(folder):
    names = [written(folder, name, made) for name, made in hostile.HARMLESS.items()]
    assert f"{' and '.join(names)}: no squares found" in refused(folder, "count", *names, code=4)


@pytest.mark.parametrize("name", hostile.PATTERNS)
def test_a_hostile_pattern(folder, name, small_photo):
    file = written(folder, name, hostile.PATTERNS[name])
    assert name in refused(folder, "count", small_photo, "--pattern", file)


@pytest.mark.parametrize("name", hostile.ARCHIVES)
def test_a_hostile_archive_taken_in(folder, name):
    assert f"'{name}' can't be taken in" in refused(
        folder, "import", written(folder, name, hostile.ARCHIVES[name])
    )


@pytest.mark.parametrize(
    "words",
    [
        ("count", "pipe"),
        ("count", "photo", "--pattern", "pipe"),
        ("import", "pipe"),
        ("add", "bundle", "pipe"),
    ],
)
def test_a_pipe_is_not_waited_for(folder, words, small_photo):
    os.mkfifo(folder / "pipe")
    assert "pipe" in refused(folder, *(small_photo if word == "photo" else word for word in words))


@pytest.mark.parametrize("name", ["20,000 scans.jpg", "a million chunks.webp"])
def test_a_hostile_photo_kept(folder, name):
    assert f"'{name}' " in refused(
        folder, "add", "bundle", written(folder, name, hostile.PHOTOS[name])
    )
