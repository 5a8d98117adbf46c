"""The photo that is read while the command is still being imported."""

import subprocess
import sys
from pathlib import Path

import pytest
from waiting import LONG

from catalog import photo
from catalog.errors import PhotoError
from cli.early_reading import read_early, reader

ROOT = Path(__file__).parents[1]
BESIDE = """
import threading
from catalog.system.silence import ERROR, silent
from cli import console
turned, said = threading.Event(), threading.Event()

def read():
    with silent(ERROR):
        turned.set()
        said.wait()
        with silent(ERROR):
            pass

reading = threading.Thread(target=read)
reading.start()
turned.wait()
console.complain("first")
said.set()
reading.join()
console.complain("second")
"""


@pytest.fixture
def photos_read(monkeypatch):
    """Stand in for the reading, and return the photos that were read."""
    seen = []

    def read(path):
        seen.append(path)
        if "broken" in path.name:
            raise PhotoError("broken", "mend it")
        return path.name

    monkeypatch.setattr(photo, "read_photo", read)
    return seen


def test_the_first_photo_that_is_named_is_read_once(tmp_path, photos_read):
    one, two = (tmp_path / name for name in ("one.JPG", "two.heic"))
    one.touch()
    two.touch()
    read_early(["--out", "gone.jpg", "--square", "5", str(one), str(two)])
    read = reader([one, two])
    assert (read(one), read(two)) == ("one.JPG", "two.heic")
    assert photos_read == [one, two]


def test_what_is_wrong_with_a_photo_is_told_where_it_is_asked_for(tmp_path, photos_read):
    broken = tmp_path / "broken.jpg"
    broken.touch()
    read_early([str(broken)])
    read = reader([broken])
    with pytest.raises(PhotoError):
        read(broken)
    assert photos_read == [broken]


def test_another_photo_than_was_begun_is_read_too(tmp_path, photos_read):
    for name in ("one.jpg", "two.jpg"):
        (tmp_path / name).touch()
    read_early([str(tmp_path / "one.jpg")])
    assert reader([tmp_path / "two.jpg"])(tmp_path / "two.jpg") == "two.jpg"


def test_a_count_of_what_is_no_photo_reads_nothing_early(tmp_path, photos_read):
    (tmp_path / "folder.jpg").mkdir()
    read_early(["blues", "--help", "gone.jpg", str(tmp_path / "folder.jpg"), "x" * 5000 + ".jpg"])
    assert photos_read == []


def test_a_word_is_heard_while_a_photo_is_read_beside():
    run = subprocess.run(
        [sys.executable, "-c", BESIDE],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        timeout=LONG,
        check=True,
    )
    assert run.stderr == "calicount: first\ncalicount: second\n"
