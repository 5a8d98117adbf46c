"""Sets, swatches and layouts for tests of the wall."""

from dataclasses import replace
from fractions import Fraction

import numpy as np

from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Square, SquareSet, Swatch
from catalog.pattern.patterns import load_pattern

SQUARE = Square(((0, 0), (9, 0), (9, 9), (0, 9)), 1, 1, 5.0, 5.0, 1.0)
PINWHEEL = load_pattern("pinwheel").quilt
FOUR_PATCH = load_pattern("four-patch").quilt
HOURGLASS = load_pattern("hourglass").quilt


def colours(number, seed=0):
    """Invented colours, sorted by hue."""
    rng = np.random.default_rng(seed)
    labs = rng.uniform([25, -40, -40], [85, 45, 45], (number, 3))
    return labs[np.argsort(np.arctan2(labs[:, 2], labs[:, 1]))]


def bundle(number, size=2, need="wheel", seed=0):
    """Sets of like squares and their swatches, in order of hue."""
    swatches, sets = [], []
    for place, lab in enumerate(colours(number, seed), 1):
        labels = tuple(f"S{place:03d}{letter}" for letter in "abcd"[:size])
        for step, label in enumerate(labels):
            colour = (float(lab[0]) + step, float(lab[1]), float(lab[2]))
            swatches.append(Swatch(label, "p.jpg", SQUARE, colour, "plain", 0.0))
        sets.append(SquareSet(place, labels, 1.0, 1.0, "any", False, (), need))
    return sets, swatches


def layout_of(quilt, **changes):
    sashing = quilt.sashing.width if quilt.sashing else Fraction(0)
    layout = Layout(quilt.rows, quilt.columns, quilt.finished_block, sashing=sashing, outer=True)
    return replace(layout, **changes)
