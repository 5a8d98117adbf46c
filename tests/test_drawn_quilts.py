"""Any quilt that is drawn: exported, read back and made over it gives the same numbers."""

from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace

from drawn_blocks_made import CLOTHS, blocks, settings_of_quilts
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from test_pattern_words_booklet import BETWEEN, check, read_back

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.quilt_faces import block_faces, quilt_faces
from catalog.errors import PatternError
from catalog.pattern.data.block_lengths import shown_sides
from catalog.pattern.data.drawn_tiles import DrawnBlock, Paint, Tile, drawn_blocks
from catalog.pattern.data.made_numbers import quilt_numbers
from catalog.pattern.data.pattern_data import data_of, pattern_of, text_of
from catalog.pattern.data.rescaling import rescaled
from catalog.pattern.data.settled_pieces import settled, with_blocks
from catalog.pattern.patterns import read_pattern

FEW = settings(
    max_examples=7,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=True,
)
CELLS = st.sampled_from((Fraction(2), Fraction(5, 2), Fraction(7, 3), Fraction(3)))

REFUSED = {"sets", "straight"}
"""Words of what a block drawn by chance may be refused for: its sets, its seams."""


def drawn_data(quilt, block, cell):
    """The data of a quilt of one drawn block, with a square of the bundle in it."""
    first = Tile("square", 0, 0, 1, 1, 0, (Paint("moon"),))
    corner = next(tile for tile in block.tiles if (tile.row, tile.column) == (0, 0))
    if corner.unit == "square":
        block = replace(block, tiles=(first, *(one for one in block.tiles if one is not corner)))
    pieces = [{"name": "scrap", "size": "2", "in_all": 4}]
    size = shown_sides(cell * block.across, cell * block.down)
    layout = {**quilt["layout"], "finished_block": size}
    base = {"title": "Drawn", "description": "By chance.", **quilt, "layout": layout}
    return with_blocks({**base, "feature": pieces}, [block], CLOTHS)


@FEW
@given(settings_of_quilts(), blocks(), CELLS)
def test_a_drawn_quilt_read_back_and_made_over_gives_the_same_numbers(quilt, block, cell):
    data = drawn_data(quilt, block, cell)
    try:
        pattern = pattern_of(data, "drawn")
    except PatternError as error:
        assume(REFUSED.isdisjoint(str(error).split()))
        raise
    text = text_of(data)
    back = read_pattern(text, "drawn")
    assert back == pattern
    assert data_of(text, "drawn") == data
    assert settled(data) == data  # what is settled stays
    for side, seam in ((None, None), (Fraction(6), Fraction(3, 8))):
        one, other = (quilt_numbers(it.quilt, side, seam) for it in (pattern, back))
        assert one == other
    faces = quilt_faces(pattern.quilt, one.quilt.layout)
    assert faces == quilt_faces(back.quilt, other.quilt.layout)
    assert abs(sum(map(area, block_faces(pattern.quilt, pattern.quilt.block))) - 1) < 1e-9
    assert len(drawn_blocks(data)[0].tiles) == len(block.tiles)


@FEW
@given(settings_of_quilts(), blocks(), st.sampled_from((6, 9, 10)), st.sampled_from((4, 6)))
def test_a_rescaled_quilt_leaves_no_piece_that_does_not_fit(quilt, block, width, seam):
    data = drawn_data(quilt, block, Fraction(3))
    try:
        pattern_of(data, "drawn")
    except PatternError:
        assume(False)
    made = rescaled(data, block=Fraction(width), seam=Fraction(seam, 16), strips=True)
    pattern = pattern_of(made.data, "drawn")
    assert pattern.quilt.finished_block == width
    assert pattern.quilt.seam == Fraction(seam, 16)
    told = {row.what: (row.old, row.new) for row in made.rows}
    if width != 3 * block.across:
        assert told["finished block"][1].split(" x ")[0] == str(width)
    for role in ("feature", "background"):
        for before, after in zip(data.get(role, ()), made.data.get(role, ()), strict=False):
            if before["name"] == after["name"] and before["size"] != after["size"]:
                assert told[f"cut: {after['name']}"] == (before["size"], after["size"])


def area(face):
    """Of a polygon, by the shoelace formula."""
    after = [*face.corners[1:], face.corners[0]]
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(face.corners, after, strict=True))) / 2


def test_a_cloth_in_two_sizes_becomes_two_pieces_of_one_cloth():
    half = [
        Tile("half-square-triangle", 0, n, 1, 1, 0, (Paint("figure", n + 1), Paint("ground")))
        for n in range(2)
    ]
    pair = [replace(one, row=1, column=1 - one.column, turn=180) for one in half]
    data = {"layout": {"rows": 2, "columns": 2, "finished_block": "8"}}
    block = DrawnBlock(2, 2, (*half, *pair))
    made = with_blocks(data, [block], CLOTHS)
    assert [(one["name"], one["size"], one["per_block"]) for one in made["feature"]] == [
        ("figure", "4 7/8", 2)
    ]
    plain = [Tile("square", 1, n, 1, 1, 0, (Paint("ground"),)) for n in range(2)]
    made = with_blocks(made, [DrawnBlock(2, 2, (*half[:1], replace(half[0], column=1), *plain))])
    told = [
        (one["name"], one["size"], one["per_block"], one["cloth"]) for one in made["background"]
    ]
    assert told == [("ground", "4 7/8", 1, "ground"), ("ground A", "4 1/2", 2, "ground")]


@settings(FEW, max_examples=3)
@given(settings_of_quilts(), blocks(across=3, down=2), st.sampled_from(BETWEEN))
def test_what_the_booklet_prints_of_a_drawn_quilt_is_read_back_to_its_pieces(quilt, block, between):
    try:
        pattern = pattern_of(drawn_data(quilt, block, Fraction(2)), "drawn")
    except PatternError:
        assume(False)
    cuts = adapt_pattern(pattern.quilt).cuts
    booklet = SimpleNamespace(adapted=SimpleNamespace(cuts=cuts, buys=()), printed=None)
    check(cuts, read_back(booklet, between))
