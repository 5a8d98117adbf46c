"""A square's palette at the terminal."""

import io

import pytest
from rich.console import Console

from catalog.models import PaletteColour, PrintLook
from catalog.report.palette_bars import bars_of
from cli import console
from cli.colour_bars import WIDE, BarCell, shares_cell

PRINT = (
    PaletteColour((94.0, 0.0, 2.0), 0.5, ground=True),
    PaletteColour((30.0, 40.0, 20.0), 0.3),
    PaletteColour((45.0, 45.0, 20.0), 0.17),
    PaletteColour((60.0, -30.0, 5.0), 0.03),
)


@pytest.fixture
def cell():
    return BarCell(bars_of((PRINT,))[0])


def screen(**given):
    return Console(file=io.StringIO(), **{"force_terminal": True, "width": 80, **given})


def test_each_colour_is_as_wide_as_its_share_with_its_percent_in_it(cell):
    drawn = cell.drawn(screen(color_system="truecolor"))
    assert drawn.plain == "50        30    17 3"
    assert [span.style for span in drawn.spans] == [
        "black on #efeeea", "white on #82252a", "white on #b4464c", "black on #509f87",
    ]  # fmt: skip
    assert len(drawn.plain) <= WIDE


@pytest.mark.parametrize(
    "given",
    [
        {"force_terminal": False, "color_system": None},
        {"color_system": "standard"},
        {"color_system": "truecolor", "no_color": True},
    ],
)
def test_without_colours_there_are_words(cell, given):
    assert cell.drawn(screen(**given)) is None
    assert cell.words == "white 50, red 47, green 3"


def test_piped_tables_hold_words_alone(cell, capsys):
    console.table("Squares", ("square", "shares in %"), [("R1C1", cell), ("R1C2", "")], words=2)
    said = capsys.readouterr().out
    assert "R1C1    white 50, red 47, green 3" in said
    assert "\x1b" not in said


def test_one_colour_is_named_already():
    assert shares_cell((PaletteColour((50.0, 0.0, 0.0), 1.0, ground=True),), None) == ""
    assert shares_cell((), None) == ""


def test_shades_of_one_colour_are_not_told_by_hues_beside_its_name():
    shades = tuple(PaletteColour((60.0, a, -10.0), 0.5) for a in (-30.0, -18.0))
    tonal, print_ = (shares_cell(shades, PrintLook(scale)) for scale in ("tonal", "large"))
    assert isinstance(tonal, BarCell)
    assert isinstance(print_, BarCell)
    assert tonal.words == ""
    assert tonal.bar == print_.bar
    assert print_.words
