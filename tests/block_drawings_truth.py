"""What a proposal has right of a drawn block: its lattice, its cells, all of it."""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

import numpy as np
from block_drawings_made import polygons_of

from catalog.pattern.drawing.seam_lattice import seam_ends
from catalog.pattern.drawing.unit_seams import triangle_points

FINEST = 64
"""Cells across in which two blocks are held against each other."""


@dataclass(frozen=True)
class Score:
    """How much of a proposal is right."""

    grid: bool
    """Whether rows and columns are."""
    cells: float
    """Share of the drawn block's cells whose seams and colours are."""
    exact: bool
    """Whether all is: every cell, and no two colours made one."""
    looks: bool
    """Whether it looks the same: colours are right everywhere, whatever its seams."""


def patches_on(drawn, rows, columns):
    """Number of the patch that each triangle of a lattice lies in; None where one lies in two."""
    shapes = [shape for shape, _, _ in polygons_of(drawn)]
    scale = np.array([drawn.block.across / columns, drawn.block.down / rows])
    points = triangle_points(columns, rows) * scale
    found = np.full(points.shape[:2], -1)
    for number, shape in enumerate(shapes):
        side = np.roll(shape, -1, axis=0) - shape
        x, y = (points[..., axis, None] - shape[:, axis] for axis in (0, 1))
        found[(side[:, 0] * y - side[:, 1] * x >= -1e-9).all(axis=-1)] = number
    whole = (found == found[:, :1]).all() and (found >= 0).all()
    return found[:, 0] if whole else None


def true_lattice(drawn):
    """Rows and columns of the coarsest lattice that a block lies on."""
    for columns in range(1, FINEST + 1):
        rows = Fraction(columns * drawn.block.down, drawn.block.across)
        if rows.denominator == 1 and patches_on(drawn, int(rows), columns) is not None:
            return int(rows), columns
    return 0, 0


def seams_on(drawn, rows, columns):
    """Whether each short seam of a lattice is one of a block's."""
    patches = patches_on(drawn, rows, columns)
    one, other = seam_ends(rows, columns).sides.T
    return patches[one] != patches[other]


def scored(truth, proposal):
    """Hold a proposal against what was drawn; colours are compared but for their names."""
    lattices = true_lattice(truth), true_lattice(proposal)
    rows, columns = (lcm(*pair) for pair in zip(*lattices, strict=True))
    alike = truth.block.down * proposal.block.across == proposal.block.down * truth.block.across
    if not alike or not 0 < max(rows, columns) <= FINEST:
        return Score(False, 0.0, False, False)
    kinds = []
    for drawn in (truth, proposal):
        own = polygons_of(drawn)
        kinds.append([own[number] for number in patches_on(drawn, rows, columns)])
    cells = np.array([number for _, _, number in kinds[0]])
    colours = [np.array([colour for _, colour, _ in own]) for own in kinds]
    wrong = _wrong_colours(*colours)
    one, other = seam_ends(rows, columns).sides.T
    differ = seams_on(truth, rows, columns) != seams_on(proposal, rows, columns)
    bad = {*cells[wrong], *cells[one[differ]], *cells[other[differ]]}
    count = len(truth.block.cells)
    plain = len(proposal.colours) == 1
    merged = not plain and len(set(colours[0])) > len(set(colours[1]))
    looks = not wrong.any() and not merged
    return Score(lattices[0] == lattices[1], 1 - len(bad) / count, not bad and not merged, looks)


def _wrong_colours(true, read):
    """Where a triangle hasn't the colour that most of its true colour have; a drawing without
    colours has none wrong."""
    if len(set(read)) == 1:
        return np.zeros(len(true), bool)
    called = {}
    for colour in set(true):
        names, times = np.unique(read[true == colour], return_counts=True)
        called[colour] = names[np.argmax(times)]
    return np.array([called[one] for one in true]) != read
