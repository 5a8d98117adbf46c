"""The difference of two prints' palettes, against linear programs and the plain colours' own."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.colour.palette_difference import (
    palette_difference,
    palette_difference_matrix,
    palette_differences,
)
from catalog.colour.transport import least_costs
from catalog.linear_programs import linear_program
from catalog.models import PaletteColour

NUMBER = st.integers(0, 60)
COLOUR = st.tuples(st.integers(5, 95), st.integers(-60, 60), st.integers(-60, 60))


@st.composite
def palettes(draw, most=5):
    """A palette in whole numbers, so that equal costs and shares turn up often."""
    colours = draw(st.lists(COLOUR, min_size=1, max_size=most))
    shares = [draw(st.integers(1, 9)) for _ in colours]
    return tuple(
        PaletteColour(tuple(map(float, lab)), share / sum(shares))
        for lab, share in zip(colours, shares, strict=True)
    )


def by_linear_program(cost, supply, demand):
    """The least cost of carrying, as HiGHS finds it."""
    from scipy.sparse import csr_array

    a, b = cost.shape
    rows = [np.kron(np.eye(a)[i], np.ones(b)) for i in range(a)]
    rows += [np.kron(np.ones(a), np.eye(b)[j]) for j in range(b)]
    bounds = np.zeros(a * b), np.full(a * b, np.inf)
    right = np.concatenate([supply, demand])
    answer = linear_program(cost.ravel(), csr_array(np.array(rows)), right, bounds, presolve=True)
    return float(answer.values @ cost.ravel())


@given(st.data())
@settings(max_examples=60)
def test_carrying_costs_what_a_linear_program_says(data):
    a, b = data.draw(st.integers(1, 5)), data.draw(st.integers(1, 5))
    cost = np.array([[data.draw(NUMBER) for _ in range(b)] for _ in range(a)], float)
    supply = np.array([data.draw(st.integers(1, 9)) for _ in range(a)], float)
    demand = np.array([data.draw(st.integers(1, 9)) for _ in range(b)], float)
    supply, demand = supply / supply.sum(), demand / demand.sum()
    found = least_costs(cost[None], supply[None], demand[None])
    assert found[0] == pytest.approx(by_linear_program(cost, supply, demand), abs=1e-6)


@given(palettes(), palettes())
def test_two_palettes_are_as_far_apart_both_ways_and_never_further_than_their_colours(one, two):
    there, back = palette_difference(one, two), palette_difference(two, one)
    assert there == pytest.approx(back, abs=1e-9)
    all_of_one, all_of_two = ([colour.lab for colour in each] for each in (one, two))
    away = ciede2000(np.array(all_of_one)[:, None], np.array(all_of_two))
    assert away.min() - 1e-9 <= there <= away.max() + 1e-9
    assert palette_difference(one, one) == pytest.approx(0.0, abs=1e-9)


@given(palettes(most=3), palettes(most=3), st.floats(0.5, 4))
def test_a_colour_told_in_two_shares_is_one_colour(one, two, weight):
    first, *rest = one
    halves = [PaletteColour(first.lab, first.share / 2)] * 2
    apart = palette_difference((*halves, *rest), two, weight)
    assert apart == pytest.approx(palette_difference(one, two, weight), abs=1e-9)


@given(COLOUR, COLOUR, st.floats(0.5, 4))
def test_two_plain_squares_differ_by_their_ciede2000(one, two, weight):
    away = palette_difference((PaletteColour(one, 1.0),), (PaletteColour(two, 1.0),), weight)
    assert away == float(ciede2000(np.array(one, float), np.array(two, float), weight))


def test_many_at_once_are_what_each_two_are():
    rng = np.random.default_rng(3)
    some = [
        tuple(
            PaletteColour(tuple(lab), share)
            for lab, share in zip(
                rng.uniform([5, -60, -60], [95, 60, 60], (n, 3)), rng.dirichlet(np.ones(n)),
                strict=True,
            )
        )
        for n in rng.integers(1, 6, 60)
    ]  # fmt: skip
    away = palette_difference_matrix(some, 2.0)
    assert (away == away.T).all()
    assert not away.diagonal().any()
    each = np.array([palette_differences(one, some, 2.0) for one in some])
    np.fill_diagonal(each, 0.0)
    assert np.allclose(each, away, atol=1e-9, rtol=0)
    assert palette_difference(some[0], some[1], 2.0) == pytest.approx(away[0, 1])


def test_a_plain_bundle_is_told_as_ever_to_the_last_bit():
    labs = np.random.default_rng(4).uniform([5, -60, -60], [95, 60, 60], (150, 3))
    plain = [(PaletteColour(tuple(lab), 1.0),) for lab in labs]
    assert (palette_difference_matrix(plain, 1.0) == ciede2000_matrix(labs, 1.0)).all()


def test_a_few_dots_are_no_ground():
    red, white = (45.0, 60.0, 30.0), (95.0, 0.0, 2.0)
    dotted = (PaletteColour(white, 0.9), PaletteColour(red, 0.1))
    turned = (PaletteColour(red, 0.9), PaletteColour(white, 0.1))
    apart = float(ciede2000(np.array(red), np.array(white)))
    assert palette_difference(dotted, turned) == pytest.approx(0.8 * apart)


def test_where_there_are_no_squares_there_is_no_difference():
    assert palette_difference_matrix([]).shape == (0, 0)
    assert palette_differences((PaletteColour((50.0, 0.0, 0.0), 1.0),), []).shape == (0,)


def test_differences_are_remembered_to_the_last_bit_for_some_of_the_same_palettes():
    from catalog.colour.remembered_differences import remembered_difference_matrix

    chance = np.random.default_rng(4)
    palettes = [
        tuple(PaletteColour(tuple(chance.uniform(5, 60, 3)), 1 / n) for _ in range(n))
        for n in chance.integers(1, 6, 220)
    ]
    for several in (palettes, palettes[30:], palettes[::-1], palettes[:90], palettes[:40]):
        told = remembered_difference_matrix(several, 1.0)
        assert (told == palette_difference_matrix(several, 1.0)).all()
        told[:] = -1.0  # whoever asked may do with it what they like
    twice = [*palettes[:70], palettes[3]]
    assert remembered_difference_matrix(twice, 2.0)[3, 70] == 0.0
