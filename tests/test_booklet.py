"""The booklet: what is read on its pages, for the bundle's owner and for a class."""

import re
from dataclasses import replace
from fractions import Fraction

import paper
import pytest
from walls_made import bundle

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.cutting.adapted.unit_cuts import sized_as_adapted
from catalog.cutting.quilt_sizes.sashing import post_count
from catalog.cutting.quilt_units import units_on_sides
from catalog.cutting.units.steps.sewing_steps import Step, StepLine, steps_of
from catalog.models import PaletteColour, PrintLook
from catalog.pattern.patterns import load_pattern, read_pattern
from catalog.report.booklet.booklet_contents import Booklet, BookletPrint
from catalog.report.booklet.booklet_pdf import booklet_pdf
from catalog.report.booklet.rows_drawing import rows_drawing
from catalog.report.booklet.step_drawing import EDGE, step_drawing, step_scale
from catalog.report.drawings.drawing import DrawnBox, DrawnLine, DrawnShape
from catalog.wall.wall_plan import plan_wall

SEVEN_EIGHTHS = 31.5
"""Inches of 7/8 yd."""


FRAMED = """
title = "Framed squares"
description = "Plain squares in pieced strips, a border of triangles and one that is mitred."
[layout]
rows = 4
columns = 3
finished_block = "8"
[[feature]]
name = "plain"
size = "8 1/2"
per_block = 1
[block]
grid = ["A"]
[[block.unit]]
mark = "A"
unit = "square"
fabrics = ["plain"]
[sashing]
width = "2"
outer = true
pieced = "star-sashing"
fabrics = ["dusk", "moon"]
[[border]]
width = "3"
corners = "mitred"
[[border]]
width = "4"
pieced = "half-square-triangle"
fabrics = ["geese", "sky"]
spacer = "dusk"
corners = "posts"
"""


def booklet_of(name="pinwheel", *, square=Fraction(5), seam=Fraction(1, 4), **printed):
    quilt = (read_pattern(FRAMED, name) if name == "framed" else load_pattern(name)).quilt
    adapted = adapt_pattern(quilt, square=square, seam=seam)
    sets, swatches = bundle(12, need=quilt.kinds[0].name)
    wall = plan_wall(adapted.quilt, adapted.layout, sets, swatches, "rainbow-down", {})
    how = BookletPrint(**printed)
    return Booklet(name, "blues", adapted, wall, None, tuple(CAUTIONS), how)


def read(booklet, folder):
    return [" ".join(page.split()) for page in paper.words_of(booklet_pdf(booklet), folder)]


def in_order(text, words):
    at = [text.index(word) for word in words]
    assert at == sorted(at)


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    booklet = booklet_of()
    return booklet, read(booklet, tmp_path_factory.mktemp("booklet"))


def test_the_sections_follow_one_another(pages):
    _, read_pages = pages
    in_order(" ".join(read_pages), [
        "What you need", "Before you cut, sew and press", "Cut ", "Each cloth, drawn to scale",
        "Sew the units", "Sew the blocks", "Sew the rows", "Block by block", "Finish",
    ])  # fmt: skip


def test_every_step_of_every_unit_is_told_with_its_number(pages):
    booklet, read_pages = pages
    text = re.sub(r"\s", "", " ".join(read_pages))
    for unit in booklet.adapted.block.units:
        steps = steps_of(sized_as_adapted(unit, booklet.adapted.seam))
        assert len(steps) > 3
        words = set(re.sub(r"\s", "", "".join(step.says for step in steps)))
        assert words <= set(text)  # columns run side by side, so that lines mix
        for number, step in enumerate(steps, 1):
            assert f"{number}.{step.says.split()[0]}" in text
    assert "A and B: half square triangle, 80 in all" in " ".join(read_pages)
    assert "Trim to 4 1/2 in." in " ".join(read_pages)


def test_your_squares_stand_in_their_cloth_over_their_colours(tmp_path):
    booklet = booklet_of()
    used = {label for block in booklet.wall.blocks for _, label in block.squares}
    _, swatches = bundle(12, need=booklet.adapted.quilt.kinds[0].name)
    look = PrintLook("small", "stripe", directional=True)
    palette = (PaletteColour((94.0, 0.0, 2.0), 0.4, True), PaletteColour((40.0, 60.0, 30.0), 0.6))
    told = tuple(replace(one, look=look, palette=palette) for one in swatches)
    own = replace(booklet, swatches=told)
    plain, shown = (booklet_pdf(one) for one in (booklet, own))
    (page,) = [one for one in paper.words_of(shown, tmp_path) if "Your squares" in one]
    assert used
    assert all(label in page for label in used)
    assert page.count("one way") == len(used)
    assert "Your squares" not in " ".join(paper.words_of(plain, tmp_path))
    coloured = [paper.colour(one) > 0.01 for one in paper.pictures_of(shown, tmp_path)]
    assert coloured.count(True) == 1
    for_class = replace(own, printed=BookletPrint(students=12))
    assert "Your squares" not in " ".join(paper.words_of(booklet_pdf(for_class), tmp_path))


def test_each_block_is_listed_with_its_squares(pages):
    booklet, read_pages = pages
    text = " ".join(read_pages)
    listed = text[text.index("Block by block") :]
    for block in booklet.wall.blocks:
        assert f" {block.place} " in listed
        assert all(label in listed for _, label in block.squares)
    assert "no set for this place" in listed


def test_cautions_stand_once(pages):
    _, read_pages = pages
    text = " ".join(read_pages)
    assert text.count("never catch a cutter that falls") == 1
    assert text.index(CAUTIONS[0][:40]) < text.index("Measure twice")


@pytest.mark.parametrize("name", ["pinwheel", "four-patch", "hourglass"])
def test_a_class_gets_none_of_the_bundle_s_squares(tmp_path, name):
    booklet = booklet_of(name, students=12, paper="Letter")
    text = " ".join(read(booklet, tmp_path))
    assert "What 12 students need" in text
    assert "What each of you needs" in text
    assert "blues" not in text
    assert not re.search(r"S0\d\d[ab]", text)
    for pack in booklet.adapted.packs:
        assert f"{12 * pack.packs} packs" in text


def test_one_length_for_a_class_is_as_much_as_all_use(tmp_path):
    booklet = booklet_of(students=12)
    (ground,) = (one for one in booklet.adapted.buys if one.cloth == "background")
    assert ground.bought == SEVEN_EIGHTHS
    text = " ".join(read(booklet, tmp_path))
    # 12 x 25 in and an eighth of a yard are 304 1/2 in, 8.458 yd: 8 1/2 yd
    assert "8 1/2 yd (300 in are used, 4 1/2 in to spare)" in text


@pytest.mark.parametrize(("size", "millimetres"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_nothing_but_white_at_the_edge_and_no_colour(tmp_path, size, millimetres):
    large = size == "Letter"
    found = paper.pictures_of(booklet_pdf(booklet_of(paper=size, large=large)), tmp_path)
    dots = paper.DPI / 25.4
    for page in found:
        assert page.shape[:2] == pytest.approx([one * dots for one in millimetres[::-1]], abs=2)
        assert paper.colour(page) == 0
        inner = page.copy()
        edge = int(8 * dots)
        inner[edge:-edge, edge:-edge] = 255
        assert paper.ink(inner) == 0
        assert paper.ink(page) > 0.002


def test_large_print_takes_more_pages():
    usual, large = (booklet_pdf(booklet_of(large=one)).count(b"/Type /Page\n") for one in (0, 1))
    assert large > usual > 4


def test_a_seam_of_one_s_own_changes_the_sizes(tmp_path):
    text = " ".join(read(booklet_of(seam=Fraction(3, 8)), tmp_path))
    assert "a seam of 3/8 in" in text


def test_units_of_sashing_and_borders_are_told_too(tmp_path):
    booklet = booklet_of("framed", square=Fraction(17, 2))
    text = " ".join(read(booklet, tmp_path))
    assert "Sashing: star sashing, one for each strip" in text
    quilt, layout = booklet.adapted.quilt, booklet.adapted.layout
    across, down = units_on_sides(layout, quilt.borders[1], 1)
    assert f"Border 2: half square triangle, {across} each for top and bottom, {down} for" in text
    # two units from a square of each fabric
    squares = {
        cut.cloth: cut.count
        for cut in booklet.adapted.cuts
        if cut.cloth in {"geese", "sky"} and cut.width == cut.length > Fraction(9, 2)
    }
    assert squares == dict.fromkeys(("geese", "sky"), across + down)
    for told in ("Spacer of border 2: strips of dusk", "Its strips are as long as the cutting list",
                 "strips and posts by turns"):  # fmt: skip
        assert told in text


def test_posts_lie_where_strips_meet():
    booklet = booklet_of("four-patch")
    layout = booklet.adapted.layout
    drawing = rows_drawing(booklet, 150.0, 180.0)
    scale = drawing.wide / float(layout.width)
    boxes = [one for one in drawing.marks if isinstance(one, DrawnBox)]
    posts = {(round(one.x, 3), round(one.y, 3)) for one in boxes
             if one.wide == pytest.approx(float(layout.sashing) * scale)}  # fmt: skip
    assert len(posts) == post_count(layout)


def test_a_step_is_drawn_to_its_scale():
    step = Step("sew", "Sew.", booklet_steps()[0].cloths, (StepLine("press", (1, 1), (2, 1)),))
    scale = step_scale([step], 50.0, 40.0, 9.0)
    drawing = step_drawing(step, scale, {0: 150, 1: 255})
    assert drawing.wide == pytest.approx((step.extent[2] - step.extent[0]) * scale + 2 * EDGE)
    assert drawing.wide <= 50.0
    assert drawing.high <= 40.0
    line = next(mark for mark in drawing.marks if isinstance(mark, DrawnLine))
    assert line.x1 - line.x0 == pytest.approx(scale)
    for shape in (mark for mark in drawing.marks if isinstance(mark, DrawnShape)):
        assert all(0 <= x <= drawing.wide and 0 <= y <= drawing.high for x, y in shape.corners)


def booklet_steps():
    booklet = booklet_of()
    return steps_of(sized_as_adapted(booklet.adapted.block.units[0], booklet.adapted.seam))


def test_arrows_point_the_way_that_seams_are_pressed():
    booklet = booklet_of()
    drawing = rows_drawing(booklet, 150.0, 180.0)
    arrows = [one for one in drawing.marks if isinstance(one, DrawnLine)]
    told = [one.press_to_next for one in booklet.wall.blocks if one.press_to_next]
    assert ["right" if one.x1 > one.x0 else "left" for one in arrows] == told
    leaning = replace(booklet.adapted, layout=replace(booklet.adapted.layout, on_point=True))
    slanted = rows_drawing(replace(booklet, adapted=leaning), 150.0, 180.0)
    assert not [one for one in slanted.marks if isinstance(one, DrawnLine)]
