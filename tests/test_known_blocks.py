"""Blocks of the public domain: what they are cut from, by published numbers, and who is told."""

import json
from fractions import Fraction

import pytest

from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.cutting.quilt_units import kind_of
from catalog.errors import PatternError
from catalog.pattern.blocks.block_pieces import pieces_of_block
from catalog.pattern.blocks.block_text import block_text
from catalog.pattern.blocks.coloured_block import BlockColour, ColouredBlock, grid_lines
from catalog.pattern.blocks.known_blocks import find_block, known_blocks
from catalog.pattern.patterns import read_pattern


def area(polygon):
    ends = zip(polygon, (*polygon[1:], polygon[0]), strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in ends)) / 2


def made(name, finished, seam=Fraction(1, 4)):
    pieced = pieces_of_block(find_block(name).drawn, Fraction(finished), seam)
    return pieced, read_pattern(block_text(pieced, name, "x"), name)


def cut(name, finished):
    """Sizes and numbers of the pieces of a block by their colours."""
    pieced, _ = made(name, finished)
    return {(one.colour, one.size, one.per_block) for one in pieced.pieces}


@pytest.mark.parametrize("known", known_blocks(), ids=lambda known: known.name)
def test_a_known_block_is_a_pattern_with_its_sources(known):
    assert len(known.sources) >= 2
    faces = 0.0
    for cell in known.drawn.block.cells:
        unit = known.drawn.block.units[cell.unit]
        shown = sum(area(one) for part in kind_of(unit).parts for one in part.polygons)
        faces += float(shown) * cell.wide * cell.high
    assert faces == pytest.approx(known.drawn.block.across * known.drawn.block.down)
    pieced, pattern = made(known.name, known.drawn.usual_size)
    assert pattern.quilt.block.cells == pieced.block.cells
    assert {kind.name: kind.size for kind in pattern.quilt.kinds} == {
        piece.name: piece.size for piece in pieced.pieces
    }
    assert any(piece.source == "bundle" for piece in pieced.pieces)


def test_there_are_some_thirty_blocks_no_two_of_a_name():
    names = [name for one in known_blocks() for name in (one.name, *one.other_names)]
    assert len(known_blocks()) >= 24
    assert len(set(names)) == len(names)


def test_a_churn_dash_is_cut_as_published():
    """All People Quilt, Churn Dash, 6 in: squares 2 7/8 and 2 1/2, rectangles 1 1/2 x 2 1/2."""
    assert cut("churn dash", 6) == {
        ("feature", Fraction(23, 8), 2),
        ("background", Fraction(23, 8), 2),
        ("feature", Fraction(5, 2), 4),
        ("background", Fraction(5, 2), 4),
        ("background", Fraction(5, 2), 1),
    }


def test_a_bears_paw_is_cut_as_published():
    """All People Quilt, Bear's Paw, 14 in: 16 triangles of 2 7/8, rectangles 2 1/2 x 6 1/2."""
    assert cut("bear's paw", 14) == {
        ("feature", Fraction(23, 8), 8),
        ("background", Fraction(23, 8), 8),
        ("feature", Fraction(9, 2), 4),
        ("feature", Fraction(5, 2), 1),
        ("background", Fraction(5, 2), 4),
        ("background", Fraction(13, 2), 4),
    }


def test_a_seam_of_another_width_makes_other_pieces():
    usual, narrow = made("shoofly", 9)[0], made("shoofly", 9, Fraction(3, 16))[0]
    assert {one.size for one in usual.pieces} == {Fraction(31, 8), Fraction(7, 2)}
    assert {one.size for one in narrow.pieces} == {Fraction(15, 4), Fraction(27, 8)}


def odd_block(of_bundle="feature"):
    """Three half-square triangles and a square: half a square of each cloth is left over."""
    half = BlockUnit("A", "half-square-triangle", None, (Patch("sky"), Patch("ground")))
    whole = BlockUnit("B", "square", None, (Patch("sky"),))
    cells = tuple(Cell(place == 3, place // 2, place % 2, 1, 1) for place in range(4))
    colours = (BlockColour("sky", of_bundle), BlockColour("ground", "background"))
    return ColouredBlock(Block(2, (half, whole), cells), colours)


def test_a_triangle_left_over_is_cut_from_cloth():
    pieced = pieces_of_block(odd_block(), Fraction(8))
    pattern = read_pattern(block_text(pieced, "Odd", "x"), "odd")
    taken = {(one.name, one.source, one.per_block) for one in pieced.pieces}
    assert ("ground", "yardage", 2) in taken
    assert {kind.source for kind in pattern.quilt.kinds} == {"bundle", "yardage"}


def test_a_block_without_a_square_of_the_bundle_is_refused():
    with pytest.raises(PatternError, match="feature"):
        pieces_of_block(odd_block("background"), Fraction(8))


def test_the_grid_is_written_as_it_was_read():
    shown = grid_lines(find_block("sawtooth star").drawn.block)
    assert shown == ("B A180 . B", "A90 C . A270", ". . . .", "B A . B")


def test_blocks_are_listed_and_printed(calicount):
    listed = calicount("pattern", "blocks")
    assert listed.exit_code == 0
    assert all(one.name.split()[0] in listed.stdout for one in known_blocks())
    shown = calicount("pattern", "blocks", "shoo fly", "--finished", "9")
    pattern = read_pattern(shown.stdout, "x")
    assert (pattern.title, pattern.finished_block, pattern.blocks) == ("Shoofly", 9, 12)
    told = json.loads(calicount("pattern", "blocks", "shoofly", "--json").stdout)
    assert told["grid"] == ["A180 B A270", "B C B", "A90 B A"]
    assert read_pattern(told["text"], "x").finished_block == 12
    missing = calicount("pattern", "blocks", "shoofli")
    assert missing.exit_code == 2
    assert "shoofly" in missing.stderr


def test_the_page_is_told_the_blocks(page):
    told = page.get("blocks")["blocks"]
    assert [one["name"] for one in told] == [one.name for one in known_blocks()]
    star = next(one for one in told if one["name"] == "Ohio star")
    assert star["grid"] == ["B A B", "A90 C A90", "B A B"]
    assert {one["role"] for one in star["colours"]} == {"feature", "background"}
    assert all(len(one["sources"]) >= 2 for one in told)
