"""Which sides lie hidden under other squares.

Where two squares overlap, one covers a part of the other: only the sides of the upper one are seen
there. Whatever the photo shows where a side is hidden belongs to the print of the upper square and
must not draw the lower one astray. Which lies on top is told by whose sides stand out, and since
rows are laid one after the other, by how the other pairs of the bundle lie.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.edge_profile import EdgeProfiles
from catalog.finding.layout.neighbours import spaces, ways
from catalog.finding.shared_plane import poses_of

Array = NDArray[np.float64]

OVERLAP_DEPTH = 0.03
"""A side that reaches further than this into another square overlaps it, in sides; while a look
reaches further, further than the look: else two squares supposed a little too large would hide each
other's edges and could never part."""
MIN_SHOWN = 0.5
"""A side of which less than this part is shown lies under another square."""
MAX_HIDDEN_SHARE = 0.7
"""Where more than this part of the sides that look one way are hidden, all of them are."""
MAX_PAIR_DISTANCE = 1.5
"""Squares whose middles lie further apart, in sides, don't overlap."""


def clearness(seen: Array, shown: Array) -> Array:
    """How clearly the sides (n, 4) that no other square covers are seen on average, (n,) 0 to 1."""
    return np.asarray((seen * shown).sum(axis=1) / np.maximum(shown.sum(axis=1), 1))


def without_hidden(
    evidence: EdgeProfiles, corners: Array, up: Array | None = None, deep: float | None = None
) -> EdgeProfiles:
    """Evidence in which hidden stretches of sides say nothing.

    Parameters
    ----------
    evidence : EdgeProfiles
        What was seen along the sides of n squares.
    corners : (n, 4, 2)
        Where they were supposed, in the plane.
    up : (2,), optional
        The direction in which rows lie on top, where that is known.
    deep : float, optional
        How far a side must reach into another square to overlap it, in sides; left out,
        `OVERLAP_DEPTH` or as far as the evidence reaches.
    """
    if deep is None:
        deep = max(OVERLAP_DEPTH, float(evidence.offset[-1]))
    inside = _inside(corners, evidence.along, deep)
    below, above = np.nonzero(inside.any(axis=(2, 3)) | inside.any(axis=(2, 3)).T)
    first = below < above
    if not first.any():
        return evidence
    one, two = below[first], above[first]
    votes = evidence.votes
    lead = _prominence(votes[two], inside[two, one]) - _prominence(votes[one], inside[one, two])
    two_on_top = lead > 0
    if up is not None:
        gap = corners[two].mean(axis=1) - corners[one].mean(axis=1)
        across = np.abs(gap @ up) > 0.5 * np.linalg.norm(gap, axis=1)
        two_on_top = np.where(across, gap @ up > 0, two_on_top)
    shown = np.ones(votes.shape[:3], bool)
    for on_top, lower, upper in ((two_on_top, one, two), (~two_on_top, two, one)):
        for i, j in zip(lower[on_top], upper[on_top], strict=True):
            shown[i] &= ~inside[i, j]
    shown &= ~_under_the_next_row(shown, corners)[..., None]
    return evidence.only(shown)


def _under_the_next_row(shown: NDArray[np.bool_], corners: Array) -> NDArray[np.bool_]:
    """Sides (n, 4) that lie under the next row because most sides that look its way do."""
    under = np.zeros(shown.shape[:2], bool)
    for row in ways(corners):
        here = np.flatnonzero(row.ahead >= 0)
        if not len(here):
            continue
        side = row.side[here]
        hidden = shown[here, side].mean(axis=1) < MIN_SHOWN
        if hidden.mean() > MAX_HIDDEN_SHARE:
            under[here, side] |= spaces(row) < OVERLAP_DEPTH
    return under


def _inside(corners: Array, along: Array, deep: float) -> NDArray[np.bool_]:
    """Whether stretches of the sides of i lie within square j, (n, n, 4, stretches)."""
    poses = poses_of(corners)
    side = np.roll(corners, -1, axis=1) - corners
    places = corners[:, :, None] + (along + 0.5)[:, None] * side[:, :, None]
    apart = np.linalg.norm(poses.middle[:, None] - poses.middle, axis=2)
    np.fill_diagonal(apart, np.inf)
    one, other = np.nonzero(apart < MAX_PAIR_DISTANCE)
    gap = places[one] - poses.middle[other][:, None, None]
    cos, sin = (f(poses.turn[other])[:, None, None] for f in (np.cos, np.sin))
    across = np.abs(cos * gap[..., 0] + sin * gap[..., 1])
    down = np.abs(cos * gap[..., 1] - sin * gap[..., 0])
    inside = np.zeros((len(corners), len(corners), *places.shape[1:3]), bool)
    half = poses.side[other][:, None, None] / 2
    inside[one, other] = np.maximum(across, down) < half - deep
    return np.asarray(inside)


def _prominence(votes: NDArray[np.float32], where: NDArray[np.bool_]) -> Array:
    """How clearly the sides (p, 4, stretches, k) stand out where they are contested, (p,)."""
    count = where.sum(axis=2)
    curve = (votes * where[..., None]).sum(axis=2) / np.maximum(count, 1)[..., None]
    stands = curve.max(axis=2) - np.median(curve, axis=2)
    return np.asarray((stands * count).sum(axis=1) / np.maximum(count.sum(axis=1), 1))
