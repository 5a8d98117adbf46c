"""One plane and one size: the squares of a bundle lie on one table and are congruent.

One homography and one radial term turn every square of the photo into a square of side 1. The
plane is fitted to all candidates at once, so that rough corners are averaged over the bundle and
what does not belong stands out. The poses (middle, turn) are eliminated in closed form at every
step (variable projection; Golub and Pereyra, Inverse Problems 19, 2003), which leaves five
unknowns however many squares there are.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

Points = NDArray[np.float64]

UNIT = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]])
"""A square of side 1, clockwise from its top left (y runs down)."""
PRIOR = np.array([0.5, 0.5, 0.5, 0.5, 0.02])
"""Standard deviations of perspective, stretch and bend in photographs of a table: tilt up to 35
degrees and radial terms up to 0.06 stay within two of them."""
STEEPEST = np.array([0.9, 0.9, 1.0, 1.0, 0.08])
"""No honest photograph goes beyond these."""
ROBUST = 0.04
"""Residuals beyond this part of a side count less and less (soft l1)."""


@dataclass(frozen=True, eq=False)
class Plane:
    """The map between a photo and the plane of the cloth, where a square has side 1."""

    middle: Points
    """(2,) the photo's middle, px."""
    unit: float
    """Half the photo's diagonal, px."""
    rectify: NDArray[np.float64]
    """(3, 3) from straightened photo coordinates to the plane."""
    bend: float
    """Radial term of the division model (Fitzgibbon, CVPR 2001), for radii in ``unit``."""
    fitted: NDArray[np.float64] = field(default_factory=lambda: np.zeros(5))
    """(5,) perspective, stretch and bend as fitted: where the next fit begins."""

    def to_plane(self, points: Points) -> Points:
        """Photo px (..., 2) to plane (..., 2)."""
        x = (points - self.middle) / self.unit
        x = x / (1 + self.bend * (x**2).sum(-1, keepdims=True))
        return _project(self.rectify, x)

    def to_photo(self, points: Points) -> Points:
        """Plane (..., 2) to photo px (..., 2)."""
        x = _project(np.asarray(np.linalg.inv(self.rectify), np.float64), points)
        root = np.sqrt(np.maximum(0.05, 1 - 4 * self.bend * (x**2).sum(-1, keepdims=True)))
        return np.asarray(x * (2 / (1 + root)) * self.unit + self.middle, np.float64)


def _project(h: NDArray[np.float64], x: Points) -> Points:
    y = x @ h[:, :2].T + h[:, 2]
    return np.asarray(y[..., :2] / y[..., 2:])


@dataclass(frozen=True, eq=False)
class Poses:
    """Where each square lies in the plane."""

    middle: Points
    """(n, 2)"""
    turn: NDArray[np.float64]
    """(n,) radians, within an eighth of a turn of the picture's axes."""
    side: NDArray[np.float64]
    """(n,) each square's own side, where 1 is the bundle's."""
    misfit: NDArray[np.float64]
    """(n,) root mean square distance of the corners from those of the best square of side 1."""

    def corners(self, side: NDArray[np.float64] | float = 1.0) -> Points:
        """Corners (n, 4, 2) in the plane of squares of this side."""
        cos, sin = np.cos(self.turn), np.sin(self.turn)
        axes = np.stack([np.stack([cos, sin], -1), np.stack([-sin, cos], -1)], axis=1)
        size = np.broadcast_to(np.asarray(side, dtype=float), self.turn.shape)
        return np.asarray(self.middle[:, None] + size[:, None, None] * (UNIT @ axes))


def poses_of(quads: Points, weight: NDArray[np.float64] | None = None) -> Poses:
    """The squares nearest to quadrilaterals (n, 4, 2) in the plane, corners in order.

    ``weight`` (n, 4) says how much each corner counts; a similarity is fitted in closed form
    (complex least squares).
    """
    share = np.full(quads.shape[:2], 0.25) if weight is None else weight + 1e-6
    share = share / share.sum(axis=1, keepdims=True)
    z, unit = quads[..., 0] + 1j * quads[..., 1], UNIT[:, 0] + 1j * UNIT[:, 1]
    centre, unit_centre = (share * z).sum(axis=1), share @ unit
    arm, unit_arm = z - centre[:, None], unit - unit_centre[:, None]
    grow = (share * arm * np.conj(unit_arm)).sum(axis=1) / (share * abs(unit_arm) ** 2).sum(axis=1)
    turn, side = np.angle(grow), np.abs(grow)
    middle = centre - np.exp(1j * turn) * unit_centre
    gap = z - middle[:, None] - np.exp(1j * turn)[:, None] * unit
    misfit = np.sqrt((share * abs(gap) ** 2).sum(axis=1))
    return Poses(np.stack([middle.real, middle.imag], axis=-1), turn, side, misfit)


def _plane(x: NDArray[np.float64], middle: Points, unit: float) -> Plane:
    perspective = np.array([[1, 0, 0], [0, 1, 0], [x[0], x[1], 1.0]])
    stretch = np.array([[np.exp(x[2]), x[3], 0], [0, np.exp(-x[2]), 0], [0, 0, 1.0]])
    return Plane(middle, unit, stretch @ perspective, float(x[4]), x)


def _scaled(plane: Plane, side: float) -> Plane:
    smaller = np.diag([1 / side, 1 / side, 1.0])
    return replace(plane, rectify=smaller @ plane.rectify)


def _common_side(side: NDArray[np.float64], weight: NDArray[np.float64]) -> float:
    """Weighted median of the quadrilaterals' sides."""
    order = np.argsort(side, kind="stable")
    half = np.searchsorted(np.cumsum(weight[order]), weight.sum() / 2)
    return float(max(side[order][min(half, len(side) - 1)], 1e-9))


def fit_plane(
    quads: Points,
    weight: NDArray[np.float64],
    shape: tuple[int, ...],
    error: float = ROBUST,
    start: Plane | None = None,
) -> Plane:
    """The plane in which most of the quadrilaterals are squares of one size.

    Parameters
    ----------
    quads : (n, 4, 2)
        Corners in px, clockwise; n at least 1.
    weight : (n, 4)
        How much each corner counts, 0 to 1.
    shape : tuple
        Height and width of the photo, px.
    error : float
        Usual error of a corner, in sides.
    start : Plane, optional
        An earlier fit to begin from.
    """
    height, width = shape[:2]
    middle = np.array([width / 2, height / 2])
    unit = float(np.hypot(width, height) / 2)
    root, each = np.sqrt(weight)[..., None], weight.mean(axis=1)

    def residuals(x: NDArray[np.float64]) -> NDArray[np.float64]:
        flat = _plane(x, middle, unit).to_plane(quads)
        flat = flat / _common_side(poses_of(flat, weight).side, each)
        gap = root * (flat - poses_of(flat, weight).corners())
        return np.concatenate([gap.ravel() / error, x / PRIOR])

    fit = least_squares(
        residuals,
        start.fitted if start else np.zeros(5),
        ftol=1e-5,
        loss="soft_l1",
        x_scale=PRIOR,
        bounds=(-STEEPEST, STEEPEST),
    )
    plane = _plane(fit.x, middle, unit)
    side = _common_side(poses_of(plane.to_plane(quads), weight).side, each)
    return _scaled(plane, side)
