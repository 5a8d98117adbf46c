import csv
import io
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.bundle.tally_notes import words_for_difference
from catalog.models import (
    Need,
    PaletteColour,
    PrintLook,
    Square,
    SquareSet,
    Swatch,
    Tally,
    TallyLine,
)
from catalog.report.pages.html_views import difference_words
from catalog.report.tables.csv_tables import SWATCHES, sets_csv, swatches_csv, tally_csv

GOLDEN = Path(__file__).parent / "golden"

IN_ROW = Swatch(
    label="R1C2",
    photo="Stoffe, Küche.jpg",
    square=Square(
        corners=((10.0, 20.5), (110.256, 21.0), (109.0, 120.0), (9.5, 119.004)),
        row=1,
        col=2,
        width_in=5.0,
        height_in=4.98764,
        confidence=0.98765,
        flags=("odd size",),
    ),
    lab=(45.678, -20.0, 10.0049),
    print_kind="tonal",
    busyness=4.2,
    colour_name="moderate yellowish green",
    value="dark",
    fabric="F01",
    family="greens",
    flags=("in shadow", "odd size"),
    palette=(
        PaletteColour((92.0, 0.0, 8.0), 0.625, ground=True),
        PaletteColour((45.0, -20.0, 10.0), 0.375),
    ),
    look=PrintLook("small", "stripe", True, (0.5, 0.5)),
)
LOOSE = Swatch(
    label="S017",
    photo="b.jpg",
    square=Square(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), None, None, 5.0, 5.0, 1.0),
    lab=(92.0, -0.001, 0.0),
    print_kind="plain",
    busyness=0.0,
    value="light",
)
PAIR = SquareSet(1, ("R1C2", "S017"), 3.14159, 46.322, "greens", False, ("a visible step",))
THREE = SquareSet(2, ("A1", "A2", "A3"), 0.5, 0.0, "blues / greens", True, (), "stars")

TALLY = Tally(
    title="A test",
    lines=(
        TallyLine(
            need=Need("stars", "feature", "half of a square", Fraction(39, 8), 12, 2, "greens"),
            on_hand=10,
            short=2,
            left_over=1,
            swatches=("R1C2", "S017"),
            note='2 short; the nearest "greens" differ by 9, a visible step',
            pieces=(6, 4),
        ),
        TallyLine(
            need=Need("ground", "background", "strip", Fraction(5), 4, source="yardage"),
            on_hand=0,
            short=0,
            left_over=0,
            swatches=(),
        ),
    ),
    unused=("S018",),
)


def rows(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("swatches.csv", swatches_csv([IN_ROW, LOOSE])),
        ("sets.csv", sets_csv([PAIR, THREE])),
        ("tally.csv", tally_csv(TALLY)),
    ],
)
def test_golden_files(name, text):
    assert text.encode("utf-8") == (GOLDEN / name).read_bytes()


def test_headers_are_the_contract_s():
    assert swatches_csv([]).startswith(
        "swatch,photo,row,col,x1,y1,x2,y2,x3,y3,x4,y4,width_in,height_in,L,a,b,C,h,hex,"
        "colour_name,family,value,print,fabric,confidence,flags"
    )
    pairs = "set,swatch_a,swatch_b,difference,value_step,family,same_fabric,flags"
    assert sets_csv([]).startswith(pairs)
    assert sets_csv([PAIR]).startswith(pairs)
    fours = replace(THREE, swatches=("A", "B", "C", "D"))
    assert sets_csv([PAIR, fours]).startswith(
        "set,swatch_a,swatch_b,swatch_c,swatch_d,difference,value_step,family,same_fabric,flags"
    )
    assert tally_csv(Tally("", (), ())).startswith(
        "need,role,piece,size_in,family,value,needed,on_hand,short,left_over,swatches,note"
    )


def test_what_is_unknown_is_empty():
    row = rows(swatches_csv([LOOSE]))[0]
    assert [row[key] for key in ("row", "col", "h", "fabric", "family", "flags")] == [""] * 6
    assert row["a"] == "0"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_words_that_a_spreadsheet_would_run_are_defused(start):
    evil = f'{start}HYPERLINK("x")'
    row = rows(swatches_csv([replace(IN_ROW, photo=evil, family=evil, flags=(evil,))]))[0]
    assert row["photo"] == row["family"] == f"'{evil}"
    line = replace(TALLY.lines[0], note=evil)
    assert rows(tally_csv(replace(TALLY, lines=(line,))))[0]["note"] == f"'{evil}"
    assert rows(sets_csv([replace(PAIR, need=evil)]))[0]["need"] == f"'{evil}"


def test_numbers_below_zero_stay_numbers():
    assert rows(swatches_csv([IN_ROW]))[0]["a"] == "-20"


def test_numbers_that_are_none_are_empty():
    assert rows(sets_csv([replace(PAIR, difference=float("nan"))]))[0]["difference"] == ""


SIGNS = "=+-@\N{FULLWIDTH EQUALS SIGN}\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH HYPHEN-MINUS}" \
    "\N{FULLWIDTH COMMERCIAL AT}"  # fmt: skip


@pytest.mark.parametrize("before", ["", "a;", "a; ", "a|", "a\t", "a\n", ' "', "a;'", "a;;"])
@pytest.mark.parametrize("sign", SIGNS)
def test_cells_that_begin_where_a_spreadsheet_separates_otherwise(sign, before):
    """As with ``;`` between cells, which is usual where the comma is the decimal sign."""
    note = rows(swatches_csv([replace(IN_ROW, photo=f"{before}{sign}cmd")]))[0]["photo"]
    assert note.replace("'", "") == f"{before}{sign}cmd".replace("'", "")
    assert note.count("'") == before.count("'") + 1


@given(words=st.text(st.sampled_from([*SIGNS, *" ;|\t\r\n\"',a1"]), max_size=20))
@pytest.mark.parametrize("between", [",", ";", "\t", "|"])
def test_no_cell_is_a_formula_however_it_is_separated(between, words):
    text = swatches_csv([replace(IN_ROW, lab=(50.0, 1.0, 1.0), photo=words, family=words)])
    cells = (cell for row in csv.reader(io.StringIO(text, newline=""), delimiter=between)
             for cell in row)  # fmt: skip
    for cell in cells:
        assert not cell.lstrip(' \r\n\t"').startswith(tuple(SIGNS))


def test_lists_and_plain_words_are_left_alone():
    for words in ("blue; green", "R1C1;R1C2", "10-inch", "a = b", "a;1", "x@y.z; it's"):
        assert rows(swatches_csv([replace(IN_ROW, photo=words)]))[0]["photo"] == words


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30))
def test_any_words_come_back_whole(words):
    row = rows(swatches_csv([replace(IN_ROW, photo=words)]))[0]
    assert row["photo"].replace("'", "") == words.replace("'", "")
    assert len(row) == len(SWATCHES)


@given(st.floats(0, 30), st.sampled_from([1.0, 2.0]))
def test_a_word_for_a_difference_is_that_of_the_number_beside_it(difference, weight):
    one = replace(PAIR, difference=difference, k_lightness=weight)
    (row,) = rows(sets_csv([one]))
    assert row["difference_in_words"] == words_for_difference(float(row["difference"]), weight)
    words, number = re.fullmatch(r"(.+) \((\d+\.\d)\)", difference_words(one)).groups()
    assert words == words_for_difference(float(number), weight) == row["difference_in_words"]
