"""One plane and one size: the squares of a bundle lie on one table and are congruent.

One homography and one radial term turn every square of the photo into a square of side 1. The
plane is fitted to all candidates at once (`plane_fitting.py`), so that rough corners are averaged
over the bundle and what does not belong stands out.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

UNIT = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]])
"""A square of side 1, clockwise from its top left (y runs down)."""
USUAL_FOCAL = 1.3
"""Usual focal length, in half diagonals of the picture: a phone's 28 mm (of 43.3 mm), between its
main lens, 24 to 28 mm, and what a crop or the longer lens make of it."""
PRIOR_SPREAD = np.array([0.5, 0.5, 0.03, 0.03, 0.02, 0.35])
"""Standard deviations in photographs of a table: perspective (tilt up to 35 degrees stays within
one and a half), stretch beside what a camera of that perspective would show, bend (radial terms up
to 0.06 stay within three) and the logarithm of the focal length."""


@dataclass(frozen=True, eq=False)
class KnownPoints:
    """Points of the plane whose places to each other are known, such as marks on a sheet."""

    shown: Points
    """(m, 2) px of the photo."""
    places: Points
    """(m, 2) in a unit of their own, turned and moved as may be."""
    error: float
    """Usual error of a point, in that unit."""

    def residuals(self, plane: Plane) -> NDArray[np.float64]:
        """How far, (2 m,) in usual errors, they lie from where a similarity has them."""
        z, known = (part @ (1, 1j) for part in (plane.to_plane(self.shown), self.places))
        z, known = z - z.mean(), known - known.mean()
        grow = np.vdot(known, z) / np.vdot(known, known).real
        gap = (z - grow * known) / max(abs(grow), 1e-9)
        return np.concatenate([gap.real, gap.imag]) / self.error


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
    fitted: NDArray[np.float64] = field(default_factory=lambda: np.zeros(6))
    """(6,) perspective, stretch, bend and focal length as fitted: where the next fit begins."""
    known: KnownPoints | None = None
    """What it was fitted to besides the squares; the next fit is, too."""

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

    def scaled(self, side: float) -> Plane:
        """The same plane, in a unit of so many of its own."""
        smaller = np.diag([1 / side, 1 / side, 1.0])
        return replace(self, rectify=smaller @ self.rectify)

    def unlikeliness(self) -> float:
        """How unusual the camera is that shows the plane so: a sum of squares of usual errors."""
        return float((unusual(self.fitted) ** 2).sum())

    def tilt(self) -> float:
        """By how much the camera looks from aside, radians."""
        focal = USUAL_FOCAL * np.exp(self.fitted[5])
        return float(np.arctan(focal * np.hypot(*self.fitted[:2])))

    def camera(self) -> tuple[Points, float]:
        """Where the camera stands: the point (2,) of the plane below it, and its height, in sides.

        From the homography and the focal length (Zhang, IEEE Transactions on Pattern Analysis and
        Machine Intelligence 22, 2000, section 3.1).
        """
        focal = USUAL_FOCAL * np.exp(self.fitted[5])
        seen = np.diag([1 / focal, 1 / focal, 1.0]) @ np.linalg.inv(self.rectify)
        one, two, origin = (seen / np.sqrt(np.prod(np.linalg.norm(seen[:, :2], axis=0)))).T
        turn = np.stack([one, two, np.cross(one, two)], axis=1)
        place = -np.linalg.solve(turn, origin)
        return np.asarray(place[:2], np.float64), abs(float(place[2]))


def _project(h: NDArray[np.float64], x: Points) -> Points:
    y = x @ h[:, :2].T + h[:, 2]
    return np.asarray(y[..., :2] / y[..., 2:])


def outward_of(corners: Points) -> Points:
    """Outward normals (n, 4, 2) of the sides of quadrilaterals (n, 4, 2), as long as the sides."""
    side = np.roll(corners, -1, axis=1) - corners
    return np.stack([side[..., 1], -side[..., 0]], axis=-1)


def with_ends_moved(
    corners: Points, first: NDArray[np.float64], last: NDArray[np.float64]
) -> Points:
    """Quadrilaterals of which both ends of each side move outwards, by (n, 4) in sides."""
    outward = outward_of(corners)
    before = np.roll(last[..., None] * outward, 1, axis=1)
    return np.asarray(corners + first[..., None] * outward + before)


def by_corner(seen: NDArray[np.float64]) -> NDArray[np.float64]:
    """How well each corner (n, 4) is known: both its sides must be seen."""
    return seen * np.roll(seen, 1, axis=1)


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
    share = shares(quads.shape[:2], weight)
    z, unit, centre, unit_centre, grow = _similar(quads, share)
    turn, side = np.angle(grow), np.abs(grow)
    middle = centre - np.exp(1j * turn) * unit_centre
    gap = z - np.exp(1j * turn)[:, None] * unit
    misfit = np.sqrt((share * abs(gap) ** 2).sum(axis=1))
    return Poses(np.stack([middle.real, middle.imag], axis=-1), turn, side, misfit)


def shares(shape: tuple[int, ...], weight: NDArray[np.float64] | None) -> NDArray[np.float64]:
    """Weights (n, 4) of the corners that sum to 1 in each square."""
    share = np.full(shape, 0.25) if weight is None else weight + 1e-6
    return np.asarray(share / share.sum(axis=1, keepdims=True))


Complex = NDArray[np.complex128]


def _similar(
    quads: Points, share: NDArray[np.float64]
) -> tuple[Complex, Complex, Complex, Complex, Complex]:
    """Arms (n, 4) of both from their weighted centres, the centres, and turn times growth (n,)."""
    z, unit = quads[..., 0] + 1j * quads[..., 1], UNIT[..., 0] + 1j * UNIT[..., 1]
    centre, unit_centre = (share * z).sum(axis=1), (share * unit).sum(axis=1)
    arm, unit_arm = z - centre[:, None], unit - unit_centre[:, None]
    part = share * np.conj(unit_arm)
    grow = (part * arm).sum(axis=1) / (part * unit_arm).sum(axis=1).real
    return arm, unit_arm, centre, unit_centre, grow


def plane_of(x: NDArray[np.float64], middle: Points, unit: float) -> Plane:
    """The plane of six unknowns (see `Plane.fitted`), in the unit of the photo (see `Plane`)."""
    perspective = np.array([[1, 0, 0], [0, 1, 0], [x[0], x[1], 1.0]])
    stretch = np.array([[np.exp(x[2]), x[3], 0], [0, np.exp(-x[2]), 0], [0, 0, 1.0]])
    return Plane(middle, unit, stretch @ perspective, float(x[4]), x)


def _foreshortening(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """The stretch (2,) that a camera shows together with the perspective of ``x``.

    A plane whose vanishing line is l . (x, y) + 1 = 0 is seen under a tilt of tangent f |l|; to
    undo it, the plane is stretched along l by 1 / cos (Liebowitz and Zisserman, CVPR 1998). Here
    as an upper triangular matrix of determinant 1.
    """
    one, two = USUAL_FOCAL * np.exp(x[5]) * x[:2]
    root = np.sqrt(1 + one**2)
    scale = (1 + one**2 + two**2) ** 0.25
    return np.array([np.log(root / scale), one * two / (root * scale)])


def unusual(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Unknowns (6,) in usual errors, the stretch beside what shows with the perspective."""
    beside = x.copy()
    beside[2:4] -= _foreshortening(x)
    return np.asarray(beside / PRIOR_SPREAD, np.float64)


def tilted_plane(tilt: NDArray[np.float64], shape: tuple[int, ...]) -> Plane:
    """Return the plane that a camera of the usual lens sees under a tilt.

    Parameters
    ----------
    tilt : (2,)
        Its vanishing line, tilt . (x, y) + 1 = 0 in half diagonals of the photo from its middle.
    shape : tuple
        Height and width of the photo, px. A side is half its diagonal, in its middle.
    """
    height, width = shape[:2]
    x = np.concatenate([tilt, np.zeros(4)])
    x[2:4] = _foreshortening(x)
    return plane_of(x, np.array([width / 2, height / 2]), float(np.hypot(width, height) / 2))
