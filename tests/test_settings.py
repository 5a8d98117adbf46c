"""Quilts of several blocks, of blocks that are no squares, and of rows that are offset.

What the tool says of them is held against a quilt painted cell by cell.
"""

import itertools
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from math import lcm

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walls_made import bundle

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.cutting.quilt_sizes.block_map import BlockMap, MappedBlock, alternating
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.errors import PatternError
from catalog.pattern.patterns import read_pattern
from catalog.wall.adjacency import neighbours
from catalog.wall.exchanged_blocks import move_blocks
from catalog.wall.pressing import pressed
from catalog.wall.quilt_seams import LaidBlock
from catalog.wall.wall_plan import plan_wall

QUARTER = Fraction(1, 4)
UNIT = '[[block.unit]]\nmark = "{}"\nunit = "{}"\nfabrics = [{}]\n'
HALVES = "".join(
    UNIT.format(mark, "half-square-triangle", f'"blade {n}", "ground {n}"')
    for n, mark in enumerate("AB", 1)
)
TWO = """
title = "Two blocks"
description = "Pinwheels and plain squares."
[layout]
rows = {rows}
columns = {columns}
finished_block = "6"
{more}
[[feature]]
name = "blade"
size = "4"
per_block = 2
match = 2
[[background]]
name = "ground"
size = "4"
per_block = 2
from = "yardage"
[[background]]
name = "setting"
size = "6 1/2"
per_block = 1
from = "yardage"
[[block]]
mark = "P"
grid = ["A90 B180", "B A270"]
{halves}
[[block]]
mark = "S"
grid = ["A"]
{whole}
"""


def two(rows=4, columns=5, more=""):
    whole = UNIT.format("A", "square", '"setting"')
    return TWO.format(rows=rows, columns=columns, more=more, halves=HALVES, whole=whole)


def brick(wide, high, mark=""):
    """A block of squares, one cell each, of so many across and down."""
    cells = tuple(Cell(0, r, c, 1, 1) for r in range(high) for c in range(wide))
    return Block(wide, (BlockUnit("A", "square", None, (Patch("x"),)),), cells, high, mark)


layouts = st.builds(
    lambda rows, columns, how, sashing, outer, high: Layout(
        rows,
        max(columns, 2) if how == "offset" else columns,
        Fraction(6),
        Fraction(6) * high,
        sashing=Fraction(sashing),
        posts=how == "posts",
        outer=outer,
        offset=how == "offset",
    ),
    st.integers(1, 5),
    st.integers(1, 5),
    st.sampled_from(["posts", "long strips", "offset"]),
    st.integers(0, 1),
    st.booleans(),
    st.sampled_from([Fraction(1), Fraction(3, 2), Fraction(2)]),
)
PAIRS = {
    Fraction(1): (brick(2, 2), brick(3, 3), brick(1, 1)),
    Fraction(3, 2): (brick(2, 3), brick(4, 6)),
    Fraction(2): (brick(1, 2), brick(2, 4), brick(3, 6)),
}


@given(
    st.integers(1, 9),
    st.integers(1, 9),
    st.sampled_from(["straight", "on point", "offset"]),
    st.lists(st.lists(st.integers(0, 3), min_size=1, max_size=4), min_size=1, max_size=4),
)
@settings(max_examples=60, deadline=None)
def test_blocks_are_counted_as_they_lie(rows, columns, how, drawn):
    blocks = BlockMap(tuple(tuple(MappedBlock(one) for one in line) for line in drawn))
    layout = Layout(
        *(rows, columns, Fraction(6)), on_point=how == "on point", offset=how == "offset"
    )
    seen = Counter()
    lines = 2 * rows - 1 if how == "on point" else rows
    for line in range(lines):
        shorter = how != "straight" and line % 2
        for place in range(columns - 1 if shorter else columns):
            own = drawn[line % len(drawn)]
            seen[own[place % len(own)]] += 1
    assert blocks.counts(layout) == seen
    assert sum(seen.values()) == layout.blocks == len(places(layout))
    assert Counter(blocks.at(spot).block for spot in places(layout)) == seen


def painted(laid, layout):
    """Which piece lies in each cell of a fine grid, how wide strips are, and the whole."""
    finer = 2 * lcm(*(one.block.across for one in laid)), 2 * lcm(*(one.block.down for one in laid))
    strip = 2 if layout.sashing else 0
    step_x, step_y = finer[0] + strip, finer[1] + strip
    wide, high = layout.columns * step_x - strip, layout.rows * step_y - strip
    cells = {}
    for x, y in itertools.product(range(wide), range(high)):
        row, column = y // step_y, x // step_x
        if layout.posts and y % step_y >= finer[1]:
            post = x % step_x >= finer[0]
            cells[x, y] = ("post" if post else "level", row, column)
        elif layout.posts:
            cells[x, y] = ("upright", row, column)
        else:
            gap = y % step_y >= finer[1]
            shift = step_x // 2 if layout.offset and row % 2 else 0
            cells[x, y] = ("long", row) if gap else ("short", row, (x - shift) // step_x)
            end = x < (finer[0] - strip) // 2 or x >= wide - (finer[0] - strip) // 2
            if shift and not gap and end:
                cells[x, y] = ("half", row, x < wide // 2)
    for number, (spot, one) in enumerate(zip(places(layout), laid, strict=True)):
        shift = step_x // 2 if layout.offset and spot.row % 2 else 0
        x0, y0 = spot.in_row * step_x + shift, spot.row * step_y
        scale = finer[0] // one.block.across, finer[1] // one.block.down
        for x, y in itertools.product(range(finer[0]), range(finer[1])):
            cells[x0 + x, y0 + y] = ("block", number, x // scale[0], y // scale[1])
    return cells, strip, wide, high


def framed(cells, strip, wide, high, layout):
    """The same with outer strips round it."""
    if not layout.framed:
        return cells
    all_of = dict(cells)
    step_x, step_y = (wide + strip) // layout.columns, (high + strip) // layout.rows
    for x, y in itertools.product(range(-strip, wide + strip), range(-strip, high + strip)):
        if (x, y) in cells:
            continue
        beside = x < 0 or x >= wide
        across = y < 0 or y >= high
        if layout.posts:
            post = (
                (beside or x % step_x >= step_x - strip)
                if across
                else y % step_y >= (step_y - strip)
            )
            all_of[x, y] = ("outer", post, beside, across, x // step_x, y // step_y)
        else:
            all_of[x, y] = ("top", y < 0) if across else ("side", x < 0)
    return all_of


def edges_between(cells):
    found = set()
    for (x, y), piece in cells.items():
        for run, other in (("upright", (x - 1, y)), ("level", (x, y - 1))):
            if other in cells and cells[other] != piece:
                found.add((run, x, y))
    return found


def edges_of(seams):
    found = Counter()
    for seam in seams:
        for along in range(seam.start, seam.end):
            at = (seam.at, along) if seam.run == "upright" else (along, seam.at)
            found[(seam.run, *at)] += 1
    return found


def check_seams(layout, chosen):
    blocks = PAIRS[layout.tall / layout.block]
    laid = [LaidBlock(blocks[(chosen + k * k) % len(blocks)]) for k in range(layout.blocks)]
    seams = pressed(laid, layout, places(layout))
    # The tool's grid is half as fine as the painted one where rows aren't offset.
    double = 1 if layout.offset else 2
    seams = [
        replace(s, at=s.at * double, start=s.start * double, end=s.end * double) for s in seams
    ]
    told = edges_of(seams)
    assert set(told.values()) <= {1}
    whole = framed(*painted(laid, layout), layout)
    assert set(told) == edges_between(whole)
    ends = {(s.run, s.at, s.end): s for s in seams}
    for seam in seams:
        before = ends.get((seam.run, seam.at, seam.start))
        if before:
            assert before.way != seam.way


@given(layouts, st.integers(0, 2))
@settings(max_examples=25, deadline=None)
def test_seams_lie_between_the_pieces_and_nest(layout, chosen):
    check_seams(layout, chosen)


@pytest.mark.slow
@given(layouts, st.integers(0, 2))
@settings(max_examples=1500, deadline=None)
def test_seams_of_many_quilts_lie_between_the_pieces_and_nest(layout, chosen):
    check_seams(layout, chosen)


@given(layouts)
@settings(max_examples=60, deadline=None)
def test_blocks_lie_in_the_quilt_and_touch_where_they_meet(layout):
    """Each row fills the quilt's width; blocks touch along a side where their sides overlap."""
    spots = places(layout)
    half = float(layout.block) / 2, float(layout.tall) / 2
    gap = float(layout.sashing)
    rim = gap if layout.framed else 0.0
    for row in range(layout.rows):
        own = [spot for spot in spots if spot.row == row]
        ends = rim + (0 if len(own) == layout.columns else float(layout.block + layout.sashing) / 2)
        assert own[0].x - half[0] == pytest.approx(ends)
        assert own[-1].x + half[0] == pytest.approx(float(layout.width) - ends)
        assert {round(b.x - a.x, 9) for a, b in itertools.pairwise(own)} <= {
            round(2 * half[0] + gap, 9)
        }
    assert spots[-1].y + half[1] == pytest.approx(float(layout.length) - rim)
    touching = {
        frozenset((p, q))
        for (p, one), (q, two) in itertools.combinations(enumerate(spots), 2)
        if abs(one.x - two.x) < 2 * half[0] + gap + 1e-6
        and abs(one.y - two.y) < 2 * half[1] + gap + 1e-6
        and not (
            abs(one.x - two.x) > 2 * half[0] + gap - 1e-6
            and abs(one.y - two.y) > 2 * half[1] + gap - 1e-6
        )
    }
    assert {frozenset((p, q)) for p, q, _ in neighbours(spots)} == touching


def test_setting_squares_alternate_with_pieced_blocks():
    pattern = read_pattern(two(), "two")
    assert pattern.blocks == 20
    counts = {need.name: need.count for need in pattern.needs}
    assert counts == {"blade": 20, "ground": 20, "setting": 10}
    assert {n.name: n.count for n in read_pattern(two(3, 3), "two").needs}["setting"] == 4
    point = read_pattern(two(3, 4, 'set = "on point"'), "two")
    assert {n.name: n.count for n in point.needs} == {"blade": 24, "ground": 24, "setting": 6}
    rows = read_pattern(two(5, 4, 'alternate = "rows"'), "two")
    assert {n.name: n.count for n in rows.needs} == {"blade": 24, "ground": 24, "setting": 8}
    drawn = read_pattern(two(4, 4, 'map = ["S S S S", "S P P S", "S P90 P S", "S S S S"]'), "two")
    assert {n.name: n.count for n in drawn.needs} == {"blade": 8, "ground": 8, "setting": 12}
    assert [drawn.quilt.turn_at(spot) for spot in places(Layout(4, 4, Fraction(6)))][9] == 90
    assert {n.name: n.count for n in drawn.of_size(6, 4).needs}["setting"] == 18


def test_a_larger_or_smaller_quilt_keeps_what_each_block_takes():
    text = two().replace("per_block = 2\nfrom", "per_block = [2, 0]\nfrom")
    pattern = read_pattern(text, "two")
    assert pattern.needs == read_pattern(two(), "two").needs
    for rows, columns in ((1, 2), (3, 3), (7, 8)):
        new = pattern.of_size(rows, columns)
        assert new.needs == read_pattern(two(rows, columns), "two").needs
    with pytest.raises(PatternError, match="block S lies nowhere; give S a place"):
        pattern.of_size(1, 1)


def test_setting_squares_follow_the_blocks_that_are_made():
    quilt = read_pattern(two(), "two").quilt
    smaller = adapt_pattern(quilt, square=Fraction(7, 2))
    # Squares of 3 1/2 in give halves of 3.146, trimmed to 3 1/8: two of them finish at 5 1/4.
    assert smaller.block.finished == Fraction(21, 4)
    cuts = {cut.piece: cut for cut in smaller.cuts}
    assert (cuts["setting"].width, cuts["setting"].count) == (Fraction(23, 4), 10)
    assert cuts["blade"].count == 20
    scant = adapt_pattern(quilt, seam=Fraction(3, 16))
    # Halves trimmed to 3 1/2 as written finish 1/8 larger each: the block is 6 1/4.
    assert scant.block.finished == Fraction(25, 4)
    cuts = {cut.piece: cut for cut in scant.cuts}
    assert cuts["setting"].width == Fraction(25, 4) + Fraction(3, 8)
    nine = adapt_pattern(quilt, finished=Fraction(9, 2))
    assert {cut.piece: cut.width for cut in nine.cuts}["setting"] == 5


def test_blocks_of_different_grids_are_trimmed_to_marks():
    """Of halves and thirds of one block both lie on eighths where that can be."""
    text = two().replace('grid = ["A"]', 'grid = ["A A A", "A A A", "A A A"]')
    text = text.replace('size = "6 1/2"\nper_block = 1', 'size = "2 1/2"\nper_block = 9')
    quilt = read_pattern(text, "two").quilt
    block = adapt_pattern(quilt, square=Fraction(29, 8)).block
    assert block.finished == Fraction(21, 4)
    assert {unit.trim for unit in block.units} == {Fraction(25, 8), Fraction(9, 4)}


BRICKS = """
title = "Bricks"
description = "Blocks of 6 by 9."
[layout]
rows = 4
columns = 4
finished_block = "6 x 9"
set = "offset rows"
edge_cloth = "ground"
[[feature]]
name = "brick"
size = "3 1/2"
per_block = 3
[[background]]
name = "ground"
size = "3 1/2"
per_block = 3
from = "yardage"
[[block]]
grid = ["A G", "G B", "C G"]
""" + "".join(
    UNIT.format(mark, "square", f'"{name}"')
    for mark, name in (("A", "brick 1"), ("B", "brick 2"), ("C", "brick 3"), ("G", "ground"))
)


def test_blocks_that_are_no_squares_lie_in_offset_rows():
    pattern = read_pattern(BRICKS.replace('"ground"\n}', '"ground 1"'), "bricks")
    assert pattern.blocks == 14
    assert {need.name: need.count for need in pattern.needs} == {"brick": 42, "ground": 42}
    made = adapt_pattern(pattern.quilt)
    assert (made.layout.width, made.layout.length) == (24, 36)
    halves = [cut for cut in made.cuts if cut.piece == "half block"]
    assert [(c.cloth, c.count, c.width, c.length) for c in halves] == [
        ("ground", 4, Fraction(7, 2), Fraction(19, 2))
    ]
    rows = {row.piece: row.yours for row in made.rows}
    assert rows["block, finished"] == "6 x 9"
    larger = adapt_pattern(pattern.quilt, square=Fraction(5), finished=Fraction(8))
    assert (larger.layout.width, larger.layout.length) == (32, 48)
    # The quilt is all that shows of its pieces: areas of finished pieces add up to its own.
    area = sum(
        cut.count * (cut.width - 2 * QUARTER) * (cut.length - 2 * QUARTER) for cut in larger.cuts
    )
    assert area == 32 * 48


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("6 x 9", "6 x 8", "3 rows of square cells make no block of 6 x 8 in"),
        ("6 x 9", "6", "row 1 has 2 cells and there are 3 rows"),
        ("offset rows", "on point", "blocks on point are square"),
        ('set = "offset rows"', "turn_rows = 90", "no place turned by 90"),
        ("columns = 4", "columns = 1", "a single column has no rows to be offset"),
        ('edge_cloth = "ground"', 'edge_cloth = "brick"', "squares of the bundle"),
        ("6 x 9", "6 x 9 x 2", "is no size"),
        ('set = "offset rows"', "", "blocks set straight leave no edges to fill"),
        ("[[block]]", '[sashing]\nwidth = "1"\n[[block]]', "posts have no place"),
    ],
)
def test_what_can_not_be_sewn_is_refused(old, new, problem):
    text = BRICKS.replace(old, new, 1)
    if new.startswith("turn_rows"):
        text = text.replace('edge_cloth = "ground"\n', "")
    with pytest.raises(PatternError, match=problem):
        read_pattern(text, "bricks")


@pytest.mark.parametrize(
    ("more", "problem"),
    [
        ('map = ["P Q"]', '"Q" is no block; there are P, S'),
        ('map = ["P", ""]', "names 0 blocks"),
        ('map = ["P"]', "block S lies nowhere"),
        ('map = ["P S"]\nalternate = "rows"', "it stands beside alternate"),
        ('alternate = "round"', "is none of chequered, rows, columns"),
    ],
)
def test_a_map_that_makes_no_sense_is_refused(more, problem):
    with pytest.raises(PatternError, match=problem):
        read_pattern(two(more=more), "two")


def test_blocks_take_turns_as_quilters_say():
    def drawn(way, number, *, on_point=False):
        lines = alternating(number, way, on_point=on_point).lines
        return [[one.block for one in line] for line in lines]

    assert drawn("chequered", 2) == [[0, 1], [1, 0]]
    assert drawn("chequered", 3) == [[0, 1, 2], [1, 2, 0], [2, 0, 1]]
    assert drawn("rows", 2) == drawn("chequered", 2, on_point=True) == [[0], [1]]
    assert drawn("columns", 2) == [[0, 1]]


BORDERED = (
    two(2, 3)
    + """
[sashing]
width = "1"
{sashing}
[[border]]
width = "{width}"
corners = "{corners}"
pieced = "half-square-triangle"
fabrics = ["blue", "ground"]
spacer = "cream"
[[border]]
width = "3"
fabrics = ["blue"]
cut = "lengthwise"
"""
)


def bordered(width="5", corners="butted", sashing="", layout=""):
    text = BORDERED.format(width=width, corners=corners, sashing=sashing)
    return read_pattern(
        text.replace('finished_block = "6"', f'finished_block = "6"\n{layout}'), "x"
    )


def finished_area(cuts):
    """Area that shows of rectangles, inches squared."""
    return sum(cut.count * (cut.width - 2 * QUARTER) * (cut.length - 2 * QUARTER) for cut in cuts)


def test_a_spacer_is_as_wide_as_published():
    """The worked example of http://www.patchworktimes.com/borders/making-a-pieced-border-fit/.

    Units of 5 in round a top of 46 x 58 in: strips cut 2 1/2 in at the sides, for ten units, and by
    the same steps 1 1/2 in at top and bottom, for twelve.
    """
    layout = Layout(5, 4, Fraction(10), sashing=Fraction(2), borders=(Fraction(5),))
    assert (layout.width, layout.length) == (56, 68)
    ring = replace(layout, spaced=frozenset({0})).rounds[0]
    assert (ring.sides + 2 * QUARTER, ring.ends + 2 * QUARTER) == (Fraction(5, 2), Fraction(3, 2))
    # http://ccna8.com copy of a medallion lesson: 7 units of 4 1/8 round 20 1/2 take 4 3/16; the
    # narrowest that fits, for 6 units, is half a unit less.
    one = Layout(1, 1, Fraction(41, 2), borders=(Fraction(33, 8),), spaced=frozenset({0}))
    assert one.rounds[0].sides == Fraction(67, 16) - Fraction(33, 16)


@given(
    st.integers(1, 9), st.integers(1, 9), st.fractions(1, 7, max_denominator=8), st.integers(1, 64)
)
@settings(max_examples=80, deadline=None)
def test_units_fit_whole_round_a_spacer(rows, columns, width, eighths):
    layout = Layout(
        *(rows, columns, Fraction(eighths, 8) + 4),
        borders=(Fraction(2), width),
        spaced=frozenset({1}),
    )
    inner = (
        columns * layout.block + 4,
        rows * layout.block + 4,
    )
    ring = layout.rounds[1]
    for side, spare in zip(inner, (ring.sides, ring.ends), strict=True):
        assert (side + 2 * spare) % width == 0
        assert spare == 0 or Fraction(1, 2) <= spare
        # No narrower strip of half an inch or more would do.
        fewer = side + 2 * spare - width
        assert fewer < side + 1 or spare == 0
    assert layout.width == inner[0] + 2 * (ring.sides + width)


def test_borders_of_units_and_their_spacers_cover_what_the_quilt_grows_by():
    for corners in ("butted", "posts"):
        made = adapt_pattern(bordered(corners=corners).quilt)
        cuts = made.cuts
        assert not [cut for cut in cuts if "filler" in cut.piece]
        spacers = [cut for cut in cuts if "spacer" in cut.piece]
        assert {cut.cloth for cut in spacers} == {"cream"}
        halves = [cut for cut in cuts if cut.piece == "square for border 1"]
        assert {cut.width for cut in halves} == {Fraction(47, 8)}
        posts = 4 if corners == "posts" else 0
        assert [cut.count for cut in cuts if cut.piece == "border 1 post"] == [4] * bool(posts)
        units = sum(cut.count for cut in halves) + posts
        plain = [cut for cut in cuts if "border 2" in cut.piece or cut in spacers]
        wide, long = made.layout.middle
        grown = made.layout.width * made.layout.length - wide * long
        assert units * 25 + finished_area(plain) == grown


def test_strips_cut_lengthwise_lie_along_the_cloth():
    quilt = bordered().quilt
    made = adapt_pattern(quilt)
    strips = [cut for cut in made.cuts if cut.cloth == "blue" and cut.width == Fraction(7, 2)]
    assert {cut.piece for cut in strips} == {"side border 2", "top and bottom border 2"}
    assert all(cut.length > cut.width and "along the length" in cut.note for cut in strips)
    longest = max(cut.length for cut in strips)
    (bought,) = [buy for buy in made.buys if buy.cloth == "blue"]
    assert bought.used >= longest
    assert not any("sewn end to end" in line for line in bought.plan)
    crosswise = replace(quilt.borders[1], strips="crosswise")
    plain = adapt_pattern(replace(quilt, borders=(quilt.borders[0], crosswise)))
    assert plain.layout == made.layout


def test_the_edge_may_run_through_the_middle_of_posts():
    """The counts and squares of a published baby quilt, as in its table of checks.

    http://quilting.about.com/od/babyquiltpatterns/ss/Dawns-Light-Baby-Quilt-Pattern_5.htm: 4 rows
    of 3 blocks of 8 in with strips of 3/4 in, 48 strips, 17 whole posts and 14 halves; squares of
    12 1/2 and 6 1/2 in for its triangles (12.56 and 6.53 exactly, here up to an eighth), 2 3/8 in
    for the half posts.
    """
    layout = 'set = "on point"\nedge_cloth = "sky"'
    quilt = bordered(sashing='edge_posts = "half"', layout=layout).quilt
    quilt = replace(quilt, rows=4, columns=3, borders=(), sashing=quilt.sashing)
    quilt = replace(quilt, sashing=replace(quilt.sashing, width=Fraction(3, 4)))
    made = adapt_pattern(quilt, finished=Fraction(8))
    cuts = {cut.piece.split(",")[0]: cut for cut in made.cuts}
    assert cuts["sashing"].count == 48
    assert cuts["post"].count == 17
    halves = cuts["square for half posts"]
    assert (halves.count, halves.width) == (4, Fraction(19, 8))
    assert cuts["square for side triangles"].width == Fraction(101, 8)
    assert cuts["square for corner triangles"].width == Fraction(53, 8)
    # From the middle of a post to that of the next it is the diagonal of a block and a strip.
    assert abs(float(made.layout.width) - 3 * 8.75 * 2**0.5) <= 1 / 32
    assert abs(float(made.layout.length) - 4 * 8.75 * 2**0.5) <= 1 / 32
    # What shows of all pieces is the quilt.
    area = 12 * 64 + 6 * 64 + 48 * 6 + 17 * 0.5625 + 14 * 0.5625 / 2
    area += 2 * (4 + 3 - 2) * 64 / 2 + 4 * 64 / 4
    assert area == pytest.approx(3 * 4 * 2 * 8.75**2)
    spots = places(made.layout)
    assert min(spot.x for spot in spots) == pytest.approx(8.75 / 2**0.5)


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('cut = "lengthwise"', 'spacer = "cream"', "plain strips fit as they are"),
        ('spacer = "cream"', 'cut = "lengthwise"', "a pieced border has no strips"),
        ('spacer = "cream"', 'spacer = "blade"', "squares of the bundle"),
        ('spacer = "cream"', 'post_cloth = "red"', "this border has no posts"),
        ('width = "1"', 'width = "1"\nedge_posts = "half"', "only a quilt on point"),
    ],
)
def test_borders_that_make_no_sense_are_refused(old, new, problem):
    text = BORDERED.format(width="5", corners="butted", sashing="").replace(old, new)
    with pytest.raises(PatternError, match=problem):
        read_pattern(text, "x")


def test_a_feature_may_be_bought():
    """One feature fabric by the yard beside the squares of the bundle."""
    text = two().replace('[[background]]\nname = "setting"', '[[feature]]\nname = "setting"', 1)
    pattern = read_pattern(text, "two")
    plain = read_pattern(two(), "two")
    assert [n.count for n in pattern.needs] != []
    assert {n.name: (n.role, n.source) for n in pattern.needs}["setting"] == ("feature", "yardage")
    assert pattern.quilt.sets_per_block == plain.quilt.sets_per_block == 1
    assert {c.piece: c.count for c in adapt_pattern(pattern.quilt).cuts} == {
        c.piece: c.count for c in adapt_pattern(plain.quilt).cuts
    }
    with pytest.raises(PatternError, match="all of one tone"):
        read_pattern(text.replace("per_block = 1\n", "per_block = 1\nmatch = 2\n"), "two")
    only = two().replace("[[feature]]", "[[background]]").replace("match = 2", 'from = "bundle"')
    with pytest.raises(PatternError, match="field feature: it is missing"):
        read_pattern(only, "two")


def test_remake_takes_a_block_s_width_and_length(calicount, tmp_path):
    path = tmp_path / "bricks.toml"
    path.write_text(BRICKS, encoding="utf-8")
    told = calicount("remake", str(path), "--finished", "8 x 12").output
    assert "8 x 12" in told
    wrong = calicount("remake", str(path), "--finished", "8 x 11")
    assert wrong.exit_code == 2
    assert "the nearest that can be had is 8 x 12 in" in " ".join(wrong.output.split())


def test_several_blocks_hang_where_the_map_says():
    quilt = read_pattern(two(2, 2, 'map = ["S P", "P S"]'), "two").quilt
    sets, swatches = bundle(2, need="blade")
    layout = Layout(2, 2, Fraction(6))
    plan = plan_wall(quilt, layout, sets, swatches, "rainbow-diagonal")
    assert [block.mark for block in plan.blocks] == ["S", "P", "P", "S"]
    assert [len(block.squares) for block in plan.blocks] == [0, 2, 2, 0]
    assert [block.bought for block in plan.blocks] == [True, False, False, True]
    assert plan.empty == 0
    # A pinwheel never takes a plain square's place.
    sample = {swatch.label: swatch for swatch in swatches}
    assert move_blocks(quilt, layout, plan, [("A1", "A2")], sample) == plan
    short = plan_wall(quilt, layout, sets[:1], swatches, "scattered")
    assert (short.empty, [block.note for block in short.blocks].count("no set for this place")) == (
        1, 1)  # fmt: skip


def test_pieced_strips_beside_blocks_that_are_no_squares_have_their_own_lengths():
    text = BRICKS.replace('set = "offset rows"\nedge_cloth = "ground"\n', "")
    text += '[sashing]\nwidth = "1 1/2"\npieced = "pieced-sashing-3"\nouter = true\n'
    cuts = [
        cut
        for cut in adapt_pattern(read_pattern(text, "x").quilt).cuts
        if "sashing" in cut.piece and "post" not in cut.piece
    ]
    # Each is of three strips of half an inch: 4 rows of 5 beside blocks, 5 of 4 above them.
    assert {(cut.width, cut.length) for cut in cuts} == {
        (Fraction(19, 2), Fraction(1)),
        (Fraction(13, 2), Fraction(1)),
    }
    assert sum(cut.count for cut in cuts if cut.width == Fraction(19, 2)) == 3 * 4 * 5
    assert sum(cut.count for cut in cuts if cut.width == Fraction(13, 2)) == 3 * 5 * 4
