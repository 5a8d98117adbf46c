"""Patches that lie in rows and columns, as those of a colour chart do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.light.references.flat_patches import FlatPatch

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

ROWS, COLUMNS = 4, 6
MIN_PATCHES = 12
"""Patches of the chart that have to be seen: half of them; dark ones are lost in the frame."""
MAX_PATCHES = 40
"""Patches in one grid; more are a checked cloth or a tiled floor."""
MAX_AREA_RATIO = 2.0
"""Greatest ratio of two patches' areas."""
MAX_STEP_RATIO = 1.7
"""Greatest ratio of the steps along rows and columns, and to a patch's own side."""
MAX_PLACE_ERROR = 0.22
"""How far from its place in the grid a patch may lie, in steps."""
MAX_SEEDS = 40
"""Patches that a grid is begun from."""
_SEARCH_RADII = (1.6, 2.6, 4.5, 9.0)


def grids(patches: Sequence[FlatPatch]) -> Iterator[Floats]:
    """Give the homographies, (3, 3), from places in a grid to the picture, of all grids seen.

    A grid's first patch has its centre at (0, 0), the next along a row at (1, 0). Rows run
    clockwise to columns in the picture, so that no grid is mirrored. Larger grids come first.
    """
    centres = np.array([one.centre for one in patches]).reshape(-1, 2)
    areas = np.array([one.area for one in patches])
    taken = np.zeros(len(patches), bool)
    found: list[tuple[int, Floats]] = []
    for seed in _seeds(patches):
        if taken[seed]:
            continue
        like = (areas < areas[seed] * MAX_AREA_RATIO) & (areas * MAX_AREA_RATIO > areas[seed])
        if like.sum() < MIN_PATCHES:
            continue
        best = max(_begun(centres, seed, like, areas[seed] ** 0.5), key=_members, default=None)
        if best is None or len(best[1]) < MIN_PATCHES:
            continue
        taken[best[1]] = True
        if len(best[1]) > MAX_PATCHES:
            continue
        found.append((len(best[1]), best[0]))
    for _, grid in sorted(found, key=lambda one: -one[0]):
        yield from _blocks(grid, centres)


def _members(grown: tuple[Floats, Whole]) -> tuple[int, float]:
    """Rank by number; of a grid and its sheared twin the one with the shorter steps goes first."""
    grid, members = grown
    origin, across, down = mapped(grid, np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    return len(members), -float(np.hypot(*(across - origin)) + np.hypot(*(down - origin)))


def _seeds(patches: Sequence[FlatPatch]) -> list[int]:
    """Return where to begin: patches that have many others of their size."""
    areas = np.log([one.area for one in patches])
    company = [int((np.abs(areas - area) < np.log(MAX_AREA_RATIO)).sum()) for area in areas]
    return sorted(range(len(patches)), key=lambda i: -company[i])[:MAX_SEEDS]


def _begun(
    centres: Floats, seed: int, like: NDArray[np.bool_], side: float
) -> Iterator[tuple[Floats, Whole]]:
    """Grow a grid from a patch and two of its neighbours, in all ways that they allow."""
    away = centres - centres[seed]
    far = np.hypot(*away.T)
    near = np.flatnonzero(like & (far > side) & (far < 2.0 * MAX_STEP_RATIO * side))
    near = near[np.argsort(far[near])][:8]
    for one in near:
        for two in near:
            across, down = away[one], away[two]
            turn = across[0] * down[1] - across[1] * down[0]
            ratio = far[one] / far[two]
            if turn > 0.5 * far[one] * far[two] and 1 / MAX_STEP_RATIO < ratio < MAX_STEP_RATIO:
                yield _grown(centres, seed, like, np.column_stack([across, down]))


def _grown(
    centres: Floats, seed: int, like: NDArray[np.bool_], steps: Floats
) -> tuple[Floats, Whole]:
    """Return the grid's homography and the patches in it."""
    grid = np.eye(3)
    grid[:2, :2], grid[:2, 2] = steps, centres[seed]
    members = np.zeros(0, np.int64)
    for reach in _SEARCH_RADII:
        places = mapped(_inverse(grid), centres)
        nearest = np.round(places)
        off = np.abs(places - nearest).max(axis=1)
        good = like & (off < MAX_PLACE_ERROR) & (np.abs(nearest).max(axis=1) <= reach)
        members = np.flatnonzero(good)
        if len(members) < 4:
            break
        fitted = _fitted(nearest[members], centres[members])
        if fitted is None:
            break
        grid = fitted
    return grid, members


def _fitted(places: Floats, points: Floats) -> Floats | None:
    import cv2

    if len(np.unique(places[:, 0])) < 2 or len(np.unique(places[:, 1])) < 2:
        return None
    grid, _ = cv2.findHomography(places, points, 0)
    if grid is None or not np.isfinite(grid).all() or abs(np.linalg.det(grid)) < 1e-9:
        return None
    return np.asarray(grid, np.float64)


def _blocks(grid: Floats, centres: Floats) -> Iterator[Floats]:
    """Give each way in which a chart can lie on a grid, as its own homography.

    The chart's 6 columns run along x: in four turns, and at each place that covers LEAST of the
    patches.
    """
    exact = mapped(_inverse(grid), centres)
    places = np.asarray(np.round(exact), np.float64)
    near = np.abs(exact - places).max(axis=1) < MAX_PLACE_ERROR
    inside = places[near & (np.abs(places).max(axis=1) <= _SEARCH_RADII[-1])]
    for quarter in range(4):
        turn = np.linalg.matrix_power(np.array([[0, -1], [1, 0]]), quarter)
        there = inside @ turn
        low, high = there.min(axis=0), there.max(axis=0)
        for x in np.arange(low[0] - COLUMNS + 1, high[0] + 1):
            for y in np.arange(low[1] - ROWS + 1, high[1] + 1):
                at = there - (x, y)
                covered = (at >= 0).all(axis=1) & (at < (COLUMNS, ROWS)).all(axis=1)
                if covered.sum() >= max(MIN_PATCHES, 0.6 * len(inside)):
                    move = np.eye(3)
                    move[:2, :2], move[:2, 2] = turn, turn @ (x, y)
                    yield np.asarray(grid @ move)


def _inverse(matrix: Floats) -> Floats:
    return np.asarray(np.linalg.inv(matrix), np.float64)


def mapped(matrix: Floats, points: Floats) -> Floats:
    """Return points (n, 2) where a homography (3, 3) takes them."""
    there = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(there[:, :2] / there[:, 2:])
