"""Everything in centimetres, in figures that add up as they are printed."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.quilt import QuiltBorder, Sashing
from catalog.cutting.units.units_by_name import usual_units
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import CalicountError
from catalog.lengths import CENTIMETRES_PER_INCH, MILLIMETRE, centimetres_shown
from catalog.pattern.patterns import load_pattern
from cli.cutting.remake_words import cut_rows, fit_lines, size_lines, strip_lines
from cli.main import app

QUILTS = [load_pattern(name).quilt for name in ("pinwheel", "four-patch", "hourglass", "example")]
NUMBER = r"[0-9]+\.[0-9]+"
INCHES = re.compile(r"[0-9] ?(in|inch|inches|yd)\b(?! all)|[0-9]/[0-9]")
SIZE = re.compile(rf"(?P<wide>{NUMBER}) x (?P<long>{NUMBER}) cm")
STRIP = re.compile(
    rf"(?P<copies>[0-9]+) strips? of (?P<high>{NUMBER}) cm across (?P<width>{NUMBER})"
)
CUT = re.compile(
    rf"(?P<count>[0-9]+) (?P<name>[^;:]+?) (?P<across>{NUMBER}) x (?P<along>{NUMBER}) cm"
    r"(?:, (?P<stacked>[0-9]+) above one another)?"
)


def cm(length):
    """Return inches as the decimals of a centimetre that they are."""
    exact = length * CENTIMETRES_PER_INCH
    return Decimal(exact.numerator) / Decimal(exact.denominator)


def run(*words):
    return CliRunner().invoke(app, words, env={"COLUMNS": "200"})


# --- one unit -------------------------------------------------------------------------------------

lengths = st.integers(30, 400).map(lambda tenths: f"{tenths / 10:g}")
seams = st.sampled_from(["0.6", "0.65", "0.7", "0.75", "1", "1/4 in"])


@given(
    st.sampled_from(
        [
            (m.unit, str(m.at_a_time))
            for unit in usual_units()
            for m in unit.ways
            if unit.reshaped is None
        ]
    ),
    st.sampled_from(["--square", "--finished"]),
    lengths,
    seams,
)
@settings(max_examples=150, deadline=None)
def test_a_unit_s_figures_add_up_as_they_are_printed(unit, option, length, seam):
    name, ways = unit
    words = ("size", name, option, length, "--seam", seam, "--at-a-time", ways, "--cm")
    result = run(*words)
    if result.exit_code:
        assert result.exit_code == 2
        assert not INCHES.search(result.stderr.replace(seam, ""))
        return
    assert not INCHES.search(result.stdout)
    told = dict(
        re.findall(
            r"^  (cut|trim to|unfinished|asked for|finished) +(.*)$", result.stdout, re.MULTILINE
        )
    )
    (sewn_seam,) = re.findall(rf"with a seam of ({NUMBER}) cm", result.stdout)
    if option == "--square":
        assert re.search(rf"\b{Decimal(length):.1f} cm", told["cut"])
    trim = told.get("trim to") or told.get("unfinished") or told.get("asked for")
    if trim is None:  # what fills an edge has its blocks' size
        return
    sides = re.findall(NUMBER, trim), re.findall(NUMBER, told["finished"])
    for raw, finished in zip(*sides, strict=True):
        assert Decimal(raw) == Decimal(finished) + 2 * Decimal(sewn_seam)


def test_a_bare_number_is_a_centimetre():
    bare = run("size", "hst", "--square", "12.5", "--seam", "0.6", "--cm", "--json")
    said = run("size", "hst", "--square", "12.5 cm", "--seam", "6 mm", "--cm", "--json")
    assert json.loads(bare.stdout) == json.loads(said.stdout)
    assert json.loads(bare.stdout)["cut"] == "12.5 cm"
    words = ("remake", "pinwheel", "--cm", "--square", "12.7", "--seam", "0.6", "--width", "110")
    made = json.loads(run(*words, "--finished", "18", "--spare", "5", "--json").stdout)
    assert made["block_finished_in"] == pytest.approx(18 / 2.54)
    assert made["seam_in"] == pytest.approx(0.6 / 2.54)
    assert made["buy"][0]["usable_width_in"] == pytest.approx(110 / 2.54)
    inches = json.loads(run("remake", "pinwheel", "--square", "5 in", "--cm", "--json").stdout)
    assert inches["square_in"] == 5


@pytest.mark.parametrize(
    "words",
    [
        ("size", "hst", "--square", "0.5"),
        ("size", "hst", "--square", "12", "--seam", "9"),
        ("size", "hst", "--square", "12", "--ruler", "9"),
        ("size", "rectangle", "--square", "5", "--at-a-time", "9"),
        ("size", "flying-geese", "--finished", "8 x 5"),
        ("remake", "pinwheel", "--square", "999"),
        ("remake", "pinwheel", "--square", "12.5", "--finished", "40"),
        ("remake", "pinwheel", "--square", "1.5"),
        ("remake", "pinwheel", "--seam", "9"),
        ("remake", "pinwheel", "--width", "9"),
        ("remake", "pinwheel", "--spare", "900"),
    ],
)
def test_refusals_speak_of_centimetres_too(words):
    result = run(*words, "--cm")
    assert result.exit_code == 2
    assert not INCHES.search(result.stderr), result.stderr


# --- a pattern made over --------------------------------------------------------------------------

quilts = st.builds(
    lambda quilt, rows, columns, sash, outer, borders, corners, point: replace(
        quilt,
        rows=rows,
        columns=columns,
        sashing=Sashing(sash, True, outer) if sash else None,
        borders=tuple(QuiltBorder(width, corners) for width in borders),
        on_point=point,
    ),
    st.sampled_from(QUILTS),
    st.integers(1, 6),
    st.integers(1, 6),
    st.sampled_from([None, Fraction(1), Fraction(3, 2), Fraction(7, 8)]),
    st.booleans(),
    st.lists(st.sampled_from([Fraction(1), Fraction(5, 2), Fraction(17, 4)]), max_size=2),
    st.sampled_from(["butted", "posts", "mitred"]),
    st.booleans(),
)
squares = st.none() | st.integers(90, 160).map(lambda mm: mm * MILLIMETRE)
sewn = st.sampled_from([None, Fraction(60, 254), Fraction(65, 254), Fraction(75, 254)])


def figures_add_up(quilt, square, seam, shrinkage):
    """Check all that is printed of one quilt."""
    cloth = Bolt(shrinkage=shrinkage, sold_by="10 cm")
    with centimetres_shown():
        try:
            made = adapt_pattern(quilt, square=square, seam=seam, cloth=cloth, cm=True)
        except CalicountError:
            return
        table = cut_rows(made, cm=True)
        lines = strip_lines(made)
        said = [*lines, *fit_lines(made, cm=True), *size_lines(made)]
        said += [" ".join((row.written, row.yours, row.remark)) for row in made.rows]
        said += [buy.words for buy in made.buys]
    assert [line for line in said if INCHES.search(line)] == []
    sizes = {}
    for row in table:
        sides = row[2].split(" x ")
        sizes.setdefault(row[1], set()).add(tuple(sorted((*sides, *sides)[:2])))
        # A square in hand that is used as it is may lie between the marks, nothing else.
        assert row[0] == "squares in hand" or all(len(s.split(".")[1]) == 1 for s in sides), row
    assert all(len(known) == 1 for known in sizes.values()), sizes
    _check_strips(lines, sizes)
    _check_rows(made)


def _check_strips(lines, sizes):
    for line in lines:
        if not (strip := STRIP.search(line)) or "whole" in line:
            continue
        used = Decimal(0)
        for cut in CUT.finditer(line[strip.end() :].replace("from each ", "")):
            stacked = int(cut["stacked"] or 1)
            used += -(-int(cut["count"]) // stacked) * Decimal(cut["across"])
            assert Decimal(cut["along"]) * min(stacked, int(cut["count"])) <= Decimal(strip["high"])
            name = cut["name"].removeprefix(" cm: ").strip()
            if name in sizes:
                assert tuple(sorted((cut["across"], cut["along"]))) in sizes[name], line
        assert 0 < used <= Decimal(strip["width"]), line


def _check_rows(made):
    rows = {row.piece: row for row in made.rows}
    layout, seam = made.layout, cm(made.seam)
    raw = Decimal(rows["block, as sewn"].yours)
    assert raw == Decimal(rows["block, finished"].yours) + 2 * seam
    wide, *_ = map(Decimal, rows["quilt, finished"].yours.split(" x "))
    strips = layout.columns + 1 if layout.framed else layout.columns - 1
    inner = layout.columns * Decimal(rows["block, finished"].yours) + strips * cm(layout.sashing)
    inner *= Decimal(2).sqrt() if layout.on_point else 1
    borders = 2 * sum(map(cm, layout.borders), Decimal(0))
    assert abs(wide - inner - borders) <= (Decimal("0.05") if layout.on_point else 0)
    if "sashing" in rows:
        strip, length = map(Decimal, rows["sashing"].yours.split(" x "))
        assert strip == cm(layout.sashing) + 2 * seam
        assert 0 <= length - raw < Decimal("0.1")


@given(quilts, squares, sewn, st.sampled_from([Fraction(0), Fraction(3, 100)]))
@settings(max_examples=60, deadline=None)
def test_a_pattern_s_figures_add_up_as_they_are_printed(quilt, square, seam, shrinkage):
    figures_add_up(quilt, square, seam, shrinkage)


@pytest.mark.slow
@given(quilts, squares, sewn, st.sampled_from([Fraction(0), Fraction(3, 100)]))
@settings(max_examples=1500, deadline=None)
def test_a_pattern_s_figures_add_up_in_many_more_quilts(quilt, square, seam, shrinkage):
    figures_add_up(quilt, square, seam, shrinkage)


@pytest.mark.parametrize("name", ["pinwheel", "four-patch", "hourglass", "example"])
def test_the_pattern_s_own_squares_change_nothing_in_centimetres(name):
    made = adapt_pattern(load_pattern(name).quilt, cm=True)
    assert made.fits
    assert made.block.trims_as_written
    for row in made.rows:
        assert (row.written_in, row.written) == (row.yours_in, row.yours)


def test_triangles_at_the_edge_are_cut_to_the_millimetre():
    # Block 20 cm, seam 6 mm: 20 √2 + (2 + 2 √2) 0.6 = 31.18, and 20 / √2 + (2 + √2) 0.6 = 16.19.
    quilt = replace(QUILTS[0], on_point=True, borders=())
    finished, seam = Fraction(2000, 254), Fraction(60, 254)
    made = adapt_pattern(quilt, seam=seam, finished=finished, cm=True)
    cuts = {cut.piece.split(" triangles")[0]: cm(cut.width) for cut in made.cuts}
    assert cuts["square for side"] == Decimal("31.2")
    assert cuts["square for corner"] == Decimal("16.2")


def test_whole_squares_stay_whole_between_the_marks():
    # 2 1/2 in are 6.35 cm; no one cuts half a millimetre off a patch.
    quilt = QUILTS[1]
    kinds = tuple(
        replace(kind, size=Fraction(5, 2)) if kind.per_block else kind for kind in quilt.kinds
    )
    quilt = replace(quilt, finished_block=Fraction(4), kinds=kinds)
    made = adapt_pattern(quilt, square=Fraction(5, 2), cm=True)
    assert made.fits
    (patch,) = [row for row in made.rows if row.piece == "cut: patch"]
    assert patch.yours == "6.35, as it is"
