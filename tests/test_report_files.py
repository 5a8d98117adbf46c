import os
import subprocess
import sys
from pathlib import Path

import pytest

from catalog.errors import OutputError
from catalog.report.output_files import fresh_folder, refuse_taken, write_files
from catalog.system import atomic_files


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


def test_a_disk_that_fills_up_leaves_no_empty_folder(tmp_path, monkeypatch):
    def full(self, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    (tmp_path / "mine").mkdir()
    for folder in ("new", "deep/er/still", "mine/new"):
        with pytest.raises(OutputError, match="No space left on device"):
            write_files(tmp_path / folder, {"a.csv": "new"})
    assert names(tmp_path) == ["mine"]
    assert names(tmp_path / "mine") == []


OLD = {"a.csv": "old a", "b.csv": "old b", "tally.csv": "old tally"}
NEW = {"a.csv": "new a", "b.csv": "new b", "c.csv": "new c"}


def fail_at(setattr_, turn, error):
    """Let the taking of a place fail: the renaming of a new file, or the end of an old one."""
    turns = []

    def failing(real):
        def do(self, *args, **more):
            if self.suffix == ".part" or self.name == "tally.csv":
                turns.append(self)
                if len(turns) == turn + 1:
                    raise error
            return real(self, *args, **more)

        return do

    for name in ("replace", "unlink"):
        setattr_(Path, name, failing(getattr(Path, name)))


class TestAllOrNone:
    """Whatever fails in the midst of taking the places, what was there is there."""

    @pytest.mark.parametrize("links", [True, False], ids=["links", "no links"])
    @pytest.mark.parametrize("error", [OSError(5, "Input/output error"), KeyboardInterrupt()])
    @pytest.mark.parametrize("turn", range(4))
    def test_a_place_that_cannot_be_taken(self, tmp_path, monkeypatch, turn, error, links):
        write_files(tmp_path, OLD)
        fail_at(monkeypatch.setattr, turn, error)
        if not links:
            monkeypatch.setattr(os, "link", lambda *_, **__: Path("/none/at/all").stat())
        with pytest.raises(KeyboardInterrupt if type(error) is KeyboardInterrupt else OutputError):
            write_files(tmp_path, NEW, ours=(*OLD, "c.csv"), replace=True)
        monkeypatch.undo()
        assert {one.name: one.read_text() for one in tmp_path.iterdir()} == OLD

    def test_all_when_all_goes_well(self, tmp_path):
        write_files(tmp_path, OLD)
        write_files(tmp_path, NEW, ours=(*OLD, "c.csv"), replace=True)
        assert {one.name: one.read_text() for one in tmp_path.iterdir()} == NEW

    def test_file_and_folder_are_on_the_disk_before_it_ends(self, tmp_path, monkeypatch):
        synced = []
        fsync = os.fsync
        monkeypatch.setattr(os, "fsync", lambda n: (synced.append(os.fstat(n).st_ino), fsync(n)))
        folder = tmp_path / "out"
        (one,) = write_files(folder, {"a.csv": "new"})
        assert synced[:2] == [one.stat().st_ino, folder.stat().st_ino]
        assert tmp_path.stat().st_ino in synced


class TestWhatAKillLeft:
    """Parts of a process that lives no more are cleared, and nothing else is."""

    @pytest.fixture
    def left(self, tmp_path):
        """Return a folder with what a killed process had begun, and its names."""
        script = (
            "import os, sys; from pathlib import Path; from catalog.system import atomic_files\n"
            "for name in ('a.csv', 'other.zip'):\n"
            "    for of in (atomic_files.part_of, atomic_files.old_of):\n"
            "        of(Path(sys.argv[1]) / name).write_text('half')\n"
            "os._exit(9)"
        )
        subprocess.run([sys.executable, "-c", script, str(tmp_path)], check=False)
        assert len(names(tmp_path)) == 4
        return tmp_path

    def test_the_next_run_clears_it(self, left):
        write_files(left, {"a.csv": "new"})
        assert names(left) == ["a.csv"]

    def test_a_folder_of_nothing_else_is_free(self, left):
        assert fresh_folder(left) == left
        assert not left.exists()

    def test_a_folder_of_more_is_not(self, left):
        (left / "notes").write_text("mine")
        assert fresh_folder(left) == left.with_name(f"{left.name}-2")
        assert names(left) == ["notes"]

    def test_what_a_living_process_writes_stays(self, tmp_path):
        part = atomic_files.part_of(tmp_path / "b.csv")
        with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as other:
            living = part.with_name(part.name.replace(str(os.getpid()), str(other.pid)))
            for one in (part, living):
                one.write_text("half")
            write_files(tmp_path, {"a.csv": "new"})
            assert names(tmp_path) == sorted([living.name, part.name, "a.csv"])
            other.communicate(b"\n")
        if sys.platform != "win32":  # there it is cleared after a day
            write_files(tmp_path, {"a.csv": "new"}, replace=True)
            assert names(tmp_path) == sorted([part.name, "a.csv"])

    @pytest.mark.parametrize(
        "name",
        ["a.csv.part", ".a.csv.part", ".a.csv.4.part", ".a.csv.4-00000000.part", "a.4-{}.part",
         ".a.csv.4-{}.parts", ".a.csv.x-{}.part"],
    )  # fmt: skip
    def test_a_file_of_ones_own_stays(self, tmp_path, name):
        machine = atomic_files.part_of(tmp_path / "x").name.split("-")[-1].split(".")[0]
        mine = tmp_path / name.format(machine)
        mine.write_text("mine")
        write_files(tmp_path, {"a.csv": "new"})
        assert mine.read_text() == "mine"
