"""A unit is one file: put into a folder of units, it is there in every command and picture."""

import json
import sys

import numpy as np
import pytest
from typer.testing import CliRunner

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Patch
from catalog.cutting.units import kinds
from catalog.cutting.units.units_by_name import forget_units
from catalog.pattern.patterns import load_pattern
from catalog.report.pictures.block_face import MISSING, Tones, block_face
from catalog.wall.piece_places import pieces_of_block
from cli.main import app

WINDOW = """
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.cutting.units.face_shapes import box
from catalog.cutting.units.unit_kind import UnitKind, UnitPart
from catalog.cutting.units.unit_sizes import FINISHED, SEAM, UNFINISHED

QUARTER = Fraction(1, 4)
WAY = Method(
    unit="quarter-shutter",
    at_a_time=1,
    trimmed=False,
    trimming="Leave it as it is sewn.",
    how="Sew the slat to the pane.",
    pieces=(
        UnitPiece("rectangle for the pane", 1, UNFINISHED, FINISHED * 3 / 4 + 2 * SEAM,
                  shape="rectangle"),
        UnitPiece("rectangle for the slat", 1, UNFINISHED, FINISHED / 4 + 2 * SEAM,
                  shape="rectangle"),
    ),
)
SHUTTER = UnitKind(
    WAY.unit,
    (WAY,),
    (
        UnitPart((box(0, QUARTER, 1, 1),), "pane"),
        UnitPart((box(0, 0, 1, QUARTER),), "slat", piece=1),
    ),
    other_names=("shutter",),
)
"""
PATTERN = """
title = "Shutters"
description = "Panes with a slat above."
[layout]
rows = 2
columns = 2
finished_block = "8"
[[feature]]
name = "pane"
size = "4 1/2"
per_block = 4
[[background]]
name = "slat"
size = "4 1/2"
per_block = 4
from = "yardage"
[block]
grid = ["A B", "C D"]
""" + "".join(
    f'[[block.unit]]\nmark = "{mark}"\nunit = "shutter"\nfabrics = ["pane {which}", "slat"]\n'
    for which, mark in enumerate("ABCD", 1)
)
TONES = Tones((93.0, 0.0, 3.0), (79.0, 0.0, 4.0), (50.0, 0.0, 0.0))


@pytest.fixture
def pattern(tmp_path):
    """A pattern of a unit that one file in a folder of units tells of."""
    folder = tmp_path
    (folder / "quarter_shutter.py").write_text(WINDOW, encoding="utf-8")
    (folder / "shutters.toml").write_text(PATTERN, encoding="utf-8")
    before = list(kinds.__path__)
    kinds.__path__.append(str(folder))
    forget_units()
    yield folder / "shutters.toml"
    kinds.__path__[:] = before
    sys.modules.pop("catalog.cutting.units.kinds.quarter_shutter")
    forget_units()


def run(*words):
    return CliRunner().invoke(app, [*map(str, words)])


def test_size_knows_it_both_ways_round_and_lists_it(pattern):
    assert "2 1/2" not in run("size", "shutter", "--square", "4 1/2").stdout
    found = json.loads(run("size", "shutters", "--finished", "8", "--json").stdout)
    assert [cut["cut"] for cut in found["cuts"]] == ["8 1/2 x 6 1/2", "8 1/2 x 2 1/2"]
    assert (
        json.loads(run("size", "shutter", "--square", "8 1/2", "--json").stdout)["finished_in"] == 8
    )
    assert "quarter-shutter" in run("size", "--help").stdout


def test_a_pattern_of_it_is_made_over_and_drawn(pattern):
    found = json.loads(run("remake", pattern, "--square", "4 1/2", "--json").stdout)
    cut = {row["piece"]: row for row in found["cut"]}
    assert (cut["slat"]["width_in"], cut["slat"]["length_in"]) == (4.5, 1.5)
    quilt = load_pattern(str(pattern)).quilt
    squares = tuple((Patch("pane", n), f"S{n}") for n in range(1, 5))
    assert pieces_of_block(quilt.block, squares, (), 0)[1] == ("S2", "upper right (pane)")
    missing = tuple((Patch("pane", n), "") for n in range(1, 5))
    hung = WallBlock(1, "A1", 1, 1, 4.0, 4.0, 0, squares=missing)
    face = block_face(quilt, hung, (80, 80), TONES, None)
    slat, pane = (tuple(lab_to_srgb8(tone)) for tone in (TONES.ground, MISSING))
    assert [tuple(face[y, 20]) for y in (5, 25)] == [slat, pane]
    assert np.all(face[60:70, 50:70] == pane)


def test_it_is_gone_with_its_file():
    assert "there is no unit" in run("size", "quarter-shutter", "--square", "5").stderr
