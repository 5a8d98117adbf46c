"""Cutting plans: every piece where it lies, and the drawing of it."""

import io
from collections import Counter
from fractions import Fraction

import pytest
from PIL import Image

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.layouts.cloth_layout import ClothLayout, LaidCut, LaidPiece, Sheet
from catalog.cutting.layouts.stacking import MAX_LAYERS, stacking_words
from catalog.lengths import centimetres_shown
from catalog.pattern.patterns import load_pattern
from catalog.report.drawings.drawing import (
    Drawing,
    DrawnBox,
    DrawnWords,
    below_one_another,
)
from catalog.report.drawings.drawing_jpeg import MARGIN, PIXELS_A_MILLIMETRE, drawing_jpeg
from catalog.report.drawings.drawing_on_paper import drawing_on_paper
from catalog.report.drawings.drawing_svg import drawing_svg
from catalog.report.drawings.plan_drawing import LABELS, WIDE, plan_drawings, scale_of
from catalog.report.drawings.plan_picture import cutting_plan_jpeg, drawings_of
from catalog.report.pages.card_page import CardPage

ADAPTED = {
    name: adapt_pattern(load_pattern(name).quilt) for name in ("four-patch", "pinwheel", "example")
}


def overlap(one, other):
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.length
        and other.y < one.y + one.length
    )


def assert_can_be_cut(sheet):
    """No piece over the edge, none over another; checked with nothing of the product's."""
    for number, one in enumerate(sheet.pieces):
        assert one.x >= 0
        assert one.y >= 0
        assert one.x + one.width <= sheet.width
        assert one.y + one.length <= sheet.length
        assert not any(overlap(one, other) for other in sheet.pieces[number + 1 :])


@pytest.mark.parametrize("name", ADAPTED)
def test_the_plan_of_strips_holds_every_piece_once_and_none_over_another(name):
    made = ADAPTED[name]
    wanted = Counter(
        {(cut.cloth, cut.piece): cut.count for cut in made.cuts if "squares" not in cut.cloth}
    )
    laid = Counter()
    for buy in made.buys:
        for sheet in buy.layout.sheets if buy.layout else ():
            assert_can_be_cut(sheet)
            for piece in sheet.pieces:
                laid[buy.cloth, piece.piece] += sheet.copies
    joined = {key for key in laid if key[1].startswith(("length to join", "binding"))}
    notes = {buy.cloth: " ".join(buy.layout.notes) for buy in made.buys if buy.layout}
    sewn = {(cloth, piece) for cloth, piece in wanted if f"{piece}: " in f"{notes[cloth]}: "}
    sewn |= {(cloth, piece) for cloth, piece in wanted if f"{piece} and " in notes[cloth]}
    assert {key: laid[key] for key in wanted if key in laid} == {
        key: number for key, number in wanted.items() if key in laid
    }
    assert (laid.keys() - joined) | sewn == wanted.keys()


@pytest.mark.parametrize("name", ADAPTED)
def test_large_is_cut_before_small_and_no_more_than_is_bought(name):
    for buy in ADAPTED[name].buys:
        if buy.layout:
            heights = [sheet.length for sheet in buy.layout.sheets]
            assert heights == sorted(heights, reverse=True)
            assert sum(s.length * s.copies for s in buy.layout.sheets) == buy.used <= buy.bought


def sheet(piece, copies=5, side=4):
    side = Fraction(side)
    pieces = tuple(LaidPiece(piece, n * side, Fraction(0), side, side) for n in range(3))
    layers = min(copies, MAX_LAYERS) if side >= Fraction(3, 2) else 1
    return Sheet("strip", Fraction(40), side, copies, pieces, layers=layers)


def test_layers_are_told_where_they_are_safe_and_the_maker_comes_first():
    words = stacking_words([sheet("a")], directional=False)
    assert words.startswith("up to 4 ")
    assert "maker of your cutter" in words
    assert "same way up" in stacking_words([sheet("a")], directional=True)
    assert stacking_words([sheet("a", copies=1)], directional=False) == ""
    assert stacking_words([sheet("a", side=1)], directional=False) == ""
    (ground,) = [buy for buy in ADAPTED["four-patch"].buys if buy.cloth == "background"]
    assert ground.stacked.startswith("up to 3 ")


def test_what_is_left_over_is_counted():
    layout = ClothLayout("sky", "1 yd", (sheet("a"),))
    assert layout.waste == 1 - Fraction(3 * 4 * 4, 40 * 4)
    assert layout.count_of(layout.kinds[0]) == 15


def test_the_drawing_is_to_scale_and_nothing_lies_outside_it():
    layouts = [buy.layout for buy in ADAPTED["example"].buys if buy.layout]
    scale = scale_of(layouts)
    for layout, drawing in zip(layouts, plan_drawings(layouts), strict=True):
        boxes = [mark for mark in drawing.marks if isinstance(mark, DrawnBox)]
        assert all(box.x + box.wide <= WIDE + 1e-6 for box in boxes)
        assert all(box.y >= 0 and box.y + box.high <= drawing.high + 1e-6 for box in boxes)
        drawn = {(round(box.wide, 3), round(box.high, 3)) for box in boxes}
        for one in (*layout.sheets, *layout.kinds):
            assert (
                round(float(one.width) * scale, 3),
                round(float(one.length) * scale, 3),
            ) in drawn
    assert scale == pytest.approx((WIDE - LABELS) / 40)


def words_of(drawing):
    return [mark.text for mark in drawing.marks if isinstance(mark, DrawnWords)]


def test_sizes_stand_in_inches_and_centimetres_those_asked_for_first():
    layouts = [buy.layout for buy in ADAPTED["four-patch"].buys if buy.layout]
    assert "background: 4 1/2 in (11.4 cm), 24 in all" in words_of(plan_drawings(layouts)[0])
    with centimetres_shown():
        metric = plan_drawings(layouts)
    assert "background: 11.4 cm (4 1/2 in), 24 in all" in words_of(metric[0])


def test_a_drawing_is_a_picture_a_part_of_a_page_and_a_thing_on_paper():
    drawings = drawings_of(ADAPTED["four-patch"].buys)
    whole = below_one_another(drawings)
    picture = Image.open(io.BytesIO(cutting_plan_jpeg(ADAPTED["four-patch"].buys)))
    assert picture.size == tuple(
        round((side + 2 * MARGIN) * PIXELS_A_MILLIMETRE) for side in (whole.wide, whole.high)
    )
    hostile = Drawing(9.0, 9.0, (DrawnWords(0.0, 5.0, "<script>&", 9.0),), 'a "b"')
    assert "&lt;script&gt;&amp;" in drawing_svg(hostile)
    assert "<script" not in drawing_svg(hostile)
    with CardPage("A4", "plans", {}) as page:
        page.begin()
        drawing_on_paper(page.pdf, whole, 10.0, 10.0, page.letters)
        assert page.finished().startswith(b"%PDF")
    assert cutting_plan_jpeg([]) is None
    assert drawing_jpeg(hostile).startswith(b"\xff\xd8\xff")


def test_the_strips_of_a_cloth_are_told_once():
    made = ADAPTED["pinwheel"]
    first, second = [cut for cut in made.cuts if "border" in cut.piece]
    assert "strip" in first.how
    assert first.piece in first.how
    assert second.piece in first.how
    assert second.how == f"{second.count} from the strips above"


def test_cuts_that_go_on_in_one_line_bear_their_number_once():
    def cut(order, *ends):
        return LaidCut(order, *map(Fraction, ends))

    down = [cut(1, x, 0, x, 6) for x in (2, 4, 6)]
    across = [cut(2, x, y, x + 2, y) for y in (2, 4) for x in (0, 2, 4)]
    pieces = [LaidPiece("post", *map(Fraction, (x, y, 2, 2))) for y in (0, 2, 4) for x in (0, 2, 4)]
    sheet = Sheet("fat quarter", Fraction(20), Fraction(18), 1, tuple(pieces), (*down, *across))
    (drawn,) = plan_drawings([ClothLayout("moon", "1 fat quarter", (sheet,))])
    said = Counter(one.text for one in drawn.marks if isinstance(one, DrawnWords))
    assert (said["1"], said["2"]) == (3, 2)
