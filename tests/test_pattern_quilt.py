"""Patterns that tell how their quilt is built."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

from catalog.cutting.block_seams import BlockSeam, sewing_order
from catalog.cutting.quilt import Patch, QuiltBorder, Sashing
from catalog.cutting.quilt_finishing import QuiltBinding
from catalog.cutting.quilt_units import squares_per_block
from catalog.cutting.unit_faces import FACES
from catalog.cutting.units.units_by_name import find_method
from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.pattern_needs import FIELDS
from catalog.pattern.patterns import load_pattern

GOLDEN = Path(__file__).parent / "golden" / "quilt_refusals.txt"
HALVES = 'pieced = "half-square-triangle"'
PLAIN = """\
title = "Test"
description = "A test."

[layout]
rows = 3
columns = 2
finished_block = "8"
set = "straight"
turn_rows = 90

[[feature]]
name = "star"
size = "5"
per_block = 2
match = 2

[[background]]
name = "sky"
size = "5"
per_block = 2
from = "yardage"

[[small]]
name = "dot"
size = "1 1/2"
in_all = 6

[block]
grid = ["A B90", "B270 A180"]

[[block.unit]]
mark = "A"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["star 1", "sky 1"]

[[block.unit]]
mark = "B"
unit = "hst"
fabrics = ["star 2", "sky"]
trim = "4 1/2"

[sashing]
width = "1"
outer = true
post_piece = "dot"

[[border]]
width = "3"
corners = "posts"
pieced = "half-square-triangle"

[binding]
strip = "2 1/2"
cut = "bias"
"""


@pytest.fixture
def load(tmp_path):
    def write_and_load(text):
        path = tmp_path / "my.toml"
        path.write_text(text, encoding="utf-8")
        return load_pattern(path)

    return write_and_load


def test_a_border_names_its_fabrics_or_none(load):
    (plain,) = load(PLAIN).quilt.borders
    assert plain.fabrics == ()
    named = PLAIN.replace(HALVES, HALVES + '\nfabrics = ["plum", " sky"]')
    (border,) = load(named).quilt.borders
    assert border.fabrics == ("plum", "sky")
    (border,) = load(PLAIN.replace(HALVES, 'fabrics = ["plum"]')).quilt.borders
    assert border == QuiltBorder(Fraction(3), "posts", None, ("plum",))


def test_a_quilt_is_read_whole(load):
    quilt = load(PLAIN).quilt
    assert (quilt.rows, quilt.columns, quilt.finished_block) == (3, 2, 8)
    assert (quilt.cell, quilt.seam, quilt.turn_rows, quilt.turn_columns) == (
        4,
        Fraction(1, 4),
        90,
        0,
    )
    assert quilt.block.units[1].patches == (Patch("star", 2), Patch("sky", 1))
    assert [(c.unit, c.turn) for c in quilt.block.cells] == [(0, 0), (1, 90), (1, 270), (0, 180)]
    assert quilt.sashing == Sashing(Fraction(1), True, True, "dot")
    assert quilt.borders == (QuiltBorder(Fraction(3), "posts", "half-square-triangle"),)
    assert quilt.binding == QuiltBinding(Fraction(5, 2), "bias")
    assert quilt.sets_per_block == 1
    assert set(squares_per_block(quilt.block).values()) == {1, 2}
    assert sum(squares_per_block(quilt.block).values()) == 4


def test_blocks_on_point_between_the_others_are_counted(load):
    pattern = load(PLAIN.replace('"straight"', '"on point"'))
    assert pattern.blocks == 3 * 2 + 2 * 1
    assert pattern.needs[0].count == 16
    assert pattern.quilt.on_point


def test_flying_geese_lie_across_and_turn(load):
    geese = (
        PLAIN.replace('"A B90", "B270 A180"', '"A .", ". ."')
        .replace('grid = ["A .", ". ."]', 'grid = ["A .", "B ."]')
        .replace('unit = "half-square-triangle"\nat_a_time = 2', 'unit = "flying-geese"\nwide = 2')
        .replace('unit = "hst"', 'unit = "flying-geese"\nat_a_time = 1\nwide = 2')
        .replace('trim = "4 1/2"\n', 'trim = "8 1/2"\n')
    )
    with pytest.raises(PatternError, match=r"take 1\.25 of star"):
        load(geese)
    one = geese.replace("wide = 2\nfabrics", "at_a_time = 1\nwide = 2\nfabrics", 1)
    one = one.replace("at_a_time = 1\nat_a_time = 1", "at_a_time = 1")
    one = one.replace("per_block = 2\nfrom", "per_block = 4\nfrom")
    # A goose of 8 x 4 is cut 8 1/2 wide, which no 5 in square gives.
    with pytest.raises(PatternError, match=r"need star cut 8 1/2 in, and its size says 5 in"):
        load(one)
    block = load(one.replace('size = "5"', 'size = "8 1/2"')).quilt.block
    assert [(c.row, c.wide, c.high) for c in block.cells] == [(0, 2, 1), (1, 2, 1)]
    assert sewing_order(block) == (BlockSeam("level", 1, 0, 2),)


WRONG_FIELDS = [
    ('"straight"', '"diagonal"', "layout.set", "straight, on point"),
    ("turn_rows = 90", "turn_rows = 45", "layout.turn_rows", "no quarter turn"),
    ("turn_rows = 90", 'seam = "2"', "layout.seam", "1/16 to 1"),
    ('finished_block = "8"\n', "", "layout.finished_block", "[block]"),
    ("rows = 3\ncolumns = 2", "blocks = 6", "layout.rows", "[block]"),
    ('"A B90", "B270 A180"', '"A B90"', "block.grid", "row 1 has 2 cells"),
    ('"A B90"', '"A C"', "block.grid", '"C" is no unit; there are A, B'),
    ('"A B90"', '"A B45"', "block.grid", "a letter and its turn"),
    ('"A B90"', '"A ."', "block.grid", "covered by no unit"),
    ('"A B90", "B270 A180"', '"A A", "A B"', "block.grid", "take 1.5 squares of star 1"),
    ('["A B90", "B270 A180"]', '"A"', "block.grid", "no list of texts"),
    ('mark = "B"', 'mark = "A"', "block.unit.mark", "there already"),
    ('mark = "B"', 'mark = "7"', "block.unit.mark", "one letter"),
    ('unit = "hst"', 'unit = "octagram"', "block.unit.unit", 'no unit "octagram"'),
    ('unit = "hst"', 'unit = "setting-triangle"', "block.unit.unit", "no part of a block"),
    ("at_a_time = 2", "at_a_time = 3", "block.unit.at_a_time", "3 at a time"),
    ("at_a_time = 2", "wide = 2", "block.unit.wide", "as wide as high"),
    ('"sky 1"]', '"moon"]', "block.unit.fabrics", "none of the pieces: star, sky, dot"),
    ('"sky 1"]', '"sky 3"]', "block.unit.fabrics", "a block has 2 of sky"),
    ('"sky 1"]', '"dot"]', "block.unit.fabrics", "counted in all"),
    (', "sky 1"]', "]", "block.unit.fabrics", "has 2 parts, not 1"),
    ('trim = "4 1/2"', 'trim = "4"', "block.unit.trim", "finishes at 7/2"),
    ("outer = true", "posts = false", "sashing.post_piece", "no posts"),
    ("outer = true", "outer = 1", "sashing.outer", "true or false"),
    ('post_piece = "dot"', 'post_piece = "sky"', "sashing.post_piece", "counted in all"),
    ('width = "3"', 'width = "0"', "border.width", "not more than 0"),
    ('corners = "posts"', 'corners = "mitred"', "border.corners", "can't be mitred"),
    ('pieced = "half-square-triangle"', 'pieced = "flying-geese"', "border.pieced", "square"),
    (HALVES, HALVES + '\nfabrics = ["plum"]', "border.fabrics", "has 2 parts, not 1"),
    (HALVES, 'fabrics = ["plum", "sky"]', "border.fabrics", "it is plain, not 2"),
    (HALVES, HALVES + '\nfabrics = ["plum", "star"]', "border.fabrics", "of the bundle"),
    (HALVES, HALVES + '\nfabrics = ["plum", ""]', "border.fabrics", "one line of 1 to 40"),
    (HALVES, HALVES + '\nfabrics = "plum"', "border.fabrics", "no list of texts"),
    ('cut = "bias"', 'cut = "round"', "binding.cut", "straight"),
    ("[binding]", "[bindings]", "bindings", 'write "binding"'),
    ('cut = "bias"', 'colour = "red"', "binding.colour", "no such field"),
]


@pytest.mark.parametrize(("old", "new", "where", "why"), WRONG_FIELDS)
def test_wrong_fields_are_refused_with_line_and_field(load, old, new, where, why):
    assert old in PLAIN
    with pytest.raises(PatternError) as caught:
        load(PLAIN.replace(old, new, 1))
    found = re.search(r"my\.toml, line (\d+), field ([\w.]+): (.*)$", str(caught.value))
    assert found, caught.value
    assert int(found[1]) >= 4
    assert found[2] == where
    assert why in found[3]


def every_refusal(load):
    """The sentence for each wrong quilt of this file, its cure with it."""
    wrong = [PLAIN.replace(old, new, 1) for old, new, *_ in WRONG_FIELDS]
    on_point = PLAIN.replace('"straight"\nturn_rows = 90', '"on point"')
    for text in (*wrong, on_point.replace("outer = true", "posts = false")):
        with pytest.raises(PatternError) as caught:
            load(text)
        yield re.sub(r"^\S*my\.toml", "my.toml", str(caught.value))


def test_golden_refusals(load):
    assert "\n".join(every_refusal(load)) == GOLDEN.read_text(encoding="utf-8")


@pytest.mark.parametrize("table", ["sashing", "border", "binding"])
def test_a_quilt_s_tables_need_its_block(load, table):
    head, _ = PLAIN.split("[block]")
    brackets = f"[[{table}]]" if table == "border" else f"[{table}]"
    with pytest.raises(PatternError, match=f"field {table}: it needs a \\[block\\]"):
        load(head.replace('set = "straight"\nturn_rows = 90\n', "") + f'{brackets}\nwidth = "1"\n')


def test_a_block_that_needs_partial_seams_is_refused(load):
    spiral = """
[block]
grid = ["A . B", "D C .", ". E ."]
""" + "".join(
        f'[[block.unit]]\nmark = "{mark}"\nunit = "{unit}"\nfabrics = ["{cloth}"]\n{size}\n'
        for mark, unit, cloth, size in (
            ("A", "rectangle", "star 1", "wide = 2"),
            ("B", "rectangle", "star 2", "high = 2"),
            ("C", "square", "sky 1", ""),
            ("D", "rectangle", "sky 2", "high = 2"),
            ("E", "rectangle", "sky 2", "wide = 2"),
        )
    )
    head, _ = PLAIN.split("[block]")
    with pytest.raises(PatternError, match="can't be sewn with straight seams"):
        load(head + spiral)


def test_every_field_is_in_the_example():
    text = pattern_text("example")
    for fields in FIELDS.values():
        for field in fields:
            assert re.search(rf"\b{field}\b", text), field


@pytest.mark.parametrize("unit", FACES)
def test_the_parts_of_a_unit_fill_its_face(unit):
    def area(polygon):
        turned = polygon[1:] + polygon[:1]
        return (
            sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(polygon, turned, strict=True)) / 2
        )

    parts = [sum(map(area, faces)) for faces in FACES[unit]]
    assert sum(parts) == 1
    assert min(parts) > 0
    if unit != "rectangle":
        method = find_method(unit)
        # The face of a unit is its finished height over its width times the square.
        assert float(method.face) == pytest.approx(float(method.aspect))
