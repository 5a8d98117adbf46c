"""A pattern made over: blocks, lengths, cloth, sizes."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.cutting.adapted.adaptation import SHAPES, adapt_pattern
from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.cut_needs import as_cut
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch, QuiltBorder, Sashing
from catalog.cutting.quilt_finishing import QuiltBinding
from catalog.cutting.quilt_sizes.set_supply import Supply
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import UsageError
from catalog.pattern.patterns import load_pattern
from catalog.wall.contrast import LOST_BELOW, suggest_background

PATTERNS = {name: load_pattern(name) for name in ("pinwheel", "four-patch", "hourglass", "example")}
PINWHEEL = PATTERNS["pinwheel"].quilt
FOUR_PATCH = PATTERNS["four-patch"].quilt


def row(made, piece):
    (found,) = [one for one in made.rows if one.piece == piece]
    return found


# --- the block ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PATTERNS)
def test_the_pattern_s_own_squares_and_seam_change_nothing(name):
    quilt = PATTERNS[name].quilt
    made = adapt_pattern(quilt)
    assert made.fits
    assert made.block.trims_as_written
    for one in made.rows:
        assert (one.written_in, one.written) == (one.yours_in, one.yours.removesuffix(", as it is"))


def test_a_4_7_8_cut_comes_from_a_5_in_square_with_an_eighth_to_spare():
    # f + 7/8 for half-square triangles two at a time, so 4 7/8 for 4 in: row HST008 of
    # tests/trade_checks/units.csv (http://www.quilterscache.com/K/KitesTailBlock.html).
    made = adapt_pattern(PATTERNS["example"].quilt, square=Fraction(5))
    blade = row(made, "cut: blade")
    assert (blade.written, blade.yours, blade.remark) == ("4 7/8", "4 7/8", "1/8 in to spare")
    wheel = row(adapt_pattern(PINWHEEL, square=Fraction(5)), "cut: wheel")
    assert wheel.yours == "5, as it is"
    assert wheel.remark == "4 7/8 would do: 1/8 in to spare"


def test_what_is_no_square_is_trimmed_to_both_its_sides():
    unit = BlockUnit("A", "flying-geese", 1, (Patch("wheel"), Patch("background")), 2, 1)
    block = Block(2, (unit,), (Cell(0, 0, 0, 2, 1), Cell(0, 1, 0, 2, 1)))
    cuts = adapt_pattern(replace(PINWHEEL, block=block)).cuts
    assert {cut.trim for cut in cuts if cut.piece in {"wheel", "background"}} == {
        "flying geese to 8 1/2 in x 4 1/2 in"
    }


def test_squares_that_are_too_small_make_the_largest_block_they_can():
    # From a square of 4 3/4 two at a time: 4.75 - 0.3536 = 4.396 as sewn, 4 3/8 on the ruler
    # (c - 0.3536 is geometry: the diagonal seam takes root 2 x 1/4).
    made = adapt_pattern(PINWHEEL, square=Fraction(19, 4))
    assert not made.fits
    trim = row(made, "trim: half square triangle")
    assert (trim.written, trim.yours, trim.fits) == ("4 1/2", "4 3/8", False)
    assert "cut from 4 7/8 in it would reach it" in trim.remark
    assert made.block.finished == 2 * (Fraction(35, 8) - Fraction(1, 2)) == Fraction(31, 4)
    assert made.layout.width == 4 * Fraction(31, 4) + 8


def test_flipped_corners_are_cut_to_the_nearest_mark_of_a_smaller_block_too():
    # A 4 3/4 in square finishes 4 1/4 in; a third of that and two seams is 1.917 in, nearer to
    # 1 7/8 than to 2 in. A 5 in square finishes 4 1/2: 2 in exactly.
    unit = BlockUnit("A", "flipped-corners", None, (Patch("wheel"), Patch("background")))
    quilt = replace(PINWHEEL, block=Block(1, (unit,), (Cell(0, 0, 0, 1, 1),)))
    corners = [
        adapt_block(quilt, Fraction(square), quilt.seam).units[0].cuts[1].width
        for square in ("4.75", "5")
    ]
    assert corners == [Fraction(15, 8), 2]


def test_a_size_that_can_t_be_had_is_refused_with_the_nearest_that_can():
    with pytest.raises(UsageError, match=r"8 in can't be had .* nearest that can is 7 1/2 in"):
        adapt_pattern(PATTERNS["hourglass"].quilt, square=Fraction(5), finished=Fraction(8))
    made = adapt_pattern(PATTERNS["hourglass"].quilt, square=Fraction(5), finished=Fraction(15, 2))
    assert made.block.finished == Fraction(15, 2)


def test_squares_of_which_nothing_would_show_are_refused():
    with pytest.raises(UsageError, match=r"nothing would show .* written for 5 in"):
        adapt_pattern(PINWHEEL, square=Fraction(3, 4))


def test_a_narrower_seam_keeps_the_trim_size_and_everything_follows():
    made = adapt_pattern(PINWHEEL, square=Fraction(5), seam=Fraction(3, 16))
    assert row(made, "trim: half square triangle").yours == "4 1/2"
    assert made.block.finished == 2 * (Fraction(9, 2) - Fraction(3, 8))
    strips = [one for one in made.rows if one.piece.endswith("border")]
    assert all("4 1/2" in one.yours for one in strips)


@given(
    st.fractions(2, 12, max_denominator=8),
    st.fractions(Fraction(1, 8), Fraction(3, 8), max_denominator=32),
    st.sampled_from(list(PATTERNS)),
)
@settings(max_examples=60, deadline=None)
def test_units_come_from_the_squares_and_trimming_takes_nothing_below_zero(square, seam, name):
    quilt = PATTERNS[name].quilt
    try:
        block = adapt_block(quilt, square, seam)
    except UsageError:
        return
    assert block.finished == block.cell * quilt.block.across
    for unit in block.units:
        assert unit.sewn >= unit.trim
        for cut in unit.cuts:
            assert cut.width >= cut.exact
            assert cut.kind.source != "bundle" or cut.width <= square


@given(
    st.fractions(3, 8, max_denominator=8),
    st.fractions(0, 1, max_denominator=8),
    st.fractions(Fraction(1, 8), Fraction(3, 8), max_denominator=16),
)
@settings(max_examples=40, deadline=None)
def test_larger_squares_never_give_smaller_blocks(square, more, seam):
    one = adapt_block(PINWHEEL, square, seam)
    two = adapt_block(PINWHEEL, square + more, seam)
    assert two.finished >= one.finished
    assert two.largest >= one.largest


# --- lengths --------------------------------------------------------------------------------------

quilts = st.builds(
    lambda rows, columns, sash, outer, posts, borders, point: replace(
        PINWHEEL,
        rows=rows,
        columns=columns,
        sashing=Sashing(sash, posts or point, outer) if sash else None,
        borders=tuple(QuiltBorder(width) for width in borders),
        on_point=point,
    ),
    st.integers(1, 6),
    st.integers(1, 6),
    st.sampled_from([None, Fraction(1), Fraction(3, 2)]),
    st.booleans(),
    st.booleans(),
    st.lists(st.sampled_from([Fraction(1), Fraction(5, 2), Fraction(4)]), max_size=3),
    st.booleans(),
)


@given(quilts, st.sampled_from([Fraction(1, 4), Fraction(3, 16)]))
@settings(max_examples=25, deadline=None)
def test_finished_sizes_add_up_to_the_quilt_s(quilt, seam):
    made = adapt_pattern(quilt, square=Fraction(5), seam=seam)
    layout = made.layout
    strips = layout.columns + 1 if layout.framed else layout.columns - 1
    inner = layout.columns * made.block.finished + strips * layout.sashing
    if quilt.on_point:
        assert abs(float(layout.width - 2 * sum(layout.borders)) - float(inner) * 2**0.5) <= 1 / 32
    else:
        assert layout.width == inner + 2 * sum(layout.borders)
    assert row(made, "quilt, finished").yours_in == layout.width
    for cut in made.cuts:
        if cut.piece.startswith("top and bottom border"):
            assert cut.width <= layout.width + 2 * seam


@given(quilts)
@settings(max_examples=15, deadline=None)
def test_a_strip_plan_covers_every_piece(quilt):
    made = adapt_pattern(replace(quilt, binding=QuiltBinding(Fraction(5, 2))), square=Fraction(5))
    bought = {buy.cloth: buy for buy in made.buys}
    for cloth in {cut.cloth for cut in made.cuts} - {"squares in hand", "squares left over"}:
        area = sum(c.count * c.width * c.length for c in made.cuts if c.cloth == cloth)
        assert bought[cloth].used * 40 >= area
        assert bought[cloth].bought >= bought[cloth].used
    assert made.buys[-1].cloth == "batting"


@given(quilts, st.integers(0, 2), st.integers(0, 2))
@settings(max_examples=15, deadline=None)
def test_scaling_up_never_needs_less(quilt, down, across):
    larger = replace(quilt, rows=quilt.rows + down, columns=quilt.columns + across)
    one, two = adapt_pattern(quilt, square=Fraction(5)), adapt_pattern(larger, square=Fraction(5))
    more = {buy.cloth: buy.bought for buy in two.buys}
    assert all(more[buy.cloth] >= buy.bought for buy in one.buys)
    assert two.layout.width >= one.layout.width
    assert two.layout.blocks >= one.layout.blocks


def test_posts_that_come_from_squares_left_over_are_not_bought():
    made = adapt_pattern(FOUR_PATCH, square=Fraction(5))
    (post,) = [cut for cut in made.cuts if cut.piece == "cornerstone"]
    # Posts of a framed straight quilt: (rows + 1)(columns + 1), rows of tests/trade_checks.
    assert (post.count, post.width, post.cloth) == (20, Fraction(3, 2), "squares left over")
    assert "posts" not in {buy.cloth for buy in made.buys}


def test_a_pieced_border_is_whole_units_and_what_makes_up_its_length():
    made = adapt_pattern(PATTERNS["example"].quilt)
    cut = {(cut.cloth, cut.piece): cut for cut in made.cuts}
    # Sides of 43 in: 10 units of 4 and 3 more; top and bottom of 34: 8 and 2 more. A square of
    # either fabric gives two units.
    for cloth in ("border print", "ground"):
        squares = cut[cloth, "square for border 2"]
        assert (squares.count, squares.width) == (10 + 8, Fraction(39, 8))
        assert squares.trim == "half square triangle to 4 1/2 in"
    side, end = (f"filler of {where} border 2" for where in ("side", "top and bottom"))
    assert (cut["border print", side].width, cut["border print", side].length) == (
        Fraction(9, 2),
        Fraction(7, 2),
    )
    assert (cut["border print", end].width, cut["border print", end].length) == (
        Fraction(5, 2),
        Fraction(9, 2),
    )
    assert cut["border print", "border 2 post"].count == 4


def test_a_border_is_bought_by_its_fabrics():
    # The ground of the blocks is in the border too, and bought once.
    made = adapt_pattern(PATTERNS["example"].quilt)
    names = [buy.cloth for buy in made.buys]
    assert len(set(names)) == len(names)
    ground = {cut.piece: cut for cut in made.cuts if cut.cloth == "ground"}
    assert set(ground) == {"ground", "square for border 2"}
    (bought,) = [buy for buy in made.buys if buy.cloth == "ground"]
    assert bought.used * 40 >= sum(c.count * c.width * c.length for c in ground.values())
    assert ground["ground"].trim == "half square triangle to 4 1/2 in"


def test_a_border_whose_fabrics_are_not_named_is_bought_part_by_part():
    quilt = PATTERNS["example"].quilt
    borders = tuple(replace(border, fabrics=()) for border in quilt.borders)
    made = adapt_pattern(replace(quilt, borders=borders))
    counts = {(cut.cloth, cut.piece): cut.count for cut in made.cuts}
    assert counts["border 2, fabric 1", "square for border 2"] == 18
    assert counts["border 2, fabric 2", "square for border 2"] == 18
    assert counts["border 2, fabric 1", "border 2 post"] == 4
    bought = {buy.cloth for buy in made.buys}
    assert {"border 1", "border 2, fabric 1", "border 2, fabric 2"} <= bought


def test_plain_borders_of_one_fabric_are_bought_together():
    quilt = replace(
        PINWHEEL,
        borders=tuple(QuiltBorder(Fraction(n), fabrics=("plum",)) for n in (2, 4)),
    )
    made = adapt_pattern(quilt, square=Fraction(5))
    assert {cut.piece for cut in made.cuts if cut.cloth == "plum"} == {
        f"{where} border {n}" for n in (1, 2) for where in ("side", "top and bottom")
    }
    assert [buy.cloth for buy in made.buys].count("plum") == 1


def test_fabric_that_shrinks_or_is_narrow_takes_more():
    plain = adapt_pattern(PINWHEEL, square=Fraction(5))
    for cloth in (Bolt(shrinkage=Fraction(5, 100)), Bolt(usable_width=Fraction(30))):
        more = adapt_pattern(PINWHEEL, square=Fraction(5), cloth=cloth)
        assert sum(b.bought for b in more.buys) > sum(b.bought for b in plain.buys)


# --- how large a quilt ----------------------------------------------------------------------------


def test_what_each_further_step_needs_is_told_by_family():
    supply = Supply({"blue": 10, "": 12}, shares={"blue": Fraction(1, 2)})
    made = adapt_pattern(PINWHEEL, supply=supply)
    assert not made.chosen.missing
    assert made.steps[0].missing == (("blue", 2),)
    assert "2 more sets in blue for 6 rows of 4" in made.steps[0].words


def test_sets_that_don_t_suffice_are_told():
    made = adapt_pattern(PINWHEEL, square=Fraction(5), supply=Supply({"": 15}))
    assert not made.fits
    assert made.chosen.missing == (("", 5),)
    assert all(not filled.missing for filled in made.fills)


@pytest.mark.parametrize("shape", SHAPES)
def test_every_shape_is_made_and_filled(shape):
    made = adapt_pattern(PINWHEEL, square=Fraction(5), supply=Supply({"": 30}), shape=shape)
    layout = made.layout
    assert layout.blocks <= 30
    if shape == "longer":
        assert layout.length >= Fraction(3, 2) * layout.width
    if shape == "runner":
        assert layout.columns == 1
    if shape == "crib":
        assert abs(layout.width - 39) + abs(layout.length - 54) <= 6


def test_an_unknown_shape_is_refused():
    with pytest.raises(UsageError, match='"round" is no shape'):
        adapt_pattern(PINWHEEL, shape="round")


# --- contrast -------------------------------------------------------------------------------------


def test_the_ground_is_the_one_on_which_fewer_are_lost():
    dark = suggest_background({"A": 20.0, "B": 25.0, "C": 60.0})
    assert (dark.ground, dark.lost["dark"]) == ("light", ("A", "B"))
    light = suggest_background({"A": 90.0, "B": 60.0})
    assert (light.ground, light.lost["light"]) == ("dark", ("A",))
    assert "on a light one A would hardly show" in light.words


@given(st.lists(st.floats(0, 100), min_size=1, max_size=20))
def test_advice_never_loses_more_than_the_other_ground(lightness):
    advice = suggest_background({str(n): value for n, value in enumerate(lightness)})
    other = "dark" if advice.ground == "light" else "light"
    assert len(advice.lost[advice.ground]) <= len(advice.lost[other])
    for label in advice.lost[advice.ground]:
        assert abs(lightness[int(label)] - advice.lightness) < LOST_BELOW


@pytest.mark.parametrize("seam", [None, Fraction(3, 16), Fraction(1, 4), Fraction(3, 8)])
@pytest.mark.parametrize("square", [Fraction(5), Fraction(10)])
@pytest.mark.parametrize("name", ["pinwheel", "four-patch", "hourglass"])
def test_what_is_counted_is_of_the_size_that_is_cut(name, square, seam):
    pattern = PATTERNS[name]
    made = adapt_pattern(pattern.quilt, square=square, seam=seam)
    needs = {need.name: need for need in as_cut(pattern.needs, pattern.quilt, square, seam)}
    cuts = [cut for cut in made.cuts if cut.cloth.startswith("squares")]
    assert cuts
    for cut in cuts:
        kind = pattern.quilt.kind(cut.piece)
        if made.block.trims_as_written or kind.source == "left over":
            assert {needs[one].size for one in kind.needs} == {cut.width}


def test_squares_too_small_for_the_pattern_are_counted_as_it_is_written():
    needs = as_cut(PATTERNS["pinwheel"].needs, PINWHEEL, Fraction(19, 4), None)
    written = [need.size for need in PATTERNS["pinwheel"].needs]
    assert [need.size for need in needs] == written
    for quilt, square in ((PINWHEEL, Fraction(1, 2)), (None, Fraction(10))):
        needs = as_cut(needs, quilt, square, Fraction(3, 8))
        assert [(need.size, need.of_square) for need in needs] == [(s, square) for s in written]
