"""``calicount bundles``, ``show``, ``rename`` and ``remove`` as a person types them."""

import sqlite3
from contextlib import closing

import pytest


def test_bundles_are_listed(kept, told):
    said = kept("bundles")
    assert said.exit_code == 0
    assert "blues" in said.stdout
    assert "both halves" in said.stdout
    found = {one["bundle"]: one for one in told("bundles")["bundles"]}
    assert found["blues"] | {"added_at": "", "version": 0} == {
        "bundle": "blues",
        "square_in": 5.0,
        "photos": 1,
        "squares": 24,
        "free": 24,
        "projects": [],
        "added_at": "",
        "version": 0,
    }


def test_no_bundles_yet_says_how_to_keep_one(kept, told, tmp_path):
    empty = ["--catalogue", tmp_path / "deep" / "new.catalogue"]
    assert "calicount add NAME PHOTO" in kept("bundles", *empty).stdout
    assert told("bundles", *empty) == {"bundles": []}
    assert kept("bundles", *empty, "--quiet").stdout == ""


def test_show_tells_every_square(kept, told):
    said = kept("show", "Blues").stdout
    assert said.startswith("blues: 24 squares of 5 in, 24 free")
    shown = told("show", "blues")
    for one in shown["squares"]:
        assert one["square"] in said
        assert one["fabric"] in said
    assert "Photo 1: bundle.jpg, 24 squares." in said
    assert len({one["square"] for one in shown["squares"]}) == 24
    assert all(
        set(one) >= {"hex", "lab", "value", "family", "fabric", "state", "name"}
        for one in shown["squares"]
    )


def test_show_tells_the_shares_of_a_print_s_colours_and_how_it_is_built(kept, told):
    squares = told("show", "blues")["squares"]
    for one in squares:
        for palette in (one["palette"], one["palette_at_wall"]):
            assert sum(part["share"] for part in palette) == pytest.approx(1.0, abs=0.004)
            assert all(set(part) == {"hex", "name", "share", "ground"} for part in palette)
        assert one["print_scale"] in {"plain", "tonal", "small", "medium", "large"}
        assert one["directional"] in {True, False}
        assert {"motif", "repeat_in"} <= set(one)
    prints = [one for one in squares if len(one["palette"]) > 1]
    said = " ".join(kept("show", "blues").stdout.split())
    assert ("shares in %" in said) == bool(prints)


def test_show_tells_what_was_said(kept):
    kept("set", "lock", "blues", "R1C1", "R1C2")
    kept("set", "forbid", "blues", "R2C1", "R2C2")
    kept("rules", "blues", "--tolerance", "6")
    kept("reserve", "blues", "runner", "--squares", "R1C1")
    kept("reserve", "blues", "bag", "--squares", "R4C1+R4C2")
    kept("sewn", "blues", "bag")
    kept("light", "blues", "--grey", "R3C1")
    said = " ".join(kept("show", "blues").stdout.split())
    for words in (
        "Never in one set: R2C1 + R2C2.",
        "How sets are chosen: sets of 2; colours up to 6 apart count.",
        "runner, set aside: R1C1.",
        "bag, sewn: R4C1 + R4C2.",
        "You said that R3C1 is a neutral grey.",
        "The lock on R1C1 + R1C2 can no longer hold: R1C1 is reserved for runner.",
    ):
        assert words in said


def test_a_bundle_gets_another_name(kept, told):
    said = kept("rename", "blues", "winter  blues")
    assert said.stdout == "blues is now called winter blues.\n"
    assert len(told("show", "winter blues")["squares"]) == 24
    assert told("rename", "winter blues", "blues")["was"] == "winter blues"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["rename", "blues", "BOTH HALVES"], "there is a bundle BOTH HALVES already"),
        (["rename", "blues", " "], "can't be called"),
        (["rename", "reds", "x"], "no bundle is called 'reds'"),
        (["remove", "reds", "--yes"], "no bundle is called 'reds'"),
    ],
)
def test_names_that_can_t_be(refused, words, says):
    refused(*words, says=says)


def test_removing_first_says_what_would_go(kept, refused, told):
    kept("square", "call", "blues", "R1C1", "apron")
    refused(
        "remove",
        "blues",
        says=["1 photo, 24 squares and 1 thing said or done", "calicount remove blues --yes"],
    )
    assert len(told("show", "blues")["squares"]) == 24
    assert kept("remove", "blues", "--yes").stdout.startswith("blues is removed")
    assert [one["bundle"] for one in told("bundles")["bundles"]] == ["both halves"]


def test_nothing_of_a_removed_bundle_is_left(kept, kept_file, told):
    kept("count", "blues", "--out", "out")
    assert told("remove", "blues", "--yes") == {"bundle": "blues", "removed": True}
    kept("remove", "both halves", "--yes")
    with closing(sqlite3.connect(kept_file)) as connection:
        tables = [
            name
            for (name,) in connection.execute(
                "select name from sqlite_schema where type = 'table' and name not like 'sqlite%'"
            )
        ]
        assert len(tables) >= 8
        for table in tables:
            (rows,) = connection.execute(f"select count(*) from {table}").fetchone()
            assert (table, rows) == (table, 0)


def test_another_program_s_file_is_no_catalogue(refused, tmp_path):
    other = tmp_path / "photos.db"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("create table mine (x)")
    refused("bundles", "--catalogue", other, says="a database of another program")


def test_a_file_that_is_none(refused, tmp_path):
    other = tmp_path / "notes.txt"
    other.write_text("dear diary " * 200, encoding="utf-8")
    refused("show", "blues", "--catalogue", other, says="--catalogue")
    assert other.read_text(encoding="utf-8") == "dear diary " * 200


def test_bundles_and_check_up_agree_on_counts(kept, told):
    for words in (
        ["square", "isnt", "blues", "R1C1"],
        ["square", "same", "both halves", "--all"],
        ["photo", "drop", "both halves", "2"],
        ["square", "missed", "blues", "--place", "R1C1"],
    ):
        assert kept(*words).exit_code == 0
        lines, verdict = told("bundles")["bundles"], told("check-up")
        for what in ("photos", "squares"):
            assert verdict[what] == sum(line[what] for line in lines)
            assert f"{verdict[what]} {what}" in " ".join(kept("check-up").stdout.split())
    gone = kept("remove", "both halves", "--yes").stdout
    assert "with 1 photo, 1 photo taken out, " in gone
