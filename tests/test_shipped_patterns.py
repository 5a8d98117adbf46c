"""The numbers of the shipped patterns, worked out here from the published rules of each way to sew.

The rules and who published them stand in ``trade_checks/units.csv`` under the numbers named here.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from fractions import Fraction
from functools import cache
from math import ceil, sqrt
from pathlib import Path

import pytest

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.constructions import construction_of
from catalog.lengths import show_length
from catalog.pattern.data.pattern_messages import check_pattern
from catalog.pattern.pattern_file import EXAMPLE, pattern_text, shipped_files
from catalog.pattern.patterns import load_pattern

PACK = 42
"""5 in squares in a usual pack; see ``test_pattern.py``."""
NAMES = [name for name in shipped_files() if name != EXAMPLE]
SEAMS = Fraction(1, 2)
"""Both, inches."""
F = Fraction


@cache
def made(name):
    """A pattern as written: its pieces, and what is cut and bought for it."""
    pattern = load_pattern(name)
    return pattern, adapt_pattern(pattern.quilt)


def cuts(name):
    """What is cut, by piece: how many, and their two sides, the shorter first."""
    return {row.piece: (row.count, *sorted((row.width, row.length))) for row in made(name)[1].cuts}


def size(name):
    """The finished quilt, width and length in inches."""
    layout = made(name)[1].layout
    return float(layout.width), float(layout.length)


def eighths_up(exact):
    return Fraction(ceil(exact * 8 - 1e-9), 8)


def eighths_down(exact):
    return Fraction(int(exact * 8), 8)


def test_there_are_twelve_and_each_is_built_otherwise():
    assert len(NAMES) == 12
    built = {name: construction_of(made(name)[0].quilt) for name in NAMES}
    assert built["framed-squares"] == "blocks of strips in rows"
    assert built["broken-dishes"] == "one block in rows, four units at a time, a border"
    assert built["windowpanes"] == "one block on point, sashing with posts, a border"
    assert built["snowballs"] == "two blocks by turns in rows, a border"
    assert built["medallion"] == "a medallion, three borders, one of them pieced"
    assert built["bricks"] == "one block in offset rows, two borders"
    assert built["geese-runner"] == "one block in rows, a runner, four units at a time, a border"
    assert built["bag-panel"] == "one block in one row"
    units = {name: {unit.unit for unit in made(name)[0].quilt.units} for name in NAMES}
    told = Counter((built[name], tuple(sorted(units[name]))) for name in NAMES)
    assert set(told.values()) == {1}


@pytest.mark.parametrize("name", NAMES)
def test_a_usual_pack_fills_it_and_its_file_is_explained(name):
    pattern, adapted = made(name)
    assert adapted.fits
    squares = sum(need.count for need in pattern.needs if need.source == "bundle")
    small = [need for need in pattern.needs if need.source == "left over"]
    squares += sum(ceil(need.count / int(5 / need.size) ** 2) for need in small)
    assert 15 <= squares <= PACK
    assert all(need.size <= 5 for need in pattern.needs if need.source != "yardage")
    comment = pattern_text(name).partition("\ntitle")[0]
    assert comment.startswith("# ")
    assert len(comment.splitlines()) >= 4


@pytest.mark.parametrize("name", NAMES)
def test_what_is_cut_from_squares_covers_no_more_than_they_have(name):
    """Areas: a block's finished pieces fill it, and the blocks fill the middle of the quilt."""
    pattern, adapted = made(name)
    quilt = pattern.quilt
    for block in quilt.blocks:
        covered = sum(cell.wide * cell.high for cell in block.cells)
        assert covered == block.across * block.down
    if quilt.on_point or quilt.sashing or quilt.offset:
        return
    borders = 2 * sum(border.width for border in quilt.borders)
    assert adapted.layout.width == quilt.columns * quilt.finished_block + borders
    assert adapted.layout.length == quilt.rows * quilt.finished_length + borders


def test_the_readme_lists_them_with_their_numbers():
    text = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    told = re.findall(r"^\| `([a-z-]+)` \| [^|]+ \| ([^|]+) \| ([^|]+) in \|$", text, re.MULTILINE)
    listed = {name: (squares, finished) for name, squares, finished in told}
    wanted = {}
    for name in NAMES:
        needs, layout = made(name)[0].needs, made(name)[1].layout
        squares = str(sum(need.count for need in needs if need.source == "bundle"))
        small = [need for need in needs if need.source == "left over"]
        more = sum(ceil(need.count / int(5 / need.size) ** 2) for need in small)
        sides = (show_length(side, mark=False) for side in (layout.width, layout.length))
        wanted[name] = (f"{squares} and {more}" if more else squares, " x ".join(sides))
    assert listed == wanted


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_to_be_said_of_it(name):
    assert check_pattern(tomllib.loads(pattern_text(name)), name).messages == ()


def test_framed_squares():
    # A frame of one round of courthouse steps: logs as long as what is there, and longer by two
    # logs (CS rows of the checks). The centre is whole: 4 1/2 in of it show.
    shows, log = 5 - SEAMS, F(3, 2)
    block = shows + 2 * log
    found = cuts("framed-squares")
    assert found["centre"] == (30, 5, 5)
    assert found["dark strip"] == (2 * 30, log + SEAMS, shows + SEAMS)
    assert found["light strip"] == (2 * 30, log + SEAMS, block + SEAMS)
    assert made("framed-squares")[0].finished_block == block == F(15, 2)
    assert shows**2 + 2 * shows * log + 2 * block * log == block**2
    assert size("framed-squares") == (5 * block, 6 * block)
    # Turned by turns: what lies on either side of a seam between blocks is never the same cloth.
    quilt = made("framed-squares")[0].quilt
    assert (quilt.turn_rows, quilt.turn_columns) == (90, 90)


def test_broken_dishes():
    # Four at a time: half of what lies between the seams, on the bias: (5 - 1/2) / root 2 (HST030).
    sewn = (5 - 0.5) / sqrt(2)
    trim = eighths_down(sewn)
    assert trim == F(25, 8)
    block = 2 * (trim - SEAMS)
    assert made("broken-dishes")[0].finished_block == block == F(21, 4)
    found = cuts("broken-dishes")
    assert found["dish"] == found["background"] == (6 * 7, 5, 5)
    assert size("broken-dishes") == (6 * block + 7, 7 * block + 7)
    # A pair gives four, as many as a block has (HST056).
    assert len(made("broken-dishes")[0].quilt.block.cells) == 4


def test_windowpanes():
    # A pane's corners and sides in a grid turned by an eighth: the posts and strips of the lattice.
    panes = [(2 * c + 1, 2 * r + 1) for r in range(5) for c in range(4)]
    panes += [(2 * c + 2, 2 * r + 2) for r in range(4) for c in range(3)]
    corners, strips = set(), set()
    for x, y in panes:
        ring = [(x, y - 1), (x + 1, y), (x, y + 1), (x - 1, y)]
        corners.update(ring)
        strips.update(frozenset(pair) for pair in zip(ring, ring[1:] + ring[:1], strict=True))
    found = cuts("windowpanes")
    assert found["pane"] == (len(panes), 5, 5) == (32, 5, 5)
    assert found["post"] == (len(corners), F(3, 2), F(3, 2))
    assert found["sashing"] == (len(strips), F(3, 2), 5)
    # The triangles: a block and a strip stand for the block (OP034); cut twice its diagonal and
    # 1 1/4 in, and at the corners once half the diagonal of block and two strips and 7/8 in.
    step = 4.5 + 1
    side = eighths_up(step * sqrt(2) + 1.25)
    corner = eighths_up((step + 1) / sqrt(2) + 0.875)
    assert found["square for side triangles, cut twice on the diagonal"] == (4, side, side)
    assert found["square for corner triangles, cut once on the diagonal"] == (2, corner, corner)
    assert ceil((2 * 3 + 2 * 4) / 4) == 4
    wide, long = ((n * step + 1) * sqrt(2) + 6 for n in (4, 5))
    assert size("windowpanes") == pytest.approx((wide, long), abs=1 / 16)


def test_snowballs():
    # The corner's square is the part that it takes of the side, and both seams (SQ013).
    snowballs, patches = 25, 24
    found = cuts("snowballs")
    assert snowballs + patches == 7 * 7
    assert found["snowball"] == (snowballs, 4 + SEAMS, 4 + SEAMS)
    assert found["corner"] == (4 * snowballs, 1 + SEAMS, 1 + SEAMS)
    # Two squares of c in a row measure 2 c - 1/2 as sewn (PT014).
    assert 2 * F(5, 2) - SEAMS == 4 + SEAMS
    assert found["patch"] == found["light patch"] == (2 * patches, F(5, 2), F(5, 2))
    assert size("snowballs") == (7 * 4 + 5, 7 * 4 + 5)
    marks = [block.mark for block in made("snowballs")[0].quilt.blocks]
    assert marks == ["S", "F"]


def test_bricks():
    # Seven rows, the second, fourth and sixth with a brick less and half a one at either end.
    bricks = 4 * 3 + 3 * 2
    brick = 2 * (5 - SEAMS)
    found = cuts("bricks")
    assert found["brick"] == (2 * bricks, 5, 5)
    assert found["half block"] == (3 * 2, brick / 2 + SEAMS, 5)
    assert made("bricks")[0].blocks == bricks
    wide, long = 3 * brick, 7 * (5 - SEAMS)
    assert found["side border 1"] == (2, 1 + SEAMS, long + SEAMS)
    assert found["top and bottom border 1"] == (2, 1 + SEAMS, wide + 2 + SEAMS)
    assert found["side border 2"] == (2, 4 + SEAMS, long + 2 + SEAMS)
    assert found["top and bottom border 2"] == (2, 4 + SEAMS, wide + 2 + SEAMS)
    assert found["border 2 post"] == (4, 4 + SEAMS, 4 + SEAMS)
    assert size("bricks") == (wide + 10, long + 10)


def test_geese_runner():
    # Four at a time: the large square is the goose's width and 1 1/4 in, the small ones its height
    # and 7/8 in (FG001, FG002); height is half of width.
    wide = 5 - F(5, 4)
    high = wide / 2
    found = cuts("geese-runner")
    assert found["goose"] == (15, 5, 5)
    assert found["sky"] == (4 * 15, high + F(7, 8), high + F(7, 8)) == (60, F(11, 4), F(11, 4))
    quilt = made("geese-runner")[0].quilt
    assert (quilt.finished_block, quilt.finished_length) == (wide, 4 * high)
    assert size("geese-runner") == (3 * wide + 3, 5 * 4 * high + 3)
    # Of a goose half is goose and half sky: cut, they are a little more.
    assert 15 * 4 * wide * high / 2 < 15 * 25


def test_bag_panel():
    found = cuts("bag-panel")
    assert found["patch"] == (2 * 9, 5, 5)
    assert found["base"] == (2, 5, 3 * (5 - SEAMS) + SEAMS)
    assert size("bag-panel") == (2 * 3 * 4.5, 4 * 4.5)
    (patch,) = (need for need in made("bag-panel")[0].needs if need.role == "feature")
    assert (patch.count, patch.match, patch.match_by) == (18, 3, "value")
    backing = next(row for row in made("bag-panel")[1].buys if row.cloth == "backing")
    assert "29 in x 20 in" in backing.words


def test_medallion():
    # Two at a time: the square less a quarter of root 2 (HST024), trimmed to 4 1/2 (HST020).
    assert 5 - sqrt(2) / 4 > F(9, 2)
    middle = 6 * (F(9, 2) - SEAMS)
    found = cuts("medallion")
    assert found["diamond"] == found["background"] == (6 * 6 / 2, 5, 5)
    assert found["side border 1"] == (2, 2 + SEAMS, middle + SEAMS)
    # The pieced border goes round 28 in with whole units of 4, two to a pair of squares of the
    # unit and 7/8 in (HST001), and posts at its corners.
    along = middle + 4
    units = 4 * along / 4
    assert (along / 4, units) == (7, 28)
    pairs = [row for row in made("medallion")[1].cuts if row.piece == "square for border 2"]
    assert [(row.count, row.width) for row in pairs] == [(units / 2, 4 + F(7, 8))] * 2
    assert found["border 2 post"] == (4, 4 + SEAMS, 4 + SEAMS)
    assert size("medallion") == (middle + 2 * (2 + 4 + 3),) * 2


def test_the_medallion_s_quarters_are_alike():
    quilt = made("medallion")[0].quilt
    turn = {(cell.row, cell.column): cell.turn for cell in quilt.block.cells}
    # Turned a quarter clockwise, what lay in row r, column c lies in row c, column 5 - r.
    assert all(turn[c, 5 - r] == (turn[r, c] + 90) % 360 for r, c in turn)
    cloth = {
        (cell.row, cell.column): quilt.block.units[cell.unit].patches[0].which
        for cell in quilt.block.cells
    }
    assert Counter(cloth.values()) == Counter(dict.fromkeys(range(1, 19), 2))
    assert all(cloth[r, c] == cloth[5 - r, 5 - c] for r, c in cloth)
    # Across from left to right lies the other square of the set.
    assert all((cloth[r, c] + 1) // 2 == (cloth[r, 5 - c] + 1) // 2 for r, c in cloth)
