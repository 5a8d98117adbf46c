"""How long a pattern of 500 blocks takes to plan.

Run with ``pytest tests/bench/test_bench_wall.py --benchmark-only -m "slow or not slow"``.

Measured on 2 shared cores, Python 3.11: all that is cut and bought, the sizes that the sets make,
and the places of 500 blocks take 0.26 s in rainbow order and 0.34 s scattered.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.quilt_sizes.set_supply import Supply
from catalog.models import Square, SquareSet, Swatch
from catalog.pattern.patterns import load_pattern
from catalog.wall.wall_plan import plan_wall

SQUARE = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)
QUILT = replace(load_pattern("pinwheel").quilt, rows=25, columns=20)


def sets_of(number):
    rng = np.random.default_rng(5)
    labs = rng.uniform([25, -40, -40], [85, 45, 45], (number, 3))
    swatches, sets = [], []
    for place, lab in enumerate(labs, 1):
        labels = (f"A{place}", f"B{place}")
        swatches += [
            Swatch(label, "p.jpg", SQUARE, tuple(map(float, lab)), "plain", 0.0) for label in labels
        ]
        sets.append(SquareSet(place, labels, 1.0, 1.0, "any", False, (), "wheel"))
    return sets, swatches


SETS, SWATCHES = sets_of(500)


def plan(order):
    made = adapt_pattern(QUILT, square=Fraction(5), supply=Supply({"": 500}))
    return made, plan_wall(QUILT, made.layout, SETS, SWATCHES, order)


@pytest.mark.parametrize("order", ["rainbow-diagonal", "scattered"])
def test_500_blocks(benchmark, order):
    made, wall = benchmark.pedantic(plan, (order,), rounds=5, warmup_rounds=1)
    assert wall.empty == 0
    assert made.layout.blocks == 500
