"""Hostile files through the whole command: one sentence, in bounded time and memory, and no trace.

The bounds catch what has none: unbounded, these files take many minutes or many gigabytes. Time is
`waiting.LONG`; memory is `MOST`, of which the largest took a third when it was measured.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import hostile
import pytest
from waiting import LONG

ROOT = Path(__file__).parents[1]
MOST = 1 << 30
"""Bytes of memory that the command may hold, its libraries and the file among them."""
WARM = """
import json, os, resource, signal, sys
import cv2, numpy, pillow_heif, PIL.Image  # what a command imports before it reads a file
import cli.main
from catalog import analysis, catalogue, pipeline  # what it imports at its work
from catalog.catalogue.archive import archive_import
from cli.bundles import add_run
from cli.counting import count_run
from cli.start import run
for line in sys.stdin:
    asked = json.loads(line)
    child = os.fork()
    if not child:
        signal.alarm(asked["seconds"])  # its default ends the process
        os.chdir(asked["folder"])
        os.environ.update(asked["environment"])
        for number, name in ((1, "said"), (2, "complained")):
            os.dup2(os.open(asked[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC), number)
        sys.argv = ["calicount", *asked["words"]]
        run()
    _, status, used = os.wait4(child, 0)
    print(json.dumps([os.waitstatus_to_exitcode(status), used.ru_maxrss]), flush=True)
"""
"""Runs commands in processes of their own that needn't import everything anew; a process counts
as its own memory what its parent held."""
pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in Linux's way")


@pytest.fixture
def folder(tmp_path):
    """A folder to work in, of which all is known that it holds."""
    made = tmp_path / "work"
    made.mkdir()
    return made


@pytest.fixture(scope="module")
def warm():
    """A process that runs commands."""
    with subprocess.Popen(
        [sys.executable, "-c", WARM],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        encoding="utf-8",
    ) as process:
        yield process
        process.stdin.close()


@pytest.fixture
def ended(warm, folder):
    """Run a command: its exit code, what it said, what it complained of; within the bounds."""

    def run(*words):
        streams = {name: str(folder.with_name(name)) for name in ("said", "complained")}
        asked = {
            **streams,
            "words": [str(word) for word in words],
            "folder": str(folder),
            "environment": dict(os.environ),
            "seconds": int(LONG),
        }
        warm.stdin.write(f"{json.dumps(asked)}\n")
        warm.stdin.flush()
        code, used = json.loads(warm.stdout.readline())
        assert used * 1024 <= MOST
        return code, *(Path(one).read_text("utf-8") for one in streams.values())

    return run


@pytest.fixture
def refused(folder, ended):
    """Run a command on what it can't use; give its sentence, having seen that it left nothing."""

    def run(*words, code=2):
        before = sorted(folder.rglob("*"))
        ended_with, said, complained = ended(*words)
        assert (ended_with, said) == (code, ""), complained
        assert complained.startswith("calicount: ")
        assert complained.endswith(".\n")
        assert complained.count("\n") == 1
        assert complained.isascii() or complained[:-1].isprintable()
        assert sorted(folder.rglob("*")) == before
        return complained

    return run


def written(folder, name, made):
    content = made()
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return name


@pytest.mark.parametrize("name", hostile.PHOTOS)
def test_a_hostile_photo_counted(refused, folder, name):
    assert f"'{name}' " in refused("count", written(folder, name, hostile.PHOTOS[name]))


def test_odd_photos_counted(refused, folder):
    names = [written(folder, name, made) for name, made in hostile.HARMLESS.items()]
    assert f"{' and '.join(names)}: no squares found" in refused("count", *names, code=4)


@pytest.mark.parametrize("name", hostile.PATTERNS)
def test_a_hostile_pattern(refused, folder, name, small_photo):
    file = written(folder, name, hostile.PATTERNS[name])
    assert name in refused("count", small_photo, "--pattern", file)


@pytest.mark.parametrize("name", hostile.ARCHIVES)
def test_a_hostile_archive_taken_in(refused, folder, name):
    assert f"'{name}' can't be taken in" in refused(
        "import", written(folder, name, hostile.ARCHIVES[name])
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
def test_a_pipe_is_not_waited_for(refused, folder, words, small_photo):
    os.mkfifo(folder / "pipe")
    assert "pipe" in refused(*(small_photo if word == "photo" else word for word in words))


@pytest.mark.parametrize("name", ["20,000 scans.jpg", "a million chunks.webp"])
def test_a_hostile_photo_kept(refused, folder, name):
    assert f"'{name}' " in refused("add", "bundle", written(folder, name, hostile.PHOTOS[name]))
