"""How well each cloth of the bundle explains what shows in each part of a block.

A block's parts lie under one light, which the wall's field may miss by a little: that error is
common to them and integrated over (a Gaussian, in closed form by Woodbury's identity), so that
parts are told from one another more exactly than the light is known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import lab_to_linear, linear_to_lab
from catalog.wall_checking.cloth_features import FEATURES, ClothFeatures

Floats = NDArray[np.float64]

MEAN_ERROR = np.array([1.6, 1.0, 1.0])
"""Usual error of L*, a*, b* of a cloth on the wall against its square in the bundle's photo, the
wall's light apart."""
CHANNEL_SHARE, CHANNEL_ERROR = 0.03, 0.004
"""Usual error of each channel of linear light besides, as a share and of 1 for white: what strong
and dark colours are off by."""
CLIPPED_SHARE = 0.4
"""Share by which a channel may be more than what is seen of it where it is clipped."""
MIN_CLIPPED = 0.02
"""Share of a part below which what is clipped of it says nothing."""
SPREAD_ERROR = np.array([1.0, 0.8, 0.8, 0.6])
"""Usual error of the spreads and of the print's steps."""
SPREAD_SHARE = np.array([0.25, 0.25, 0.25, 0.4])
"""Part of them by which they may be off besides: photos differ in sharpness and noise."""
LIGHT_ERROR = np.array([0.05, 0.5, 0.5])
"""What the field may miss over a whole block: of brightness (logarithm), a* and b*."""
TAIL = 8.0
"""Degrees of freedom of the likelihoods' tails: what is far off is far off, not impossible."""


@dataclass(frozen=True, eq=False)
class Evidence:
    """Quadratic forms of one part of k blocks under each of c cloths."""

    square: Floats
    """(k, c) of the residual."""
    pull: Floats
    """(k, c, 3) towards an error of the light."""
    stiff: Floats
    """(k, c, 3, 3) against it."""
    volume: Floats
    """(k, c) logarithm of the covariance's determinant."""


def evidence_of(
    shown: Floats, clipped: Floats, cloths: ClothFeatures, share: float = 1.0
) -> Evidence:
    """Hold features against cloths.

    Parameters
    ----------
    shown : (k, 7)
        Of one part of each block.
    clipped : (k, 3)
        Share of it whose channels the camera clipped.
    cloths : ClothFeatures
    share : float
        How much this part tells: below 1 where it is small.
    """
    covariance = _covariance(cloths) / share
    inverse = np.asarray(np.linalg.inv(covariance), np.float64)
    residual = shown[:, None] - cloths.mean
    ways = _light_ways(shown)
    weighed = np.einsum("cij,kcj->kci", inverse, residual)
    told = Evidence(
        (residual * weighed).sum(axis=-1),
        np.einsum("kiw,kci->kcw", ways, weighed),
        np.einsum("kiw,cij,kjv->kcwv", ways, inverse, ways, optimize=True),
        np.broadcast_to(np.linalg.slogdet(covariance)[1], residual.shape[:2]).copy(),
    )
    rows = np.flatnonzero(clipped.max(axis=1, initial=0.0) > MIN_CLIPPED)
    if len(rows):
        own = CLIPPED_SHARE * clipped[rows, None, :] * _channel_ways(shown[rows])
        _loosen(told, rows, own, inverse, residual[rows], ways[rows])
    return told


def _loosen(
    told: Evidence,
    rows: NDArray[np.intp],
    own: Floats,
    inverse: Floats,
    residual: Floats,
    ways: Floats,
) -> None:
    """Let what is seen of some blocks be off in the ways (r, 7, 3) of their clipped channels.

    All at once, as the channels' ways lie near one another; Woodbury's identity.
    """
    known = np.einsum("cij,kjm->kcim", inverse, own)
    stiff = np.eye(own.shape[-1]) + np.einsum("kim,kcin->kcmn", own, known)
    pull = np.einsum("kcim,kci->kcm", known, residual)
    across = np.einsum("kiw,kcim->kcwm", ways, known)
    solved = np.linalg.solve(stiff, np.concatenate([pull[..., None], across.swapaxes(2, 3)], -1))
    told.square[rows] -= (pull * solved[..., 0]).sum(axis=-1)
    told.pull[rows] -= (across @ solved[..., :1])[..., 0]
    told.stiff[rows] -= across @ solved[..., 1:]
    told.volume[rows] += np.linalg.slogdet(stiff)[1]


def _covariance(cloths: ClothFeatures) -> Floats:
    usual = np.zeros((len(cloths.mean), FEATURES))
    usual[:, :3] = MEAN_ERROR
    usual[:, 3:] = np.hypot(SPREAD_ERROR, SPREAD_SHARE * cloths.mean[:, 3:])
    light = np.maximum(lab_to_linear(cloths.mean[:, :3]), CHANNEL_ERROR)
    off = np.hypot(CHANNEL_SHARE * light, CHANNEL_ERROR) / light
    if cloths.clipped is not None:
        off = np.hypot(off, CLIPPED_SHARE * cloths.clipped[:, None])
    ways = _channel_ways(cloths.mean) * off[:, None, :]
    return cloths.spread + usual[:, :, None] ** 2 * np.eye(FEATURES) + ways @ ways.swapaxes(1, 2)


def _channel_ways(shown: Floats) -> Floats:
    """Return how features (k, 7) move with each channel's logarithm, (k, 7, 3)."""
    light = np.maximum(lab_to_linear(shown[:, :3]), CHANNEL_ERROR)
    step = 0.01
    moved = linear_to_lab(light[:, None] * (1.0 + step * np.eye(3)))
    ways = np.zeros((len(shown), FEATURES, 3))
    ways[:, :3] = ((moved - linear_to_lab(light)[:, None]) / step).swapaxes(1, 2)
    return ways


def _light_ways(shown: Floats) -> Floats:
    """Return how features (k, 7) move with the light, (k, 7, 3)."""
    ways = np.zeros((len(shown), FEATURES, 3))
    ways[:, 0, 0] = (shown[:, 0] + 16.0) / 3.0
    ways[:, 1:3, 0] = shown[:, 1:3] / 3.0
    ways[:, 1, 1] = ways[:, 2, 2] = 1.0
    return ways


def likelihood(parts: list[Evidence]) -> Floats:
    """Return the logarithm of the likelihood, (k, h), of parts under h hypotheses.

    Parameters
    ----------
    parts : list of Evidence
        Of each part the evidence, (k, h), under the cloth that each hypothesis has there.
    """
    square = sum((one.square for one in parts[1:]), parts[0].square)
    pull = sum((one.pull for one in parts[1:]), parts[0].pull)
    stiff = sum((one.stiff for one in parts[1:]), parts[0].stiff)
    volume = sum((one.volume for one in parts[1:]), parts[0].volume)
    whole = stiff + np.diag(LIGHT_ERROR**-2.0)
    taken = (pull * np.linalg.solve(whole, pull[..., None])[..., 0]).sum(axis=-1)
    volume = volume + np.linalg.slogdet(whole)[1] + 2.0 * np.log(LIGHT_ERROR).sum()
    size = FEATURES * len(parts)
    off = np.maximum(square - taken, 0.0) / TAIL
    return np.asarray(-0.5 * volume - 0.5 * (TAIL + size) * np.log1p(off), np.float64)


def picked(one: Evidence, cloth: NDArray[np.intp]) -> Evidence:
    """Return the evidence (k, h) under the cloths (h,) or (k, h) that hypotheses have."""
    rows = np.arange(len(one.square))[:, None]
    columns = np.broadcast_to(cloth, (len(rows), cloth.shape[-1]))
    return Evidence(
        one.square[rows, columns],
        one.pull[rows, columns],
        one.stiff[rows, columns],
        one.volume[rows, columns],
    )
