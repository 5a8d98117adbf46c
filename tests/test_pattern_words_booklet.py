"""What our own booklet prints of the cutting is read back to the same pieces."""

from dataclasses import dataclass, field
from fractions import Fraction
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_booklet import booklet_of

from catalog.cutting.plans import CutRow
from catalog.lengths import centimetres_shown
from catalog.pattern.words.instruction_reading import read_instructions
from catalog.report.booklet.shopping_section import cutting_section

BETWEEN = (" | ", "\t", "    ")
"""What may part the columns where a page is copied."""
HALF_MARK = Fraction(1, 32)
"""Inches: lengths are printed to the sixteenth, centimetres to the millimetre."""


@dataclass
class Printed:
    """Pages that keep what is written on them."""

    between: str
    larger: float = 1.0
    room: float = 170.0
    lines: list = field(default_factory=list)

    def heading(self, words, *_, **__):
        self.lines += ["", words]

    def paragraph(self, words, *_, **__):
        self.lines.append(words)

    def table(self, columns, rows):
        self.lines.append(self.between.join(one.head for one in columns))
        self.lines += [self.between.join(row) for row in rows]

    def drawing(self, *_):
        pass

    def gap(self, *_):
        pass


def read_back(booklet, between):
    pages = Printed(between)
    cutting_section(pages, booklet)
    return read_instructions("\n".join(pages.lines))


def check(cuts, read):
    assert [(one.cloth, one.count) for one in read.pieces] == [
        (row.cloth.lower(), row.count) for row in cuts
    ]
    for row, piece in zip(cuts, read.pieces, strict=True):
        assert abs(piece.width - row.width) <= HALF_MARK
        assert abs(piece.length - row.length) <= HALF_MARK
        assert piece.shape == ("square" if row.width == row.length else "rectangle")
        assert piece.diagonal_cuts == 0
    assert read.unread == ()


@pytest.mark.parametrize("name", ["pinwheel", pytest.param("framed", marks=pytest.mark.slow)])
def test_booklets_of_patterns(name):
    booklet = booklet_of(name)
    for between in BETWEEN:
        check(booklet.adapted.cuts, read_back(booklet, between))


LENGTHS = st.integers(8, 16 * 40).map(lambda sixteenths: Fraction(sixteenths, 16))
ROWS = st.builds(
    CutRow,
    cloth=st.sampled_from(["background", "border", "dusk", "moss green", "squares in hand"]),
    piece=st.sampled_from(["patch", "side border", "cornerstone", "wheel", "post"]),
    count=st.integers(1, 1500),
    width=LENGTHS,
    length=LENGTHS,
    how=st.sampled_from(
        ["one from each square", "3 strips of 2 1/2 in across 40 in: from each 16 patch 2 1/2 in"]
    ),
    trim=st.sampled_from(["", "half square triangle to 4 1/2 in"]),
)


@settings(max_examples=40)
@given(st.lists(ROWS, min_size=1, max_size=6), st.sampled_from(BETWEEN), st.booleans())
def test_any_cutting_list(rows, between, metric):
    booklet = SimpleNamespace(adapted=SimpleNamespace(cuts=rows, buys=()), printed=None)
    with centimetres_shown(metric):
        read = read_back(booklet, between)
    check(rows, read)
