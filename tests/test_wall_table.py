"""A plan read back from its wall.csv: the same plan, or one sentence that says what is wrong."""

from __future__ import annotations

import csv
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from walls_made import FOUR_PATCH, HOURGLASS, PINWHEEL, bundle, layout_of

from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.errors import WallError
from catalog.report.tables.plan_csv import wall_csv
from catalog.wall.put_right.planned_table import wall_of_table
from catalog.wall.put_right.wall_table import read_wall_table
from catalog.wall.set_grid import quilt_of_sets
from catalog.wall.wall_plan import plan_wall

pytestmark = pytest.mark.usefixtures("quickly_hung")


def planned(quilt, layout, size=2, sets=30):
    """A plan, and the labels of the bundle that it is of."""
    found, swatches = bundle(sets, size, need=quilt.kinds[0].needs[0])
    if len(quilt.kinds) > 1 and quilt.kinds[1].source == "bundle":  # single background squares
        more, light = bundle(60, 1, need=quilt.kinds[1].needs[0], seed=1)
        light = [replace(swatch, label=f"G{n}") for n, swatch in enumerate(light)]
        found += [replace(one, number=0, swatches=(light[n].label,)) for n, one in enumerate(more)]
        swatches += light
    plan = plan_wall(quilt, layout, found, swatches, "rainbow-down")
    return plan, [swatch.label for swatch in swatches]


def on_point():
    return replace(PINWHEEL, on_point=True), layout_of(PINWHEEL, on_point=True, rows=2, columns=3)


GRIDS = {
    "pinwheel": (PINWHEEL, layout_of(PINWHEEL, rows=2)),
    "four patch": (FOUR_PATCH, layout_of(FOUR_PATCH, rows=2)),
    "hourglass": (HOURGLASS, layout_of(HOURGLASS)),
    "on point": on_point(),
    "offset": (PINWHEEL, Layout(3, 3, Fraction(8), offset=True)),
    "turned": (replace(PINWHEEL, turn_columns=90), layout_of(PINWHEEL, rows=2)),
}


@pytest.mark.parametrize("grid", GRIDS)
def test_a_plan_is_read_back_as_it_was_written(grid, tmp_path):
    quilt, layout = GRIDS[grid]
    plan, labels = planned(quilt, layout)
    (tmp_path / "wall.csv").write_text(wall_csv(plan), encoding="utf-8")
    other = replace(layout, rows=layout.rows + 1)
    read, found = wall_of_table(read_wall_table(tmp_path / "wall.csv"), quilt, other, labels)
    assert read == layout
    assert wall_csv(found) == wall_csv(plan)
    assert [block.squares for block in found.blocks] == [block.squares for block in plan.blocks]
    assert any(block.squares for block in found.blocks)


@pytest.mark.parametrize("size", [2, 3, 4])
def test_so_is_a_plan_of_sets_alone(size, tmp_path):
    quilt, layout = quilt_of_sets(7, size, "matched sets", Fraction(5))
    plan, labels = planned(quilt, layout, size, sets=7)
    (tmp_path / "w").write_text(wall_csv(plan), encoding="utf-8")
    _, found = wall_of_table(read_wall_table(tmp_path / "w"), quilt, layout, labels)
    assert [block.squares for block in found.blocks] == [block.squares for block in plan.blocks]


@pytest.fixture
def few():
    """A plan of eight places, which is quick to make."""
    return planned(PINWHEEL, layout_of(PINWHEEL, rows=2), sets=8)


@pytest.fixture
def table(tmp_path, few):
    plan, labels = few
    good = wall_csv(plan)

    def read(text=good, name="wall.csv"):
        place = Path(tmp_path, name)
        place.write_bytes(text if isinstance(text, bytes) else text.encode())
        return wall_of_table(read_wall_table(place), PINWHEEL, layout_of(PINWHEEL), labels)[1]

    read.good, read.plan = good, plan
    return read


def test_what_a_spreadsheet_makes_of_it_is_read_too(table):
    assert ";" not in table.good.partition("\n")[0]
    told = table("\ufeff" + table.good)
    assert [b.squares for b in told.blocks] == [b.squares for b in table.plan.blocks]
    first, *rows = table.good.splitlines()
    assert wall_csv(table("\n".join([first, *rows[::-1]]))) == table.good
    semicolons = "\n".join(
        ";".join(f'"{cell}"' if ";" in cell else cell for cell in row)
        for row in csv.reader(table.good.splitlines())
    )
    assert wall_csv(table(semicolons)) == table.good


def changed(text, column, value, row=1):
    rows = [line.split(",") for line in text.splitlines()]
    rows[row][rows[0].index(column)] = value
    return "\n".join(map(",".join, rows))


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda text: "", "has no rows"),
        (lambda text: text.replace("darker,", "dark,"), "has no column darker"),
        (lambda text: text.encode("utf-16"), "not text in UTF-8"),
        (lambda text: '"' + text, "is no table"),
        (lambda text: text + "21,E1", "cut short"),
        (lambda text: changed(text, "place", "A2"), "has A2 twice"),
        (lambda text: changed(text, "place", "Q1"), "not those of this pattern"),
        (lambda text: changed(text, "row", "x"), "'x' for a row"),
        (lambda text: changed(text, "column", "9" * 20), "for a column"),
        (lambda text: changed(text, "turned", "45"), "A1 turned by '45'"),
        (lambda text: changed(text, "set", "-1"), "A1 of set '-1'"),
        (lambda text: changed(text, "darker", "R77C7"), "no square of that name"),
        (
            lambda text: changed(text, "darker", "").replace("pieces,", "bits,"),
            "without saying where each of its squares goes",
        ),
    ],
)
def test_one_that_can_t_be_meant_is_refused_in_a_sentence(table, spoil, says):
    with pytest.raises(WallError) as refused:
        table(spoil(table.good))
    assert says in str(refused.value)
    assert str(refused.value).endswith(".")
    assert "\n" not in str(refused.value)


def test_a_square_that_gives_several_pieces_of_a_block_is_found_by_where_they_go(tmp_path):
    quilt, layout = quilt_of_sets(1, 4, "matched sets", Fraction(5))
    found, swatches = bundle(1, 4, need="matched sets")
    label, other = (swatches[n].label for n in (0, 1))
    shared = [replace(found[0], swatches=(label, label, other, other))]
    plan = plan_wall(quilt, layout, shared, swatches, "rainbow-down")
    (tmp_path / "w").write_text(wall_csv(plan), encoding="utf-8")
    _, read = wall_of_table(read_wall_table(tmp_path / "w"), quilt, layout, {label, other})
    assert read.blocks[0].squares == plan.blocks[0].squares


def test_files_that_are_none_are_refused(tmp_path):
    for place in (tmp_path, tmp_path / "nothing.csv", Path("a\0b")):
        with pytest.raises(WallError, match=r"folder|there is no plan"):
            read_wall_table(place)
