"""Patterns that go along with an exported bundle, and the check-up that looks at those kept."""

import json
import sqlite3
import zipfile
from contextlib import closing

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.archive.archive_import import import_bundle
from catalog.catalogue.archive.archive_index import INDEX
from catalog.catalogue.archive.bundle_archive import export_bundle
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.last_count import last_count
from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
from catalog.catalogue.store.integrity import check_up
from catalog.catalogue.store.repair import keep_as_is
from catalog.errors import CatalogueError
from catalog.pattern.pattern_file import pattern_text

WHEELS = pattern_text("pinwheel").replace("\n", "\r\n")
HOURS = pattern_text("hourglass")
HEAD = {"title": "P", "pattern": "garden", "rules": "{}", "tally": "[]", "enough": 1}


@pytest.fixture(scope="module")
def archive(tmp_path_factory):
    """A bundle counted for one pattern, with a project of another; a third is named to go along."""
    folder = tmp_path_factory.mktemp("along")
    with pytest.MonkeyPatch.context() as patch, Catalogue(folder / "kept") as catalogue:
        stand_in(patch.setattr)
        bundle = catalogue.add("Scraps", None, [looked_at(1)]).kept
        own = OwnPatterns(catalogue)
        for name, text in (("garden", HOURS), ("Runner", HOURS), ("third", HOURS), ("not", HOURS)):
            own.keep(name, text)
        own.write(own.named("garden").id, WHEELS)
        own.undo(own.named("garden").id)
        own.redo(own.named("garden").id)
        squares = [one.id for one in bundle.by_label.values()][:2]
        bundle = catalogue.do("scraps", [say.ReservedSets.of("Hall", [squares], "runner")])
        catalogue.keep_count(bundle, HEAD, [])
        own.rename(own.named("garden").id, "porch")
        export_bundle(catalogue.connection, "scraps", folder / "a.zip", patterns=["Third"])
        with pytest.raises(CatalogueError, match="no pattern of yours is called 'x'"):
            export_bundle(catalogue.connection, "scraps", folder / "b.zip", patterns=["x"])
    return folder / "a.zip"


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "elsewhere") as catalogue:
        yield catalogue


def test_they_come_with_their_history_to_the_letter(archive, elsewhere):
    import_bundle(elsewhere.connection, archive)
    own = OwnPatterns(elsewhere)
    assert [one.name for one in own.all()] == ["porch", "Runner", "third"]
    porch = own.named("porch")
    assert (porch.text, porch.version) == (WHEELS, 5)
    assert own.undo(porch.id).name == "garden"
    assert own.undo(porch.id).text == HOURS
    assert check_up(elsewhere.connection).faults == ()
    assert check_up(elsewhere.connection).patterns == 3


def test_what_is_here_already_stays_and_another_gets_a_name_beside_it(archive, elsewhere):
    own = OwnPatterns(elsewhere)
    third = own.keep("third", HOURS)
    mine = own.keep("porch", HOURS)
    import_bundle(elsewhere.connection, archive)
    assert own.numbered(mine.id) == mine
    assert own.numbered(third.id) == third
    assert [one.name for one in own.all()] == ["porch", "porch 2", "Runner", "third"]
    kept = elsewhere.bundle("scraps")
    assert last_count(elsewhere, kept).pattern == "porch 2"
    assert own.named("porch 2").text == WHEELS
    assert kept.state.projects["Hall"].pattern == "runner"


def changed(archive, tmp_path, change):
    target = tmp_path / "changed.zip"
    with zipfile.ZipFile(archive) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == INDEX:
                index = json.loads(content)
                change(index)
                content = json.dumps(index).encode()
            new.writestr(name, content)
    return target


def put(*path, value):
    def change(index):
        at = index["patterns"][0]
        for step in path[:-1]:
            at = at[step]
        at[path[-1]] = value

    return change


@pytest.mark.parametrize(
    "change",
    [
        put("name", value="other"),
        put("version", value=0),
        put("version", value=2),
        put("events", value=[]),
        put("events", 0, "kind", value="removed"),
        put("events", 0, "number", value=2),
        put("events", 1, "args", value={"text": ""}),
        put("events", 1, "args", value={"text": 7}),
        put("events", 1, "args", value={"text": "x", "more": 1}),
        put("events", 1, "made", value=3),
        put("more", value=1),
        lambda index: index.update(patterns=None),
        lambda index: index["patterns"][0].update(
            name="a\nb", events=[
                {**one, "args": {"name": "a\nb"}} if one["kind"] == "named" else one
                for one in index["patterns"][0]["events"]
            ]
        ),
    ],
)  # fmt: skip
def test_nothing_of_them_is_trusted(archive, elsewhere, tmp_path, change):
    with pytest.raises(CatalogueError, match="can't be taken in"):
        import_bundle(elsewhere.connection, changed(archive, tmp_path, change))
    assert OwnPatterns(elsewhere).all() == ()
    assert elsewhere.lines() == ()


def test_an_older_archive_brings_none(archive, elsewhere, tmp_path):
    def older(index):
        index["version"] = 3
        del index["patterns"]

    import_bundle(elsewhere.connection, changed(archive, tmp_path, older))
    assert OwnPatterns(elsewhere).all() == ()


def test_a_check_up_finds_what_something_else_changed(elsewhere):
    own = OwnPatterns(elsewhere)
    kept = [own.keep(name, HOURS) for name in ("one", "two", "three")]
    with closing(sqlite3.connect(elsewhere.path)) as file:
        file.execute("update pattern_events set at = 'x' where pattern_id = 1")
        file.execute("update patterns set text = 'x' where id = 2")
        file.commit()
    faults = check_up(elsewhere.connection).faults
    assert [one.what for one in faults] == [
        "the pattern one was changed by something else",
        "the pattern two was changed by something else",
    ]
    assert "--keep-as-is" in faults[0].cure
    keep_as_is(elsewhere.connection)
    assert own.numbered(kept[0].id).text == HOURS
    (left,) = check_up(elsewhere.connection).faults
    assert "take back a copy" in left.cure
