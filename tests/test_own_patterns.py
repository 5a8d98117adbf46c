"""Patterns of one's own in the catalogue: kept, changed, named, removed, undone, found by name."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.bundle_count import wall_pattern
from catalog.catalogue.patterns.named_patterns import find_pattern
from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
from catalog.catalogue.patterns.pattern_events import text_at, told_events
from catalog.errors import CatalogueError, PatternError, StaleError
from catalog.pattern.pattern_file import pattern_text

WHEELS, HOURS = pattern_text("pinwheel"), pattern_text("hourglass")


@pytest.fixture
def place(tmp_path):
    return tmp_path / "own.catalogue"


@pytest.fixture
def own(place):
    with Catalogue(place) as catalogue:
        yield OwnPatterns(catalogue)


def test_a_pattern_is_kept_as_its_file_says(own):
    text = f"# for Ada's porch\r\n{WHEELS}"
    kept = own.keep("  Porch   quilt ", text)
    assert (kept.name, kept.version, kept.text) == ("Porch quilt", 1, text)
    assert own.named("PORCH quilt") == own.numbered(kept.id) == kept
    assert (kept.undoes, kept.redoes) == (None, None)
    (line,) = own.lines()
    assert (line.name, line.title, line.version) == ("Porch quilt", "Pinwheels", 1)
    assert line.construction == "one block in rows, a border"


def test_each_change_is_a_version_that_can_be_undone_and_redone(own):
    number = own.keep("porch", WHEELS).id
    own.write(number, HOURS, 1)
    own.rename(number, "Autumn porch", 2)
    gone = own.remove(number)
    assert (gone.version, gone.removed, own.all()) == (4, True, ())
    assert own.find("autumn porch") is None
    assert own.named("autumn porch", removed=True) == gone
    states = [(one.name, one.text, one.removed) for one in (own.undo(number) for _ in range(3))]
    assert states == [
        ("Autumn porch", HOURS, False), ("porch", HOURS, False), ("porch", WHEELS, False),
    ]  # fmt: skip
    with pytest.raises(CatalogueError, match="nothing to undo in the pattern porch"):
        own.undo(number)
    again = [own.redo(number) for _ in range(3)][-1]
    assert (again.name, again.text, again.removed, again.version) == (
        "Autumn porch", HOURS, True, 10,
    )  # fmt: skip
    with pytest.raises(CatalogueError, match="nothing to do again"):
        own.redo(number)


def test_something_new_after_an_undo_ends_what_could_be_redone(own):
    number = own.keep("porch", WHEELS).id
    own.write(number, HOURS)
    own.undo(number)
    after = own.rename(number, "garden")
    assert after.redoes is None
    assert [words for _, words in told_events(after.events)] == [
        "kept as porch", "its file changed", "called garden",
    ]  # fmt: skip
    assert (text_at(after.events, 2), text_at(after.events, 4)) == (WHEELS, HOURS)


def test_what_changes_nothing_is_no_change(own):
    kept = own.keep("porch", WHEELS)
    assert own.write(kept.id, WHEELS, 1) == own.rename(kept.id, "porch") == kept


def test_a_copy_has_a_history_of_its_own(own):
    kept = own.keep("porch", WHEELS)
    copies = [own.copy(kept), own.copy(kept)]
    assert [one.name for one in copies] == ["porch copy", "porch copy 2"]
    own.write(copies[0].id, HOURS)
    assert own.numbered(kept.id) == kept


def test_names_that_mean_something_else_are_refused(own):
    own.keep("porch", WHEELS)
    other = own.keep("garden", HOURS)
    own.remove(own.keep("gone", HOURS).id)
    own.keep("Gone", HOURS)
    for name, says in (
        ("PORCH", "there is a pattern PORCH already; choose another name"),
        ("Pinwheel", "a pattern that comes with calicount is called pinwheel"),
        ("four patch", "a pattern that comes with calicount is called four-patch"),
        ("my/quilt", "reads like the name of a file"),
        ("quilt.TOML", "reads like the name of a file"),
        ("-x", "reads like an option"),
        (" ", "choose a name of 1 to 80 letters"),
        ("x" * 81, "choose a name of 1 to 80 letters"),
    ):
        for change in (lambda n: own.keep(n, WHEELS), lambda n: own.rename(other.id, n)):
            with pytest.raises(CatalogueError) as caught:
                change(name)
            assert says in str(caught.value)
    gone = own.numbered(3)
    with pytest.raises(CatalogueError, match="there is a pattern gone already"):
        own.undo(gone.id)
    with pytest.raises(CatalogueError, match="gone is removed"):
        own.write(gone.id, WHEELS)
    assert [one.name for one in own.all()] == ["garden", "Gone", "porch"]


def test_a_text_that_is_no_pattern_is_refused_with_its_line(own):
    kept = own.keep("porch", WHEELS)
    for text, says in (
        (WHEELS.replace("rows = 5", "rows = 0"), "porch, line 12, field layout.rows"),
        ("title", "porch, line 1"),
        (" \n", "porch is empty"),
        (f"{WHEELS}# \ud800", "porch holds half a sign"),
        ("#" * 1_000_001, "larger than a pattern can be"),
    ):
        with pytest.raises(PatternError, match=says):
            own.write(kept.id, text)
    assert own.all() == (kept,)


def test_who_saw_an_older_version_changes_nothing(own):
    kept = own.keep("porch", WHEELS)
    own.rename(kept.id, "garden")
    for change in (
        lambda: own.write(kept.id, HOURS, 1), lambda: own.rename(kept.id, "x", 1),
        lambda: own.remove(kept.id, 1), lambda: own.undo(kept.id, 1),
    ):  # fmt: skip
        with pytest.raises(StaleError, match="garden has been changed elsewhere"):
            change()


def test_what_something_else_changed_is_damaged(own, place):
    kept = own.keep("porch", WHEELS)
    other = own.keep("garden", HOURS)
    for change in (
        "update patterns set text = 'x' where id = 1",
        "update pattern_events set at = 'x' where pattern_id = 1",
        "update pattern_events set kind = 'x' where pattern_id = 1",
        "delete from pattern_events where pattern_id = 1",
    ):
        with closing(sqlite3.connect(place)) as file:
            file.execute("begin")
            file.execute(change)
            file.commit()
        with pytest.raises(CatalogueError, match=r"porch is damaged.*check-up"):
            own.numbered(kept.id)
    assert own.named("garden") == other


class TestFound:
    def test_kept_ones_by_name_files_before_them_shipped_ones_first(
        self, own, place, tmp_path, monkeypatch
    ):
        monkeypatch.chdir(tmp_path)
        kept = own.keep("porch", HOURS)
        found = find_pattern("Porch", place)
        assert (found.title, found.text, found.name) == ("Hourglasses", HOURS, "porch")
        assert find_pattern("pinwheel", place).text == WHEELS
        Path("porch").mkdir()
        assert find_pattern("porch", place).title == "Hourglasses"
        Path("porch").rmdir()
        Path("porch").write_text(WHEELS, encoding="utf-8")
        assert find_pattern("porch", place).title == "Pinwheels"
        with pytest.raises(PatternError, match=r'no file called "porsch".*of yours: porch'):
            find_pattern("porsch", place)
        own.remove(kept.id)
        with pytest.raises(PatternError, match='no file called "Porches"'):
            find_pattern("Porches", place)

    def test_a_name_that_means_two_is_one_sentence(self, own, place):
        kept = own.keep("porch", HOURS)
        with closing(sqlite3.connect(place)) as file:  # as if that pattern came along later
            file.row_factory = sqlite3.Row
            file.execute("""update pattern_events set args = '{"name": "Pinwheel"}' where id = 1""")
            file.execute("update patterns set name = 'Pinwheel'")
            from catalog.catalogue.patterns.pattern_rows import write_digest

            write_digest(file, kept.id)
            file.commit()
        with pytest.raises(PatternError) as caught:
            find_pattern("pinwheel", place)
        assert str(caught.value) == (
            "pinwheel is a pattern that comes with calicount and one of yours too; give yours "
            "another name: calicount pattern rename Pinwheel NEW-NAME."
        )

    def test_its_walls_are_known_by_its_first_text(self, own, place):
        kept = own.keep("porch", HOURS)
        first = wall_pattern(find_pattern("porch", place))
        own.write(kept.id, WHEELS)
        own.rename(kept.id, "garden")
        after = find_pattern("garden", place)
        assert wall_pattern(after) == wall_pattern(after.of_size(2, 2)) == first

    def test_no_catalogue_is_made_and_an_old_one_has_none(self, tmp_path):
        with pytest.raises(PatternError, match="no pattern and no file"):
            find_pattern("porch", tmp_path / "none")
        old = tmp_path / "old"
        with closing(sqlite3.connect(old)) as file:
            file.executescript(Path("tests/golden/kept/v3.sql").read_text(encoding="utf-8"))
        with pytest.raises(PatternError, match="no pattern and no file"):
            find_pattern("porch", old)
        assert sorted(one.name for one in tmp_path.iterdir()) == ["old"]


def test_those_of_an_older_calicount_are_read(tmp_path):
    old = tmp_path / "old"
    with closing(sqlite3.connect(old)) as file:
        file.executescript(Path("tests/golden/kept/v4.sql").read_text(encoding="utf-8"))
    with Catalogue(old, reading=True) as catalogue:
        own = OwnPatterns(catalogue)
        (kept,) = own.all()
        assert (kept.name, kept.version, kept.read().blocks) == ("Sixteen", 4, 16)
        assert kept.redoes is not None
        assert own.named("gone", removed=True).removed
