"""Trimmed units laid in rows, measured against their trim size."""

from __future__ import annotations

import csv
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import cv2
import numpy as np
import pytest

from catalog.analysis import trimmed_units
from catalog.analysis.trimmed_units import edge_to_edge
from catalog.models import Found, MeasuredUnit, Square
from cli.checking.units_words import unit_lines

SMALL = (1, 2)
"""Row and column, from 0, of the one that is cut too small."""


@pytest.fixture(scope="module")
def units_photo(tmp_path_factory):
    """Twelve half-square triangles of 4 1/2 in on wood, one of 4 1/4, seen a little from aside."""
    rng = np.random.default_rng(3)
    per_inch, high, wide = 32, 19 * 32, 25 * 32
    picture = np.full((high, wide, 3), (150.0, 120.0, 90.0), np.float32)
    picture += cv2.GaussianBlur(rng.normal(0, 40, (high, wide)).astype(np.float32), (0, 0), 1.2)[
        ..., None
    ]
    for row in range(3):
        for column in range(4):
            side = 4.25 if (row, column) == SMALL else 4.5
            corners = np.array([(0, 0), (side, 0), (side, side), (0, side)])
            corners = (corners + np.array([2 + 5.6 * column, 1.5 + 5.6 * row])) * per_inch
            cloth = rng.uniform(30, 230, 3).tolist()
            for outline, colour in ((corners, (225, 220, 210)), (corners[[0, 1, 3]], cloth)):
                points = np.round(outline * 16).astype(np.int32)
                cv2.fillConvexPoly(picture, points, colour, cv2.LINE_AA, 4)
    picture = cv2.GaussianBlur(picture + rng.normal(0, 4, picture.shape), (0, 0), 0.7)
    flat = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    seen = flat + np.array([(30, 45), (-40, 15), (-5, -15), (10, -30)], np.float32)
    warp = cv2.getPerspectiveTransform(flat, seen)
    picture = cv2.warpPerspective(picture, warp, (wide, high), borderMode=cv2.BORDER_REFLECT)
    place = tmp_path_factory.mktemp("units") / "units.png"
    cv2.imwrite(str(place), np.clip(picture, 0, 255).astype(np.uint8)[..., ::-1])
    return place


def test_the_one_that_is_too_small_is_pointed_out(kept, units_photo):
    ended = kept(
        "wall-check", "blues", units_photo, "--units", "--pattern", "pinwheel", "--out", "u"
    )
    assert ended.exit_code == 3, ended.output
    first, second, *_ = ended.stdout.splitlines()
    assert first == "12 units measured, against 4 1/2 in."
    assert second.startswith("Too small, by more than the photo leaves in doubt: R2C3 (4 1/4")
    assert "no reference page lies beside" in " ".join(ended.stdout.split())
    rows = list(csv.DictReader(Path("u/units.csv").read_text("utf-8").splitlines()))
    assert [row["unit"] for row in rows if row["fit"] == "too small"] == ["R2C3"]
    assert [float(row["width_in"]) for row in rows if row["fit"] == "fits"] == pytest.approx(
        [4.5] * 11, abs=0.06
    )
    assert Path("u/checked.jpg").stat().st_size > 10_000


def test_what_can_t_be_measured_is_refused(refused, units_photo, no_squares):
    trim = ("--units", "--trim-to", "4 1/2")
    refused("wall-check", "blues", no_squares, *trim, says="no units found", code=4)
    refused("wall-check", "blues", units_photo, "--units", says="was never counted")
    refused("wall-check", "blues", units_photo, "--trim-to", "4", says="--trim-to is for measuring")
    refused("wall-check", "blues", units_photo, "--units", "--tick", "no", says="--tick is for a")
    wrong = ("--units", "--trim-to", "400")
    refused("wall-check", "blues", units_photo, *wrong, says="squares of 400 can't be meant")


def unit(width, height, doubt=0.125, absolute=False):
    corners = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    square = Square(corners, 1, 1, width, height, 1.0, absolute=absolute)
    return MeasuredUnit("R1C1", "p.jpg", square, Fraction(9, 2), doubt)


@pytest.mark.parametrize(
    ("sides", "fit"),
    [((4.5, 4.5), "fits"), ((4.38, 4.5), "fits"), ((4.37, 4.7), "too small"),
     ((4.5, 4.7), "larger")],
)  # fmt: skip
def test_a_unit_is_too_small_where_one_of_its_sides_is(sides, fit):
    assert unit(*sides).fit == fit


def test_true_inches_need_no_reference_page_named():
    lines = unit_lines([unit(4.65, 4.6, 0.0625, absolute=True)], {"p.jpg": Found((), 40.0)})
    assert lines == [
        "1 unit measured, against 4 1/2 in.",
        "None is too small, as far as the photo can tell.",
        "Larger, so there is something to trim off: R1C1 (4 5/8).",
        "What the photo leaves in doubt: 1/16 in.",
    ]


def laid(*lefts, tilt=0.2):
    """Units of 90 px in one row from these places on, the row a little askew."""
    turn = np.array([(np.cos(tilt), np.sin(tilt)), (-np.sin(tilt), np.cos(tilt))])
    own = np.array([(0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0)])
    placed = [((own + np.array([left, 0.0])) @ turn).tolist() for left in lefts]
    return [Square(tuple(map(tuple, one)), 1, n, 4.0, 4.0, 1.0) for n, one in enumerate(placed, 1)]


def test_units_edge_to_edge_are_told_as_sewn_in_and_not_measured():
    assert edge_to_edge(laid(0, 91, 200, 295)).tolist() == [True, True, False, False]
    assert edge_to_edge(laid(0)).tolist() == [False]
    sewn = replace(unit(4.0, 4.0), sewn_in=True)
    assert sewn.fit == "sewn in"
    lines = unit_lines([unit(4.5, 4.5), sewn], {"p.jpg": Found((), 40.0)})
    assert lines[:2] == [
        "1 unit measured, against 4 1/2 in.",
        "None is too small, as far as the photo can tell.",
    ]
    assert lines[2].startswith("Edge to edge with others, as sewn ones lie, so not measured: R1C1.")


def test_a_photo_of_nothing_but_sewn_units_is_refused(refused, units_photo, monkeypatch):
    monkeypatch.setattr(trimmed_units, "MAX_GAP_SEWN", 0.5)
    trim = ("--units", "--trim-to", "4 1/2")
    refused("wall-check", "blues", units_photo, *trim, says="lie edge to edge", code=4)
