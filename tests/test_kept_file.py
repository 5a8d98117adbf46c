"""The catalogue's file, and all that can be wrong with it: always one sentence."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store.catalogue_file import (
    VARIABLE,
    _log_ahead,
    connect,
    connect_to_read,
    default_file,
)
from catalog.catalogue.store.digests import write_all_digests
from catalog.catalogue.store.file_identity import refuse_foreign_head
from catalog.catalogue.store.file_transactions import transaction
from catalog.catalogue.store.integrity import check_up, tables_of
from catalog.catalogue.store.schema import APPLICATION_ID, STEPS, VERSION, bring_up_to_date
from catalog.errors import CatalogueError

DUMPS = sorted((Path(__file__).parent / "golden" / "kept").glob("v*.sql"))
"""A small catalogue of each version that was ever in use, as `sqlite3.Connection.iterdump` gives
it, after its ``application_id`` and ``user_version``. They never change."""


@pytest.fixture
def path(tmp_path, monkeypatch):
    """A catalogue with one bundle of seven squares."""
    stand_in(monkeypatch.setattr)
    path = tmp_path / "kept.catalogue"
    with Catalogue(path) as catalogue:
        catalogue.add("Scraps", None, [looked_at(1, loose=1)])
    return path


def sentence(error):
    """Return an error's words, which are one sentence with a cure."""
    text = str(error.value)
    assert text.endswith(".")
    assert "\n" not in text
    assert error.value.cure in text
    return text


class TestWhere:
    def test_the_environment_says(self, monkeypatch):
        monkeypatch.setenv(VARIABLE, "elsewhere.catalogue")
        assert default_file() == Path("elsewhere.catalogue")

    def test_else_in_the_users_data_folder(self, monkeypatch):
        monkeypatch.delenv(VARIABLE, raising=False)
        assert default_file().name == "bundles.catalogue"
        assert default_file().parent.name == "calicount"

    def test_folders_are_made(self, tmp_path):
        place = tmp_path / "a" / "b" / "kept.catalogue"
        connect(place).close()
        assert place.exists()


class TestNoCatalogue:
    def test_garbage(self, tmp_path):
        place = tmp_path / "kept.catalogue"
        place.write_bytes(b"This is a letter to my sister. " * 99)
        with pytest.raises(CatalogueError) as error:
            connect(place)
        assert "not a database" in sentence(error)
        assert place.read_bytes().startswith(b"This is a letter")

    def test_an_empty_file_becomes_one(self, tmp_path):
        place = tmp_path / "kept.catalogue"
        place.touch()
        with Catalogue(place) as catalogue:
            assert catalogue.lines() == ()

    def test_a_database_of_another_program(self, tmp_path):
        place = tmp_path / "kept.catalogue"
        with closing(sqlite3.connect(place)) as other:
            other.execute("create table recipes (name text)")
        before = place.read_bytes()
        with pytest.raises(CatalogueError) as error:
            connect(place)
        assert "another program" in sentence(error)
        assert before[100:] == place.read_bytes()[100:]

    def test_a_newer_calicounts(self, path):
        with closing(sqlite3.connect(path)) as newer:
            newer.execute(f"pragma user_version = {VERSION + 1}")
        with pytest.raises(CatalogueError) as error:
            connect(path)
        assert "newer calicount" in sentence(error)

    def test_a_folder(self, tmp_path):
        with pytest.raises(CatalogueError) as error:
            connect(tmp_path)
        assert "can't be used" in sentence(error)

    def test_a_folder_that_is_a_file(self, tmp_path):
        (tmp_path / "file").touch()
        with pytest.raises(CatalogueError) as error:
            connect(tmp_path / "file" / "kept.catalogue")
        assert "can't be made" in sentence(error)


class TestNoFile:
    """Names that the database takes for something else, and what is no plain file."""

    @pytest.mark.parametrize(
        "name", [":memory:", "file:x?mode=memory", "file:x?mode=memory&cache=shared", "FILE:x"]
    )
    @pytest.mark.parametrize("command", ["bundles", "remove"])
    def test_a_name_of_no_file(self, tmp_path, monkeypatch, calicount, name, command):
        monkeypatch.chdir(tmp_path)
        words = ["blues", "--yes"] if command == "remove" else []
        for said in (["--catalogue", name], []):
            monkeypatch.setenv(VARIABLE, name)
            ended = calicount(command, *words, *said)
            assert ended.exit_code == 2
            assert f"'{name}' is no name that a file can have" in ended.stderr
        assert not list(tmp_path.iterdir())

    @pytest.mark.parametrize("opens", [connect, connect_to_read])
    @pytest.mark.parametrize("content", [b"x", b"xy", b"x" * 511, b"SQLite format 3\0"])
    def test_a_small_file_of_ones_own_stays(self, tmp_path, content, opens):
        place = tmp_path / "note"
        place.write_bytes(content)
        with pytest.raises(CatalogueError) as error:
            opens(place)
        assert "not a database" in sentence(error)
        assert place.read_bytes() == content

    @pytest.mark.parametrize("opens", [connect, connect_to_read])
    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are none here")
    def test_a_pipe_and_a_device(self, tmp_path, opens):
        os.mkfifo(tmp_path / "pipe")
        for place in (tmp_path / "pipe", Path(os.devnull)):
            with pytest.raises(CatalogueError) as error:
                opens(place)
            assert "no plain file" in sentence(error)

    @pytest.mark.parametrize("opens", [connect, connect_to_read])
    @pytest.mark.parametrize("log", [False, True])
    def test_another_programs_database_is_not_touched(self, tmp_path, log, opens):
        """Its log isn't worked into it either, as the next of its own would do."""
        place, kept = tmp_path / "recipes", tmp_path / "as left"
        kept.mkdir()
        with closing(sqlite3.connect(place)) as other:
            other.execute("create table recipes (name text)")
            if log:
                other.execute("pragma journal_mode = wal")
                other.execute("insert into recipes values ('pie')")
                other.commit()
            for one in tmp_path.glob("recipes*"):
                (kept / one.name).write_bytes(one.read_bytes())
        before = {one.name: one.read_bytes() for one in kept.iterdir()}
        with pytest.raises(CatalogueError, match="another program"):
            opens(kept / "recipes")
        assert {one.name: one.read_bytes() for one in kept.iterdir()} == before

    def test_one_that_another_command_is_just_writing_is_ours_by_its_head(self, path):
        head_alone = path.read_bytes()[:4096]
        path.write_bytes(head_alone)
        refuse_foreign_head(path)

    def test_one_that_cannot_be_read_is_a_sentence(self, path, monkeypatch):
        def refused(self, mode):
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(Path, "open", refused)
        for opened in (connect, connect_to_read):
            with pytest.raises(CatalogueError, match=r"can't be used.*Permission denied") as error:
                opened(path)
            assert sentence(error)

    def test_a_disk_that_is_full_leaves_neither_file_nor_folder(self, tmp_path, monkeypatch):
        def full(sql, **_):
            sql.execute("pragma max_page_count = 3")
            bring_up_to_date(sql)

        monkeypatch.setattr("catalog.catalogue.store.catalogue_file.bring_up_to_date", full)
        with pytest.raises(CatalogueError, match="make room"):
            connect(tmp_path / "a" / "b" / "kept.catalogue")
        assert not list(tmp_path.iterdir())

    def test_where_there_can_be_no_log_it_goes_on_without(self):
        """As with a database in memory, or on some network drives."""
        with closing(sqlite3.connect(":memory:")) as sql:
            _log_ahead(sql, patience=60)
            assert sql.execute("pragma journal_mode").fetchone()[0] == "memory"


class TestWriting:
    def test_read_only(self, path):
        with Catalogue(path) as catalogue:
            catalogue.connection.execute("pragma query_only = on")
            with pytest.raises(CatalogueError) as error:
                catalogue.do("scraps", [say.MarkedSquares([1], "cut")])
        assert "may not be written to" in sentence(error)

    def test_another_writes_for_longer_than_one_waits(self, path):
        with closing(connect(path)) as other, Catalogue(path, patience=0.05) as catalogue:
            with transaction(other), pytest.raises(CatalogueError) as error:
                catalogue.do("scraps", [say.MarkedSquares([1], "cut")])
            assert "another calicount is writing to it" in sentence(error)
            assert catalogue.bundle("scraps").events == ()

    def test_reading_goes_on_while_another_writes(self, path):
        with closing(connect(path)) as other, Catalogue(path, patience=0.05) as catalogue:
            with transaction(other):
                other.execute("update bundles set name = 'Other'")
                write_all_digests(other)
                assert catalogue.lines()[0].name == "Scraps"
            assert catalogue.lines()[0].name == "Other"

    def test_a_full_disk_loses_nothing(self, path):
        with Catalogue(path) as catalogue:
            before = catalogue.bundle("scraps")
            (pages,) = catalogue.connection.execute("pragma page_count").fetchone()
            catalogue.connection.execute(f"pragma max_page_count = {pages}")
            with pytest.raises(CatalogueError) as error:
                catalogue.add("More", None, [looked_at(2, 6, 6)])
            assert "make room on the disk" in sentence(error)
            with pytest.raises(CatalogueError, match="make room"):
                catalogue.do("scraps", [say.NamedSquares.of([1], "x" * 80) for _ in range(200)])
            assert catalogue.bundle("scraps").version == before.version
        with Catalogue(path) as catalogue:
            assert [line.name for line in catalogue.lines()] == ["Scraps"]
            assert catalogue.bundle("scraps").version == before.version
            assert check_up(catalogue.connection).well

    def test_a_damaged_page_is_a_sentence(self, path):
        with closing(connect(path)) as sql:
            sql.execute("pragma journal_mode = delete")
        content = bytearray(path.read_bytes())
        content[4096 * 3 :] = b"\xff" * (len(content) - 4096 * 3)
        path.write_bytes(content)
        with pytest.raises(CatalogueError) as error, Catalogue(path) as catalogue:
            catalogue.bundle("scraps")
        assert "check-up" in sentence(error)


class TestOlder:
    def test_there_is_one_of_each_version(self):
        assert [int(dump.stem[1:]) for dump in DUMPS] == list(range(1, VERSION + 1))

    @pytest.mark.parametrize("dump", DUMPS, ids=lambda dump: dump.stem)
    def test_it_opens_and_is_like_a_fresh_one(self, dump, tmp_path, monkeypatch):
        stand_in(monkeypatch.setattr)
        path = tmp_path / "old.catalogue"
        with closing(sqlite3.connect(path)) as old:
            old.executescript(dump.read_text(encoding="utf-8"))
        with Catalogue(path) as catalogue, closing(connect(tmp_path / "fresh")) as fresh:
            assert tables_of(catalogue.connection) == tables_of(fresh)
            assert check_up(catalogue.connection).faults == ()
            bundle = catalogue.bundle("scraps")
            assert [one.label for one in bundle.swatches] == [
                "R1C1", "R1C2", "R2C1", "R2C2", "S001",
            ]  # fmt: skip
            assert [one.event.kind for one in bundle.events] == ["mark", "name", "lock"]
            assert catalogue.undo("scraps").version == bundle.version + 1

    @pytest.mark.parametrize("dump", DUMPS, ids=lambda dump: dump.stem)
    def test_who_looks_leaves_it_old(self, dump, tmp_path, calicount, monkeypatch):
        stand_in(monkeypatch.setattr)
        path = tmp_path / "old.catalogue"
        with closing(sqlite3.connect(path)) as old:
            old.executescript(dump.read_text(encoding="utf-8"))
        before = path.read_bytes()
        for words in (
            ["bundles"], ["show", "scraps"], ["history", "scraps"], ["near", "#4f7f86"],
            ["partner", "scraps:R2C2"], ["check-up"], ["check-up", "--copy", "copy.catalogue"],
        ):  # fmt: skip
            monkeypatch.chdir(tmp_path)
            ended = calicount(*words, "--catalogue", str(path))
            assert ended.exit_code == 0, ended.output
        assert path.read_bytes() == before
        assert sorted(one.name for one in tmp_path.iterdir()) == ["copy.catalogue", "old.catalogue"]

    def test_a_step_makes_nothing_sound_that_was_not(self, tmp_path, monkeypatch):
        stand_in(monkeypatch.setattr)
        path = tmp_path / "old.catalogue"
        with closing(sqlite3.connect(path)) as old:
            old.executescript((DUMPS[0].parent / "v2.sql").read_text(encoding="utf-8"))
            old.execute("update swatches set lightness = 1 where square_id = 1")
            old.commit()
        with Catalogue(path) as catalogue:
            (fault,) = check_up(catalogue.connection).faults
            assert "its squares aren't listed as they were measured" in fault.what
            with pytest.raises(CatalogueError, match="damaged"):
                catalogue.bundle("scraps")

    def test_prints_that_were_measured_are_read(self, tmp_path):
        path = tmp_path / "old.catalogue"
        with closing(sqlite3.connect(path)) as old:
            old.executescript((DUMPS[0].parent / "v3.sql").read_text(encoding="utf-8"))
        with Catalogue(path, reading=True) as catalogue:
            *told, silent = catalogue.bundle("scraps").swatches
        for one in told:
            assert len(one.palette) == len(one.palette_at_wall) == 2
            assert sum(colour.share for colour in one.palette) == pytest.approx(1.0)
            assert one.look.scale in {"plain", "tonal", "small", "medium", "large"}
        assert (silent.palette, silent.palette_at_wall, silent.look) == ((), (), None)
        assert silent.colours_seen()[0].lab == silent.lab

    def test_steps_are_taken_one_by_one_and_but_once(self, tmp_path):
        with closing(sqlite3.connect(tmp_path / "new", isolation_level=None)) as sql:
            assert bring_up_to_date(sql) == VERSION
            assert bring_up_to_date(sql) == 0
            assert sql.execute("pragma application_id").fetchone() == (APPLICATION_ID,)

    @pytest.mark.parametrize("many", [1, 10_000])
    def test_what_takes_long_is_told_once(self, tmp_path, monkeypatch, many):
        path = tmp_path / "old"
        with closing(sqlite3.connect(path)) as old:
            old.executescript((DUMPS[0].parent / "v5.sql").read_text(encoding="utf-8"))
        monkeypatch.setattr("catalog.catalogue.store.schema.MANY_SQUARES", many)
        told = []
        Catalogue(path, tell=told.append).close()
        assert [one.split()[0] for one in told] == (["bringing"] if many == 1 else [])
        Catalogue(path, tell=told.append).close()
        assert len(told) <= 1

    def test_a_step_that_fails_leaves_the_version_before(self, tmp_path, monkeypatch):
        path = tmp_path / "kept"
        connect(path).close()
        half = ("half", ("create table extra (x)", "create table bundles (x)"))
        monkeypatch.setattr("catalog.catalogue.store.schema.STEPS", (*STEPS, half))
        monkeypatch.setattr("catalog.catalogue.store.schema.VERSION", VERSION + 1)
        with pytest.raises(CatalogueError):
            connect(path)
        monkeypatch.undo()
        with closing(connect(path)) as sql:
            assert sql.execute("pragma user_version").fetchone()[0] == VERSION
            assert "extra" not in tables_of(sql)
