"""The check-up finds what is wrong, says it in plain words, and mends what can be mended."""

import sqlite3
from contextlib import closing

import pytest
from drawn import looked_at, photo_file, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store.catalogue_file import connect
from catalog.catalogue.store.file_copy import copy_to
from catalog.catalogue.store.integrity import check_up
from catalog.catalogue.store.repair import mend
from catalog.errors import OutputError


@pytest.fixture
def kept(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "kept.catalogue") as catalogue:
        one = catalogue.add("Scraps", None, [looked_at(1, loose=1), looked_at(2)]).kept
        first, second, third = [square.id for square in one.by_label.values()][:3]
        catalogue.do(
            "scraps",
            [
                say.MarkedSquares([first], "cut"),
                say.LockedSets([[second, third]]),
                say.NamedSquares.of([third], "roses"),
            ],
        )
        catalogue.add("Other", None, [looked_at(3)])
        yield catalogue


def test_all_is_well(kept):
    verdict = check_up(kept.connection)
    assert verdict.well
    assert (verdict.bundles, verdict.photos, verdict.squares, verdict.deeds) == (2, 3, 19, 3)


def test_it_changes_nothing(kept):
    before = "\n".join(kept.connection.iterdump())
    check_up(kept.connection)
    assert "\n".join(kept.connection.iterdump()) == before


MENDABLE = {
    "update swatches set state = '' where square_id = 1": "R1C1 is listed wrongly",
    "update swatches set said = 'tulips' where square_id = 3": "R1C3 is listed wrongly",
    "update swatches set label = 'R9C9' where square_id = 2": "R1C2 is listed wrongly",
    "update swatches set square = replace(square, '5.0', '6.0') where square_id in (2, 4)": (
        "R1C2, R2C1 are listed wrongly"
    ),
    "delete from swatches where square_id = 5": "R2C2 is missing from the list",
    "delete from crops where square_id = 5": "the pictures of 1 squares are missing",
    "update photos set light = null where id = 1": "the light of photo 1.jpg can't be read",
    "update photos set light = x'00' where id = 1": "the light of photo 1.jpg can't be read",
}


@pytest.mark.parametrize(("change", "said"), MENDABLE.items(), ids=range(len(MENDABLE)))
def test_what_can_be_mended(kept, change, said):
    before = kept.bundle("scraps")
    kept.connection.execute(change)
    verdict = check_up(kept.connection)
    assert [one.what for one in verdict.faults] == [f"Scraps: {said}"]
    assert all(one.mendable and "--mend" in one.cure for one in verdict.faults)
    mend(kept.connection, "scraps")
    assert check_up(kept.connection).well
    assert kept.bundle("scraps").swatches == before.swatches


LOST = {
    "update photo_files set content = x'00' where photo_id = 2": "photo 2.jpg is not as it came",
    "delete from photo_files where photo_id = 2": "photo 2.jpg is missing",
    "update deeds set kind = 'dye' where number = 2": "number 2 of what was done is nothing",
    "update deeds set number = 9 where number = 2": "number 2 of what was done is missing",
    """update deeds set args = '{"squares": [77], "mark": "cut", "on": true}' where number = 1""": (
        "about squares that aren't there"
    ),
    "update squares set seen = null where id = 4": "squares that nobody saw or drew",
    "update squares set seen = '{}' where id = 4": "can't be understood",
    "update bundles set side = 'five' where id = 1": "can't be understood",
    "drop index squares_of_photo": "tables are not those",
    "update squares set photo_id = 3 where id = 4": "squares of photos that aren't there",
}


@pytest.mark.parametrize(("change", "said"), LOST.items(), ids=range(len(LOST)))
def test_what_only_a_copy_can_give_back(kept, change, said):
    kept.connection.execute(change)
    faults = check_up(kept.connection).faults
    assert any(said in one.what for one in faults)
    assert all("copy" in one.cure for one in faults if not one.mendable)
    assert any(not one.mendable for one in faults)


def test_rows_that_have_lost_what_they_belong_to(kept):
    kept.connection.execute("pragma foreign_keys = off")
    kept.connection.execute("delete from photos where id = 3")
    faults = check_up(kept.connection).faults
    assert "rows have lost what they belong to" in faults[0].what


def test_a_page_of_the_file_that_is_spoilt(kept):
    path = kept.path
    kept.close()
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("pragma journal_mode = delete")
        (root,) = plain.execute(
            "select rootpage from sqlite_schema where name = 'photo_files'"
        ).fetchone()
    content = bytearray(path.read_bytes())
    content[4096 * (root - 1) : 4096 * root] = b"\x55" * 4096
    path.write_bytes(content)
    with closing(connect(path)) as sql:
        verdict = check_up(sql)
    assert not verdict.well
    assert any("damaged" in one.what or "can't be read" in one.what for one in verdict.faults)


class TestCopy:
    def test_a_copy_is_one_file_and_all_there(self, kept, tmp_path):
        target = tmp_path / "copies" / "copy.catalogue"
        target.parent.mkdir()
        copy_to(kept.connection, kept.path, target, over=False)
        assert [one.name for one in target.parent.iterdir()] == ["copy.catalogue"]
        with Catalogue(target) as copy:
            assert check_up(copy.connection).well
            assert copy.bundle("scraps").swatches == kept.bundle("scraps").swatches
            assert copy.content(1) == photo_file(1)

    def test_while_another_is_about_to_write(self, kept, tmp_path):
        with closing(connect(kept.path)) as other:
            other.execute("begin immediate")
            other.execute("update bundles set name = 'Half' where id = 1")
            copy_to(kept.connection, kept.path, tmp_path / "copy", over=False)
            other.execute("rollback")
        with Catalogue(tmp_path / "copy") as copy:
            assert [line.name for line in copy.lines()] == ["Other", "Scraps"]

    def test_never_over_a_file_unasked(self, kept, tmp_path):
        target = tmp_path / "letter"
        target.write_text("mine", encoding="utf-8")
        with pytest.raises(OutputError, match="--replace"):
            copy_to(kept.connection, kept.path, target, over=False)
        assert target.read_text(encoding="utf-8") == "mine"
        copy_to(kept.connection, kept.path, target, over=True)
        with Catalogue(target) as copy:
            assert len(copy.lines()) == 2

    def test_never_over_itself(self, kept):
        with pytest.raises(OutputError, match="the catalogue itself"):
            copy_to(kept.connection, kept.path, kept.path, over=True)

    @pytest.mark.parametrize("place", [".", "none/copy"])
    def test_where_it_cannot_be_written(self, kept, tmp_path, place):
        with pytest.raises(OutputError):
            copy_to(kept.connection, kept.path, tmp_path / place, over=True)
        assert not list(tmp_path.glob(".*.part"))
