"""The plane in which most quadrilaterals are squares: robust least squares in six unknowns.

The poses (middle, turn) of the squares are eliminated in closed form at every step (variable
projection; Golub and Pereyra, Inverse Problems 19, 2003), which leaves six unknowns and the usual
size however many squares there are, and derivatives that can be written down. The steps are
Levenberg's and Marquardt's (Marquardt, SIAM Journal on Applied Mathematics 11, 1963) with the
second derivative of the loss taken in (Triggs and others, Bundle Adjustment - A Modern Synthesis,
2000, section 4.3).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.finding.shared_plane import (
    PRIOR_SPREAD,
    UNIT,
    USUAL_FOCAL,
    KnownPoints,
    Plane,
    Points,
    plane_of,
    poses_of,
    shares,
    unusual,
)

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]

LIMITS = np.array([0.9, 0.9, 1.0, 1.0, 0.08, 1.2, np.inf])
"""No honest photograph goes beyond these; any size does."""
SPREAD = np.append(PRIOR_SPREAD, 0.05)
"""Usual errors of the unknowns, by which steps are shortened: the logarithm of the size is known
as well as the detector tells sides."""
RESIDUAL_SCALE = 0.04
"""Residuals beyond this part of a side count less and less (soft l1)."""
MAX_STEPS = 60
"""Steps tried at most; nearly all fits end within ten."""
MIN_GAIN = 1e-7
"""Part of the loss by which a step must lower it; with less the fit has ended."""
FIRST_DAMPING, MAX_DAMPING = 1e-4, 1e6
"""How much the first step is shortened, in the unknowns' usual errors, and the most that any is."""
SMALL = 1e-7
"""Step of derivatives that are taken by differences."""
GAP_UNKNOWNS = [0, 1, 2, 3, 4, 6]
"""Unknowns that squares tell of; the focal length is the prior's alone."""


def fit_plane(
    quads: Points,
    weight: Array,
    shape: tuple[int, ...],
    error: float = RESIDUAL_SCALE,
    start: Plane | None = None,
    known: KnownPoints | None = None,
    side: Array | float | None = 1.0,
) -> Plane:
    """The plane in which most of the quadrilaterals are squares of one size, or of sizes told.

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
    known : KnownPoints, optional
        Fitted as well; those of ``start`` if None.
    side : (n,), float or None
        What each measures, where 1 is the usual one; None where each may be of any size, so that
        only its shape tells of the plane.
    """
    height, width = shape[:2]
    middle = np.array([width / 2, height / 2])
    unit = float(np.hypot(width, height) / 2)
    known = known or (start.known if start else None)
    x = (quads - middle) / unit
    misfit = PlaneMisfit(x[..., 0], x[..., 1], weight, error, side, middle, unit, known)
    found = least(misfit, misfit.begin(start.fitted if start else np.zeros(6)))
    plane = replace(plane_of(found[:6], middle, unit), known=known)
    told = poses_of(plane.to_plane(quads), weight).side
    own = told if side is None else told / side
    return plane.scaled(_common(own, weight.mean(axis=1)))


def least(misfit: PlaneMisfit, begin: Array) -> Array:
    """Unknowns (7,) that make the loss least, from where they begin."""
    found = np.clip(begin, -LIMITS, LIMITS)
    residuals, slopes = misfit.at(found)
    loss, damping = soft_loss(residuals), FIRST_DAMPING
    for _ in range(MAX_STEPS):
        bent = np.sqrt(1 + residuals**2)
        pull = slopes.T @ (residuals / bent)
        matrix = (slopes / bent[:, None] ** 3).T @ slopes + np.diag(damping / SPREAD**2)
        tried = np.clip(found - np.linalg.solve(matrix, pull), -LIMITS, LIMITS)
        other, other_slopes = misfit.at(tried)
        gain = loss - soft_loss(other)
        if gain > 0:
            found, residuals, slopes, loss = tried, other, other_slopes, loss - gain
            damping /= 10
            if gain < MIN_GAIN * loss:
                break
        elif damping > MAX_DAMPING:
            break
        else:
            damping = max(damping, FIRST_DAMPING) * 10
    return found


def soft_loss(residuals: Array) -> float:
    """Soft l1: square where small, then its root."""
    return float((np.sqrt(1 + residuals**2) - 1).sum())


def _common(side: Array, weight: Array) -> float:
    """Weighted median of the quadrilaterals' sides."""
    order = np.argsort(side, kind="stable")
    half = np.searchsorted(np.cumsum(weight[order]), weight.sum() / 2)
    return float(max(side[order][min(half, len(side) - 1)], 1e-9))


@dataclass(frozen=True, eq=False)
class PlaneMisfit:
    """How far quadrilaterals and known points are from what a plane should show."""

    x: Array
    """(n, 4) across, from the photo's middle, in half its diagonal."""
    y: Array
    """(n, 4) down."""
    weight: Array
    """(n, 4)"""
    error: float
    """See `fit_plane`, as for the next."""
    side: Array | float | None
    middle: Points
    """(2,) of the photo, px."""
    unit: float
    """Half its diagonal, px."""
    known: KnownPoints | None

    def begin(self, unknown: Array) -> Array:
        """Unknowns (7,) with the logarithm of the size that most have in such a plane (6,)."""
        flat, _ = self._flat(unknown)
        size = np.abs(_grown(flat, *_forms(flat.shape, self.weight)))
        told = np.ones(1) if self.side is None else size / self.side
        return np.append(unknown, np.log(_common(told, self.weight.mean(axis=1))))

    def at(self, unknown: Array) -> tuple[Array, Array]:
        """Residuals (m,) in usual errors and their derivatives (m, 7)."""
        flat, flat_slopes = self._flat(unknown[:6])
        gap, gap_slopes = self._gaps(flat, flat_slopes, float(np.exp(unknown[6])))
        each, count = gap_slopes.reshape(-1, 6), gap.size
        slopes = np.zeros((2 * count + 6, 7))
        slopes[:count, GAP_UNKNOWNS] = each.real
        slopes[count : 2 * count, GAP_UNKNOWNS] = each.imag
        slopes[2 * count :, :6] = _prior_slopes(unknown)
        residuals = np.concatenate([gap.real.ravel(), gap.imag.ravel(), unusual(unknown[:6])])
        if self.known is None:
            return residuals, slopes
        also, more = self._of_known(self.known, unknown)
        return np.concatenate([residuals, also]), np.concatenate([slopes, more])

    def _of_known(self, known: KnownPoints, unknown: Array) -> tuple[Array, Array]:
        """Residuals of known points, and their derivatives by differences."""
        also, *moved = (
            known.residuals(plane_of(unknown[:6] + step, self.middle, self.unit))
            for step in SMALL * np.eye(7, 6, -1)
        )
        slopes = [(one - also) / SMALL for one in moved]
        return also, np.stack([*slopes, np.zeros_like(also)], axis=1)

    def _flat(self, unknown: Array) -> tuple[Complex, Complex]:
        """Corners (n, 4) in the plane and their derivatives (n, 4, 5)."""
        one, two, stretch, slant, bend, _ = unknown
        square = self.x**2 + self.y**2
        straight = 1 + bend * square
        x, y = self.x / straight, self.y / straight
        depth = 1 + one * x + two * y
        u, v = x / depth, y / depth
        wide, high = np.exp(stretch), np.exp(-stretch)
        flat = wide * u + slant * v + 1j * (high * v)
        along = -flat / depth
        slopes = np.stack(
            [
                along * x,
                along * y,
                wide * u - 1j * (high * v),
                v.astype(complex),
                along * (square / straight),
            ],
            axis=-1,
        )
        return flat, slopes

    def _gaps(self, flat: Complex, slopes: Complex, common: float) -> tuple[Complex, Complex]:
        """How far corners are off squares, (n, 4) in usual errors, and derivatives (n, 4, 6)."""
        share, form = _forms(flat.shape, self.weight)
        arm = flat - (share * flat).sum(axis=1)[:, None]
        arm_slopes = slopes - (share[..., None] * slopes).sum(axis=1)[:, None]
        grow = _grown(arm, share, form)
        size = np.abs(grow)
        turn = grow / size
        turned = turn.conj()[:, None] * _grown(arm_slopes, share[..., None], form[..., None])
        own = size if self.side is None else np.broadcast_to(common * self.side, size.shape)
        by_own = arm / own[:, None]
        gap = by_own - turn[:, None] * form
        gap_slopes = np.empty((*gap.shape, 6), np.complex128)
        turning = (1j * turn / size)[:, None] * turned.imag
        gap_slopes[..., :5] = arm_slopes / own[:, None, None] - turning[:, None] * form[..., None]
        if self.side is None:
            gap_slopes[..., :5] -= by_own[..., None] * (turned.real / own[:, None])[:, None]
        gap_slopes[..., 5] = 0 if self.side is None else -by_own
        root = np.sqrt(self.weight) / self.error
        return np.asarray(root * gap), np.asarray(root[..., None] * gap_slopes)


def _forms(shape: tuple[int, ...], weight: Array) -> tuple[Array, Complex]:
    """Shares (n, 4) of the corners, and the arms (n, 4) of a square from its middle by them."""
    share = shares(shape, weight)
    form = UNIT @ (1, 1j)
    return share, np.asarray(form - (share * form).sum(axis=1)[:, None])


def _grown(arm: Complex, share: Array, form: Complex) -> Complex:
    """Turn times growth (n,) of squares whose corners' arms are these; their derivatives alike."""
    part = share * form.conj()
    return np.asarray((part * arm).sum(axis=1) / (part * form).sum(axis=1).real)


def _prior_slopes(unknown: Array) -> Array:
    """Derivatives (6, 6) of `unusual`."""
    focal = USUAL_FOCAL * np.exp(unknown[5])
    one, two = focal * unknown[:2]
    root, square = np.sqrt(1 + one**2), 1 + one**2 + two**2
    scale = root * square**0.25
    slant = one * two / scale
    by_one = np.array(
        [
            one / root**2 - one / (2 * square),
            two / scale - slant * (one / root**2 + one / (2 * square)),
        ]
    )
    by_two = np.array([-two / (2 * square), one / scale - slant * two / (2 * square)])
    slopes = np.eye(6)
    slopes[2:4, 0] -= focal * by_one
    slopes[2:4, 1] -= focal * by_two
    slopes[2:4, 5] -= one * by_one + two * by_two
    return np.asarray(slopes / PRIOR_SPREAD[:, None])
