"""Whoever only looks changes nothing, and needs no more than the right to read."""

import os
import stat
import sys
import tempfile
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.archive.bundle_archive import export_bundle
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.store.catalogue_file import connect_to_read
from catalog.catalogue.store.file_copy import copy_to
from catalog.errors import CatalogueError

NOBODY = 65534
LOOKING = (
    ["bundles"],
    ["show", "scraps"],
    ["history", "scraps"],
    ["light", "scraps"],
    ["rules", "scraps"],
    ["near", "scraps:R1C1"],
    ["near", "#4f7f86", "--json"],
    ["partner", "scraps:R1C1"],
    ["check-up"],
)

on_posix = pytest.mark.skipif(sys.platform == "win32", reason="rights are given otherwise here")


@pytest.fixture
def folder():
    """Return a folder that others may look into, with a catalogue, a copy and an old one."""
    with tempfile.TemporaryDirectory() as made, pytest.MonkeyPatch.context() as patch:
        stand_in(patch.setattr)
        folder = Path(made)
        with Catalogue(folder / "own.catalogue") as kept:
            kept.add("Scraps", None, [looked_at(1, loose=1)])
            copy_to(kept.connection, kept.path, folder / "copy.catalogue", over=False)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def held(folder):
    """Return what a folder holds, by name."""
    return {one.name: (one.read_bytes(), one.stat().st_mtime_ns) for one in folder.iterdir()}


@contextmanager
def without_rights():
    """Be somebody to whom the rights of a file apply; all do to whoever is not root already."""
    if os.geteuid() != 0:
        yield
        return
    os.setresuid(NOBODY, NOBODY, 0)
    try:
        yield
    finally:
        os.setresuid(0, 0, 0)


@pytest.mark.parametrize("name", ["own.catalogue", "copy.catalogue"])
@pytest.mark.parametrize("words", LOOKING, ids=lambda words: words[0])
class TestCommandsThatLook:
    def test_nothing_changes(self, folder, calicount, name, words):
        before = held(folder)
        ended = calicount(*words, "--catalogue", str(folder / name))
        assert ended.exit_code == 0, ended.output
        assert ended.stdout
        assert held(folder) == before

    @on_posix
    def test_a_file_and_a_folder_that_may_only_be_read(self, folder, calicount, name, words):
        asked = [*words, "--catalogue", str(folder / name)]
        told = calicount(*asked)
        for one in folder.iterdir():
            one.chmod(0o444)
        folder.chmod(0o555)
        before = held(folder)
        with without_rights():
            ended = calicount(*asked)
        assert ended.exit_code == 0, ended.output
        assert ended.stdout == told.stdout
        assert held(folder) == before


@on_posix
def test_a_change_of_what_may_only_be_read_is_a_sentence(folder):
    place = folder / "own.catalogue"
    place.chmod(0o444)
    folder.chmod(0o555)
    with (
        without_rights(),
        pytest.raises(CatalogueError, match="may not be written to"),
        Catalogue(place) as kept,
    ):
        kept.rename("scraps", "other")


@on_posix
def test_a_log_that_a_kill_left_beside_what_may_only_be_read(folder):
    """What it holds can't be brought into the file there; that is said, and nothing is read."""
    place = folder / "own.catalogue"
    (folder / "own.catalogue-wal").write_bytes(b"x" * 100)
    for one in folder.iterdir():
        one.chmod(0o444)
    folder.chmod(0o555)
    before = held(folder)
    with without_rights(), pytest.raises(CatalogueError, match="can't be used"):
        Catalogue(place, reading=True).lines()
    assert held(folder) == before


def test_who_looks_sees_what_another_writes(folder):
    place = folder / "own.catalogue"
    with Catalogue(place) as writing:
        writing.rename("scraps", "other")
        with Catalogue(place, reading=True) as kept:
            assert [line.name for line in kept.lines()] == ["other"]
    assert sorted(one.name for one in folder.iterdir()) == ["copy.catalogue", "own.catalogue"]


def test_who_looks_cannot_write(folder):
    with (
        closing(connect_to_read(folder / "own.catalogue")) as sql,
        pytest.raises(Exception, match="readonly"),
    ):
        sql.execute("delete from bundles")


def test_who_looks_makes_nothing(tmp_path, calicount):
    place = tmp_path / "none" / "kept.catalogue"
    ended = calicount("bundles", "--catalogue", str(place))
    assert "No bundle is kept yet" in ended.stdout
    assert not place.parent.exists()


@on_posix
@pytest.mark.parametrize("mask", [0o000, 0o077, 0o277])
def test_only_the_owner_may_read_what_is_made(tmp_path, monkeypatch, mask):
    stand_in(monkeypatch.setattr)
    before = os.umask(mask)
    try:
        with Catalogue(tmp_path / "kept.catalogue") as kept:
            kept.add("Scraps", None, [looked_at(1)])
            copy_to(kept.connection, kept.path, tmp_path / "copy.catalogue", over=False)
            export_bundle(kept.connection, "scraps", tmp_path / "scraps.zip")
            modes = {one.name: stat.S_IMODE(one.stat().st_mode) for one in tmp_path.iterdir()}
    finally:
        os.umask(before)
    assert {"kept.catalogue", "kept.catalogue-wal", "copy.catalogue", "scraps.zip"} <= modes.keys()
    assert set(modes.values()) == {0o600}
