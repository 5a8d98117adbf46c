"""Units against published examples (trade_checks/units.csv, each row with its source)."""

import csv
import math
import re
from fractions import Fraction
from pathlib import Path

import pytest
from published_rules import quartered_finished, row_unfinished

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.units.cutting_method import segments
from catalog.cutting.units.sized_unit import SizedPiece
from catalog.cutting.units.sizing import size_from_finished, size_from_square
from catalog.cutting.units.straight_units import patch, squares_from_square
from catalog.cutting.units.surd import Surd
from catalog.cutting.units.triangle_sides import bonus_triangle, common_factor_cut, diagonal
from catalog.cutting.units.units_by_name import find_method
from catalog.lengths import EIGHTH

SEAM = QUARTER_SEAM
PRINTED = Fraction(11, 1000)
"""Half a unit of the second decimal, and the 1.414 for root 2."""


def _cut(unit, finished, at_a_time=None, piece=0, mark=EIGHTH, large=False):
    method = find_method(unit, at_a_time)
    return size_from_finished(method, finished, mark=mark, large=large).cuts[piece].width


def _sewn(unit, cut, at_a_time=None):
    return find_method(unit, at_a_time).sewn(cut, SEAM)


def _by_rule(unit, finished, piece):
    return find_method(unit).pieces[piece].width.by_rule(finished, SEAM)


def _mark(row):
    return 1 / row.get("round_to", Fraction(8))


def _goose_rectangle(row):
    cut = size_from_finished(find_method("flying-geese", 1), row["width"]).cuts[0]
    return (cut.width, cut.height)


HST, QST, GEESE = "half-square-triangle", "quarter-square-triangle", "flying-geese"
CENTRED = "square-in-a-square-triangles"
OURS = {
    "hst2.cut": lambda r: _cut(HST, r["finished"], 2),
    "hst2.cut_oversize1": lambda r: _cut(HST, r["finished"], 2, large=True),
    "hst2.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 2),
    "hst2.finished_from_cut": lambda r: _sewn(HST, r["cut"], 2) - 2 * SEAM,
    "hst4.cut": lambda r: find_method(HST, 4).main.width.at(r["unfinished"] - 2 * SEAM, SEAM),
    "hst4.cut_by_0.64": lambda r: common_factor_cut(r["unfinished"]),
    "hst4.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 4),
    "hst4.pinwheel_unfinished": lambda r: row_unfinished(_sewn(HST, r["cut"], 4), 2, SEAM),
    "hst8.cut": lambda r: _cut(HST, r["finished"], 8),
    "hst8.cut_by_2u+1": lambda r: _cut(HST, r["unfinished"] - 2 * SEAM, 8, large=True),
    "hst8.unfinished_from_cut": lambda r: _sewn(HST, r["cut"], 8),
    "hst.unfinished": lambda r: size_from_finished(find_method(HST), r["finished"]).trim,
    "hst.count": lambda r: find_method(HST, int(r["method"])).units * r["pairs"],
    "hst.pairs_needed": lambda r: math.ceil(r["units"] / find_method(HST, int(r["method"])).units),
    "hst.bonus_unfinished": lambda r: bonus_triangle(r["corner_square"], r["gap"]),
    "hststrip.unfinished_max": lambda r: _sewn(f"{HST}-strips", r["strip"]),
    "qst.cut": lambda r: _cut(QST, r["finished"]),
    "qst.cut_oversize": lambda r: _cut(QST, r["finished"], large=True),
    "qst.unfinished_from_cut": lambda r: _sewn(QST, r["cut"]),
    "qst.finished_from_cut": lambda r: _sewn(QST, r["cut"]) - 2 * SEAM,
    "qst.count": lambda r: r["squares"] / find_method(QST).main.count * find_method(QST).units,
    "geese4.large": lambda r: _cut(GEESE, r["width"], 4),
    "geese4.small": lambda r: _cut(GEESE, 2 * r["height"], 4, piece=1),
    "geese.goose": lambda r: _cut(GEESE, r["width"], 4),
    "geese1.rect": _goose_rectangle,
    "geese1.square": lambda r: _cut(GEESE, 2 * r["height"], 1, piece=1),
    "sis_flip.base": lambda r: _cut("square-in-a-square", r["finished"]),
    "sis_flip.corner": lambda r: _cut("square-in-a-square", r["finished"], piece=1),
    # The table's centre is the unit's side over root 2; its corners follow the plain 7/8 rule.
    "sis_tri.corner_square": lambda r: _by_rule(CENTRED, diagonal(r["centre_finished"]), 1),
    "sis_tri.block_finished": lambda r: find_method(CENTRED).main.width.finished_at(
        r["centre_finished"] + 2 * SEAM, SEAM
    ),
    "sis_qst.square": lambda r: _by_rule(
        "square-in-a-square-quarters", diagonal(r["centre_finished"]), 1
    ),
    "snowball.corner": lambda r: _cut("flipped-corners", r["block_finished"], piece=1),
    "snowball.base": lambda r: _cut("flipped-corners", r["block_finished"]),
    "snowball.regular_octagon_corner": lambda r: (
        find_method("octagon").pieces[1].width.at(r["block_finished"], SEAM)
    ),
    "patch.unit_finished": lambda r: (
        patch(int(r["across"])).main.width.at(r["block_finished"], SEAM) - 2 * SEAM
    ),
    "patch.cut": lambda r: _cut("square", r["finished"]),
    "patch.finished": lambda r: size_from_square(find_method("square"), r["cut"]).finished,
    "row.unfinished": lambda r: row_unfinished(r["cut"], int(r["n"]), SEAM),
    "nine_cut4.finished": lambda r: _sewn("quartered-nine-patch", r["cut"]) - 2 * SEAM,
    "nine_cut4.unfinished": lambda r: _sewn("quartered-nine-patch", r["cut"]),
    "nine_cut4.quarter_finished": lambda r: quartered_finished(r["nine_finished"], SEAM),
    "strip.blocks": lambda r: segments(r["usable"], r["block"]),
    "yield.squares": lambda r: squares_from_square(r["width"], r["size"]),
    "yield.strips": lambda r: segments(r["length"], r["size"]),
    "area.sq_in": lambda r: (
        SizedPiece("square", int(r["n"]), "square", r["a"], r["b"], Surd.of(r["a"])).area
    ),
    "onpoint.side": lambda r: _cut("setting-triangle", r["block"], mark=_mark(r)),
    "onpoint.corner": lambda r: _cut("corner-triangle", r["block"], mark=_mark(r)),
    "onpoint.setting_square": lambda r: _cut("square", r["block"]),
    "onpoint.diagonal": lambda r: diagonal(r["block"]),
    # With a pointed ruler a strip is a seam wider than with a blunt one.
    "equilateral-triangle.pointed": lambda r: _cut("equilateral-triangle", r["finished"]) + SEAM,
    # Before it is cut in nine the hourglass has four seams more than the unit.
    "disappearing-hourglass.large": lambda r: _sewn("disappearing-hourglass", r["cut"]) + 4 * SEAM,
    "disappearing-hourglass.third": lambda r: (
        (_sewn("disappearing-hourglass", r["cut"]) + 4 * SEAM) / 3
    ),
    "seam.pieced": lambda r: row_unfinished(r["cut"], int(r["n"]), SEAM),
    "seam.middle": lambda r: row_unfinished(r["cut"], 1, SEAM) - 2 * SEAM,
    "seam.error": lambda r: (
        row_unfinished(5, int(r["seams"]) + 1, SEAM)
        - row_unfinished(5, int(r["seams"]) + 1, SEAM + r["error"] / 2)
    ),
}
NOT_ASSERTED = {
    "OP034": "a sum of two given sizes: block and sashing; the triangles are those of a 5 1/2 block"
}
"""Rows of the table that no unit computes, each with the reason."""


def _ours(topic):
    """How a topic is worked out: by its key, or by a unit's name and what is asked of it.

    ``.cut`` and ``.high`` are a piece's long and short side (the first one's, or that of the number
    that the row gives), ``.exact`` and ``.exact_high`` the same before they are brought to a mark,
    ``.sewn`` what a unit measures that is sewn of a first piece so cut, and ``.units`` how many
    come of strips of a length.
    """
    if topic in OURS:
        return OURS[topic]
    unit, asked = topic.split(".")

    def sized(row):
        method = find_method(unit, int(row["at_a_time"]) if "at_a_time" in row else None)
        usable = row.get("usable", Fraction(40))
        return size_from_finished(method, row["finished"], usable=usable, mark=EIGHTH)

    return {
        "cut": lambda row: sized(row).cuts[int(row.get("piece", 0))].width,
        "high": lambda row: sized(row).cuts[int(row.get("piece", 0))].height,
        "exact": lambda row: sized(row).cuts[int(row.get("piece", 0))].exact,
        "exact_high": lambda row: (
            find_method(unit).pieces[int(row.get("piece", 0))].height.at(row["finished"], SEAM)
        ),
        "sewn": lambda row: _sewn(unit, row["cut"], row.get("at_a_time")),
        "units": lambda row: Fraction(sized(row).units),
    }[asked]


def _rows():
    path = Path(__file__).parent / "trade_checks" / "units.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _number(text):
    return Fraction(text.strip())


def _arithmetic(note):
    return _number(re.search(r"arithmetic=([0-9.]+[0-9])", note)[1])


def _agrees(tag, ours, printed, note):
    """Compare as the row's tag asks."""
    if tag in {"rule", "geometry"}:
        return abs(ours - printed) <= PRINTED
    if tag == "disputed":  # the source errs; the arithmetic counts
        return abs(ours - _arithmetic(note)) <= PRINTED
    if tag == "trim":  # the source trims down
        return ours >= printed
    if tag == "oversize":  # the source cuts large on purpose
        return ours <= printed
    if tag == "rounded":
        return abs(ours - printed) <= EIGHTH
    raise AssertionError(f"no way to compare {tag}")


@pytest.mark.parametrize("row", _rows(), ids=lambda row: row["id"])
def test_agrees_with_the_published_example(row):
    if row["id"] in NOT_ASSERTED:
        assert row["topic"] not in OURS
        return
    given_sizes = {
        key: _number(value) for key, value in (pair.split("=") for pair in row["input"].split(";"))
    }
    ours = _ours(row["topic"])(given_sizes)
    tag = re.match(r"\[(\w+)\]", row["note"])[1]
    if " x " in row["expected"]:
        printed = tuple(map(_number, row["expected"].split(" x ")))
        assert ours == printed
    else:
        assert _agrees(tag, Surd.of(ours), _number(row["expected"]), row["note"])


def test_every_example_names_its_source():
    assert all(row["source_title"] for row in _rows())
    assert {row["source_title"] for row in _rows() if not row["source_url"]} == {"common practice"}
