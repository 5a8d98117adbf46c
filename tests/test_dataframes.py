"""The Python face: what counts and catalogues give as data frames, and README's examples."""

import doctest
import re
from pathlib import Path

import pandas as pd
import pytest

import catalog
from catalog import dataframes, pipeline
from catalog.errors import CalicountError, CatalogueError, PatternError, UsageError
from catalog.models import Square, Swatch
from catalog.report.tables.columns import DTYPES, Column, csv_of, frame_of
from catalog.report.tables.csv_tables import SWATCHES, TALLY, set_columns
from catalog.report.tables.plan_csv import BUYING, CUTTING, WALL

ROOT = Path(__file__).parents[1]
PHOTO = Path("sample_photos/pale_wood_gap_6x8.jpg")
TABLES = {
    "swatches": SWATCHES,
    "sets": set_columns(()),
    "tally": TALLY,
    "cutting": CUTTING,
    "buying": BUYING,
    "wall": WALL,
}
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def looked_at_once(_remembered):
    """Photos are looked at but once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT)
        patch.setattr(pipeline, "catalogue", _remembered)
        yield


@pytest.fixture(scope="module")
def counted(looked_at_once):
    return catalog.count(PHOTO, "four-patch")


@pytest.fixture
def files(calicount, counted, tmp_path):
    """Return the folder that the command writes for the same photo and pattern."""
    (tmp_path / "sample_photos").symlink_to(ROOT / "sample_photos")
    ended = calicount("count", PHOTO, "--pattern", "four-patch", "--out", "out", "--quiet")
    assert ended.exit_code == 0
    return tmp_path / "out"


def as_in_a_cell(column, value):
    """Write a frame's value as a CSV cell is."""
    if column.kind == "list":
        return column.between.join(map(str, value))
    if value is pd.NA:
        return ""
    if column.kind == "yes or no":
        return "yes" if value else "no"
    return f"{value:.10g}" if column.kind == "number" else str(value)


def test_frames_say_what_the_command_s_files_say(files, counted):
    for name, columns in TABLES.items():
        frame = getattr(counted, name)
        read = pd.read_csv(files / f"{name}.csv", dtype=str, keep_default_na=False)
        read = read.iloc[: len(frame)] if name == "cutting" else read  # cautions follow
        assert list(frame.columns) == list(read.columns) == [one.name for one in columns]
        assert len(frame) == len(read) > 0
        for column in columns:
            told = [as_in_a_cell(column, value) for value in frame[column.name]]
            assert told == list(read[column.name]), (name, column.name)


def test_columns_are_typed(counted):
    for name, columns in TABLES.items():
        found = {str(key): str(dtype) for key, dtype in getattr(counted, name).dtypes.items()}
        assert found == {one.name: DTYPES[one.kind] for one in columns}
    assert counted.swatches["L"].between(0, 100).all()
    assert counted.enough


LOOSE = Swatch(
    label="S017",
    photo="b.jpg",
    square=Square(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), None, None, 5.0, 5.0, 1.0),
    lab=(92.0, 0.0, 0.0),
    print_kind="plain",
    busyness=0.0,
)


def test_what_is_unknown_is_na():
    row = frame_of(SWATCHES, [LOOSE]).iloc[0]
    unknown = {name for name in row.index if row[name] is pd.NA}
    assert unknown == {
        "row", "col", "h", "colour_name", "family", "fabric", "uncertainty", "ground_hex",
        "print_scale", "directional",
    }  # fmt: skip
    assert row["flags"] == ()


def test_a_number_is_the_one_in_the_file():
    columns = (Column("x", lambda number: number, "", "number", "in", 2),)
    rows = [1 / 3, 2.675, -0.001, float("nan"), 10.0, None]
    cells = csv_of(columns, rows).splitlines()[1:]
    assert cells == ["0.33", "2.67", "0", '""', "10", '""']
    frame = frame_of(columns, rows)["x"]
    assert [as_in_a_cell(columns[0], one) for one in frame] == ["0.33", "2.67", "0", "", "10", ""]


def test_without_pattern_there_are_sets_and_no_plan(looked_at_once):
    alone = catalog.count([PHOTO], sets=3)
    assert len(alone.sets) == 3
    for name in ("cutting", "buying", "wall"):
        assert getattr(alone, name).empty
        assert list(getattr(alone, name).columns) == [one.name for one in TABLES[name]]
    hung = catalog.count(str(PHOTO), sets=3, arrangement="light-to-dark")
    assert sorted(hung.wall["set"]) == [(), (1,), (2,), (3,)]  # in a grid of two by two


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        ({"pattern": "four-patch", "sets": 3}, UsageError),
        ({"pattern": "four-patch", "set_size": 3}, UsageError),
        ({"pattern": "no such"}, PatternError),
        ({"set_size": 7}, CalicountError),
        ({"square": "wide"}, CalicountError),
        ({"square": 0.4}, UsageError),
        ({"square": "2 yd"}, UsageError),
        ({"seam": "wide"}, CalicountError),
        ({"seam": "3 cm"}, UsageError),
        ({"tolerance": 0.5}, UsageError),
        ({"families": 41}, UsageError),
    ],
)
def test_what_makes_no_sense_is_refused_before_a_photo_is_looked_at(asked, error, monkeypatch):
    monkeypatch.setattr(pipeline, "catalogue", None)
    with pytest.raises(error):
        catalog.count(PHOTO, **asked)


def test_kept_bundles_are_looked_at(kept_file):
    before = kept_file.read_bytes()
    with catalog.open_catalogue(kept_file) as kept:
        bundles = kept.bundles.set_index("bundle")
        assert dict(bundles["squares"]) == {"blues": 24, "both halves": 32}
        assert (bundles["side_in"] == 5).all()
        swatches = kept.swatches("Blues")
        assert list(swatches["swatch"])[:2] == ["R1C1", "R1C2"]
        counted = kept.count("blues", sets=4)
        assert len(counted.sets) == 4
        assert set(counted.swatches["swatch"]) == set(swatches["swatch"])
        with pytest.raises(CatalogueError):
            kept.swatches("greens")
    assert kept_file.read_bytes() == before


def test_a_kept_bundle_is_counted_without_what_is_used_and_by_its_rules(kept, kept_file):
    for words in (
        ["set", "lock", "blues", "R1C1", "R1C2"],
        ["square", "mark", "blues", "cut", "R2C2"],
        ["rules", "blues", "--tolerance", "20"],
    ):
        assert kept(*words).exit_code == 0
    with catalog.open_catalogue() as opened:
        counted = opened.count("blues", sets=11)
        assert len(opened.swatches("blues")) == 24
    assert "R2C2" not in set(counted.swatches["swatch"])
    pairs = [set(pair) for pair in zip(counted.sets.swatch_a, counted.sets.swatch_b, strict=True)]
    assert {"R1C1", "R1C2"} in pairs
    counts = ["not counted" not in flags for flags in counted.sets["flags"]]
    assert 10 < counted.sets.loc[counts, "difference"].max() <= 20


def test_a_frame_s_help_tells_every_column_with_its_unit():
    for name, columns in TABLES.items():
        told = getattr(dataframes.CountFrames, name).__doc__
        for one in columns:
            unit = f", {one.unit}" if one.unit else ""
            assert f"\n{one.name} : {DTYPES[one.kind]}{unit}\n    {one.doc}" in told
            assert one.doc
            assert one.unit or one.kind != "number" or one.name == "confidence"


def test_no_other_name_is_found():
    assert {"count", "open_catalogue"} <= set(dir(catalog))
    with pytest.raises(AttributeError, match="no attribute 'counts'"):
        _ = catalog.counts


def test_readme_s_examples_are_what_python_says(looked_at_once, kept_file):
    blocks = re.findall(r"^```pycon\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    examples = doctest.DocTestParser().get_doctest("\n".join(blocks), {}, "README", None, 0)
    assert len(examples.examples) >= 8
    told = []
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    assert runner.run(examples, out=told.append).failed == 0, "".join(told)
