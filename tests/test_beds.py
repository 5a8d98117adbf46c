"""A quilt for a bed: its size from mattress, drop and tuck, and rows and columns for that."""

import csv
import json
from fractions import Fraction
from pathlib import Path

import pytest
from walls_made import FOUR_PATCH, PINWHEEL

from catalog.cutting.adapted.adaptation import SHAPES, adapt_pattern
from catalog.cutting.quilt_sizes.beds import MATTRESSES, bed_size, mattress_of
from catalog.cutting.quilt_sizes.standard_sizes import ALL_NAMES, usual_sizes
from catalog.errors import UsageError
from catalog.lengths import CENTIMETRES_PER_INCH

ROWS = Path(__file__).parent / "trade_checks" / "yardage.csv"


def published(topic):
    with ROWS.open(encoding="utf-8", newline="") as stream:
        return [row for row in csv.DictReader(stream) if row["topic"] == topic]


def test_published_quilts_for_beds_come_out():
    """Rows SZ001 to SZ006, whose drop is the same at the sides and the foot."""
    rows = published("bed.quilt")
    assert len(rows) >= 6
    for row in rows:
        told = {key: Fraction(value) for key, value in
                (part.split("=") for part in row["input"].split(";"))}  # fmt: skip
        assert told["side"] == told["foot"]
        bed = mattress_of(f"{told['mattress_w']}x{told['mattress_l']}")
        size = bed_size(bed, told["side"], told.get("head", Fraction(0)))
        assert f"{size.width} x {size.length}" == row["expected"], row["id"]


def test_an_australian_table_comes_out_of_its_mattresses():
    """Drop of 12 cm: https://layeredcreations.com.au/faq/ (see `beds`)."""
    drop = 12 / CENTIMETRES_PER_INCH
    for name in ("single-au", "king-single-au", "double-au", "queen-au", "king-au"):
        bed = bed_size(mattress_of(name), drop)
        (size,) = usual_sizes(name)
        assert (bed.width, bed.length) == (size.width, size.length)


def test_mattresses_are_named_or_measured():
    assert len({one.name for one in MATTRESSES}) == len(MATTRESSES)
    queen = mattress_of("Queen US")
    assert (queen.width, queen.length) == (60, 80)
    for text in ("60x80", "60 x 80 in", "60 by 80", "60\N{MULTIPLICATION SIGN}80"):
        assert (mattress_of(text).width, mattress_of(text).length) == (60, 80)
    metric = mattress_of("152.4 x 203.2", cm=True)
    assert (metric.width, metric.length) == (60, 80)
    assert mattress_of("152.4x203.2 cm").width == 60
    for text in ("tent", "60", "60x80x10", "x"):
        with pytest.raises(UsageError, match="is no mattress"):
            mattress_of(text)


@pytest.mark.parametrize("quilt", [PINWHEEL, FOUR_PATCH])
def test_rows_and_columns_come_nearest_to_the_bed(quilt):
    size = bed_size(mattress_of("queen-us"), Fraction(12), Fraction(10))
    assert (size.width, size.length) == (84, 102)
    made = adapt_pattern(quilt, bed=size)

    def off(rows, columns):
        from dataclasses import replace

        layout = replace(made.layout, rows=rows, columns=columns)
        return abs(layout.width - 84) + abs(layout.length - 102)

    best = min(off(rows, columns) for rows in range(6, 22) for columns in range(6, 22))
    assert off(made.layout.rows, made.layout.columns) == best


def test_small_things_and_other_countries_are_asked_for():
    assert {"wall", "cot", "bag-panel", "runner", "lap", "king-au"} <= set(ALL_NAMES) <= set(SHAPES)
    made = adapt_pattern(FOUR_PATCH, shape="wall")
    assert abs(made.layout.width - 36) <= 12
    plain = adapt_pattern(FOUR_PATCH, sets=12)
    assert {one.usual.name for one in plain.usual} <= set(ALL_NAMES) - {"wall", "cot", "king-au"}


def test_remake_makes_a_quilt_for_a_bed(calicount):
    words = ("remake", "pinwheel", "--mattress", "60x80", "--drop", "12", "--tuck", "10")
    told = calicount(*words, "--backing-width", "108", "--overhang", "3").output
    assert "your bed 84 x 102" in " ".join(told.split())
    backed = json.loads(calicount(*words, "--backing-width", "108", "--json").stdout)
    (back,) = [buy for buy in backed["buy"] if buy["cloth"] == "backing"]
    assert back["usable_width_in"] == 108
    assert backed["bed"] == {"width_in": 84, "length_in": 102}
    assert back["words"].startswith("1 length of")
    assert "3 in over" in told
    for wrong, problem in (
        (("--drop", "3"), "--drop needs a bed"),
        (("--mattress", "60x80", "--shape", "crib"), "both tell a size"),
        (("--mattress", "600x800"), "larger than any bed"),
        (("--overhang", "40"), "can't be meant"),
    ):
        result = calicount("remake", "pinwheel", *wrong)
        assert result.exit_code == 2
        assert problem in " ".join(result.output.split())
