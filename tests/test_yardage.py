import functools
import itertools
import math
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from published_rules import PRECUTS, as_much_as, pieces_from_cloth

from catalog.cutting.yardage import strip_packing
from catalog.cutting.yardage.backing import backing, batting
from catalog.cutting.yardage.binding import bias_length, binding
from catalog.cutting.yardage.bolt import STEPS, Bolt, buy, show_yards
from catalog.cutting.yardage.borders import border
from catalog.cutting.yardage.strip_counts import join_loss, joined_length, strips_to_join
from catalog.cutting.yardage.strip_packing import Kind, pack
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.cutting.yardage.strip_program import PatternChoice
from catalog.errors import ClothError
from catalog.models import Piece

ROOT = Path(__file__).parents[1]
HALVES = st.integers(2, 26).map(lambda n: Fraction(n, 2))
EIGHTHS = st.integers(8, 100).map(lambda n: Fraction(n, 8))
CENTIMETRES = st.integers(3, 40).map(lambda n: n / Fraction(254, 100))
WIDE = st.sampled_from(
    [Fraction(36), Fraction(40), Fraction(169, 4), Fraction(110) / Fraction(254, 100)]
)
CLOTHS = st.builds(
    Bolt,
    usable_width=WIDE,
    directional=st.booleans(),
    shrinkage=st.sampled_from([Fraction(0), Fraction(3, 100)]),
    sold_by=st.sampled_from(sorted(STEPS)),
    spare=st.sampled_from([None, Fraction(0), Fraction(3, 2), Fraction(9)]),
)
QUILTS = st.integers(20, 120).map(Fraction)


@st.composite
def cut_lists(draw, sizes=HALVES, most=4, count=40):
    shapes = draw(st.lists(st.tuples(sizes, sizes), min_size=1, max_size=most))
    return [
        Piece(f"piece {number}", *shape, draw(st.integers(1, count)))
        for number, shape in enumerate(shapes)
    ]


def _area(pieces):
    return sum(piece.width * piece.length * piece.count for piece in pieces)


def _cut_out(plan):
    cut = Counter()
    for strip in plan.strips:
        for one in strip.cuts:
            cut[one.piece] += one.count * strip.copies
    return cut


def _fits(strip, cloth):
    used = sum(cut.across * cut.columns for cut in strip.cuts)
    tall = all(cut.along * cut.stacked <= strip.height for cut in strip.cuts)
    held = all(cut.count <= cut.columns * cut.stacked for cut in strip.cuts)
    return used + strip.left == cloth.width and strip.left >= 0 and tall and held


@settings(max_examples=15, deadline=None)
@given(cut_lists() | cut_lists(EIGHTHS, 3) | cut_lists(CENTIMETRES, 3), CLOTHS)
def test_a_plan_holds_every_piece_and_overfills_no_strip(pieces, cloth):
    plan = strip_plan(pieces, cloth)
    assert _cut_out(plan) == {piece.name: piece.count for piece in pieces}
    assert all(_fits(strip, cloth) for strip in plan.strips)
    assert plan.length == sum(strip.height * strip.copies for strip in plan.strips)
    assert plan.least <= plan.length <= plan.purchase.bought
    assert plan.length * cloth.width >= _area(pieces)


@settings(max_examples=15, deadline=None)
@given(cut_lists(), CLOTHS)
def test_pieces_are_turned_only_where_the_print_allows_it(pieces, cloth):
    sizes = {piece.name: (piece.width, piece.length) for piece in pieces}
    for strip in strip_plan(pieces, cloth).strips:
        for cut in strip.cuts:
            lying = (cut.across, cut.along)
            turned = lying[::-1] == sizes[cut.piece] and not cloth.directional
            assert lying == sizes[cut.piece] or turned


@settings(max_examples=15, deadline=None)
@given(cut_lists(most=3), CLOTHS, st.data())
def test_more_pieces_never_need_less_cloth(pieces, cloth, data):
    more = [
        Piece(p.name, p.width, p.length, p.count + data.draw(st.integers(0, 9))) for p in pieces
    ]
    few, many = strip_plan(pieces, cloth), strip_plan(more, cloth)
    assert many.length >= few.least
    assert many.purchase.bought >= few.purchase.bought or few.least < few.length


@settings(max_examples=15, deadline=None)
@given(cut_lists(most=3), st.sampled_from([Fraction(9, 8), Fraction(3, 2)]))
def test_larger_pieces_never_need_less_cloth(pieces, factor):
    large = [Piece(p.name, p.width * factor, p.length * factor, p.count) for p in pieces]
    assert strip_plan(large).length >= strip_plan(pieces).least


@settings(max_examples=10, deadline=None)
@given(cut_lists(most=3), cut_lists(most=1), WIDE)
def test_a_turned_or_wider_cloth_never_needs_more(pieces, extra, width):
    plain, printed = Bolt(usable_width=width), Bolt(usable_width=width, directional=True)
    both = strip_plan(pieces, plain)
    assert both.least <= strip_plan(pieces, printed).length
    assert strip_plan(pieces, Bolt(usable_width=width + 2)).least <= both.length
    added = [*pieces, Piece("more", *(extra[0].width, extra[0].length), extra[0].count)]
    assert strip_plan(added, plain).length >= both.least


def _least_by_trying_all(kinds, width):
    """The least height by every strip of the model on every remainder."""
    heights = {n * b for k in kinds for a, b in k.sides for n in range(1, 40) if a <= width}
    tallest = max(b for k in kinds for a, b in k.sides if a <= width)
    patterns = set()
    for height in (h for h in heights if h <= tallest):
        ways = [(i, a, height // b) for i, k in enumerate(kinds) for a, b in k.sides if b <= height]
        for numbers in itertools.product(*(range(width // a + 1) for _, a, _ in ways)):
            if sum(n * a for n, (_, a, _) in zip(numbers, ways, strict=True)) <= width:
                got = [0] * len(kinds)
                for n, (i, _, stacked) in zip(numbers, ways, strict=True):
                    got[i] += n * stacked
                patterns.add((height, tuple(got)))

    @functools.cache
    def least(wanted):
        if not any(wanted):
            return 0
        return min(
            height + least(rest)
            for height, got in patterns
            if (rest := tuple(max(0, w - g) for w, g in zip(wanted, got, strict=True))) != wanted
        )

    return least(tuple(kind.count for kind in kinds))


small_kinds = st.lists(
    st.builds(
        lambda a, b, turn, count: Kind(((a, b), (b, a)) if turn and a != b else ((a, b),), count),
        st.integers(2, 6),
        st.integers(2, 6),
        st.booleans(),
        st.integers(1, 5),
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=50, deadline=None)
@given(small_kinds, st.integers(6, 10))
def test_the_plan_is_as_short_as_trying_everything_finds(kinds, width):
    packing = pack(kinds, width)
    least = _least_by_trying_all(kinds, width)
    assert packing.height == least
    assert packing.bound <= least


def test_no_pieces_take_no_cloth():
    assert pack([], 40) == PatternChoice((), 0, 0)


def test_a_plan_that_no_program_finds_in_time_gives_each_kind_strips_of_its_own(monkeypatch):
    # 30 of 5 x 5, 8 to a strip, take 4 strips of 5; 10 of 2 x 3 one strip of 3.
    monkeypatch.setattr(strip_packing, "choose", lambda *_: None)
    plan = pack([Kind(((5, 5),), 30), Kind(((2, 3),), 10)], 40)
    got = sum(pattern.yields(2) * strips for pattern, strips in plan.patterns)
    assert (got >= [30, 10]).all()
    assert plan.height == sum(pattern.height * strips for pattern, strips in plan.patterns) == 23
    assert plan.bound <= plan.height


def test_small_pieces_come_from_the_ends_of_strips():
    # 7 squares of 5 leave 5 x 5 in of a 40 in strip: 4 posts of 2 1/2, two above two.
    pieces = [
        Piece("square", Fraction(5), Fraction(5), 7),
        Piece("post", Fraction(5, 2), Fraction(5, 2), 4),
    ]
    plan = strip_plan(pieces)
    assert (plan.length, plan.least) == (5, 5)
    assert plan.words == (
        "1 strip of 5 in across 40 in: 7 square 5 x 5 in; "
        "4 post 2 1/2 x 2 1/2 in, 2 above one another",
    )
    assert plan.purchase.words == "3/8 yd (5 in are used, 4 1/2 in to spare)"


def test_many_kinds_are_proven_best():
    pieces = [
        Piece("square", Fraction(5), Fraction(5), 30),
        Piece("rail", Fraction(5, 2), Fraction(13, 2), 48),
        Piece("post", Fraction(5, 2), Fraction(5, 2), 42),
        Piece("triangle square", Fraction(39, 8), Fraction(39, 8), 24),
    ]
    plan = strip_plan(pieces)
    assert plan.least <= plan.length < plan.least + 2
    assert buy(plan.least).bought == plan.purchase.bought


def test_long_pieces_are_cut_from_strips_sewn_end_to_end():
    plan = strip_plan([Piece("side border", Fraction(9, 2), Fraction(80), 2)])
    (joined,) = plan.joined
    # 5 x 40 less 4 joins of 1/2 is 198, over 160; 4 strips make 158 1/2.
    assert (joined.strips, joined.length, joined.part.width) == (5, 160, 2)
    assert joined.words.startswith("side border: 5 strips of 4 1/2 in sewn end to end (4 joins")
    assert plan.length <= 5 * Fraction(9, 2)


def test_borders_that_share_a_height_share_a_long_strip():
    sides, ends = border(Fraction(50), Fraction(60), Fraction(4)).pieces
    plan = strip_plan([sides, ends])
    assert plan.joined[0].length == 2 * 60 + 2 * 58
    assert plan.joined[0].strips == 6


def test_borders_without_joins_lie_along_the_cloth():
    plan = strip_plan([Piece("border", Fraction(5), Fraction(70), 4)], join=False)
    assert (plan.length, plan.joined) == (70, ())


def test_a_print_with_a_direction_is_kept_upright():
    # 6 of them turned lie side by side in one strip of 21; upright, one to a strip of 6.
    low = [Piece("panel", Fraction(21), Fraction(6), 6)]
    assert strip_plan(low).length == 21
    assert strip_plan(low, Bolt(directional=True)).length == 36


def test_what_cannot_be_cut_is_refused_in_words():
    wide = [Piece("panel", Fraction(60), Fraction(70), 1)]
    with pytest.raises(ClothError, match="panel is 60 in wide and the cloth 40 in; allow"):
        strip_plan(wide, join=False)
    twice = [Piece("post", Fraction(2), Fraction(2), 1)] * 2
    with pytest.raises(ClothError, match="one name"):
        strip_plan(twice)


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ({"usable_width": Fraction(0)}, "usable width of 0"),
        ({"shrinkage": Fraction(1)}, "100 percent"),
        ({"seam": Fraction(-1, 4)}, "seam of -1/4"),
        ({"spare": Fraction(-1)}, "-1 in to spare"),
    ],
)
def test_cloth_that_cannot_be_is_refused(setting, words):
    with pytest.raises(ClothError, match=words):
        Bolt(**setting)


@given(st.fractions(0, 400, max_denominator=64), CLOTHS)
def test_what_is_bought_is_the_next_step_of_the_shop(used, cloth):
    bought = buy(used, cloth).bought
    left = bought - used / (1 - cloth.shrinkage)
    assert bought % STEPS[cloth.sold_by] == 0
    spare = STEPS[cloth.sold_by] if cloth.spare is None else cloth.spare
    assert spare == buy(used, cloth).spare
    assert spare <= left < spare + STEPS[cloth.sold_by]


def test_what_is_bought_is_said_in_the_shop_s_words():
    # 10 in take 3/8 yd (row YD096 of trade_checks/yardage.csv), and an eighth to spare.
    assert buy(Fraction(10), Bolt(spare=Fraction(0))).words == "3/8 yd (10 in are used)"
    assert buy(Fraction(10)).words == "1/2 yd (10 in are used, 4 1/2 in to spare)"
    metric = buy(Fraction(10), Bolt(sold_by="10 cm"))
    assert metric.bought == 40 / Fraction(254, 100)
    assert metric.words == "0.4 m (10 in are used, 3 15/16 in to spare)"
    washed = Bolt(shrinkage=Fraction(1, 20), spare=Fraction(2))
    assert buy(Fraction(18), washed).words == (
        "5/8 yd (18 in are used after washing at 5 percent, 2 in to spare)"
    )
    assert show_yards(Fraction(37)) == "1 1/8 yd"


def test_washed_cloth_is_narrower_too():
    pieces = [Piece("square", Fraction(5), Fraction(5), 8)]
    assert strip_plan(pieces).length == 5
    assert strip_plan(pieces, Bolt(shrinkage=Fraction(3, 100))).length == 10


@given(st.fractions(1, 600, max_denominator=8), WIDE, st.sampled_from([0, 2, Fraction(1, 2)]))
def test_joined_strips_reach_and_one_fewer_does_not(length, width, loss):
    loss = Fraction(loss)
    strips = strips_to_join(length, width, loss)
    assert joined_length(strips, width, loss) >= length
    assert strips == 1 or joined_length(strips - 1, width, loss) < length


def test_a_slanted_join_takes_the_width_of_the_strip():
    assert join_loss(Fraction(1, 4), Fraction(5, 2), slanted=True) == Fraction(5, 2)
    assert join_loss(Fraction(1, 4), Fraction(5, 2), slanted=False) == Fraction(1, 2)


@given(QUILTS, QUILTS, CLOTHS, st.sampled_from([2, Fraction(9, 4), Fraction(5, 2)]), st.booleans())
def test_straight_binding_goes_round(width, length, cloth, strip, slanted):
    found = binding(width, length, cloth, strip=Fraction(strip), slanted=slanted)
    assert found.made >= found.wanted >= 2 * (width + length)
    assert found.purchase.used == found.strips * found.strip
    loss = join_loss(cloth.seam, found.strip, slanted=slanted)
    assert joined_length(found.strips - 1, cloth.width, loss) < found.wanted


@given(QUILTS, QUILTS, CLOTHS, st.sampled_from([2, Fraction(9, 4), Fraction(5, 2)]))
def test_bias_binding_goes_round_and_fits_the_cloth(width, length, cloth, strip):
    found = binding(width, length, cloth, strip=Fraction(strip), grain="bias")
    assert found.made >= found.wanted
    assert found.square <= cloth.width
    # Seams and the last narrow strip are lost, so never less cloth than the area of the strip.
    assert found.squares * found.square**2 >= found.wanted * found.strip
    if found.squares == 1:
        assert bias_length(found.square, found.strip, cloth.seam) >= found.wanted


def test_binding_is_explained():
    # 2 (60 + 72) + 10 = 274; 7 strips less 6 slanted joins of 2 1/2 make 265, 8 make 302 1/2.
    found = binding(Fraction(60), Fraction(72))
    assert (found.strips, found.made) == (8, Fraction(605, 2))
    assert found.words == (
        "8 strips of 2 1/2 in across 40 in, joined on a slant, for 274 in of binding: "
        "3/4 yd (20 in are used, 4 1/2 in to spare)"
    )
    straight = binding(Fraction(60), Fraction(72), slanted=False)
    # 7 strips less 6 joins of two seams make 277.
    assert (straight.strips, straight.made) == (7, 277)
    assert straight.words.startswith(
        "7 strips of 2 1/2 in across 40 in, joined straight, for 274 in of binding: "
    )
    bias = binding(Fraction(60), Fraction(72), grain="bias")
    # 7 rounds of root 2 x (28 - 1/2) are 272, too few; 29 in give 8 of root 2 x 28 1/2, 322.
    assert bias.words == (
        "1 square of 29 in, sewn into a tube and cut into bias strip of 2 1/2 in, for 274 in of "
        "binding: 1 yd (29 in are used, 4 1/2 in to spare)"
    )


def test_a_binding_that_cannot_be_sewn_is_refused():
    with pytest.raises(ClothError, match="can't go round"):
        binding(Fraction(60), Fraction(72), strip=Fraction(1, 2))
    with pytest.raises(ClothError, match="gives no bias"):
        binding(Fraction(6), Fraction(7), Bolt(usable_width=Fraction(3)), grain="bias")


@given(QUILTS, QUILTS, CLOTHS, st.booleans())
def test_a_backing_covers_the_quilt_and_its_overhang(width, length, cloth, pieced):
    found = backing(width, length, cloth, pieced=pieced)
    assert (found.width, found.length) == (width + 8, length + 8)
    span = found.length if found.seams == "across" else found.width
    assert found.joined >= min(span, found.width, found.length)
    assert found.purchase.used * cloth.width >= found.width * found.length
    assert not (cloth.directional and found.seams == "across")
    whole = backing(width, length, cloth).purchase.used
    assert found.purchase.used <= whole


@given(QUILTS, QUILTS)
def test_a_backing_is_as_short_as_either_way_of_its_seams(width, length):
    wide, long = width + 8, length + 8
    up = math.ceil((wide - Fraction(1, 2)) / Fraction(79, 2)) * long
    across = math.ceil((long - Fraction(1, 2)) / Fraction(79, 2)) * wide
    assert backing(width, length).purchase.used == min(up, across)


def test_a_backing_is_explained():
    found = backing(Fraction(60), Fraction(72))
    # Across: 80 in of span take 3 widths of 68 = 204; up and down: 68 in take 2 of 80 = 160.
    assert (found.seams, found.panels, found.purchase.used) == ("up and down", 2, 160)
    assert found.words == (
        "2 lengths of 80 in, seam up and down, 79 1/2 in when joined, for 68 in x 80 in "
        "(4 in over on each side): 4 5/8 yd (160 in are used, 4 1/2 in to spare)"
    )
    assert backing(Fraction(30), Fraction(30)).seams == "none"
    wide = Bolt(usable_width=Fraction(108))
    assert backing(Fraction(90), Fraction(95), wide).words.startswith("1 length of 98 in, no seam")
    narrow = backing(Fraction(48), Fraction(72), pieced=True)
    assert (narrow.filler, narrow.purchase.used) == (2, 80 + Fraction(161, 4))
    assert narrow.words.startswith(
        "1 length of 80 in and a narrow one sewn from 2 pieces, seams up and down, 79 1/2 in when "
        "joined, for 56 in x 80 in"
    )


@pytest.mark.parametrize("pieced", [False, True])
def test_of_two_ways_that_take_the_same_the_seams_of_a_backing_run_up_and_down(pieced):
    assert backing(Fraction(50), Fraction(50), pieced=pieced).seams == "up and down"


def test_a_backing_or_batting_without_size_is_refused():
    for work_out, what in ((backing, "a backing"), (batting, "batting")):
        for size in ((0, 72), (60, 0), (60, 72, -1)):
            *sides, overhang = (*map(Fraction, size), Fraction(4))[:3]
            with pytest.raises(ClothError) as refused:
                work_out(*sides, overhang=overhang)
            assert refused.value.problem == f"{what} needs a quilt with sizes over 0"
            assert refused.value.cure == "write its sizes in inches"


@given(QUILTS, QUILTS)
def test_batting_is_never_smaller_than_the_top(width, length):
    found = batting(width, length)
    assert found.width >= width
    assert found.length >= length
    if found.package:
        assert sorted(found.package) >= sorted((found.width, found.length))[:1]
        assert min(found.package) >= min(found.width, found.length)
        assert max(found.package) >= max(found.width, found.length)
    else:
        assert max(found.width, found.length) > 90


@given(
    QUILTS,
    QUILTS,
    st.lists(HALVES, min_size=1, max_size=3),
    st.sampled_from(["butted", "mitred", "posts"]),
)
def test_borders_add_twice_their_finished_width(width, length, finished, corners):
    done, top = [], (width, length)
    for number, one in enumerate(finished, 1):
        done.append(border(*top, one, corners=corners, name=f"border {number}"))
        top = done[-1].width, done[-1].length
    assert done[-1].width == width + 2 * sum(finished)
    assert done[-1].length == length + 2 * sum(finished)
    assert len({piece.name for one in done for piece in one.pieces}) == sum(
        len(one.pieces) for one in done
    )


@given(QUILTS, QUILTS, HALVES)
def test_border_pieces_sewn_on_make_the_new_size(width, length, finished):
    half = Fraction(1, 2)  # two seams
    sides, ends = border(width, length, finished).pieces
    assert sides.length == length
    assert ends.width == width + 2 * sides.width - 2 * half
    with_posts = border(width, length, finished, corners="posts").pieces
    assert with_posts[1].width + 2 * with_posts[2].width - 2 * half == width + 2 * finished
    # At a 1/4 in seam the inch of row BR005 of trade_checks/yardage.csv.
    mitred = border(width, length, finished, corners="mitred").pieces
    assert mitred[0].length - (length + 2 * finished) == 1


def test_a_border_without_size_is_refused():
    with pytest.raises(ClothError, match="sizes over 0"):
        border(Fraction(50), Fraction(60), Fraction(0))


def test_precuts_of_the_same_area():
    squares, strips = PRECUTS[1], PRECUTS[2]
    # 42 ten-inch squares are 4200 sq in, 42 strips of 2 1/2 x 40 as much.
    assert as_much_as(42 * squares.area, strips) == 42
    assert as_much_as(Fraction(101), strips) == 2


@given(EIGHTHS, EIGHTHS, HALVES.map(lambda h: 3 * h), HALVES.map(lambda h: 3 * h))
def test_pieces_from_cloth_never_exceed_its_area(across, along, width, length):
    number = pieces_from_cloth(across, along, width, length)
    turned = pieces_from_cloth(across, along, width, length, turn=True)
    assert number * across * along <= width * length
    assert turned >= number


def test_nothing_that_compiled_code_prints_reaches_standard_output():
    program = (
        "import ctypes, os\n"
        "from catalog.system.silence import OUTPUT, silent\n"
        "library = ctypes.CDLL('ucrtbase' if os.name == 'nt' else None)\n"
        "print('before')\n"
        "with silent(OUTPUT):\n"
        "    library.puts(b'chatter')\n"
        "print('after')\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.split() == ["before", "after"]
