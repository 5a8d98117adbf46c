"""The photo that is read and looked at while the command is still being imported."""

import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from waiting import LONG

from catalog import photo
from catalog.errors import PhotoError
from catalog.finding import early_look
from cli import early_reading
from cli.early_reading import NEEDED_LATER, TABLE_ON_CONSOLE, look_early, looks_begun

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
    """Stand in for the reading and the detector, and return the photos that were read."""
    seen = []

    def read(path):
        seen.append(path)
        if "broken" in path.name:
            raise PhotoError("broken", "mend it")
        return SimpleNamespace(pixels=path.name)

    monkeypatch.setattr(photo, "read_photo", read)
    monkeypatch.setattr(early_look, "read_detector", lambda: None)
    monkeypatch.setattr(early_look, "image_pyramid", lambda pixels: [pixels])
    monkeypatch.setattr(early_look, "detect", lambda levels: f"squares in {levels[0]}")
    return seen


def test_the_first_photo_that_is_named_is_read_and_looked_at_once(tmp_path, photos_read):
    one, two = (tmp_path / name for name in ("one.JPG", "two.heic"))
    one.touch()
    two.touch()
    look_early(["--out", "gone.jpg", "--square", "5", str(one), str(two)])
    begun = looks_begun([one, two], with_table=False)
    look = begun(one)
    assert (look.photo().pixels, look.levels()) == ("one.JPG", ["one.JPG"])
    assert look.detections() == "squares in one.JPG"
    assert (begun(one), begun(two)) == (None, None)
    assert photos_read == [one]


def test_what_is_wrong_with_a_photo_is_told_where_it_is_asked_for(tmp_path, photos_read):
    broken = tmp_path / "broken.jpg"
    broken.touch()
    look_early([str(broken)])
    look = looks_begun([broken], with_table=True)(broken)
    for ask in (look.photo, look.levels, look.detections):
        with pytest.raises(PhotoError):
            ask()
    assert photos_read == [broken]


def test_another_photo_than_was_begun_is_read_too(tmp_path, photos_read):
    for name in ("one.jpg", "two.jpg"):
        (tmp_path / name).touch()
    look_early([str(tmp_path / "one.jpg")])
    two = tmp_path / "two.jpg"
    assert looks_begun([two], with_table=False)(two).photo().pixels == "two.jpg"


def test_a_count_of_what_is_no_photo_reads_nothing_early(tmp_path, photos_read):
    (tmp_path / "folder.jpg").mkdir()
    look_early(["blues", "gone.jpg", str(tmp_path / "folder.jpg"), "x" * 5000 + ".jpg"])
    assert photos_read == []


def test_nothing_is_read_for_help(tmp_path, photos_read):
    (tmp_path / "one.jpg").touch()
    look_early([str(tmp_path / "one.jpg"), "--help"])
    assert photos_read == []


@pytest.mark.parametrize("with_table", [True, False])
def test_what_is_needed_later_is_imported_while_the_detector_looks(
    tmp_path, photos_read, monkeypatch, with_table
):
    one, then = tmp_path / "one.jpg", []
    one.touch()
    look = looks_begun([one], with_table=with_table)(one)
    monkeypatch.setattr(early_reading, "import_module", then.append)
    assert look.photo().pixels == "one.jpg"
    assert then == []
    look.detections()
    assert then == [*NEEDED_LATER, *(TABLE_ON_CONSOLE if with_table else ())]


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
