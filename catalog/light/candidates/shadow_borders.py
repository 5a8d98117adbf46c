"""Straight borders of hard shadows, told by their steps inside squares and on the ground.

A window's bar or the edge of a table throws a shadow whose border runs on straight from square to
square, and wherever it crosses one piece of cloth, light falls by one ratio in each channel. What
is printed has borders too, but none that runs on through other prints with that ratio.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from catalog.light.candidates.shadow_lines import ShadowGrid, steep_lines

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

FIRST_LINES = 16
"""Lines that are looked at before any shadow is known."""
BAND = np.linspace(-0.24, 0.24, 25)
"""Distances from a line at which it is sampled, sides of a square."""
_STEP = float(BAND[1] - BAND[0])
BESIDE = 0.07, 0.16
"""Distances from a border between which its step is measured, sides of a square: beyond its
penumbra (the sun's half degree at an arm's length) and the error of the line."""
MIN_PIECE = 0.15
"""Length of a line on one square, or on a side's length of ground, from which it tells a step."""
MIN_DEPTH = 0.4
"""Natural logarithm by which the shadow is darker at least, mean of the channels: sun through
haze. The borders of prints lie below on photographs without shadow (``tests/bench/lights.py``)."""
MAX_DEPTH_ERROR = (0.6, 0.3)
"""Natural logarithm by which the step on ground, which may mirror a window in the shadow too, and
on a square may differ from the shadow's, mean of the channels."""
MIN_PIECES, MIN_PIECE_SHARE, MIN_CROSSED_SHARE = 3, 0.34, 0.2
"""Squares that have to show the shadow's step, and their share of all pieces that the line crosses,
at first and once the depth is known, when ground counts like squares: where two shadows cross there
is no step. So told, borders are found on the three photographs of 42 that have straight ones, and
along an arm's (``tests/bench/lights.py``)."""
MAX_TINT = 0.8
"""By which the channels' steps may differ, of their mean: 0.4 to 0.6 under a clear sky."""
SAME_ANGLE, SAME_OFFSET = 0.15, 0.25
"""Radians and sides by which lines may differ that are one border."""
REFINEMENTS = 3
_PER_SQUARE, _NONE = 1000, -1000
"""Numbers of pieces: squares' from the first, lengths of ground round 0, what is none."""


@dataclass(frozen=True, eq=False)
class ShadowBorder:
    """A line across the grid, shadow on one side of it, bent as the lens bends it."""

    angle: float
    """Radians from the x axis to the direction in which the shadow lies."""
    course: Floats
    """(3,) polynomial for how far along that direction the border lies from the grid's middle,
    sides, by how far to its left, half diagonals; the highest power first."""
    step: Floats
    """(3,) natural logarithm by which light falls across it."""
    pieces: int
    """Squares and lengths of ground on which it does."""
    squares: int
    """How many of them are squares."""
    softness: float
    """Scale of the logistic curve by which light falls across it, sides."""

    def beyond(self, grid: ShadowGrid) -> Floats:
        """Return how far each cell lies beyond the border, sides; positive in the shadow."""
        rows, columns = grid.pieces.shape
        y, x = (np.mgrid[:rows, :columns] + 0.5) - np.array([rows, columns])[:, None, None] / 2.0
        cosine, sine = np.cos(self.angle), np.sin(self.angle)
        along = (y * cosine - x * sine) / grid.radius
        return np.asarray((x * cosine + y * sine) / grid.side - np.polyval(self.course, along))

    def mirrored(self, width: float) -> ShadowBorder:
        """Return the other border of a bar of some width, sides, as this one has it."""
        bend, turn, offset = self.course
        course = np.array([-bend, turn, -offset - width])
        return replace(self, angle=self.angle + np.pi, course=course)


def find_borders(grid: ShadowGrid) -> list[ShadowBorder]:
    """Find the straight borders of shadows that all are of one depth.

    The lines on which most squares agree tell the depth; with it lines are believed that cross
    other shadows or dark prints, on which no step shows, too.
    """
    lines = [(angle, np.array([0.0, 0.0, offset])) for angle, offset in steep_lines(grid)]
    found = [one for line in lines[:FIRST_LINES] if (one := _judged(grid, *line)) is not None]
    for _ in range(REFINEMENTS):
        found = _distinct(found)
        if not found:
            return []
        weights = [one.pieces for one in found]
        depth = np.average([one.step for one in found], axis=0, weights=weights)
        lines = [(one.angle, one.course) for one in found] + lines
        found = [one for line in lines if (one := _refined(_pieces(grid, *line), *line, depth))]
        lines = []
    return _distinct(found)


def _distinct(borders: list[ShadowBorder]) -> list[ShadowBorder]:
    """Keep of borders that run along each other the one on which most pieces agree."""
    kept: list[ShadowBorder] = []
    ends = np.array([-0.6, 0.0, 0.6])
    for one in sorted(borders, key=lambda border: -border.pieces):
        for other in kept:
            turn = abs((one.angle - other.angle + np.pi) % (2 * np.pi) - np.pi)
            apart = np.polyval(one.course - other.course, ends)
            if turn < SAME_ANGLE and np.abs(apart).min() < SAME_OFFSET:
                break
        else:
            kept.append(one)
    return kept


@dataclass(frozen=True, eq=False)
class _Pieces:
    """Where a line crosses n pieces: squares, or a side's length of ground each."""

    along: Floats
    """(n,) where, half diagonals."""
    length: Floats
    """(n,) sides."""
    square: NDArray[np.bool_]
    """(n,) whether it is one."""
    sampled: Singles
    """(n, m, len(BAND), 3) light across the line at places along it, infinite beyond the piece."""
    many: NDArray[np.intp]
    """(n,) places of each."""

    @cached_property
    def steps(self) -> Floats:
        """By how much light falls across the line, (n, 3)."""
        near, far = BESIDE
        dark = np.flatnonzero((near < BAND) & (far > BAND))
        lit, unlit = (
            self._across(np.s_[:], one).mean(axis=1) for one in (len(BAND) - 1 - dark, dark)
        )
        return np.asarray(unlit - lit)

    def shares(self, some: NDArray[np.bool_], depth: Floats) -> Floats:
        """Return how much of a depth light has fallen by, (k, len(BAND)), on some pieces, (n,)."""
        profiles = self._across(some, np.arange(len(BAND)))
        lit = profiles[:, -BESIDE[0] > BAND].mean(axis=1, keepdims=True)
        share = (profiles - lit) @ depth / (depth @ depth)
        return np.asarray(share.clip(0.0, 1.0), np.float64)

    def _across(self, some: NDArray[np.bool_] | slice, places: NDArray[np.intp]) -> Floats:
        """Return the median light of pieces, (k, places, 3), along the line."""
        ranked = np.sort(self.sampled[some][:, :, places], axis=1)
        each, half = np.arange(len(ranked)), self.many[some]
        middle = ranked[each, (half - 1) // 2] + ranked[each, half // 2]
        return np.asarray(middle / np.float32(2.0), np.float64)


def _pieces(grid: ShadowGrid, angle: float, course: Floats) -> _Pieces:
    """Sample the light on both sides of a line, piece by piece."""
    import cv2

    along = np.linspace(-1.0, 1.0, 2 * round(grid.radius) + 1)
    height, width = grid.pieces.shape
    toward = np.array([np.cos(angle), np.sin(angle)])
    beyond = (np.polyval(course, along)[:, None] + BAND) * grid.side
    xs = width / 2 + toward[0] * beyond - toward[1] * along[:, None] * grid.radius
    ys = height / 2 + toward[1] * beyond + toward[0] * along[:, None] * grid.radius
    key = _key_of_piece(grid, along, xs, ys)
    here = np.argsort(key, kind="stable")
    keys, first, many = np.unique(key[here], return_index=True, return_counts=True)
    kept = np.flatnonzero((keys >= _NONE / 2) & (many >= MIN_PIECE * grid.side))
    first, many, square = first[kept], many[kept], keys[kept] >= _PER_SQUARE
    sampled = np.full((len(kept), int(many.max(initial=0)), len(BAND), 3), np.inf, np.float32)
    places = np.arange(sampled.shape[1]) < many[:, None]
    here = here[(first[:, None] + np.arange(sampled.shape[1]))[places]]
    if len(here):
        columns, rows = (np.asarray(one[here] - 0.5, np.float32) for one in (xs, ys))
        sampled[places] = cv2.remap(grid.logs, columns, rows, cv2.INTER_LINEAR)
    middle = np.bincount(np.nonzero(places)[0], along[here], len(many)) / many
    return _Pieces(middle, many / grid.side, square, sampled, many)


def _key_of_piece(grid: ShadowGrid, along: Floats, xs: Floats, ys: Floats) -> NDArray[np.intp]:
    """Tell for each place along a line on which one piece it lies wholly; `_NONE` if on none."""
    height, width = grid.pieces.shape
    near = np.abs(BAND) <= BESIDE[1]
    columns, rows = xs[:, near], ys[:, near]
    inside = ((columns >= 0) & (columns < width) & (rows >= 0) & (rows < height)).all(axis=1)
    core = grid.pieces[
        rows.clip(0, height - 1).astype(np.intp), columns.clip(0, width - 1).astype(np.intp)
    ]
    whole = inside & (core == core[:, :1]).all(axis=1) & (core[:, 0] >= 0)
    ground = np.where(core[:, 0] == 0, np.floor(along * grid.radius / grid.side), 0)
    return np.where(whole, core[:, 0] * _PER_SQUARE + ground, _NONE).astype(np.intp)


def _judged(grid: ShadowGrid, angle: float, course: Floats) -> ShadowBorder | None:
    """Tell whether light falls by one ratio on the pieces that a line crosses."""
    pieces = _pieces(grid, angle, course)
    deep = pieces.steps.mean(axis=1) < -MIN_DEPTH
    if deep.sum() < MIN_PIECES:
        return None
    depth = np.median(pieces.steps[deep], axis=0)
    told = _refined(pieces, angle, course, depth, MIN_PIECE_SHARE)
    return told if told is not None and told.squares >= MIN_PIECES else None


def _refined(
    pieces: _Pieces, angle: float, course: Floats, depth: Floats, least: float = MIN_CROSSED_SHARE
) -> ShadowBorder | None:
    """Lay a border where light has fallen by half of the depth, on the pieces that show it."""
    cloth, steps = pieces.square, pieces.steps
    agree = np.abs(steps - depth).mean(axis=1) < np.where(cloth, *MAX_DEPTH_ERROR[::-1])
    showing = int(agree.sum())
    if showing < max(MIN_PIECES, least * len(steps)):
        return None
    step = np.median(steps[agree & cloth], axis=0) if (agree & cloth).any() else depth
    if step.mean() > -MIN_DEPTH or np.ptp(step) > -MAX_TINT * step.mean():
        return None
    shares = pieces.shares(agree, depth)
    softness = float(np.median((shares * (1.0 - shares)).sum(axis=1) * _STEP))
    crossings = BAND[-1] + _STEP / 2 - shares.sum(axis=1) * _STEP
    bent = course + _bend(pieces.along[agree], crossings, pieces.length[agree])
    return ShadowBorder(angle, bent, step, showing, int((agree & cloth).sum()), softness)


def find_other_border(
    grid: ShadowGrid, border: ShadowBorder, widths: Floats
) -> ShadowBorder | None:
    """Look for the other side of the bar that a border begins, as wide as one of some, sides."""
    facing = [border.mirrored(float(width)) for width in widths]
    lines = [(one.angle, one.course) for one in facing]
    tried = [_refined(_pieces(grid, *line), *line, border.step) for line in lines]
    return max((one for one in tried if one), key=lambda one: one.pieces, default=None)


def _bend(along: Floats, off: Floats, weights: Floats) -> Floats:
    """Return the change of course, (3,), that the crossings of pieces ask for."""
    terms = np.vander(along, 3)
    drawn = np.diag([8.0, 0.5, 0.0]) * 0.2
    change: Floats = np.zeros(3)
    for _ in range(4):
        residual = off - terms @ change
        scale = max(1.5 * float(np.median(np.abs(residual))), 0.01)
        robust = weights / (1.0 + (residual / scale) ** 2)
        change = np.asarray(
            np.linalg.solve((terms.T * robust) @ terms + drawn, (terms.T * robust) @ off),
            np.float64,
        )
    return change
