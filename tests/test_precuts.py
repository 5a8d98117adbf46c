"""Precuts as stock: what is sold, what each gives, how many packs, what is in hand."""

import csv
import functools
import itertools
import json
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from catalog.cutting.adapted.adaptation import adapt_pattern, with_offers
from catalog.cutting.adapted.packs import pack_lines
from catalog.cutting.layouts.precut_offers import precut_offer, precut_offers
from catalog.cutting.layouts.precuts import (
    PINKING,
    PRECUTS,
    PrecutsInHand,
    find_precut,
    read_in_hand,
)
from catalog.cutting.layouts.sheet_plan import most_from, sheet_plan
from catalog.cutting.layouts.stock import SoldAs, Stock
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import ClothError, PatternError, UsageError
from catalog.lengths import CENTIMETRES_PER_INCH
from catalog.models import Piece
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import load_pattern, read_pattern
from cli.main import app

FOUR_PATCH = load_pattern("four-patch").quilt
FAT_QUARTER = find_precut("fat quarters")


def square(side, count, name="square"):
    return Piece(name, Fraction(side), Fraction(side), count)


def buy_of(made, cloth):
    return next(buy for buy in made.buys if buy.cloth == cloth)


# --- straight cuts, checked with nothing of the product's ---------------------------------------


def can_be_cut(boxes, x0, y0, x1, y1):
    """Whether straight cuts from edge to edge part all boxes of a rectangle."""
    if len(boxes) < 2:
        return True
    for axis, low, high in ((0, x0, x1), (1, y0, y1)):
        for line in sorted({box[axis] + box[axis + 2] for box in boxes}):
            if low < line < high and all(
                box[axis] + box[axis + 2] <= line or box[axis] >= line for box in boxes
            ):
                one = [box for box in boxes if box[axis] + box[axis + 2] <= line]
                other = [box for box in boxes if box[axis] >= line]
                if not one or not other:
                    continue
                halves = (
                    ((x0, y0, line, y1), (line, y0, x1, y1))
                    if axis == 0
                    else ((x0, y0, x1, line), (x0, line, x1, y1))
                )
                if can_be_cut(one, *halves[0]) and can_be_cut(other, *halves[1]):
                    return True
    return False


def assert_holds(plan, pieces, *, directional=False):
    sizes = {piece.name: (piece.width, piece.length) for piece in pieces}
    got = Counter()
    for sheet in plan.sheets:
        boxes = [(one.x, one.y, one.width, one.length) for one in sheet.pieces]
        for one in sheet.pieces:
            got[one.piece] += sheet.copies
            lying = (one.width, one.length)
            turned = lying[::-1] == sizes[one.piece] and not directional
            assert lying == sizes[one.piece] or turned
            assert one.x + one.width <= sheet.width
            assert one.y + one.length <= sheet.length
        assert can_be_cut(boxes, 0, 0, sheet.width, sheet.length)
    assert got == {piece.name: piece.count for piece in pieces}
    assert plan.number == sum(sheet.copies for sheet in plan.sheets)


def fewest_by_trying_all(sizes, wide, long):
    """The fewest sheets for single pieces, by every straight cut at every whole inch."""
    sizes = tuple(sorted(sizes))

    @functools.cache
    def held(rest, w, h):
        """Whether a rectangle gives all of these pieces."""
        if not rest:
            return True
        if len(rest) == 1:
            ((a, b),) = rest
            return (a <= w and b <= h) or (b <= w and a <= h)
        if sum(a * b for a, b in rest) > w * h:
            return False
        for number in range(len(rest)):
            for part in itertools.combinations(range(len(rest)), number):
                one = tuple(rest[n] for n in part)
                other = tuple(rest[n] for n in range(len(rest)) if n not in part)
                if any(held(one, x, h) and held(other, w - x, h) for x in range(1, w)):
                    return True
                if any(held(one, w, y) and held(other, w, h - y) for y in range(1, h)):
                    return True
        return False

    @functools.cache
    def fewest(rest):
        if not rest:
            return 0
        best = len(rest)
        others = range(1, len(rest))
        for number in range(len(rest)):
            for part in itertools.combinations(others, number):
                own = tuple(rest[n] for n in (0, *part))
                if held(own, wide, long):
                    left = tuple(rest[n] for n in others if n not in part)
                    best = min(best, 1 + fewest(left))
        return best

    return fewest(sizes)


@settings(max_examples=6, deadline=None)
@given(
    st.lists(st.tuples(st.integers(2, 6), st.integers(2, 6)), min_size=2, max_size=4),
    st.integers(6, 8),
    st.integers(6, 8),
)
def test_a_small_plan_takes_as_few_precuts_as_trying_everything_finds(sizes, wide, long):
    pieces = [Piece(str(n), Fraction(a), Fraction(b), 1) for n, (a, b) in enumerate(sizes)]
    plan = sheet_plan(pieces, Fraction(wide), Fraction(long), "scrap")
    assert plan.number == plan.least == fewest_by_trying_all(sizes, wide, long)
    assert_holds(plan, pieces)


@settings(max_examples=6, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(3, 24), st.integers(3, 24), st.integers(1, 30)),
        min_size=1,
        max_size=3,
    ),
    st.booleans(),
)
def test_a_plan_of_fat_quarters_holds_every_piece_and_is_never_below_its_bound(shapes, upright):
    pieces = [
        Piece(str(n), Fraction(a, 2), Fraction(b, 2), count)
        for n, (a, b, count) in enumerate(shapes)
    ]
    plan = sheet_plan(pieces, Fraction(20), Fraction(18), "fat quarter", directional=upright)
    assert_holds(plan, pieces, directional=upright)
    area = sum(one.width * one.length * one.count for one in pieces)
    assert area / 360 <= plan.least <= plan.number
    quick = sheet_plan(
        pieces, Fraction(20), Fraction(18), "fat quarter", directional=upright, quick=True
    )
    assert quick.number >= plan.number
    assert_holds(quick, pieces, directional=upright)


def test_two_tens_four_fives_and_a_strip_come_from_one_fat_quarter():
    # https://quiltingdigest.com/?p=794 tells of a chart with just this.
    pieces = [square(10, 2, "ten"), square(5, 4, "five"), Piece("strip", 20, Fraction(5, 2), 1)]
    pieces = [replace(one, width=Fraction(one.width)) for one in pieces]
    plan = sheet_plan(pieces, Fraction(20), Fraction(18), "fat quarter")
    assert plan.number == plan.least == 1
    assert_holds(plan, pieces)


def published():
    path = Path(__file__).parent / "trade_checks" / "yardage.csv"
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["topic"] == "yield.squares" and not row["note"].startswith("[disputed"):
                fields = dict(pair.split("=") for pair in row["input"].split(";"))
                yield row["id"], int(row["expected"]), {k: Fraction(v) for k, v in fields.items()}


def test_each_precut_gives_as_many_squares_as_charts_print():
    checked = 0
    for number, printed, field in published():
        side = field["size"]
        each = most_from(square(side, 1), field["width"], field["length"], directional=False)
        # Squares lie in rows; straight cuts of equal squares can't do better.
        assert each == (field["width"] // side) * (field["length"] // side), number
        assert each >= printed, number
        checked += 1
    assert checked > 40


# --- the table ----------------------------------------------------------------------------------


def test_precuts_are_called_by_the_trade_s_plain_words_however_they_are_typed():
    for text in ("Fat Quarters", "fat quarter", "FAT-QUARTERS"):
        assert find_precut(text) == FAT_QUARTER
    for text in ('5" squares', "5 inch square", "5 in squares", "12.7 cm squares"):
        assert find_precut(text).name == "5 in square"
    for text in ('2½" strips', "2.5 inch strips", "2 1/2 in strip", "6.4 cm strips"):
        assert find_precut(text).name == "2 1/2 in strip"
    assert find_precut("mini squares").name == "2 1/2 in square"
    with pytest.raises(UsageError, match="is no precut that is sold everywhere"):
        find_precut("fat tenths")
    with pytest.raises(UsageError) as refused:
        find_precut("fat quaters")
    assert refused.value.cure.startswith("write fat quarters")


def test_sizes_and_counts_are_no_larger_than_any_published():
    sizes = {one.name: one.sides(Bolt()) for one in PRECUTS}
    assert sizes["fat quarter"] == (20, 18)
    assert sizes["long eighth"] == (40, Fraction(9, 2))
    assert FAT_QUARTER.sides(Bolt(usable_width=Fraction(44))) == (22, 18)
    metric = Bolt(usable_width=110 / CENTIMETRES_PER_INCH, sold_by="10 cm")
    assert [side * CENTIMETRES_PER_INCH for side in FAT_QUARTER.sides(metric)] == [55, 50]
    counts = {one.name: one.usual_count for one in PRECUTS}
    assert counts["5 in square"] == counts["10 in square"] == counts["2 1/2 in square"] == 42
    assert counts["2 1/2 in strip"] == 40


def test_a_size_from_tip_to_tip_is_counted_on_only_between_the_valleys():
    # Row PC018 of trade_checks/yardage.csv: up to 1/4 in less at the inner notches.
    five, strip = find_precut("5 in squares"), find_precut("2 1/2 in strips")
    assert Fraction(1, 4) == PINKING
    assert five.sides(Bolt(), "tips") == (Fraction(19, 4), Fraction(19, 4))
    assert strip.sides(Bolt(), "tips") == (40, Fraction(9, 4))
    assert FAT_QUARTER.sides(Bolt(), "tips") == FAT_QUARTER.sides(Bolt())
    words = pack_lines(adapt_pattern(FOUR_PATCH).packs, "valleys")[-1]
    assert "valley to valley" in words
    assert "tip to tip" in pack_lines(adapt_pattern(FOUR_PATCH).packs, "tips")[-1]


# --- packs ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "size", "pieces", "number", "packs", "left"),
    [
        # 42 squares of 5 at 12 from a fat quarter of 22 x 18: 4, and 80 half strips at 7: 12
        # (https://www.quiltingboard.com/main-f1/fat-quarter-conversion-t222332.html).
        ("fat quarters", 44, Piece("five", Fraction(5), Fraction(5), 42), 4, 4, 0),
        ("fat quarters", 44, Piece("half strip", Fraction(22), Fraction(5, 2), 80), 12, 12, 0),
        ("5 in squares", 40, Piece("patch", Fraction(9, 2), Fraction(9, 2), 48), 48, 2, 36),
        ("10 in squares", 40, Piece("five", Fraction(5), Fraction(5), 169), 43, 2, 41),
        ("2 1/2 in strips", 40, Piece("dot", Fraction(5, 2), Fraction(5, 2), 161), 11, 1, 29),
        ("2 1/2 in strips", 40, Piece("dot", Fraction(5, 2), Fraction(5, 2), 641), 41, 2, 39),
    ],
)
def test_packs_are_whole_and_hold_what_is_wanted(what, size, pieces, number, packs, left):
    bolt = Bolt(usable_width=Fraction(size))
    offer = precut_offer([pieces], find_precut(what), bolt)
    assert (offer.number, offer.packs, offer.left_over) == (number, packs, left)
    wide, long = offer.precut.sides(bolt)
    used = pieces.width * pieces.length * pieces.count
    assert offer.waste == 1 - used / (number * wide * long)
    assert offer.least == offer.number
    assert offer.each * offer.number >= pieces.count


def test_the_squares_of_a_pattern_are_told_in_packs():
    # 24 patches, and 20 cornerstones at nine from a square: 24 + 3 squares of 5 in.
    (row,) = adapt_pattern(FOUR_PATCH, square=Fraction(5)).packs
    assert (row.wanted, row.packs, row.left_over) == (27, 1, 15)
    assert row.waste == 1 - (24 * Fraction(81, 4) + 20 * Fraction(9, 4)) / (27 * 25)
    assert row.words.startswith("1 pack of 5 in squares (42 in a pack): 27 are used and 15 left")
    large = load_pattern("four-patch").of_size(8, 7).quilt
    (row,) = adapt_pattern(large, square=Fraction(5)).packs
    assert (row.wanted, row.packs) == (8 * 7 * 2 + 8, 3)
    assert adapt_pattern(large, square=Fraction(6)).packs == ()
    short = pack_lines([row], "valleys", short=50)
    assert "50 squares wanting would be in 2 more packs" in short[1]


def test_what_is_bought_by_the_yard_is_offered_ready_cut():
    made = with_offers(adapt_pattern(FOUR_PATCH))
    words = [offer.words for offer in buy_of(made, "background").offers]
    assert "2 fat quarters, 16 from each, 32 percent of them wasted" in words
    assert any(text.startswith("1 pack of 10 in squares (42 in a pack") for text in words)
    assert buy_of(made, "backing").offers == ()
    names = [one.precut.name for one in precut_offers([square(12, 3)], Bolt())]
    assert names == ["fat quarter"]


# --- in hand, and bought so ---------------------------------------------------------------------


def test_what_is_in_hand_is_cut_first_and_only_the_rest_is_bought():
    hand = read_in_hand("1 fat quarter for background")
    made = adapt_pattern(FOUR_PATCH, stock=Stock(in_hand=(hand,)))
    row = buy_of(made, "background")
    # 16 of the 24 squares of 4 1/2 come from it; 8 more are one strip.
    assert row.plan[0] == "1 fat quarter that you have: 16 background 4 1/2 x 4 1/2 in"
    assert row.plan[1].startswith("1 strip of 4 1/2 in across 40 in: 8 background")
    assert row.words.startswith("beside 1 fat quarter that you have, 1/4 yd")
    assert [sheet.what for sheet in row.layout.sheets] == ["fat quarter", "strip"]
    enough = Stock(in_hand=(replace(hand, number=2),))
    row = buy_of(adapt_pattern(FOUR_PATCH, stock=enough), "background")
    assert row.words == "nothing: 2 fat quarters that you have hold it"
    assert (row.bought, row.used) == (0, 0)


def test_several_kinds_are_used_up_one_after_the_other():
    hands = tuple(map(read_in_hand, ("2 10 in squares", "3 2 1/2 in strips", "9 fat eighths")))
    made = adapt_pattern(FOUR_PATCH, stock=Stock(in_hand=hands))
    lines = [line for buy in made.buys for line in buy.plan if "that you have" in line]
    assert lines[0].startswith("2 squares of 10 in that you have: from each 4 background")
    assert sum("strips of 2 1/2 in" in line for line in lines) >= 1
    laid = Counter()
    for cloth in ("background", "sashing"):
        for sheet in buy_of(made, cloth).layout.sheets:
            for piece in sheet.pieces:
                laid[piece.piece] += sheet.copies
    assert laid == {"background": 24, "sashing": 31}


def test_a_cloth_is_bought_ready_cut_where_that_is_asked_for():
    stock = Stock(sold_as=(SoldAs(FAT_QUARTER),))
    made = adapt_pattern(FOUR_PATCH, stock=stock)
    assert buy_of(made, "background").words.startswith("2 fat quarters, 16 from each")
    cut = next(cut for cut in made.cuts if cut.piece == "background")
    assert cut.how.startswith("1 fat quarter: 16 background")
    # Borders that are too long for it stay by the yard, unless they are asked for by name.
    borders = load_pattern("pinwheel").quilt
    assert "yd" in buy_of(adapt_pattern(borders, stock=stock), "border").words
    named = Stock(sold_as=(SoldAs(FAT_QUARTER, "border"),))
    with pytest.raises(
        ClothError, match=r"larger than a fat quarter; (take long quarters|no precut holds)"
    ):
        adapt_pattern(borders, stock=named)
    with pytest.raises(UsageError, match='a cloth called "moss"; name one of background'):
        adapt_pattern(borders, stock=Stock(sold_as=(SoldAs(FAT_QUARTER, "moss"),)))


def test_a_pattern_file_may_say_how_a_cloth_is_sold():
    cloth = '[[cloth]]\nname = "background"\nsold_as = "fat quarters"'
    text = f"{pattern_text('four-patch')}\n{cloth}"
    quilt = read_pattern(text, "mine").quilt
    assert buy_of(adapt_pattern(quilt), "background").words.startswith("2 fat quarters")
    assert "yd" in buy_of(adapt_pattern(quilt), "sashing").words
    told = Stock(sold_as=(SoldAs(find_precut("10 in squares"), "background"),))
    assert "10 in squares" in buy_of(adapt_pattern(quilt, stock=told), "background").words


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ('name = "moss"', 'nothing is cut from "moss"'),
        ('name = "background"\nsold_as = "fat tenths"', "no precut that is sold everywhere"),
        ('name = "background"\nsold_in = "fat quarters"', 'write "sold_as"'),
        ('name = "background"\n[[cloth]]\nname = "background"', "is there already"),
    ],
)
def test_a_cloth_that_makes_no_sense_is_refused_with_its_line(lines, words):
    with pytest.raises(PatternError, match=words):
        read_pattern(f"{pattern_text('four-patch')}\n[[cloth]]\n{lines}", "mine")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("fat quarters", "doesn't say how many"),
        ("0 fat quarters", "doesn't say how many"),
        ("3 tea towels", "is no precut"),
    ],
)
def test_what_can_t_be_in_hand_is_refused(text, words):
    with pytest.raises(UsageError, match=words):
        read_in_hand(text)


# --- units ----------------------------------------------------------------------------------------


def told(*words):
    done = CliRunner().invoke(app, ["size", *words])
    assert done.exit_code == 0, done.output
    return done.stdout


def test_size_tells_what_one_precut_gives_and_how_many_packs_are_wanted():
    # 12 squares of 4 7/8 lie in a fat quarter of 20 x 18 in: 12 half-square triangles of 4 in.
    fat = told("hst", "--finished", "4", "--precut", "fat quarters", "--number", "48")
    assert "One fat quarter gives 12 units, all their pieces cut from it." in fat
    assert "For 48 units cut 48 of 4 7/8 in." in fat
    assert "Ready cut: 4 fat quarters, 12 from each, 21 percent of them wasted." in fat
    five = told("hst", "--precut", "5 in squares", "--number", "84")
    assert "2 squares of 5 in give 2 units." in five
    assert "2 packs of 5 in squares (42 in a pack, prints mixed): 84 cut up and 0 left over" in five
    every = told("square", "--finished", "4 1/2", "--number", "50")
    assert "By the yard: 1 1/8 yd" in every
    assert "Ready cut: 2 packs of 5 in squares" in every


def test_size_tells_it_as_json_and_in_centimetres():
    cloth = json.loads(told("hst", "--finished", "4", "--precut", "fat quarter", "--json"))["cloth"]
    assert (cloth["units_from_one"], cloth["precuts"], cloth["number"]) == (12, [], None)
    metric = told("square", "--finished", "10", "--number", "20", "--cm", "--width", "110")
    assert "For 20 units cut 20 of 11.3 cm." in metric
    # 55 x 50 cm hold 4 x 4 of 11.3 cm.
    assert "Ready cut: 2 fat quarters, 16 from each" in metric


def test_strips_are_as_long_as_the_precut():
    # Of 20 in strips of 1 7/8 in, three side by side are cut into four units of 4 5/8 in.
    rails = told("rails-strips", "--finished", "4", "--precut", "fat quarters")
    assert "20 in long" in rails
    assert "One fat quarter gives 12 units" in rails


def test_size_from_tip_to_tip_counts_on_less():
    assert "4 3/4 in" in told("square", "--precut", "5 in squares", "--pinked", "tips")
    assert "4 3/4 in" in told("square", "--square", "5", "--pinked", "tips")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--precut", "fat quarters"), "a fat quarter is no square; give --finished"),
        (("--finished", "4", "--number", "0"), "0 units can't be meant"),
        (("--finished", "12", "--precut", "5 in squares"), "take fat quarters, which hold it"),
        (
            ("--finished", "60", "--precut", "fat quarters"),
            "no precut holds it: buy it by the yard",
        ),
    ],
)
def test_what_size_can_t_tell_is_refused_with_what_can_be(words, said):
    done = CliRunner().invoke(app, ["size", "hst", *words])
    assert done.exit_code == 2
    assert said in done.stderr


# --- random patterns ------------------------------------------------------------------------------


@st.composite
def stocked(draw):
    """A pattern of some size, cloth of some width, and precuts in hand or to buy it as."""
    pattern = load_pattern(draw(st.sampled_from(["four-patch", "pinwheel", "example"])))
    quilt = pattern.of_size(draw(st.integers(1, 5)), draw(st.integers(1, 4))).quilt
    kinds = [replace(k, directional=draw(st.booleans())) for k in quilt.kinds]
    precuts = st.sampled_from(PRECUTS)
    hands = draw(st.lists(st.builds(PrecutsInHand, precuts, st.integers(1, 9)), max_size=2))
    sold = draw(st.lists(st.builds(SoldAs, precuts), max_size=1))
    pinked = draw(st.sampled_from(["valleys", "tips"]))
    cloth = Bolt(usable_width=Fraction(draw(st.sampled_from([36, 40, 44]))))
    return replace(quilt, kinds=tuple(kinds)), cloth, Stock(tuple(hands), tuple(sold), pinked)


def assert_all_is_cut(quilt, cloth, stock):
    made = adapt_pattern(quilt, cloth=cloth, stock=stock)
    used = Counter()
    for buy in made.buys:
        if buy.layout is None or not buy.pieces:
            continue
        laid = Counter()
        joined = " ".join(buy.layout.notes)
        for sheet in buy.layout.sheets:
            used[sheet.what] += sheet.copies
            for piece in sheet.pieces:
                laid[piece.piece] += sheet.copies
                assert piece.x + piece.width <= sheet.width
                assert piece.y + piece.length <= sheet.length
        # What is sewn of long strips is told beside them; every other piece lies there once.
        for piece in buy.pieces:
            assert laid[piece.name] == piece.count or (
                not laid[piece.name] and piece.name in joined
            )
        strips = [sheet for sheet in buy.layout.sheets if sheet.what == "strip"]
        assert sum(sheet.length * sheet.copies for sheet in strips) == buy.used <= buy.bought or (
            not strips and not buy.bought
        )
    if not stock.sold_as:
        for hand in stock.in_hand:
            same = sum(one.number for one in stock.in_hand if one.precut == hand.precut)
            assert used[hand.precut.name] <= same


@settings(max_examples=3, deadline=None)
@given(stocked())
def test_whatever_the_stock_every_piece_is_cut_once_and_enough_is_bought(drawn):
    assert_all_is_cut(*drawn)


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(stocked())
def test_hundreds_of_stocks(drawn):
    assert_all_is_cut(*drawn)
