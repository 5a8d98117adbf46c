"""Which of two overlapping squares lies on top, told by whose print is seen where both lie."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.models import Found, Photo, Square, within

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SAMPLES_PER_SIDE = 24
"""Points along a square at which its colours are read."""
INSET = 0.04
"""Share of a side that points keep away from every outline: corners are good to 1/16 in."""
MIN_OVERLAP = 0.03
"""Share of a square's points in another from which the two overlap."""
COARSE_STRIDE = 7
"""Every so manyth point is looked at first; an overlap of LEAST holds two of them and more."""
MIN_OWN_SAMPLES = 30
"""Points that a square must have for itself to be known by."""
MAX_COMPARED = 100
"""Of those, and of the overlap's, about how many are compared."""
MAX_DISTANCE = 25.0
"""CIELAB distance beyond which a colour is simply another."""
PAIRS_WEIGHT, FEW = 2.0, 6.0
"""How much the pairs that lie to each other alike count beside a pair itself, and how many of them
it takes: rows are laid one after the other."""
MIN_LEAD = 2.0
"""CIELAB units by which the overlap must be nearer to one print than to the other."""


def on_top(photo: Photo, found: Found) -> Flags:
    """Tell which squares lie over which.

    Parameters
    ----------
    photo : Photo
    found : Found
        Its n squares.

    Returns
    -------
    (n, n) bool
        True where the first surely lies over the second.
    """
    count = len(found.squares)
    over = np.zeros((count, count), bool)
    quads = np.array([square.corners for square in found.squares], np.float64).reshape(-1, 4, 2)
    points = _points(quads)
    first, second = _close(quads)
    near = within(points[first, ::COARSE_STRIDE], quads[second], -INSET).any(axis=1)
    first, second = first[near], second[near]
    deep = within(points[first], quads[second], INSET)
    inside = {(int(i), int(j)): those for i, j, those in zip(first, second, deep, strict=True)}
    pairs = [(i, j) for i, j in inside if i < j and inside[i, j].mean() >= MIN_OVERLAP]
    if not pairs:
        return over
    alone = np.ones(points.shape[:2], bool)
    np.logical_and.at(alone, first, ~within(points[first], quads[second], -INSET))
    colours = _colours(photo, points)
    votes = {(i, j): _vote(colours, alone, i, j, inside[i, j]) for i, j in pairs}
    for (i, j), score in _scores(votes, found).items():
        over[i, j], over[j, i] = score > MIN_LEAD, score < -MIN_LEAD
    return over


def _points(quads: Floats) -> Floats:
    """Return a mesh of points over each square, (n, SIDE * SIDE, 2)."""
    steps = INSET + (1.0 - 2.0 * INSET) * (np.arange(SAMPLES_PER_SIDE) + 0.5) / SAMPLES_PER_SIDE
    across, down = (share.reshape(1, -1, 1) for share in np.meshgrid(steps, steps))
    above = quads[:, None, 0] + across * (quads[:, None, 1] - quads[:, None, 0])
    below = quads[:, None, 3] + across * (quads[:, None, 2] - quads[:, None, 3])
    return np.asarray(above + down * (below - above))


def _close(quads: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return both squares of each ordered pair whose upright boxes overlap."""
    low, high = quads.min(axis=1), quads.max(axis=1)
    close = ((low[:, None] < high) & (low < high[:, None])).all(axis=2)
    np.fill_diagonal(close, val=False)
    first, second = np.nonzero(close)
    return first, second


def _colours(photo: Photo, points: Floats) -> Floats:
    """Return CIELAB, (n, SIDE * SIDE, 3), of the photo at points."""
    height, width = photo.pixels.shape[:2]
    xs, ys = np.floor(points).astype(np.intp).transpose(2, 0, 1)
    seen = photo.pixels[np.clip(ys, 0, height - 1), np.clip(xs, 0, width - 1)]
    return lab.pixels_to_lab(lab.srgb_to_linear(seen)).astype(np.float64)


def _vote(colours: Floats, alone: Flags, one: int, two: int, both: Flags) -> float:
    """Return how much nearer the overlap's colours are to the first square's than to the second's.

    Zero where one of them has too little for itself.
    """
    shared = _some(colours[one][both])
    aways = []
    for index in (one, two):
        own = colours[index][alone[index]]
        if len(own) < MIN_OWN_SAMPLES:
            return 0.0
        own = _some(own)
        squared = np.square(own).sum(axis=1) - 2.0 * shared @ own.T
        nearest = np.sqrt(np.maximum(squared.min(axis=1) + np.square(shared).sum(axis=1), 0.0))
        aways.append(float(np.minimum(nearest, MAX_DISTANCE).mean()))
    return aways[1] - aways[0]


def _some(colours: Floats) -> Floats:
    return colours[:: max(1, len(colours) // MAX_COMPARED)]


def _scores(votes: dict[tuple[int, int], float], found: Found) -> dict[tuple[int, int], float]:
    """Return the votes, each joined by those of the pairs that lie to each other alike."""
    groups: dict[tuple[int, int], list[float]] = defaultdict(list)
    for (i, j), vote in votes.items():
        groups[_way(found.squares[i], found.squares[j])].append(vote)
    scores = {}
    for (i, j), vote in votes.items():
        way = _way(found.squares[i], found.squares[j])
        alike = groups[way] if way != (0, 0) else []
        usual = float(np.mean(alike)) if alike else 0.0
        scores[i, j] = vote + PAIRS_WEIGHT * usual * len(alike) / (len(alike) + FEW)
    return scores


def _way(one: Square, two: Square) -> tuple[int, int]:
    """Return the rows and columns from one square to another; 0, 0 where they lie in none."""
    if one.row is None or two.row is None or one.col is None or two.col is None:
        return 0, 0
    return two.row - one.row, two.col - one.col
