import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.units.cutting_method import HAIR
from catalog.cutting.units.flipping import flipped_corners
from catalog.cutting.units.kinds.patches.plain_rectangle import rectangle
from catalog.cutting.units.near_sizes import easy_size, even_sizes
from catalog.cutting.units.sizing import size_from_finished, size_from_square
from catalog.cutting.units.surd import ROOT2, Surd
from catalog.cutting.units.triangle_sides import diagonal
from catalog.cutting.units.unit_sizes import FINISHED
from catalog.cutting.units.units_by_name import all_units, find_method, unit_name, usual_units
from catalog.errors import UsageError
from catalog.lengths import EIGHTH

SEAM = QUARTER_SEAM
HST, QST, GEESE = "half-square-triangle", "quarter-square-triangle", "flying-geese"
CENTRED = "square-in-a-square-triangles"
METHODS = [method for unit in usual_units() for method in unit.ways if unit.name != "rectangle"]
EACH_METHOD = pytest.mark.parametrize(
    "method", METHODS, ids=lambda method: f"{method.unit}-{method.at_a_time}"
)


finished_sizes = st.integers(4, 8 * 24).map(lambda eighths: Fraction(eighths, 8))
squares = st.integers(8 * 4, 8 * 20).map(lambda eighths: Fraction(eighths, 8))
seams = st.integers(12, 32).map(lambda part: Fraction(part, 64))
rulers = st.sampled_from([EIGHTH, Fraction(1, 16), Fraction(5, 127)])
methods = st.sampled_from([*METHODS, rectangle(Fraction(3, 4)), rectangle(Fraction(1, 3))])


@given(methods, finished_sizes, seams, rulers, st.booleans())
def test_what_is_cut_for_a_size_reaches_it(method, finished, seam, mark, large):
    sized = size_from_finished(method, finished, seam=seam, mark=mark, large=large)
    assert sized.finished == finished
    assert sized.spare >= 0
    for piece, cut in zip(method.pieces, sized.cuts, strict=True):
        away = cut.width - cut.exact
        rounds = 2 if piece.rule_first else 1  # a rule rounds its allowance, too
        assert abs(away) < rounds * mark + (piece.large if large else 0)
        assert piece.rounding != "up" or away >= 0
        assert piece.rounding != "down" or away <= HAIR
        assert piece.rounding != "nearest" or abs(away) <= mark / 2


@given(methods, finished_sizes, seams, rulers)
def test_there_and_back_is_never_smaller(method, finished, seam, mark):
    cut = size_from_finished(method, finished, seam=seam, mark=mark).cuts[0].width
    back = size_from_square(method, cut, seam=seam, mark=mark)
    if method.points:  # the centre goes down to a mark, and what lies round it makes up for that
        assert back.finished > finished - 2 * mark
        return
    # The trim size stands on a mark of the ruler, the finished size asked for perhaps on none.
    proportion = 1 / min(method.aspect, Fraction(1))
    assert back.sewn - 2 * seam >= finished
    assert back.finished > finished - 2 * proportion * mark


@given(st.sampled_from(METHODS), st.integers(4, 96), rulers)
def test_there_and_back_at_the_usual_seam_is_the_same_or_larger(method, halves, mark):
    finished = Fraction(halves, 2)
    if method.points:  # its centre may lie below what its corners make up for
        return
    mark = EIGHTH if mark == Fraction(5, 127) else mark
    cut = size_from_finished(method, finished, mark=mark).cuts[0].width
    assert size_from_square(method, cut, mark=mark).finished >= finished


@given(methods, squares, seams, rulers)
def test_no_cloth_is_made_from_nothing(method, square, seam, mark):
    sized = size_from_square(method, square, seam=seam, mark=mark, usable=Fraction(400))
    assert 0 <= sized.waste < sized.cloth
    assert sized.shown + sized.waste < sized.cloth
    assert sized.spare >= 0
    assert sized.finished > 0
    assert sized.finished_height > 0


@given(methods, finished_sizes, seams, st.booleans())
def test_no_cloth_is_made_from_nothing_for_a_size_either(method, finished, seam, large):
    sized = size_from_finished(method, finished, seam=seam, usable=Fraction(200), large=large)
    assert 0 <= sized.waste <= sized.cloth
    assert sized.shown + sized.waste <= sized.cloth


@given(methods, finished_sizes, finished_sizes, seams)
def test_a_larger_unit_never_needs_less(method, one, other, seam):
    small, large = sorted((one, other))
    needs = [
        [cut.width for cut in size_from_finished(method, finished, seam=seam).cuts]
        for finished in (small, large)
    ]
    # Pieces round a centre make up for what it is below its exact size.
    slack = EIGHTH if method.points else 0
    assert all(less <= more + slack for less, more in zip(*needs, strict=True))


@given(methods, finished_sizes, seams, seams)
def test_a_wider_seam_never_needs_less_nor_gives_more(method, finished, one, other):
    narrow, wide = sorted((one, other))
    needs = [
        [cut.width for cut in size_from_finished(method, finished, seam=seam).cuts]
        for seam in (narrow, wide)
    ]
    slack = EIGHTH if method.points else 0
    if method.grid:  # strips go up to a mark each, and others are as long as all of them come to
        slack = EIGHTH * (1 / method.grid.finished.rational + 1)
    assert all(less <= more + slack for less, more in zip(*needs, strict=True))
    assert method.sewn(Fraction(20), wide) <= method.sewn(Fraction(20), narrow)


@given(methods, squares, squares, seams)
def test_a_larger_square_never_gives_less(method, one, other, seam):
    small, large = sorted((one, other))
    assert (
        size_from_square(method, small, seam=seam).finished
        <= size_from_square(method, large, seam=seam).finished
    )


@EACH_METHOD
def test_a_square_too_small_is_refused_with_one_that_will_do(method):
    with pytest.raises(UsageError, match="nothing would show") as refusal:
        size_from_square(method, Fraction(1, 4))
    enough = Fraction(sum(map(Fraction, re.search("least (.*) in", refusal.value.cure)[1].split())))
    assert size_from_square(method, enough).finished >= Fraction(1, 2) - EIGHTH


@pytest.mark.parametrize(
    ("unit", "at_a_time", "biased"),
    [
        # Triangles cut from a square sewn round its edge, or across sewn strips, have their raw
        # edges at 45 degrees to the threads; all others' outer edges were edges of the squares.
        (HST, 2, False),
        (HST, 4, True),
        (HST, 8, False),
        (f"{HST}-strips", 1, True),
        (QST, 2, False),
        (GEESE, 1, False),
        (GEESE, 4, False),
        (CENTRED, 1, False),
        ("square-in-a-square-quarters", 1, True),
        ("setting-triangle", 4, True),
        ("corner-triangle", 2, True),
    ],
)
def test_bias_edges_are_named_where_there_are_any(unit, at_a_time, biased):
    assert ("bias" in find_method(unit, at_a_time).bias) == biased


@pytest.mark.parametrize("at_a_time", [2, 4, 8])
def test_cut_large_there_is_more_to_trim(at_a_time):
    method = find_method(HST, at_a_time)
    tight = size_from_finished(method, Fraction(3))
    large = size_from_finished(method, Fraction(3), large=True)
    assert large.trim == tight.trim
    assert large.spare > tight.spare
    assert large.waste > tight.waste


def test_geese_four_at_a_time_cut_exactly_waste_nothing_but_the_rounding():
    fine = Fraction(1, 1_000_000)
    assert size_from_finished(find_method(GEESE, 4), Fraction(4), mark=fine).waste < 1000 * fine


def test_geese_one_at_a_time_waste_the_corners_beyond_the_seam():
    sized = size_from_finished(find_method(GEESE, 1), Fraction(4))
    # Two corners, two layers each: right triangles with short sides of 2 1/2 less root 2 / 4.
    short_side = Fraction(5, 2) - ROOT2 / 4
    assert sized.waste == 4 * (short_side * short_side / 2)


def test_geese_from_a_square_leave_a_strip_of_it():
    sized = size_from_square(find_method(GEESE, 1), Fraction(5))
    assert (sized.finished, sized.finished_height) == (Fraction(9, 2), Fraction(9, 4))
    assert sized.left_over == (5, Fraction(9, 4))


CENTRES = st.sampled_from(
    [find_method(CENTRED), find_method("square-in-a-square-quarters")],
)


def _sewn_round(method, centre, other, seam):
    """Raw side of a centre with a triangle on each side, by laying it out from the middle.

    A triangle's right angle lies its height, less the seam, beyond the centre's finished side; that
    is a corner of the unit, half the unit's diagonal from the middle.
    """
    height = other / ROOT2 if method.unit == CENTRED else other / Surd.of(2)
    return ROOT2 * ((centre - 2 * seam) / 2 + height - seam)


@given(CENTRES, st.booleans(), finished_sizes, squares, seams, rulers)
def test_a_centre_keeps_its_points_and_its_corners_reach(
    method, from_square, finished, square, seam, mark
):
    if from_square:
        sized = size_from_square(method, square, seam=seam, mark=mark)
        assert sized.cuts[0].width == square
    else:
        sized = size_from_finished(method, finished, seam=seam, mark=mark)
    centre, other = (cut.width for cut in sized.cuts)
    points = ROOT2 * (centre - 2 * seam) + 2 * seam
    # A hair of the cut is √2 of it from point to point; none is allowed to a square in hand.
    assert sized.trim >= points - (0 if from_square else ROOT2 * HAIR)
    assert sized.sewn == _sewn_round(method, centre, other, seam) >= sized.trim
    assert sized.trim < points + ROOT2 * mark


def test_from_5_in_a_square_in_a_square_is_a_centre_and_corners_that_fit():
    # Centre 4 1/2 finished: 4.5 x 1.414 = 6.364 from point to point, 6.864 with its seams, so that
    # at 6 1/2 or 6 3/4 the points are lost. Corners 4.5 / 1.414 + 7/8 (row SQ009 and on), 4 1/8.
    sized = size_from_square(find_method(CENTRED), Fraction(5))
    assert [cut.width for cut in sized.cuts] == [5, Fraction(33, 8)]
    assert (sized.trim, sized.finished) == (Fraction(55, 8), Fraction(51, 8))


@given(st.sampled_from([m for m in METHODS if not m.trimmed]), squares, seams, rulers)
def test_what_is_not_trimmed_keeps_the_size_it_is_sewn_to(method, square, seam, mark):
    sized = size_from_square(method, square, seam=seam, mark=mark)
    assert sized.spare == 0
    if method.grid:  # its strips are cut to the mark below
        lost = method.sewn(square, seam) - sized.trim
        assert 0 <= lost < mark / method.grid.finished.rational
    else:
        assert sized.trim == method.sewn(square, seam)


@EACH_METHOD
def test_every_unit_says_whether_and_how_it_is_trimmed(method):
    if method.unit == "square":
        assert not method.trimmed
    else:
        words = "Trim" if method.trimmed else "[Dd]on't trim it|then leave the star as it is"
        assert re.search(words, method.trimming)


@given(st.sampled_from(["flipped-corners", "octagon"]), finished_sizes, rulers)
def test_flipped_corners_lie_on_the_ruler_s_nearest_mark(unit, finished, mark):
    corner = size_from_finished(find_method(unit), finished, mark=mark).cuts[1]
    assert corner.width % mark == 0
    assert abs(corner.width - corner.exact) <= mark / 2


def test_a_flipped_corner_between_two_marks_goes_up():
    # A third of 4 1/8 in and two seams is 1 7/8 in, as far from 1 3/4 as from 2.
    sized = size_from_finished(find_method("flipped-corners"), Fraction(33, 8), mark=Fraction(1, 4))
    assert (sized.cuts[1].exact, sized.cuts[1].width) == (Fraction(15, 8), 2)


SLACK = {
    # How far a written piece may be off the size at which everything meets: least, most, inches.
    ("up", True): (0, Fraction(9)),
    ("up", False): (0, HAIR),
    ("nearest", False): (-EIGHTH, EIGHTH),
    ("down", False): (-EIGHTH, HAIR),
}


@pytest.mark.parametrize(("rounding", "trimmed"), SLACK)
def test_a_written_piece_fits_within_what_its_rounding_leaves(rounding, trimmed):
    piece = replace(flipped_corners(FINISHED / 3).pieces[1], rounding=rounding)
    least, most = SLACK[rounding, trimmed]
    off = {least: True, most: True, least - HAIR / 2: False, most + HAIR / 2: most == 9}
    exact = Surd(Fraction(2))
    assert off == {far: piece.fits(2 + far, exact, trimmed=trimmed) for far in off}


@given(finished_sizes, seams, rulers)
def test_flipped_corners_that_meet_do_not_cross(finished, seam, mark):
    sized = size_from_finished(find_method("square-in-a-square"), finished, seam=seam, mark=mark)
    corner = sized.cuts[1].width
    # Each shows its cut less two seams on the edge.
    assert 2 * (corner - 2 * seam) <= finished + 2 * HAIR
    assert corner % mark == 0


def test_an_octagon_has_eight_equal_sides():
    side = Fraction(6)
    corner = find_method("octagon").pieces[1].width.at(side, SEAM) - 2 * SEAM
    assert side - 2 * corner == diagonal(corner)


@pytest.mark.parametrize(("unit", "part"), [("setting-triangle", 2), ("corner-triangle", 4)])
def test_edge_triangles_show_their_part_of_the_block_they_meet(unit, part):
    # Short sides of a block's side, or of the block's over root 2.
    sized = size_from_finished(find_method(unit), Fraction(8))
    assert sized.shown == sized.units * Fraction(8 * 8, part)


def test_corners_of_another_size_may_be_flipped():
    sized = size_from_finished(flipped_corners(FINISHED / 4), Fraction(6))
    assert [cut.width for cut in sized.cuts] == [Fraction(13, 2), 2]


def test_rectangles_from_one_square_use_it_up():
    half = rectangle((Fraction(5, 2) - 2 * SEAM) / (5 - 2 * SEAM), 2)
    sized = size_from_square(half, Fraction(5))
    assert (sized.trim, sized.trim_height, sized.units) == (5, Fraction(5, 2), 2)
    assert sized.waste == 0
    assert sized.left_over is None


def test_thirds_of_a_square_keep_its_width():
    thirds = rectangle((Fraction(5, 3) - 2 * SEAM) / (5 - 2 * SEAM), 3)
    sized = size_from_square(thirds, Fraction(5))
    assert (sized.trim, sized.trim_height, sized.units) == (5, Fraction(13, 8), 3)


def test_a_rectangle_lies_on_its_long_side():
    with pytest.raises(ValueError, match="at most 1"):
        rectangle(Fraction(2))
    assert rectangle(Fraction(1)).aspect == 1


def test_strips_give_as_many_units_as_their_segments():
    assert size_from_finished(find_method("four-patch-strips"), Fraction(4)).units == 8
    assert size_from_finished(find_method("nine-patch-strips"), Fraction(6)).units == 16
    short = size_from_finished(find_method("nine-patch-strips"), Fraction(6), usable=Fraction(2))
    assert (short.units, short.waste) == (0, short.cloth)


def test_a_nine_patch_between_the_marks_has_neighbours_that_can_be_cut():
    sizes = even_sizes(find_method("nine-patch"), Fraction(4))
    assert sizes == ((Fraction(15, 4), Fraction(7, 4)), (Fraction(33, 8), Fraction(15, 8)))
    assert even_sizes(find_method("nine-patch"), Fraction(6)) == ((6, Fraction(5, 2)),)


@pytest.mark.parametrize(
    ("square", "unit", "at_a_time", "trim"),
    [
        # Common practice: from precut squares, trim to the handy size below.
        ("5/2", HST, 2, "2"),
        ("5", HST, 2, "4 1/2"),
        ("10", HST, 2, "9 1/2"),
        ("5", HST, 4, "3"),
        ("10", HST, 4, "6 1/2"),
        ("5", HST, 8, "2"),
        ("10", HST, 8, "4 1/2"),
        ("5", QST, 2, "4"),
        ("10", QST, 2, "9"),
    ],
)
def test_an_easy_size_from_a_precut_square(square, unit, at_a_time, trim):
    easy = easy_size(find_method(unit, at_a_time), Fraction(square))
    assert easy.trim == sum(map(Fraction, trim.split()))
    assert easy.cuts[0].width <= Fraction(square)


def test_an_easy_size_that_a_coarse_ruler_can_t_cut_gives_way_to_the_next():
    # 4 in takes 4.854: 5 in on a ruler of quarters, more than there is. 3 1/2 in takes 4 1/2.
    easy = easy_size(find_method(HST), Fraction(39, 8), mark=Fraction(1, 4))
    assert (easy.finished, easy.cuts[0].width) == (Fraction(7, 2), Fraction(9, 2))


def test_no_easy_size_from_too_small_a_square():
    assert easy_size(find_method(HST), Fraction(1)) is None


def test_units_are_found_by_what_people_call_them():
    assert unit_name("Half Square Triangles") == HST
    assert unit_name("hourglass") == QST
    assert unit_name("nine patches") == "nine-patch"
    for name, unit in all_units().items():
        assert all(unit_name(other) == name for other in unit.other_names)
    assert all(method.unit == unit.name for unit in usual_units() for method in unit.ways)


def test_an_unknown_unit_is_refused_with_the_nearest():
    with pytest.raises(UsageError, match='no unit "nine-path"; write nine-patch, or'):
        find_method("nine-path")
    with pytest.raises(UsageError, match="choose one that calicount size --help lists"):
        find_method("xyzzy")


def test_a_number_at_a_time_that_there_is_no_way_for_is_refused_with_the_ways():
    with pytest.raises(UsageError, match="use --at-a-time 1 or 2 or 4 or 8"):
        find_method(HST, 3)
