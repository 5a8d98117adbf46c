"""Units of many parts in a pattern: named by groups, counted, cut, bought and drawn."""

from fractions import Fraction

import numpy as np
import pytest

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt_units import faces_of
from catalog.errors import PatternError
from catalog.pattern.patterns import load_pattern
from catalog.report.pictures.block_face import Tones
from catalog.report.pictures.border_tones import known_tones
from catalog.report.pictures.pieced_strips import PiecedStrips
from catalog.report.pictures.wall_picture import wall_picture

HEAD = """
title = "Units"
description = "One unit to a block."
[layout]
rows = 3
columns = 2
finished_block = "{block}"
"""
PIECE = '[[{role}]]\nname = "{name}"\nsize = "{size}"\nper_block = {each}\n{more}'
BLOCK = """[block]
grid = {grid}
[[block.unit]]
mark = "A"
unit = "{unit}"
fabrics = {fabrics}
{more}"""
YARDAGE = 'from = "yardage"\n'


@pytest.fixture
def load(tmp_path):
    """Read a pattern of one unit: its pieces by name with size and number in each block."""

    def read(unit, block, pieces, fabrics, grid='["A"]', more=""):
        text = HEAD.format(block=block)
        for number, (name, size, each) in enumerate(pieces):
            role, source = ("feature", "") if number == 0 else ("background", YARDAGE)
            text += PIECE.format(role=role, name=name, size=size, each=each, more=source)
        listed = str(fabrics).replace("'", '"')
        text += BLOCK.format(grid=grid, unit=unit, fabrics=listed, more=more)
        path = tmp_path / "my.toml"
        path.write_text(text, encoding="utf-8")
        return load_pattern(str(path)).quilt

    return read


TONES = Tones((93.0, 0.0, 3.0), (79.0, 0.0, 4.0), (50.0, 0.0, 0.0))
LOGS = [("hearth", "3", 1), ("light", "9 1/4", 6), ("dark", "10 1/2", 6)]


def cut_of(quilt, name, **asked):
    adapted = adapt_pattern(quilt, **asked)
    return [(float(c.width), float(c.length), c.count) for c in adapted.cuts if c.cloth == name]


def test_a_log_cabin_names_three_fabrics_and_buys_every_log(load):
    quilt = load("log cabin 3 2", "10", LOGS, ["hearth 1", "light", "dark"])
    light, dark = cut_of(quilt, "light"), cut_of(quilt, "dark")
    # The published list of lengths (units.csv, LC001 to LC010), six blocks.
    lengths = (3.0, 4.25, 5.5, 6.75, 8.0, 9.25)
    assert sorted(light) == [(length, 1.75, 6) for length in lengths]
    assert sorted(length for length, _, _ in dark) == [4.25, 5.5, 6.75, 8.0, 9.25, 10.5]
    shown = {name: sum(map(_area, _faces(quilt, name))) for name, *_ in LOGS}
    assert sum(shown.values()) == 1
    assert shown["hearth"] == Fraction(1, 16)
    assert shown["light"] < shown["dark"]


def _faces(quilt, name):
    patches = {patch for _, patch in quilt.block.patches() if patch.kind == name}
    return [face for patch in patches for *_, face in faces_of(quilt.block, patch)]


def _area(face):
    (left, top), (right, bottom) = face[0], face[2]
    return (right - left) * (bottom - top)


def test_a_fabric_for_each_log_may_be_named_too(load):
    quilt = load("courthouse-steps-1-2", "10", [("hearth", "5 1/2", 1), ("a", "5 1/2", 2),
                 ("b", "10 1/2", 2)], ["hearth 1", "a", "a", "b", "b"])  # fmt: skip
    assert [patch.kind for _, patch in quilt.block.patches()] == ["hearth", "a", "a", "b", "b"]
    with pytest.raises(PatternError, match="has 5 parts, or 3 groups of them, not 2"):
        load("courthouse-steps-1-2", "10", LOGS, ["hearth 1", "light"])
    with pytest.raises(PatternError, match="has 1 to 8 rounds, not 9; write log-cabin-8"):
        load("log-cabin-9", "10", LOGS, ["hearth 1", "light", "dark"])


def test_rails_of_a_print_with_a_direction_stand_as_their_block_hangs(load):
    pieces = [("one", "6 1/2", 1), ("two", "6 1/2", 1), ("three", "6 1/2", 1)]
    quilt = load("rails", "6", pieces, ["one 1", "two", "three"])
    assert cut_of(quilt, "two") == [(6.5, 2.5, 6)]
    assert cut_of(quilt, "two", seam=Fraction(3, 16)) == [(6.5, 2.5, 6)]


RECTANGLES = [("blade", "9 3/8", 1), ("sky", "9 3/8", 1)]
LYING, STANDING = "wide = 2\nhigh = 1\n", "wide = 1\nhigh = 2\n"


def test_half_rectangles_of_both_hands_are_each_other_s_mirror(load):
    fabrics, grid = ["blade 1", "sky"], '["A .", "A ."]'
    faces = [
        set(_faces(load(unit, "8", RECTANGLES, fabrics, grid, LYING), "blade")[0])
        for unit in ("half-rectangle-triangle", "hrt-reversed")
    ]
    assert {(1 - x, y) for x, y in faces[0]} == faces[1]


def test_a_standing_half_rectangle_is_the_lying_one_turned(load):
    quilt = load("hrt", "8", RECTANGLES, ["blade 1", "sky"], '["A A", ". ."]', STANDING)
    # Lying, it is the upper left half; a quarter clockwise that is the upper right one.
    assert set(_faces(quilt, "blade")[0]) == {(0, 0), (1, 0), (1, 1)}
    # Of 8 x 4 finished: 8 + (3 + root 5) seams by 4 + (3 + root 5) / 2 seams, one for two units.
    assert cut_of(quilt, "sky") == [(9.375, 4.75, 6)]


@pytest.mark.parametrize(
    ("unit", "block", "pieces", "fabrics", "ground"),
    [
        # Published cuts: units.csv, ST010 to ST017.
        ("sawtooth star", "8", [("eye", "4 1/2", 1), ("tips", "2 7/8", 4), ("ground", "5 1/4", 5)],
         ["eye 1", "tips", "ground"], [(5.25, 5.25, 6), (2.5, 2.5, 24)]),
        ("friendship-star", "6", [("eye", "2 1/2", 1), ("tips", "2 7/8", 2),
                                  ("ground", "2 7/8", 6)],
         ["eye 1", "tips", "ground"], [(2.875, 2.875, 36)]),
        ("economy", "6", [("eye", "3 1/2", 1), ("inner", "4 1/4", 1), ("ground", "3 7/8", 2)],
         ["eye 1", "inner", "ground"], [(3.875, 3.875, 12)]),
    ],
)  # fmt: skip
def test_stars_and_squares_in_squares_are_cut_as_published(
    load, unit, block, pieces, fabrics, ground
):
    quilt = load(unit, block, pieces, fabrics)
    assert cut_of(quilt, "ground") == ground


def test_pieced_sashing_lies_between_blocks_in_a_grid(load):
    pieces = [("edge", "8 1/2", 1), ("core", "8 1/2", 1), ("rim", "8 1/2", 1)]
    quilt = load("pieced-sashing", "8", pieces, ["edge 1", "core", "rim"],
                 '["A .", ". ."]', "wide = 2\nhigh = 2\n")  # fmt: skip
    assert cut_of(quilt, "core") == [(8.5, 3.25, 6)]


SASHED = """[sashing]
width = "2"
outer = true
pieced = "{unit}"
{fabrics}"""


def sashed(load, unit, fabrics):
    pieces = [("eye", "4 1/2", 1), ("tips", "2 7/8", 4), ("ground", "5 1/4", 5)]
    more = SASHED.format(unit=unit, fabrics=fabrics)
    return load("sawtooth-star", "8", pieces, ["eye 1", "tips", "ground"], more=more)


def test_pieced_sashing_is_bought_strip_by_strip_and_drawn(load):
    quilt = sashed(load, "pieced-sashing", 'fabrics = ["ground", "core", "ground"]')
    # 3 rows of 2 with strips outside too: 9 upright, 8 level, each of three strips 2/3 in wide.
    assert cut_of(quilt, "core") == [(8.5, 1.25, 17)]
    assert cut_of(quilt, "ground").count((8.5, 1.25, 17)) == 2
    strips = PiecedStrips(quilt, TONES)
    pixels = np.zeros((90, 30, 3), np.uint8)
    strips.paint(pixels, [(0, 0, 30, 90)])
    across = [tuple(pixels[45, x]) for x in (4, 14, 25)]
    assert across[0] == across[2] != across[1]
    assert across[0] == tuple(lab_to_srgb8(known_tones(quilt, TONES)["ground"]))


def test_a_star_at_every_post_comes_of_flipped_corners(load):
    quilt = sashed(load, "star-sashing", "")
    assert cut_of(quilt, "sashing, fabric 1") == [(8.5, 2.5, 17)]
    assert cut_of(quilt, "sashing, fabric 2") == [(1.5, 1.5, 68)]
    layout = as_laid_out(quilt, quilt.finished_block, quilt.seam, 3, 2)
    hung = [WallBlock(1, "A1", 1, 1, 6.0, 6.0, 0)]
    drawn = wall_picture(
        quilt, layout, WallPlan("scattered", tuple(hung), 0.0, None), (), (), TONES
    )
    near = {
        name: int(np.all(np.abs(drawn.astype(int) - lab_to_srgb8(tone)) <= 2, axis=2).sum())
        for name, tone in (("strip", TONES.sashing), ("points", TONES.ground))
    }
    # The points of a strip of 8 x 2 in are four triangles of half a square inch each.
    assert near["strip"] > 0
    assert near["points"] > 0


@pytest.mark.parametrize(
    ("unit", "more", "why"),
    [
        ("nine-patch", "", "a nine-patch has a shape of its own"),
        ("star-sashing", "posts = false", "pieced strips end at posts"),
        ("star-sashing", 'cloth = "ground"', "pieced strips have several"),
        ("star-sashing", 'fabrics = ["ground"]', "has 2 parts, not 1 fabrics"),
        ("star-trek", "", "there is no unit"),
    ],
)
def test_sashing_that_can_t_be_pieced_so_is_refused(load, unit, more, why):
    with pytest.raises(PatternError, match=why):
        sashed(load, unit, more)


BESIDE_SQUARES = """wide = 2
high = 1
[[block.unit]]
mark = "B"
unit = "hst"
fabrics = ["blade 2", "sky"]
[[block.unit]]
mark = "C"
unit = "square"
fabrics = ["sky"]
"""


def test_slants_of_two_kinds_may_meet_in_one_block(load):
    # Half-square triangles go with root 2, half-rectangle ones of 2 to 1 with root 5.
    pieces = [("blade", "9 3/8", 2), ("sky", "9 3/8", 5)]
    grid = '["A . C", "A . C", "B B C"]'
    quilt = load("hrt", "12", pieces, ["blade 1", "sky"], grid, BESIDE_SQUARES)
    adapted = adapt_pattern(quilt, square=Fraction(8))
    # Of squares of 8 in the half-rectangles, 9 3/8 as written, set the size of the block.
    sides = [unit.trim for unit in adapted.block.units]
    assert sides[0] - Fraction(1, 2) == 2 * (sides[1] - Fraction(1, 2))
    assert float(sides[0]) <= 8 - (3 + 5**0.5) / 4 + 0.5 + 1e-9
