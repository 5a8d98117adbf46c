"""Rows and columns, as a person reads them."""

import numpy as np
import pytest

from catalog.finding.layout.lattice import common_turn, read_rows
from catalog.finding.shared_plane import Poses


def layout(middles, turn=0.0, jitter=0.0, seed=0):
    """Poses of squares, the whole turned by ``turn``, shuffled; with the order that undoes it."""
    rng = np.random.default_rng(seed)
    middles = np.asarray(middles, float) + rng.normal(0, jitter, (len(middles), 2))
    cos, sin = np.cos(turn), np.sin(turn)
    middles = middles @ np.array([[cos, sin], [-sin, cos]])
    order = rng.permutation(len(middles))
    n = len(middles)
    poses = Poses(middles[order], np.full(n, turn), np.ones(n), np.zeros(n))
    return poses, np.argsort(order)


def places(lattice, back):
    return list(zip(lattice.row[back].tolist(), lattice.col[back].tolist(), strict=True))


def grid(rows, cols, across=1.1, down=1.1):
    return [(c * across, r * down) for r in range(rows) for c in range(cols)]


def numbered(rows, cols):
    return [(r + 1, c + 1) for r in range(rows) for c in range(cols)]


@pytest.mark.parametrize("turn", [0.0, 0.15, -0.4])
@pytest.mark.parametrize(("rows", "cols"), [(1, 1), (1, 7), (2, 2), (5, 8), (12, 3)])
def test_grid(rows, cols, turn):
    poses, back = layout(grid(rows, cols), turn, jitter=0.02)
    assert places(read_rows(poses), back) == numbered(rows, cols)


def test_touching_and_overlapping_rows():
    poses, back = layout(grid(6, 7, across=1.0, down=0.4), jitter=0.01)
    assert places(read_rows(poses), back) == numbered(6, 7)


def test_last_row_incomplete():
    middles = grid(3, 5)[:13]
    poses, back = layout(middles, jitter=0.02)
    assert places(read_rows(poses), back) == numbered(3, 5)[:13]


def test_gap_within_a_row_keeps_its_column():
    keep = [k for k in range(15) if k not in (6, 7)]
    poses, back = layout([grid(3, 5)[k] for k in keep], jitter=0.02)
    assert places(read_rows(poses), back) == [numbered(3, 5)[k] for k in keep]


def test_row_that_begins_later():
    keep = [k for k in range(15) if k != 5]
    poses, back = layout([grid(3, 5)[k] for k in keep])
    assert places(read_rows(poses), back) == [numbered(3, 5)[k] for k in keep]


def test_staggered_rows_count_along_each_row():
    middles = [(c * 1.1 + 0.55 * (r % 2), r * 1.1) for r in range(4) for c in range(5)]
    poses, back = layout(middles, jitter=0.01)
    assert places(read_rows(poses), back) == numbered(4, 5)


def test_columns_that_lean():
    middles = [(c * 1.05 + 0.15 * r, r * 1.05) for r in range(8) for c in range(6)]
    poses, back = layout(middles)
    assert places(read_rows(poses), back) == numbered(8, 6)


def test_heap_has_no_rows_but_an_order():
    rng = np.random.default_rng(5)
    n = 20
    poses = Poses(rng.uniform(0, 9, (n, 2)), rng.uniform(-0.8, 0.8, n), np.ones(n), np.zeros(n))
    lattice = read_rows(poses)
    assert not lattice.row.any()
    assert sorted(lattice.order.tolist()) == list(range(n))


def test_order_does_not_depend_on_the_list():
    orders = set()
    for seed in range(4):
        poses, _ = layout(grid(4, 6), jitter=0.0, seed=seed)
        order = read_rows(poses).order
        orders.add(tuple(map(tuple, np.round(poses.middle[order], 6))))
    assert len(orders) == 1


def test_common_turn_takes_quarters_as_alike():
    assert common_turn(np.array([0.1, 0.1 + np.pi / 2, 0.1 - np.pi])) == pytest.approx(0.1)
