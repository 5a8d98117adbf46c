import csv
import json
import os
import re
import shutil
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from catalog import pipeline

OURS = ["found.jpg", "sets.csv", "swatches.csv", "tally.csv", "values.jpg"]
PLANNED = sorted([*OURS, "buying.csv", "cutting.csv", "cutting-plan.jpg", "wall.csv", "wall.jpg"])


def rows(folder, name):
    with (Path(folder) / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def names(folder="."):
    return sorted(path.name for path in Path(folder).iterdir())


def refused(result, *words):
    """One sentence with a cure on standard error, exit code 2, nothing written."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert result.stderr.startswith("calicount: ")
    assert result.stderr.endswith(".\n")
    assert result.stderr.count("\n") == 1
    assert "; " in result.stderr
    assert "Traceback" not in result.stderr
    for word in words:
        assert word in result.stderr
    assert not Path("calicount-out").exists()


@pytest.fixture
def no_looking(monkeypatch):
    """Fail where a photo is looked at."""
    from catalog import photo

    def fail(*_):
        pytest.fail("a photo was decoded")

    monkeypatch.setattr(pipeline, "catalogue", fail)
    monkeypatch.setattr(photo, "read_photo", fail)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--precut", "fat quarters"], "--have and --precut are for cloth"),
        (["--pattern", "pinwheel", "--have", "fat quarters"], "doesn't say how many"),
        (["--pattern", "pinwheel", "--have", "2 fat quarters for moss"], 'called "moss"'),
        (["--pattern", "pinwheel", "--precut", "fat quarters for border"], "larger than a fat"),
        (["--pattern", "pinwheel", "--precut", "tea towels"], "is no precut"),
        (["--pattern", "pinwheel", "--pack", "0"], "a pack of 0 can't be meant"),
    ],
)
@pytest.mark.usefixtures("no_looking")
def test_precuts_that_can_t_be_are_refused_before_looking(calicount, small_photo, words, says):
    refused(calicount("count", small_photo, *words), says)


# ------------------------------------------------------------------ a run


def test_four_files_and_a_tally(calicount, small_photo):
    result = calicount("count", small_photo)
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    assert names("calicount-out") == OURS
    assert "bundle.jpg: 24 squares found." in result.stdout
    assert "Written to the folder calicount-out:" in result.stdout
    assert len(rows("calicount-out", "swatches.csv")) == 24
    (line,) = rows("calicount-out", "tally.csv")
    assert line["on_hand"] == str(len(line["swatches"].split(";")))
    for name in OURS:
        assert f"  {name} " in result.stdout


def test_squares_in_doubt_are_named(calicount, small_photo, monkeypatch):
    look = pipeline.catalogue

    def doubtful(*words):
        bundle = look(*words)
        unsure = [replace(swatch, flags=("odd size",)) for swatch in bundle.swatches[:10]]
        unsure[0] = replace(unsure[0], flags=("unsure", "odd size"))
        unsure = [replace(one, square=replace(one.square, flags=())) for one in unsure]
        sure = [
            replace(one, flags=(), square=replace(one.square, flags=()))
            for one in bundle.swatches[10:]
        ]
        return replace(bundle, swatches=(*unsure, *sure))

    monkeypatch.setattr(pipeline, "catalogue", doubtful)
    lines = calicount("count", small_photo).stdout.splitlines()
    place = lines.index("Look again at 10 squares, marked ? in the picture:")
    told = [line for line in lines[place + 1 :] if "odd size: " in line or "unsure: " in line]
    assert told[0] == "  unsure: R1C1"
    sizes = " (5 in), ".join(f"R1C{col}" for col in range(1, 7))
    assert told[1].startswith(f"  odd size: {sizes} (5 in), ")
    assert told[1].endswith(" and 2 more")


def test_families_on_the_terminal_are_those_of_the_file(calicount, small_photo):
    result = calicount("count", small_photo)
    families = Counter(row["family"] for row in rows("calicount-out", "swatches.csv"))
    told = re.search(r"in (\d+) colour famil(?:y|ies): (.*)\.$", result.stdout, re.MULTILINE)
    assert int(told[1]) == len(families)
    assert set(told[2].split(", ")) == {f"{name} ({number})" for name, number in families.items()}


def test_sets_that_count_are_told_apart_from_those_that_do_not(calicount, small_photo):
    result = calicount("count", small_photo, "--tolerance", 6)
    sets = rows("calicount-out", "sets.csv")
    near = sum(float(row["difference"]) <= 6 for row in sets)
    assert 0 < near < len(sets)
    told = f"{len(sets)} sets made: {near} match well, {len(sets) - near} too far apart to count."
    assert told in result.stdout
    assert rows("calicount-out", "tally.csv")[0]["on_hand"] == str(2 * near)


def test_a_second_run_makes_a_folder_of_its_own(calicount, small_photo):
    for _ in range(2):
        assert calicount("count", small_photo).exit_code == 0
    assert names() == ["calicount-out", "calicount-out-2"]


@pytest.mark.parametrize(("columns", "most"), [("60", 60), ("", 80), ("120", 120)])
def test_no_table_is_wider_than_columns_says(columns, most, calicount, small_photo, monkeypatch):
    monkeypatch.setenv("COLUMNS", columns)
    result = calicount("count", small_photo, "--pattern", "hourglass")
    table = result.stdout.split("\n\n")[1]
    assert "on hand" in table
    assert max(len(line) for line in table.splitlines()) <= most
    assert all(line == line.rstrip() for line in table.splitlines())


def test_enough_is_0_and_short_is_3(calicount, small_photo):
    enough = calicount("count", small_photo, "--sets", 3, "--out", "few")
    assert enough.exit_code == 0, enough.output
    assert "Enough." in enough.stdout
    short = calicount("count", small_photo, "--pattern", "pinwheel", "--out", "many")
    assert short.exit_code == 3, short.output
    assert "Not enough." in short.stdout
    assert " sets short; " in short.stdout
    assert names("many") == PLANNED


def test_no_number_asked_for_is_neither_enough_nor_short(calicount, small_photo):
    result = calicount("count", small_photo)
    assert "nough" not in result.stdout


def test_no_squares_is_4_and_nothing_is_written(calicount, no_squares):
    result = calicount("count", no_squares)
    assert result.exit_code == 4
    assert result.stdout == ""
    assert result.stderr == (
        "calicount: cloth.png: no squares found; lay the squares flat and photograph them whole.\n"
    )
    assert names() == []


def test_two_photos_are_one_bundle(calicount, two_photos):
    result = calicount("count", *two_photos, "--out", "both")
    assert result.exit_code == 0, result.output
    assert names("both") == sorted(["found-2.jpg", "values-2.jpg", *OURS])
    swatches = rows("both", "swatches.csv")
    assert len({swatch["swatch"] for swatch in swatches}) == 50
    assert {swatch["photo"] for swatch in swatches} == {"a/bundle.jpg", "b/bundle.jpg"}
    used = [row[key] for row in rows("both", "sets.csv") for key in ("swatch_a", "swatch_b")]
    assert len(set(used)) == len(used) == 50


def test_locked_forbidden_and_held_back(calicount, small_photo):
    words = ["--lock", "r1c1+R4C6", "--hold-back", "r2c2", "--out", "first"]
    result = calicount("count", small_photo, *words)
    assert result.exit_code == 0, result.output
    pairs = [{row["swatch_a"], row["swatch_b"]} for row in rows("first", "sets.csv")]
    assert {"R1C1", "R4C6"} in pairs
    assert not any("R2C2" in pair for pair in pairs)
    kept_apart = "+".join(sorted(pairs[-1] - {"R1C1", "R4C6"} or pairs[0]))
    result = calicount("count", small_photo, "--forbid", kept_apart, "--out", "second")
    assert result.exit_code == 0, result.output
    again = [{row["swatch_a"], row["swatch_b"]} for row in rows("second", "sets.csv")]
    assert set(kept_apart.split("+")) not in again


def test_sets_of_three_in_three_families(calicount, small_photo):
    words = ["--set-size", 3, "--families", 3, "--sets", 2, "--out", "threes"]
    result = calicount("count", small_photo, *words)
    assert result.exit_code in {0, 3}, result.output
    sets = rows("threes", "sets.csv")
    assert [row["set"] for row in sets] == ["1", "2"]
    assert all(row["swatch_c"] for row in sets)
    assert len({row["family"] for row in rows("threes", "swatches.csv")}) == 3


def test_sets_that_do_not_count_are_marked_as_such(calicount, small_photo):
    assert calicount("count", small_photo, "--tolerance", 2, "--out", "two").exit_code == 0
    (line,) = rows("two", "tally.csv")
    serving = set(line["swatches"].split(";"))
    marks = [
        ({row["swatch_a"], row["swatch_b"]} <= serving, "not counted" in row["flags"].split(";"))
        for row in rows("two", "sets.csv")
    ]
    assert {True, False} == {counts for counts, _ in marks}
    assert all(counts != marked for counts, marked in marks)


def test_value_steps_are_kept(calicount, small_photo):
    words = ["--least-step", 5, "--most-step", 20, "--sets", 4, "--out", "steps"]
    assert calicount("count", small_photo, *words).exit_code in {0, 3}
    steps = [float(row["value_step"]) for row in rows("steps", "sets.csv")]
    assert steps
    assert all(5 <= step <= 20 for step in steps)


# ------------------------------------------------------------------ JSON


def test_json_is_alone_on_standard_output_and_says_what_the_files_say(calicount, small_photo):
    result = calicount("count", small_photo, "--pattern", "pinwheel", "--json", "--out", "out")
    assert result.exit_code == 3
    assert result.stderr == ""
    told = json.loads(result.stdout)
    assert sorted(Path(name).name for name in told["files"]) == PLANNED
    assert all(Path(name).is_file() for name in told["files"])
    for table, key in (("swatches", "swatch"), ("sets", "set")):
        listed = [str(entry[key]) for entry in told[table]]
        assert listed == [row[key] for row in rows("out", f"{table}.csv")]
    for entry, row in zip(told["swatches"], rows("out", "swatches.csv"), strict=True):
        assert entry["lab"] == [float(row[key]) for key in "Lab"]
        assert [entry[key] for key in ("hex", "family", "fabric", "value", "print")] == [
            row[key] for key in ("hex", "family", "fabric", "value", "print")
        ]
        assert entry["corners"] == [
            [float(row[f"x{corner}"]), float(row[f"y{corner}"])] for corner in (1, 2, 3, 4)
        ]
        assert ";".join(entry["flags"]) == row["flags"]
    for entry, row in zip(told["sets"], rows("out", "sets.csv"), strict=True):
        assert entry["swatches"] == [row["swatch_a"], row["swatch_b"]]
        assert entry["difference"] == float(row["difference"])
    for entry, row in zip(told["tally"]["lines"], rows("out", "tally.csv"), strict=True):
        numbers = ("needed", "on_hand", "short", "left_over")
        assert [entry[key] for key in numbers] == [int(row[key]) for key in numbers]
        assert entry["swatches"] == [label for label in row["swatches"].split(";") if label]
        assert entry["note"] == row["note"]


def test_json_counts_sets_as_the_table_does_where_squares_need_no_partner(calicount, small_photo):
    result = calicount("count", small_photo, "--pattern", "hourglass", "--json", "--out", "out")
    told = json.loads(result.stdout)
    assert [str(one["set"]) for one in told["sets"]] == [
        row["set"] for row in rows("out", "sets.csv")
    ]


def test_json_is_whole_in_every_encoding(calicount, small_photo):
    photo = Path("Tücher 😀.jpg")
    shutil.copy(small_photo, photo)
    from typer.testing import CliRunner

    from cli.main import app

    for encoding in ("utf-8", "ascii", "cp437"):
        words = ["count", str(photo), "--json", "--out", encoding]
        result = CliRunner(charset=encoding).invoke(app, words)
        assert json.loads(result.stdout)["photos"][0]["name"] == photo.name


def test_consoles_without_our_letters_get_plain_text(calicount, small_photo):
    from typer.testing import CliRunner

    from cli.main import app

    photo = Path("Tücher 😀.jpg")
    shutil.copy(small_photo, photo)
    for encoding in ("ascii", "cp437"):
        result = CliRunner(charset=encoding).invoke(app, ["count", str(photo), "--out", encoding])
        assert result.exit_code == 0, result.output
        assert "cher ?.jpg: 24 squares found." in result.stdout
    assert rows("ascii", "swatches.csv")[0]["photo"] == "Tücher 😀.jpg"


# ------------------------------------------------------------------ names and folders


@pytest.mark.parametrize("name", ["-leading dash.jpg", "it's [red] & 5%.jpg", "ünï 😀 布.jpg"])
def test_odd_names(calicount, small_photo, name):
    folder = Path("a folder")
    folder.mkdir()
    shutil.copy(small_photo, name)
    result = calicount("count", "--out", folder / "söt", "--", name)
    assert result.exit_code == 0, result.output
    assert f"{name}: 24 squares found." in result.stdout
    assert rows(folder / "söt", "swatches.csv")[0]["photo"].removeprefix("'") == name


def test_our_files_are_not_written_over_unasked(calicount, small_photo, no_looking):
    Path("out").mkdir()
    for name in ("tally.csv", "notes.txt"):
        (Path("out") / name).write_text("mine", encoding="utf-8")
    refused(calicount("count", small_photo, "--out", "out"), "already holds tally.csv", "--replace")
    assert names("out") == ["notes.txt", "tally.csv"]
    assert (Path("out") / "tally.csv").read_text(encoding="utf-8") == "mine"


def test_replace_leaves_nothing_of_an_earlier_run_and_all_of_the_users(calicount, small_photo):
    Path("out").mkdir()
    for name in ("tally.csv", "found-2.jpg", "notes.txt", "found-mine.jpg"):
        (Path("out") / name).write_text("old", encoding="utf-8")
    result = calicount("count", small_photo, "--out", "out", "--replace")
    assert result.exit_code == 0, result.output
    assert names("out") == sorted([*OURS, "found-mine.jpg", "notes.txt"])
    assert (Path("out") / "notes.txt").read_text(encoding="utf-8") == "old"
    assert len(rows("out", "tally.csv")) == 1


def test_tables_alone_are_written_where_no_pictures_are_asked_for(
    calicount, small_photo, monkeypatch
):
    Path("out").mkdir()
    for name in ("found.jpg", "values-2.jpg", "wall.jpg", "mine.jpg"):
        Path("out", name).write_text("old", encoding="utf-8")
    words = ("count", small_photo, "--pattern", "pinwheel", "--out", "out", "--no-pictures")
    refused(calicount(*words), "already holds", "found.jpg")
    drawing = [name for name in sys.modules if re.match(r"catalog\.report\.(pict|draw)", name)]
    for name in drawing:
        monkeypatch.delitem(sys.modules, name)
    assert calicount(*words, "--replace").exit_code == 3
    tables = {name for name in PLANNED if name.endswith(".csv")}
    assert set(names("out")) == {*tables, "mine.jpg"}
    assert not {name for name in sys.modules if name.startswith("catalog.report.pictures.")}
    assert "catalog.report.drawings.drawing_jpeg" not in sys.modules


def test_pictures_are_as_large_as_the_photo_where_that_is_asked(calicount, small_photo):
    from PIL import Image

    assert calicount("count", small_photo, "--full-pictures", "--out", "out").exit_code == 0
    with Image.open("out/values.jpg") as drawn, Image.open(small_photo) as photo:
        assert drawn.size == photo.size
    refused(calicount("count", small_photo, "--full-pictures", "--no-pictures"), "leave one")


def test_a_picture_of_an_earlier_run_is_not_left_beside_new_files(calicount, small_photo):
    Path("out").mkdir()
    (Path("out") / "found-3.jpg").write_text("old", encoding="utf-8")
    refused(calicount("count", small_photo, "--out", "out"), "found-3.jpg", "--replace")


def test_a_file_in_the_place_of_the_folder(calicount, small_photo, no_looking):
    Path("out").write_text("mine", encoding="utf-8")
    refused(calicount("count", small_photo, "--out", "out"), "'out' is a file", "--out")
    refused(calicount("count", small_photo, "--out", Path("out") / "deep"), "is a file", "--out")


def test_a_folder_that_may_not_be_written_to(calicount, small_photo, no_looking, monkeypatch):
    monkeypatch.setattr(os, "access", lambda _, mode: mode != os.W_OK)
    refused(calicount("count", small_photo, "--out", "out"), "may not be written to", "--out")


def test_a_name_too_long_for_a_folder(calicount, small_photo, no_looking):
    refused(calicount("count", small_photo, "--out", "x" * 5000), "--out")


def test_a_disk_that_fills_up(calicount, small_photo, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    result = calicount("count", small_photo, "--out", "out")
    assert result.exit_code == 2
    assert "can't be written to (No space left on device)" in result.stderr
    assert names() == []


# ------------------------------------------------------------------ what is refused before looking


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--pattern", "pinwhel"], "pinwheel"),
        (["--pattern", "wrong.toml"], "wrong.toml, line 3, field layout"),
        (["--pattern", "."], "is a folder"),
        (["--pattern", "pinwheel", "--sets", "3"], "--sets and --pattern"),
        (["--pattern", "pinwheel", "--set-size", "3"], "--set-size and --pattern"),
        (["--square", "five"], '"five"'),
        (["--square", ""], "length"),
        (["--square", "0"], '"0"'),
        (["--square", "500"], "--square"),
        (["--families", "0"], "--families"),
        (["--families", "-3"], "--families"),
        (["--families", "1000"], "--families"),
        (["--sets", "0"], "1 or more"),
        (["--set-size", "1"], "2 to 4"),
        (["--set-size", "5"], "2 to 4"),
        (["--lock", "R1C1"], "--lock R1C2+R3C4"),
        (["--lock", "R1C1+"], "--lock"),
        (["--forbid", "R1C1+R1C2+R1C3"], "two at a time"),
        (["--hold-back", " "], "--hold-back"),
        (["--least-step", "9", "--most-step", "5"], "--least-step"),
        (["--tolerance", "nan"], "--tolerance"),
        (["--tolerance", "-1"], "--tolerance"),
        (["--tolerance", "0.9"], "write a number from 1 to 20"),
        (["--tolerance", "20.5"], "write a number from 1 to 20"),
        (["--least-step", "101"], "write a number from 0 to 100"),
        (["--lightness-weight", "5"], "--lightness-weight 5"),
        (["--least-step", "inf"], "--least-step"),
    ],
)
def test_refused_before_any_photo_is_decoded(calicount, small_photo, no_looking, words, said):
    Path("wrong.toml").write_text('title = "x"\ndescription = "y"\nlayout = 3\n', encoding="utf-8")
    refused(calicount("count", small_photo, *words), said)


def test_a_photo_named_twice(calicount, small_photo, no_looking):
    again = small_photo.parent / ".." / small_photo.parent.name / small_photo.name
    refused(calicount("count", small_photo, again), "named twice")


@pytest.mark.parametrize("label", ["R9C9", "nonsense"])
@pytest.mark.parametrize("option", ["--lock", "--forbid", "--hold-back"])
def test_labels_that_there_are_not(calicount, small_photo, option, label):
    text = label if option == "--hold-back" else f"R1C1+{label}"
    refused(
        calicount("count", small_photo, option, text), label.upper(), "no square has that label"
    )


# ------------------------------------------------------------------ photos that can't be used


def test_a_missing_photo_is_told_before_the_others_are_decoded(calicount, small_photo, monkeypatch):
    monkeypatch.setattr(pipeline, "catalogue", lambda *_: pytest.fail("a photo was decoded"))
    refused(calicount("count", small_photo, "nosuch.jpg"), "no photo 'nosuch.jpg'")


def test_a_folder_for_a_photo(calicount):
    Path("photos").mkdir()
    refused(calicount("count", "photos"), "'photos' is a folder", "inside it")


@pytest.mark.parametrize("content", [b"", b"not a photo at all", b"\xff\xd8\xff\xe0broken"])
def test_files_that_are_no_photos(calicount, content):
    Path("x.jpg").write_bytes(content)
    refused(calicount("count", "x.jpg"), "'x.jpg'")


def test_a_truncated_photo(calicount, small_photo):
    data = small_photo.read_bytes()
    Path("half.jpg").write_bytes(data[: len(data) // 2])
    refused(calicount("count", "half.jpg"), "'half.jpg'")


def test_a_name_too_long_for_a_photo(calicount):
    refused(calicount("count", "x" * 5000 + ".jpg"))
