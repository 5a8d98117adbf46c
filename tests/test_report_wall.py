"""The plans as files: cutting.csv, buying.csv, wall.csv and the picture of the quilt."""

import csv
import io
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from catalog.colour.ciede2000 import ciede2000
from catalog.colour.lab import lab_to_srgb8, srgb8_to_lab
from catalog.cutting.plans import BuyRow, CutRow, WallBlock, WallPlan
from catalog.cutting.quilt import Patch, QuiltBorder
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Photo, Square, Swatch
from catalog.pattern.patterns import load_pattern
from catalog.report.pictures.block_face import MISSING, Tones
from catalog.report.pictures.border_tones import border_tones
from catalog.report.pictures.outlines import as_jpeg
from catalog.report.pictures.wall_picture import (
    LONG_SIDE,
    MARGIN,
    tones_of,
    wall_picture,
)
from catalog.report.tables.plan_csv import buying_csv, cutting_csv, wall_csv

GOLDEN = Path(__file__).parent / "golden"
CUTS = (
    CutRow(
        "squares in hand", "wheel", 40, Fraction(5), Fraction(5), "the square as it is", "to 4 1/2"
    ),
    CutRow("sashing", "strip", 31, Fraction(3, 2), Fraction(17, 2), "2 strips; 1 more"),
)
BUYS = (
    BuyRow(
        "sashing",
        Fraction(27, 2),
        Fraction(23, 2),
        Fraction(40),
        "3/8 yd",
        ("one", "two"),
        Fraction(9, 2),
    ),
    BuyRow("batting", Fraction(0), Fraction(0), Fraction(48), "batting 48 x 56"),
)
BLOCKS = (
    WallBlock(
        number=1,
        place="A1",
        row=1,
        column=1,
        x=4.0,
        y=4.0,
        turn=90,
        sets=(3,),
        squares=((Patch("wheel", 1), "R1C1"), (Patch("wheel", 2), "R1C2")),
        darker="R1C1",
        darker_goes="upper left",
        lighter="R1C2",
        lighter_goes="lower right",
        pieces=(("R1C1", "upper left"), ("L1", "lower right (sky)")),
        posts_go=(("upper left", "L2"),),
        press_inside="row 1 right, row 2 left, joins of rows down",
        press_to_next="right",
        press_row="row A to B: down",
    ),
    WallBlock(2, "A2", 1, 2, 12.0, 4.0, 0, note="no set for this place"),
)
PLAN = WallPlan("scattered", BLOCKS, 12.0, None)
TONES = Tones((93.0, 0.0, 0.0), (60.0, 0.0, 0.0), (40.0, 20.0, -20.0))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("cutting.csv", cutting_csv(CUTS, ["Close the guard, always."])),
        ("buying.csv", buying_csv(BUYS)),
        ("wall.csv", wall_csv(PLAN)),
    ],
)
def test_golden_files(name, text):
    assert text.encode("utf-8") == (GOLDEN / name).read_bytes()


def test_words_that_a_spreadsheet_would_run_are_defused():
    evil = '=HYPERLINK("x")'
    texts = (
        cutting_csv([replace(CUTS[0], piece=evil, how=evil)], []),
        buying_csv([replace(BUYS[0], cloth=evil, words=evil)]),
        wall_csv(replace(PLAN, blocks=(replace(BLOCKS[0], darker=evil, note=evil),))),
    )
    for text in texts:
        (row,) = csv.DictReader(io.StringIO(text, newline=""))
        assert evil not in row.values()
        assert f"'{evil}" in row.values()


# --- the picture ----------------------------------------------------------------------------------

QUILT = replace(load_pattern("pinwheel").quilt, borders=())
LAYOUT = Layout(1, 2, Fraction(8))


def scene(lab=(55.0, 40.0, 10.0)):
    """Two squares of cloth that a dim light falls on, and what they really look like."""
    shown = (lab[0] - 20.0, lab[1] * 0.7, lab[2] * 0.7)
    pixels = np.full((120, 260, 3), lab_to_srgb8((80.0, 0.0, 0.0)), np.uint8)
    swatches = []
    for number, left in enumerate((10, 140), 1):
        pixels[10:110, left : left + 100] = lab_to_srgb8(shown)
        corners = ((left, 10), (left + 100, 10), (left + 100, 110), (left, 110))
        square = Square(corners, 1, number, 5.0, 5.0, 1.0)
        swatches.append(Swatch(f"R1C{number}", "p.png", square, lab, "plain", 0.0))
    return Photo("p.png", pixels), tuple(swatches)


def at(picture, x, y):
    """The colour at a place of the quilt, inches from its upper left corner."""
    scale = LONG_SIDE / 16
    shift = MARGIN * 16
    return srgb8_to_lab(picture[round((y + shift) * scale), round((x + shift) * scale)])


def test_each_patch_shows_its_cloth_in_even_light_and_each_empty_place_is_grey():
    photo, swatches = scene()
    plan = replace(PLAN, blocks=(replace(BLOCKS[0], turn=0), BLOCKS[1]))
    picture = wall_picture(QUILT, LAYOUT, plan, swatches, [photo], TONES)
    # Pinwheel: the feature has the upper right of the upper left unit; the ground the rest of it.
    assert ciede2000(at(picture, 3.0, 1.0), swatches[0].lab) < 2.0
    assert ciede2000(at(picture, 1.0, 3.0), TONES.ground) < 2.0
    assert ciede2000(at(picture, 11.0, 1.0), MISSING) < 2.0


def test_a_turned_block_is_drawn_turned():
    photo, swatches = scene()
    picture = wall_picture(QUILT, LAYOUT, PLAN, swatches, [photo], TONES)
    # (3, 1) turned a quarter clockwise in a block of 8 lies at (7, 3).
    assert ciede2000(at(picture, 7.0, 3.0), swatches[0].lab) < 2.0
    assert ciede2000(at(picture, 5.0, 1.0), TONES.ground) < 2.0


@pytest.mark.parametrize("on_side", [(), ("R1C1", "R1C2")])
def test_a_print_that_runs_one_way_is_drawn_upright_with_an_arrow_or_as_it_lies(on_side):
    photo, swatches = scene()
    pixels = photo.pixels.copy()
    pixels[10:110, 10:110:8] = 30
    photo = replace(photo, pixels=pixels)
    blocks = (BLOCKS[0], replace(BLOCKS[0], one_way=("R1C1", "R1C2"), on_side=on_side))
    plain, marked = (
        wall_picture(QUILT, LAYOUT, replace(PLAN, blocks=(one,)), swatches, [photo], TONES)
        for one in blocks
    )
    scale, shift, reach = LONG_SIDE / 16, MARGIN * 16, 1.0
    # The middle of the feature in each unit, and how often its cloth lies turned there.
    turns = ((8 / 3, 4 / 3, 1), (20 / 3, 8 / 3, 2), (16 / 3, 20 / 3, 3), (4 / 3, 16 / 3, 0))
    for x, y, turned in turns:
        top, left = (round((one + shift - reach) * scale) for one in (y, x))
        side = round(2 * reach * scale)
        there = marked[top : top + side, left : left + side].astype(int)
        upright = np.rot90(there, turned if on_side else 0)
        ink = (upright.max(axis=2) < 8).astype(int)  # the arrow's rim is the one black
        rows, columns = np.nonzero(ink)
        assert np.ptp(rows) > 1.4 * np.ptp(columns)
        third = np.ptp(rows) // 3
        head, tail = rows < rows.min() + third, rows > rows.max() - third
        assert head.sum() > 1.3 * tail.sum()
    assert (plain != marked).any()


def test_blocks_on_point_stand_on_a_corner():
    photo, swatches = scene()
    layout = Layout(1, 1, Fraction(8), on_point=True)
    middle = float(layout.width) / 2
    block = replace(BLOCKS[0], x=middle, y=middle, turn=0)
    picture = wall_picture(QUILT, layout, replace(PLAN, blocks=(block,)), swatches, [photo], TONES)
    scale = LONG_SIDE / (2 * middle)
    shift = MARGIN * 2 * middle
    # (3, 1) lies (-1, -3) from the middle; turned an eighth clockwise at (2, -4) / root 2.
    x, y = middle + 2 / 2**0.5, middle - 4 / 2**0.5
    seen = picture[round((y + shift) * scale), round((x + shift) * scale)]
    assert ciede2000(srgb8_to_lab(seen), swatches[0].lab) < 2.0


def test_prints_are_drawn_and_not_their_mean():
    photo, swatches = scene()
    pixels = photo.pixels.copy()
    pixels[10:110:8] = 30
    picture = wall_picture(QUILT, LAYOUT, PLAN, swatches, [Photo("p.png", pixels)], TONES)
    plain = wall_picture(QUILT, LAYOUT, PLAN, swatches, [photo], TONES)
    part = np.s_[190:240, 430:490]  # round (3, 1) inches: feature only
    assert plain[part].std(axis=(0, 1)).max() < 1
    assert picture[part].std(axis=(0, 1)).max() > 10


def test_sashing_posts_and_borders_are_drawn():
    photo, swatches = scene()
    quilt = load_pattern("four-patch").quilt
    layout = Layout(1, 2, Fraction(8), sashing=Fraction(1), outer=True, borders=(Fraction(2),))
    quilt = replace(quilt, borders=load_pattern("pinwheel").quilt.borders)
    blocks = (replace(BLOCKS[0], x=5.0, y=5.0, squares=()), replace(BLOCKS[1], x=14.0, y=5.0))
    blocks = tuple(replace(block, posts=("R1C1",) * 4) for block in blocks)
    picture = wall_picture(quilt, layout, replace(PLAN, blocks=blocks), swatches, [photo], TONES)
    scale, shift = LONG_SIDE / 23, MARGIN * 23

    def seen(x, y):
        return srgb8_to_lab(picture[round((y + shift) * scale), round((x + shift) * scale)])

    assert ciede2000(seen(1.0, 7.0), TONES.border) < 2.0
    assert ciede2000(seen(2.5, 2.5), swatches[0].lab) < 2.0
    assert ciede2000(seen(11.5, 6.0), TONES.sashing) < 2.0


def test_borders_are_drawn_in_the_fabrics_that_they_name():
    photo, swatches = scene()
    halves = "half-square-triangle"
    borders = (
        QuiltBorder(Fraction(1), fabrics=("plum",)),
        QuiltBorder(Fraction(2), "posts", halves, ("rust", "background")),
        QuiltBorder(Fraction(1), "posts", halves, ("background", "plum")),
    )
    layout = replace(LAYOUT, borders=tuple(border.width for border in borders))
    quilt = replace(QUILT, borders=borders)
    plum, rust = (border_tones(quilt, TONES)[number][0] for number in (0, 1))
    assert plum == TONES.border
    assert ciede2000(plum, rust) > 10
    picture = wall_picture(quilt, layout, PLAN, swatches, [photo], TONES)
    scale, shift = LONG_SIDE / 24, MARGIN * 24

    def seen(x, y):
        return srgb8_to_lab(picture[round((y + shift) * scale), round((x + shift) * scale)])

    # The outer border is 1 in wide, the next 2 in: halves of units along its top edge, 18 in long
    # between the posts; the inner one is plain.
    for place, tone in (
        ((8.0, 3.5), plum),
        ((2.0, 2.0), rust),  # a post
        ((3.5, 1.5), rust),  # upper left half of the first unit
        ((4.5, 2.5), TONES.ground),  # lower right half
        ((1.3, 0.3), TONES.ground),
        ((1.7, 0.7), plum),
    ):
        assert ciede2000(seen(*place), tone) < 2.0, place


def test_the_picture_is_a_jpeg_of_a_screen_s_size():
    import cv2

    photo, swatches = scene()
    data = as_jpeg(wall_picture(QUILT, LAYOUT, PLAN, swatches, [photo], TONES))
    again = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR_RGB)
    assert again.shape == (round((8 + 1.44) * 125), round(17.44 * 125), 3)


def test_tones_keep_ground_and_sashing_apart():
    for ground in (93.0, 20.0):
        tones = tones_of(ground, [(50.0, 20.0, 20.0)])
        assert tones.ground[0] == ground
        assert abs(tones.sashing[0] - ground) > 10.0
