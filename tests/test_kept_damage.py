"""Whatever changes a kept value is found, and no command stumbles over it."""

import json
import shutil
import sqlite3
from contextlib import closing
from functools import partial

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.archive.bundle_archive import export_bundle
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.last_count import last_count
from catalog.catalogue.patterns.named_patterns import find_pattern
from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
from catalog.catalogue.search.bundle_search import search_squares
from catalog.catalogue.search.partner_search import partners_of
from catalog.catalogue.search.square_batches import SquareSearch
from catalog.catalogue.store.catalogue_file import explained
from catalog.catalogue.store.file_transactions import snapshot
from catalog.catalogue.store.integrity import check_up
from catalog.catalogue.store.repair import keep_as_is, mend
from catalog.errors import CatalogueError, PatternError
from catalog.pattern.pattern_file import pattern_text

TABLES = (
    "bundles", "photos", "photo_files", "squares", "deeds", "swatches", "crops", "counts", "sets",
    "set_squares", "seals", "patterns", "pattern_events", "colour_index",
)  # fmt: skip


def fill(path):
    """Make a catalogue with some of everything."""
    with Catalogue(path) as kept:
        one = kept.add("Scraps", None, [looked_at(1, loose=1), looked_at(2)]).kept
        ids = [square.id for square in one.by_label.values()]
        drawn = ((9.0, 9.0), (99.0, 9.0), (99.0, 99.0), (9.0, 99.0))
        one = kept.do(
            "scraps",
            [say.MarkedSquares(ids[:1], "cut"), say.LockedSets([ids[1:3]]),
             say.NamedSquares.of(ids[2:3], "roses"),
             say.MissedSquare.of(one.photos[0].id, drawn, None, None)],
        )  # fmt: skip
        kept.undo("scraps", 3)
        other = kept.add("Other", None, [looked_at(3)]).kept
        other = kept.do("other", [say.WhiteSquare(next(iter(other.by_label.values())).id)])
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
        for bundle in (one, one, other):
            numbers = [square.id for square in bundle.by_label.values()]
            sets = [(n, "a", 1.0, 2.0, "reds", '["x"]', tuple(numbers[n : n + 2])) for n in (1, 3)]
            kept.keep_count(bundle, head, sets)
        own = OwnPatterns(kept)
        for name in ("porch", "hall"):
            own.rename(own.keep(name, pattern_text("pinwheel")).id, f"{name} 2")


@pytest.fixture(scope="module")
def intact(tmp_path_factory):
    path = tmp_path_factory.mktemp("whole") / "kept.catalogue"
    with pytest.MonkeyPatch.context() as patch:
        stand_in(patch.setattr)
        fill(path)
    return path


@pytest.fixture
def whole(intact, tmp_path, monkeypatch):
    """Return what gives a fresh copy of the catalogue, changed by statements."""
    stand_in(monkeypatch.setattr)

    def changed(*statements):
        path = tmp_path / "kept.catalogue"
        for one in tmp_path.glob("kept.catalogue*"):
            one.unlink()
        shutil.copy(intact, path)
        with closing(sqlite3.connect(path, isolation_level=None)) as sql:
            sql.execute("pragma foreign_keys = off")
            sql.execute("pragma ignore_check_constraints = on")
            sql.execute("begin")
            done = sum(sql.execute(one).rowcount for one in statements)
            sql.execute("commit")
        return path if done else None

    return changed


def columns(path):
    """Return the tables' columns that exist, as they are."""
    with closing(sqlite3.connect(path)) as sql:
        return [
            (table, row[1])
            for table in TABLES
            for row in sql.execute(f"pragma table_info({table})").fetchall()
        ]


def other_values(table, column):
    """Yield statements that change one value of a column, each in another way."""
    row = f"where rowid = (select max(rowid) from {table})"
    if table in {"sets", "set_squares"}:
        row = f"where count_id = (select max(count_id) from {table}) and number = 3"
        row += " and place = 2" if table == "set_squares" else ""
    if table == "seals":
        row = "where bundle_id = 1 and part = 'deeds'"
    for value in (
        f"case typeof({column}) when 'text' then {column} || 'x' when 'blob' then "
        f"cast(zeroblob(1) || substr({column}, 2) as blob) else {column} + 1 end",
        f"case typeof({column}) when 'text' then '' when 'blob' then zeroblob(0) "
        f"else -{column} - 1 end",
        "'no such thing'",
        "null",
        "zeroblob(9)",
        "9e999",
        f"cast({column} as blob)",
        r"cast(x'fffe80' as text)",
    ):
        yield f"update {table} set {column} = {value} {row}"


def looked_through(path):
    """Do what every command does that looks; give what was refused."""
    refused = []
    with Catalogue(path, reading=True) as kept:
        sql = kept.connection

        def look(do):
            said, done = told_in_a_sentence(path, do)
            refused.extend(said)
            return done

        def inside(do):
            with snapshot(sql):
                return do()

        for name in ("scraps", "other"):
            bundle = look(lambda name=name: kept.bundle(name))
            if bundle:
                look(lambda bundle=bundle: kept.crops(bundle))
                look(lambda bundle=bundle: last_count(kept, bundle))
                for photo in bundle.photos:
                    look(lambda photo=photo: kept.content(photo.id))
                    look(lambda photo=photo: kept.light(photo.id))
            look(lambda name=name: export_bundle(sql, name, path.with_suffix(".zip"), over=True))
        look(kept.lines)
        look(OwnPatterns(kept).lines)
        for name in ("hall", "hall 2"):
            look(lambda name=name: find_pattern(name, path))
        look(lambda: kept.crop(1))
        for search in (SquareSearch(), SquareSearch(left_over=True, used_too=True)):
            look(lambda s=search: inside(lambda: search_squares(sql, (50.0, 0.0, 0.0), s, 5)))
        look(lambda: inside(lambda: search_squares(sql, None)))
        look(lambda: inside(lambda: partners_of(sql, 4)))
    return refused


def changed_by_commands(path):
    """Do what commands do that change; each works, or is refused with a sentence."""
    for do in (
        lambda kept: kept.do("scraps", [say.MarkedSquares([4], "cut")]),
        lambda kept: kept.add("scraps", None, [looked_at(9)]),
        lambda kept: kept.undo("scraps"),
        lambda kept: kept.rename("other", "another"),
        lambda kept: kept.remove("scraps"),
        lambda kept: OwnPatterns(kept).undo(2),
        lambda kept: OwnPatterns(kept).keep("third", pattern_text("hourglass")),
    ):
        told_in_a_sentence(path, partial(opened_for, path, do))


def opened_for(path, do):
    with Catalogue(path) as kept:
        do(kept)


def told_in_a_sentence(path, do):
    """Return what was refused, if anything, and what was done."""
    try:
        with explained(path):
            return [], do()
    except (CatalogueError, PatternError) as error:
        return [str(error)], None


def test_as_it_is_all_is_well(whole):
    path = whole("update bundles set name = name")
    with Catalogue(path) as kept:
        assert check_up(kept.connection).faults == ()
    assert looked_through(path) == []


def test_every_table_is_looked_at(intact):
    with closing(sqlite3.connect(intact)) as sql:
        found = {row[0] for row in sql.execute("select name from sqlite_schema where type='table'")}
        assert found - {"sqlite_sequence"} == set(TABLES)
        for table in TABLES:
            assert sql.execute(f"select count(*) from {table}").fetchone()[0] > 1


@pytest.mark.parametrize("commands", [{0, 3}, pytest.param(range(99), marks=pytest.mark.slow)])
@pytest.mark.parametrize("table", TABLES)
def test_each_value_of_each_column_that_something_else_changed(whole, intact, table, commands):
    tried = 0
    for of, column in columns(intact):
        for way, statement in enumerate(other_values(of, column) if of == table else ()):
            try:
                path = whole(statement)
            except sqlite3.IntegrityError:  # SQLite itself refuses such a row
                continue
            assert path is not None, statement
            tried += 1
            with Catalogue(path, reading=True) as kept:
                verdict = check_up(kept.connection)
            if same(intact, path, table):
                assert verdict.well, statement
                continue
            assert not verdict.well, statement
            if way in commands:
                looked_through(path)
                changed_by_commands(path)
    assert tried > 5


def same(one, other, table):
    """Whether a statement changed nothing after all, as where a value was null already."""
    rows = []
    for path in (one, other):
        with closing(sqlite3.connect(path)) as sql:
            sql.text_factory = lambda text: ("text", text)
            rows.append(sql.execute(f"select * from {table} order by 1, 2").fetchall())
    return repr(rows[0]) == repr(rows[1])


ROWS = {
    **{f"{table}: one less": f"delete from {table} where rowid = (select min(rowid) from {table})"
       for table in TABLES if table not in {"sets", "set_squares", "seals"}},
    "sets: one less": "delete from sets where number = 3 and count_id = 1",
    "set_squares: one less": "delete from set_squares where number = 3 and count_id = 1",
    "seals: one less": "delete from seals where part = 'crops' and bundle_id = 2",
    "seals: none": "delete from seals",
    "seals: one more": "insert into seals values (1, 'count 99', '')",
    "a bundle and its seals": "delete from bundles where id = 2",
    "a deed more": """insert into deeds (bundle_id, number, kind, args, at, made)
        select 1, max(number) + 1, 'mark', '{"squares": [4], "mark": "cut", "on": true}', '', 4
        from deeds where bundle_id = 1""",
    "the last deed": "delete from deeds where number = 4",
    "a count more": """insert into counts (bundle_id, at, title, pattern, rules, tally, enough)
        select bundle_id, at, title, pattern, rules, tally, enough from counts where id = 1""",
    "a set more": "insert into sets values (1, 9, '', 1.0, 1.0, '', '[]')",
    "a square of a set more": "insert into set_squares values (1, 1, 3, 5)",
    "a crop more": "insert into crops select max(id) + 1, x'00' from squares",
    "photos swapped": "update photo_files set photo_id = 5 - photo_id * 2 where photo_id < 3",
    "crops swapped": """update crops set jpeg = (select jpeg from crops c
        where c.square_id = 3 - crops.square_id) where square_id < 3""",
    "prints swapped": """update swatches set signature = (select signature from swatches s
        where s.square_id = 3 - swatches.square_id) where square_id < 3""",
    "lights swapped": """update photos set light = (select light from photos p where p.id = 3)
        where id = 1""",
    "counts swapped": "update counts set bundle_id = 3 - bundle_id",
    "deeds swapped": """update deeds set at = (select at || 'x' from deeds d where d.id = 2)
        where id = 1""",
}  # fmt: skip


@pytest.mark.parametrize("what", ROWS)
def test_rows_that_something_else_took_added_or_swapped(whole, what):
    if what == "photos swapped":
        path = whole(
            "update photo_files set photo_id = 100 + photo_id where photo_id < 3",
            "update photo_files set photo_id = 103 - photo_id where photo_id > 100",
        )
    else:
        path = whole(ROWS[what])
    assert path is not None
    with Catalogue(path, reading=True) as kept:
        assert not check_up(kept.connection).well
    looked_through(path)
    changed_by_commands(path)


@pytest.mark.parametrize(
    "change",
    [
        "update swatches set lightness = lightness + 1 where square_id = 4",
        "update swatches set signature = zeroblob(916) where square_id = 4",
        "update swatches set flags = 'no list' where square_id = 4",
        "update swatches set square = '{}'",
        "update swatches set fabric = 'F77'",
        "update swatches set bundle_id = 2 where square_id = 4",
        "update crops set jpeg = x'00' where square_id = 4",
        "update photos set light = zeroblob(100) where id = 1",
        "update photos set light = 'text' where id = 1",
        "update photos set expected_error = 'much' where id = 1",
        "update photos set measured_from = '' where id = 1",
        "update colour_index set content = zeroblob(80) where bundle_id = 1",
        "update colour_index set made_from = '' where part = 'pairing'",
        "delete from colour_index",
    ],
)
def test_what_is_measured_is_measured_anew(whole, intact, change):
    path = whole(change)
    with Catalogue(intact, reading=True) as kept:
        before = [kept.bundle(name) for name in ("scraps", "other")]
        crops = kept.crops(before[0])
    with Catalogue(path) as kept:
        faults = check_up(kept.connection).faults
        assert faults
        assert all(one.mendable for one in faults)
        for name in dict.fromkeys(one.bundle for one in faults):
            mend(kept.connection, name)
        assert check_up(kept.connection).faults == ()
        for was, name in zip(before, ("scraps", "other"), strict=True):
            now = kept.bundle(name)
            assert now.swatches == was.swatches
            assert (now.events, now.photos) == (was.events, was.photos)
        assert kept.crops(kept.bundle("scraps")) == crops


@pytest.mark.parametrize(
    "change",
    [
        "update bundles set name = 'Scrap'",
        "update photos set name = 'other.jpg' where id = 1",
        "update squares set seen = replace(seen, '0.97', '0.96')",
        "update deeds set at = 'never' where number = 1",
        "update counts set title = 'other'",
        "delete from set_squares where number = 3",
        "delete from counts where id = 1",
    ],
)
def test_what_only_a_person_knows_is_kept_as_it_is_if_she_says_so(whole, change):
    path = whole(change if "name = 'Scrap'" not in change else change + " where id = 1")
    with Catalogue(path) as kept:
        faults = [one for one in check_up(kept.connection).faults if not one.mendable]
        assert faults
        assert any("--keep-as-is" in one.cure for one in faults)
        keep_as_is(kept.connection)
        for one in check_up(kept.connection).faults:
            if one.mendable:
                mend(kept.connection, one.bundle)
        left = [one.what for one in check_up(kept.connection).faults]
        assert [one for one in left if "have lost what they belong to" not in one] == []
        assert kept.bundle(kept.lines()[-1].name).swatches


SCHEMA = {
    "sql": "update sqlite_schema set sql = 'create tible x (' where name = 'deeds'",
    "nothing": "update sqlite_schema set sql = null where name = 'deeds'",
    "blob": "update sqlite_schema set sql = x'fffe' where name = 'squares_of_photo'",
    "name": "update sqlite_schema set name = 'dee', tbl_name = 'dee' where name = 'deeds'",
    "no name": "update sqlite_schema set name = null where name = 'squares_of_photo'",
    "place": "update sqlite_schema set rootpage = 3 where name = 'deeds'",
    "beyond": "update sqlite_schema set rootpage = 99999 where name = 'deeds'",
    "kind": "update sqlite_schema set type = 'view' where name = 'deeds'",
    "gone": "delete from sqlite_schema where name = 'deeds'",
    "seals gone": "delete from sqlite_schema where name = 'seals'",
    "column": "update sqlite_schema set sql = replace(sql, 'kind', 'sort') where name = 'deeds'",
    "version": "pragma user_version = 1",
    "no version": "pragma user_version = 0",
}


@pytest.mark.parametrize("what", SCHEMA)
def test_a_damaged_table_of_tables(whole, calicount, what):
    path = whole("update bundles set name = name")
    with closing(sqlite3.connect(path)) as sql:
        sql.execute("pragma writable_schema = on")
        sql.execute(SCHEMA[what])
        sql.commit()
    for words in (
        ["check-up"], ["bundles"], ["show", "scraps"], ["history", "scraps"],
        ["near", "#4f7f86"], ["partner", "scraps:R1C3"], ["check-up", "--mend"],
        ["check-up", "--json"], ["square", "mark", "scraps", "R1C3", "--cut"],
    ):  # fmt: skip
        ended = calicount(*words, "--catalogue", str(path))
        assert ended.exit_code in ({2} if words[0] == "check-up" else {0, 2}), ended.output
        assert "a fault of calicount" not in ended.stderr
        if words == ["check-up"]:
            assert "take back a copy" in ended.stderr
            assert "run calicount check-up" not in ended.stderr


def test_no_change_covers_up_what_something_else_changed(whole):
    path = whole("update bundles set version = 9 where id = 2")
    with Catalogue(path) as kept:
        with pytest.raises(CatalogueError, match="run calicount check-up"):
            kept.rename("other", "another")
        assert not check_up(kept.connection).well


def test_the_commands_say_what_to_do(whole, calicount):
    """As a person meets it: from any command to the check-up, and from there to well again."""
    path = whole("update swatches set lightness = 7 where square_id = 4")
    at = ["--catalogue", str(path)]
    for words in (["show", "scraps"], ["set", "lock", "scraps", "R1C1", "R1C2"]):
        ended = calicount(*words, *at)
        assert ended.exit_code == 2
        assert "run calicount check-up" in ended.stderr
    assert "--mend" in calicount("check-up", *at).stderr
    assert calicount("check-up", "--mend", *at).exit_code == 0
    assert calicount("show", "scraps", *at).exit_code == 0
    with closing(sqlite3.connect(path)) as sql:
        sql.execute("update deeds set at = 'never' where number = 1")
        sql.commit()
    assert calicount("show", "scraps", *at).exit_code == 2
    told = json.loads(calicount("check-up", "--json", *at).stdout)
    assert "--keep-as-is" in told["faults"][0]["cure"]
    assert calicount("check-up", "--keep-as-is", *at).exit_code == 0
    assert calicount("show", "scraps", *at).exit_code == 0
