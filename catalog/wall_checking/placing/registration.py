"""Where each block of a plan hangs in a photo: the squares seen settle it block by block."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import UNIT
from catalog.wall_checking.placing.plan_arrays import PlanSquares
from catalog.wall_checking.placing.plan_offsets import MEET, PlanOffset, turned_by
from catalog.wall_checking.placing.seen_squares import FlatPicture, SeenSquares

Floats = NDArray[np.float64]

FIT_ROUNDS = 4
OWN_TURN_RAD = 0.02
"""Usual turn of a loose block against the others: about one degree."""
OWN_SHIFT = 0.06
"""Usual shift of one against its row, sides of a square."""
CORNER_ERROR = 0.03
"""Usual error of the detector's corners, sides of a square."""


@dataclass(frozen=True, eq=False)
class Registration:
    """Where the n blocks of a plan hang in one photo."""

    seen: FlatPicture
    origin: Floats
    """(n, 2) the blocks' middles in the flat picture, sides of a square."""
    axes: Floats
    """(n, 2, 2) from inches within the block (finished size) to the flat picture; the columns are
    where an inch to the right and an inch down lead."""
    met: NDArray[np.intp]
    """(n,) how many of its squares are seen."""
    inches: float
    """Finished inches to a side of a square seen."""

    def to_photo(self, block: NDArray[np.intp], local: Floats) -> Floats:
        """Return where the photo shows points of blocks, px.

        Parameters
        ----------
        block : (...,) int
            Of each point.
        local : (..., 2)
            Inches from the block's middle.
        """
        flat = (self.axes[block] @ local[..., None])[..., 0] + self.origin[block]
        return self.seen.to_photo(flat)


def register(
    seen: SeenSquares, offset: PlanOffset, squares: PlanSquares, middles: Floats
) -> Registration:
    """Bring a plan from a guess onto the squares seen, all together and then block by block.

    Parameters
    ----------
    seen : SeenSquares
    offset : PlanOffset
        A guess good to a third of a square.
    squares : PlanSquares
        Of the plan.
    middles : (n, 2)
        Of its blocks.
    """
    own = squares.only(offset.side, offset.turn % 1.0 != 0.0)
    where, local = middles[own.owner], own.local
    at = offset.to_flat(where, local)
    fit = _start(offset)
    pairs = _pairs(at, seen)
    for _ in range(FIT_ROUNDS):
        plan, found = pairs
        if len(plan) < 3:
            break
        fit = _fitted(_design(where[plan], local[plan]), seen.middle[found], fit)
        at = _design(where, local) @ fit
        pairs = _pairs(at, seen)
    return _block_by_block(seen, offset, own, middles, fit, pairs)


def _design(where: Floats, local: Floats) -> Floats:
    return np.column_stack([where, local, np.ones(len(where))])


def _start(offset: PlanOffset) -> Floats:
    """Return a guess as the matrix (5, 2) that `_design` is multiplied with."""
    unit = np.eye(2)
    rows = [turned_by(unit * np.array(offset.spread)[:, None], offset.turn)]
    rows.append(turned_by(unit, offset.turn))
    rows.append(turned_by(np.array(offset.shift)[None], offset.turn))
    return np.concatenate(rows) / offset.side


def _fitted(design: Floats, found: Floats, before: Floats) -> Floats:
    """Return the matrix by which places follow, robustly, held to what it was where few tell."""
    scale = np.sqrt((design**2).mean(axis=0) + 1e-9)
    weight = np.ones(len(design))
    ridge = np.diag([0.02, 0.02, 0.3, 0.3, 1e-6]) * scale**2
    fit = before
    for _ in range(3):
        left = design.T * weight
        fit = before + np.linalg.solve(left @ design + ridge, left @ (found - design @ before))
        off = np.linalg.norm(found - design @ fit, axis=1)
        weight = 1.0 / (1.0 + (off / OWN_SHIFT) ** 2)
    return np.asarray(fit, np.float64)


def _pairs(at: Floats, seen: SeenSquares) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return which of the plan's squares is which of those seen: each the other's nearest."""
    from scipy.spatial import cKDTree

    far, nearest = (np.asarray(part) for part in cKDTree(seen.middle).query(at))
    back = np.asarray(cKDTree(at).query(seen.middle)[1])
    mutual = (back[nearest] == np.arange(len(at))) & (far < MEET)
    plan = np.flatnonzero(mutual)
    return plan.astype(np.intp), np.asarray(nearest[plan], np.intp)


def _block_by_block(
    seen: SeenSquares,
    offset: PlanOffset,
    own: PlanSquares,
    middles: Floats,
    fit: Floats,
    pairs: tuple[NDArray[np.intp], NDArray[np.intp]],
) -> Registration:
    count = len(middles)
    origin = _design(middles, np.zeros((count, 2))) @ fit
    axes = np.repeat(fit[2:4].T[None], count, axis=0)
    plan, found = pairs
    owner = own.owner[plan]
    met = np.bincount(owner, minlength=count).astype(np.intp)
    shift, turn = np.zeros((count, 2)), np.zeros(count)
    unit = turned_by(UNIT, offset.turn % 1.0) * offset.side
    corners = (own.local[plan][:, None] + unit) @ fit[2:4]
    corners = corners + origin[owner][:, None]
    shown = _in_order(seen.corners[found], corners)
    for block in np.flatnonzero(met):
        mine = owner == block
        shift[block], turn[block] = _own_pose(
            (corners[mine] - origin[block]).reshape(-1, 2),
            (shown[mine] - corners[mine]).reshape(-1, 2),
        )
    unmet = met == 0
    if unmet.any() and not unmet.all():
        shift[unmet] = _borrowed(origin[unmet], origin[~unmet], shift[~unmet])
    cos, sin = np.cos(turn), np.sin(turn)
    spin = np.stack([np.stack([cos, -sin], -1), np.stack([sin, cos], -1)], axis=1)
    return Registration(seen, origin + shift, spin @ axes, met, offset.side)


def _in_order(shown: Floats, planned: Floats) -> Floats:
    """Return corners (m, 4, 2) seen, those first that lie at the first planned."""
    rolls = np.stack([np.roll(shown, k, axis=1) for k in range(4)])
    best = ((rolls - planned) ** 2).sum(axis=(2, 3)).argmin(axis=0)
    return np.asarray(rolls[best, np.arange(len(shown))], np.float64)


def _own_pose(arms: Floats, gaps: Floats) -> tuple[Floats, float]:
    """Return shift and turn of a block by which points at ``arms`` move by ``gaps``."""
    weight = np.ones(len(arms))
    known: Floats = np.zeros(3)
    prior = np.diag([OWN_SHIFT**-2, OWN_SHIFT**-2, OWN_TURN_RAD**-2])
    ones, none = np.ones(len(arms)), np.zeros(len(arms))
    across = np.stack([ones, none, -arms[:, 1]], axis=1)
    down = np.stack([none, ones, arms[:, 0]], axis=1)
    for _ in range(3):
        part = weight / CORNER_ERROR**2
        left = (across.T * part) @ across + (down.T * part) @ down + prior
        right = (across.T * part) @ gaps[:, 0] + (down.T * part) @ gaps[:, 1]
        known = np.asarray(np.linalg.solve(left, right), np.float64)
        off = np.hypot(gaps[:, 0] - across @ known, gaps[:, 1] - down @ known)
        weight = 1.0 / (1.0 + (off / (2.0 * CORNER_ERROR)) ** 2)
    return known[:2], float(known[2])


def _borrowed(at: Floats, known: Floats, shift: Floats) -> Floats:
    """Return what blocks that aren't seen are shifted by: as those near them."""
    far = np.linalg.norm(at[:, None] - known, axis=-1)
    near = np.exp(-0.5 * (far / (far.min(axis=1, keepdims=True) + 0.5)) ** 2)
    return np.asarray((near[..., None] * shift).sum(axis=1) / near.sum(axis=1)[:, None])
