"""What the tool says of quilts drawn by chance, against areas, edges and counts of their own."""

import math
from dataclasses import dataclass
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_quilts import (
    ROOT2,
    blocks_area,
    cell_of,
    drawn_quilt,
    edge_area,
    half_square,
    inner_size,
)

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.adapted.bought_pieces import cloths_of
from catalog.pattern.patterns import read_pattern

SEEDS = st.integers(0, 10**9)
HALF_WORDS = ("dark", "light")


def close(one, two):
    return float(one) == pytest.approx(float(two), abs=0.15)


@dataclass(frozen=True)
class Cut:
    """What is cut, before strips are planned for it."""

    piece: str
    count: int
    width: Fraction
    length: Fraction


def cut_alone(quilt):
    """The quilt laid out and its pieces, without the strips that they come from."""
    block = adapt_block(quilt, None, quilt.seam)
    layout = as_laid_out(quilt, block.finished, quilt.seam, quilt.rows, quilt.columns)
    ours = AdaptedQuilt(quilt, block, layout, quilt.seam, None)
    cuts = {
        kind.name: Cut(kind.name, ours.count_of(kind), *ours.cut_sides(kind))
        for kind in quilt.kinds
    }
    for cloth in cloths_of(quilt, layout, quilt.seam):
        for one in cloth.pieces:
            cuts[one.name] = Cut(one.name, one.count, one.width, one.length)
    return ours, cuts


def check(seed, *, strips):
    """Draw, read and lay out a quilt, and hold every figure against its own."""
    drawn = drawn_quilt(seed)
    quilt = read_pattern(drawn.text, f"seed {seed}").quilt
    made, cuts = cut_alone(quilt)
    if strips:
        made = adapt_pattern(quilt)
        cuts = {cut.piece: cut for cut in made.cuts}
        _check_cloth(made)
    _check_pieces(drawn, cuts)
    wide, long = inner_size(drawn)
    assert close(made.layout.middle[0], wide)
    assert close(made.layout.middle[1], long)
    if drawn.how != "on point":
        assert made.layout.middle == (wide, long)
    _check_inner_area(drawn, cuts, wide, long)
    _check_borders(drawn, made, cuts)


def _check_pieces(drawn, cuts):
    for name, many in drawn.counts.items():
        number, what = name.split()
        sort = drawn.sorts[int(number[1:])]
        side = cell_of(drawn, sort)
        cut = cuts[name]
        assert cut.count == many, name
        if what in HALF_WORDS:
            assert cut.width == half_square(side, drawn.seam)
            assert float(cut.width) >= float(side) + (2 + ROOT2) * float(drawn.seam) - 1e-9
        else:
            sides = {side + 2 * drawn.seam, (2 if what == "wide" else 1) * side + 2 * drawn.seam}
            assert {cut.width, cut.length} == sides


def shows(cut, seam):
    """The area of a rectangle once it is sewn in on all sides."""
    return cut.count * (cut.width - 2 * seam) * (cut.length - 2 * seam)


def _check_inner_area(drawn, cuts, wide, long):
    """Blocks, strips, posts and edges cover the middle, and nothing twice."""
    seam = drawn.seam
    area = blocks_area(drawn) + edge_area(drawn)
    strips = [cut for name, cut in cuts.items() if "sashing" in name or name == "post"]
    area += sum(shows(cut, seam) for cut in strips)
    if drawn.sashing and drawn.sashing["half"]:
        halves = 2 * (drawn.rows + drawn.columns)
        area += halves * drawn.sashing["width"] ** 2 / 2
        (squares,) = [cut for name, cut in cuts.items() if name.startswith("square for half posts")]
        assert 4 * squares.count >= halves > 4 * (squares.count - 1)
    assert float(area) == pytest.approx(float(wide) * float(long), rel=1e-9)
    if drawn.how == "offset rows":
        half = cuts["half block"]
        assert shows(half, seam) == edge_area(drawn)


def _check_borders(drawn, made, cuts):
    """Each round grows the quilt by its width, and what it is cut of covers just that."""
    seam = drawn.seam
    wide, long = made.layout.middle
    single = len(drawn.borders) == 1
    for number, border in enumerate(drawn.borders, 1):
        name, width = "border" if single else f"border {number}", border["width"]
        plain = [c for n, c in cuts.items() if n.endswith(f"of {name}") and "spacer" in n]
        if border["spacer"]:
            before = wide * long
            for cut in plain:
                grown = 2 * (min(cut.width, cut.length) - 2 * seam)
                assert grown >= 1
                wide, long = (wide + grown, long) if cut.piece.startswith("side") else (
                    wide, long + grown)  # fmt: skip
            assert (wide % width, long % width) == (0, 0)
            assert sum(shows(cut, seam) for cut in plain) == wide * long - before
        ring = (wide + 2 * width) * (long + 2 * width) - wide * long
        posts = [c for n, c in cuts.items() if n == f"{name} post"]
        assert [c.count for c in posts] == ([4] if border["corners"] == "posts" else [])
        own = [c for n, c in cuts.items() if n in {f"side {name}", f"top and bottom {name}"}]
        if border["pieced"]:
            own = [c for n, c in cuts.items() if n.startswith("filler of") and n.endswith(name)]
            across = wide + (0 if border["corners"] == "posts" else 2 * width)
            units = 2 * (long // width) + 2 * (across // width)
            squares = [c for n, c in cuts.items() if n == f"square for {name}"]
            assert all(c.count == math.ceil(Fraction(units, 2)) for c in squares)
            area = units * width**2
        else:
            area = 0
            if border["lengthwise"]:
                assert all(c.width <= c.length for c in own)
        assert area + sum(shows(cut, seam) for cut in (*own, *posts)) == ring
        wide, long = wide + 2 * width, long + 2 * width
    assert (made.layout.width, made.layout.length) == (wide, long)


def _check_cloth(made):
    """No cloth is smaller than what is cut from it, and no less is bought than is used."""
    for buy in made.buys:
        pieces = [cut for cut in made.cuts if cut.cloth == buy.cloth]
        if not buy.bought or not pieces:
            continue
        area = sum(cut.count * cut.width * cut.length for cut in pieces)
        assert area <= buy.used * buy.width
        assert buy.bought >= buy.used + buy.spare


@given(SEEDS)
@settings(max_examples=24, deadline=None)
def test_a_quilt_drawn_by_chance_comes_to_what_its_geometry_says(seed):
    check(seed, strips=False)


@pytest.mark.slow
@given(SEEDS)
@settings(max_examples=1500, deadline=None)
def test_many_quilts_drawn_by_chance_come_to_what_their_geometry_says(seed):
    check(seed, strips=False)


@pytest.mark.slow
@given(SEEDS)
@settings(max_examples=100, deadline=None)
def test_cloth_for_quilts_drawn_by_chance_holds_their_pieces(seed):
    check(seed, strips=True)
