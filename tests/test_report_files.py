import os
import sys
from pathlib import Path

import pytest

from catalog.errors import OutputError
from catalog.report.files import fresh_folder, refuse_taken, write_files


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_text_and_bytes_are_written_as_they_are(tmp_path):
    folder = tmp_path / "Neue Ausgabe" / "deep"
    written = write_files(folder, {"a.csv": "ä,½\r\n", "b.jpg": b"\xff\x00\r\n"})
    assert written == (folder / "a.csv", folder / "b.jpg")
    assert (folder / "a.csv").read_bytes() == "ä,½\r\n".encode()
    assert (folder / "b.jpg").read_bytes() == b"\xff\x00\r\n"
    assert names(folder) == ["a.csv", "b.jpg"]


def test_a_file_that_is_there_is_not_written_over(tmp_path):
    (tmp_path / "b.csv").write_text("mine")
    with pytest.raises(OutputError, match=r"already holds b\.csv; .*--replace") as caught:
        write_files(tmp_path, {"a.csv": "new", "b.csv": "new"})
    assert caught.value.exit_code == 2
    assert (tmp_path / "b.csv").read_text() == "mine"
    assert names(tmp_path) == ["b.csv"]


def test_other_files_in_the_folder_are_no_hindrance_and_stay(tmp_path):
    (tmp_path / "notes.txt").write_text("mine")
    write_files(tmp_path, {"a.csv": "new"}, ours=("a.csv", "tally.csv"), replace=True)
    assert names(tmp_path) == ["a.csv", "notes.txt"]


def test_replace_leaves_nothing_of_an_earlier_run(tmp_path):
    ours = ("a.csv", "tally.csv")
    write_files(tmp_path, {"a.csv": "old", "tally.csv": "old"}, ours=ours)
    with pytest.raises(OutputError, match=r"tally\.csv"):
        write_files(tmp_path, {"a.csv": "new"}, ours=ours)
    write_files(tmp_path, {"a.csv": "new"}, ours=ours, replace=True)
    assert names(tmp_path) == ["a.csv"]
    assert (tmp_path / "a.csv").read_text() == "new"


def test_a_folder_that_is_a_file(tmp_path):
    (tmp_path / "out").write_text("mine")
    for replace in (False, True):
        with pytest.raises(OutputError, match=r"out'"):
            write_files(tmp_path / "out", {"a.csv": "new"}, replace=replace)
    with pytest.raises(OutputError, match="is a file, not a folder"):
        refuse_taken(tmp_path / "out", ["a.csv"])
    assert (tmp_path / "out").read_text() == "mine"


def test_a_folder_in_the_place_of_a_file(tmp_path):
    (tmp_path / "a.csv").mkdir()
    for replace in (False, True):
        with pytest.raises(OutputError):
            write_files(tmp_path, {"0.csv": "new", "a.csv": "new"}, replace=replace)
    assert names(tmp_path) == ["a.csv"]


def test_a_disk_that_fills_up_leaves_nothing_half_written(tmp_path, monkeypatch):
    (tmp_path / "a.csv").write_text("old")
    write_bytes = Path.write_bytes

    def full(self, data):
        if "b.csv" in self.name:
            write_bytes(self, data[:1])
            raise OSError(28, "No space left on device")
        return write_bytes(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write_files(tmp_path, {"a.csv": "new", "b.csv": "new"}, replace=True)
    assert names(tmp_path) == ["a.csv"]
    assert (tmp_path / "a.csv").read_text() == "old"


def test_an_interruption_leaves_nothing_beside(tmp_path, monkeypatch):
    def interrupt(self, data):
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_files(tmp_path, {"a.csv": "new"})
    assert names(tmp_path) == []


@pytest.mark.skipif(
    sys.platform == "win32" or os.geteuid() == 0, reason="no such permission bits, or no effect"
)
def test_a_folder_that_may_not_be_written_to(tmp_path):
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o500)
    with pytest.raises(OutputError, match="can't be written to"):
        write_files(folder, {"a.csv": "new"})


def test_a_link_that_leads_nowhere_counts_as_taken(tmp_path):
    try:
        (tmp_path / "a.csv").symlink_to(tmp_path / "gone")
    except OSError:
        pytest.skip("links need a right here")
    with pytest.raises(OutputError, match="already holds"):
        write_files(tmp_path, {"a.csv": "new"})


def test_fresh_folders_are_numbered(tmp_path):
    base = tmp_path / "calicount-out"
    assert fresh_folder(base) == base
    assert not base.exists()
    base.mkdir()
    assert fresh_folder(base) == tmp_path / "calicount-out-2"
    (tmp_path / "calicount-out-2").write_text("a file counts too")
    assert fresh_folder(base) == tmp_path / "calicount-out-3"
