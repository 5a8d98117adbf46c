"""The light over the wall, and the camera, fitted to patches that show their planned cloth.

The logarithm of a patch's light is that of its cloth in the bundle's photo (its three channels
mixed a little, as cameras differ) plus a field over the wall: smooth in tint, with local light and
shadow in brightness. Patches that don't follow count less and less, so that what hangs wrong
bends nothing; cloth that is bought is one unknown colour wherever it shows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DARKEST = 0.01
"""Added to linear light, of 1 for white, before its logarithm."""
TO_TONES = np.array([[1 / 3, 1 / 3, 1 / 3], [1, -1, 0], [0, -1, 1]])
"""Rows: brightness, red against green, blue against green, of logarithms."""
FROM_TONES = np.linalg.inv(TO_TONES)
CLOTH_ERROR = np.array([0.10, 0.05, 0.06])
"""Usual errors, in those, of a patch against its cloth."""
BOUGHT_ERROR = np.array([0.04, 0.02, 0.025])
"""The same of bought cloth against itself."""
LOCAL_LIGHT = np.array([0.12, 0.015, 0.02])
"""Usual height of shadows and of what tints them, as one of the field's bumps."""
SMOOTH_LIGHT = np.array([1.0, 0.3, 0.4])
"""The same of the field's slopes and bows over the whole wall."""
MIXING = 0.12
"""By which the mixing of channels may usually differ from none."""
MIN_OWN, MAX_OWN, MAX_OTHER = 0.65, 1.7, 0.3
"""What is left of a tone, and comes of another, at most. Four rendered walls and a real one lie
within 0.93, 1.23 and 0.06; plans that were held against other walls beyond 0.64 or 0.62."""
BUMP_STEP = 0.9
"""Blocks from bump to bump."""
FIT_ROUNDS = 10


@dataclass(frozen=True, eq=False)
class WallLight:
    """Light and camera of one photo of the wall."""

    gain: Floats
    """(3,) what white shows, linear."""
    mixing: Floats
    """(3, 3) tones of the cloth to tones of the photo."""
    centre: Floats
    scale: float
    bumps: Floats
    """(m, 2) middles of the bumps, in the flat picture."""
    reach: float
    field: Floats
    """(6 + m, 3) how high slopes, bows and bumps are."""
    bought: Floats
    """(k, 3) linear light of each bought cloth as the bundle's photo would show it."""

    @property
    def usual(self) -> bool:
        """Whether a camera may mix the channels so: else the patches show other cloths."""
        own = np.diag(self.mixing)
        off = np.abs(self.mixing - np.diag(own)).max()
        return bool(own.min() > MIN_OWN and own.max() < MAX_OWN and off < MAX_OTHER)

    def field_at(self, at: Floats) -> Floats:
        """Return the field's tones (..., 3) at places (..., 2) of the flat picture."""
        basis: Floats = _basis(at, self.centre, self.scale, self.bumps, self.reach)
        return np.asarray(np.matmul(basis, self.field), np.float64)

    def even(self, linear: NDArray[np.floating], field: Floats) -> Floats:
        """Return light (..., 3) as the bundle's photo would show it under the field's tones."""
        tones = np.log(np.maximum(linear / self.gain, 0.0) + DARKEST) @ TO_TONES.T - field
        cloth = tones @ np.linalg.inv(self.mixing).T @ FROM_TONES.T
        return np.asarray(np.maximum(np.exp(np.clip(cloth, -6.0, 2.0)) - DARKEST, 0.0), np.float64)


@dataclass(frozen=True, eq=False)
class ShownPatches:
    """Patches in a photo, p of them."""

    at: Floats
    """(p, 2) in the flat picture."""
    linear: Floats
    """(p, 3) their mean light."""
    cloth: Floats
    """(p, 3) that of their planned cloth; anything for bought cloth."""
    bought: NDArray[np.intp]
    """(p,) which bought cloth, from 1; 0 for the bundle's."""
    spread: Floats
    """(p,) how much of brightness (logarithm) parts of the cloth differ."""


def fit_light(shown: ShownPatches, block_size: float) -> WallLight:
    """Fit light and camera.

    Parameters
    ----------
    shown : ShownPatches
    block_size : float
        Of a block in the flat picture.
    """
    own = shown.bought == 0
    ratio = np.log(np.maximum(shown.linear, 1e-4)) - np.log(np.maximum(shown.cloth, 1e-4))
    gain = np.exp(np.median(ratio[own], axis=0)) if own.any() else np.ones(3)
    seen = np.log(shown.linear / gain + DARKEST) @ TO_TONES.T
    cloth = np.log(np.maximum(shown.cloth, 0.0) + DARKEST) @ TO_TONES.T
    centre = shown.at.mean(axis=0)
    scale = float(np.abs(shown.at - centre).max() + 1e-6)
    bumps, reach = _bumps(shown.at, BUMP_STEP * block_size)
    basis = _basis(shown.at, centre, scale, bumps, reach)
    kinds = np.eye(int(shown.bought.max(initial=0)) + 1)[shown.bought][:, 1:]
    design = np.column_stack([np.where(own[:, None], cloth, 0.0), basis, kinds])
    many = kinds.shape[1]
    start = np.zeros((design.shape[1], 3))
    start[:3] = np.eye(3)
    usual = np.where(own[:, None], CLOTH_ERROR, BOUGHT_ERROR)
    usual = np.hypot(usual, shown.spread[:, None] * np.array([1.0, 0.4, 0.4]))
    prior = np.concatenate(
        [
            np.full((3, 3), MIXING),
            np.repeat(SMOOTH_LIGHT[None], 6, axis=0),
            np.repeat(LOCAL_LIGHT[None], len(bumps), axis=0),
            np.full((many, 3), 3.0),
        ]
    )
    fit = _robust(design, seen, start, usual, prior)
    mixing = fit[:3].T
    colours = fit[len(fit) - many :] @ np.linalg.inv(mixing).T @ FROM_TONES.T
    bought = np.maximum(np.exp(np.clip(colours, -6.0, 2.0)) - DARKEST, 0.0)
    return WallLight(gain, mixing, centre, scale, bumps, reach, fit[3 : len(fit) - many], bought)


def _robust(design: Floats, seen: Floats, start: Floats, usual: Floats, prior: Floats) -> Floats:
    """Return what explains tones (p, 3), starting from and held to ``start``."""
    fit: Floats = start
    weight = np.ones(len(design))
    for _ in range(FIT_ROUNDS):
        fit = np.stack(
            [
                _solved(design, seen[:, k], start[:, k], weight / usual[:, k] ** 2, prior[:, k])
                for k in range(3)
            ],
            axis=1,
        )
        off = (((seen - design @ fit) / usual) ** 2).mean(axis=1)
        weight = 1.0 / (1.0 + off / 2.0)
    return fit


def _solved(design: Floats, seen: Floats, start: Floats, weight: Floats, prior: Floats) -> Floats:
    left = design.T * weight
    more = np.linalg.solve(left @ design + np.diag(prior**-2.0), left @ (seen - design @ start))
    return np.asarray(start + more, np.float64)


def _bumps(at: Floats, step: float) -> tuple[Floats, float]:
    """Return a grid of bumps over places (p, 2), those that no place is near left out."""
    from scipy.spatial import cKDTree

    low, high = at.min(axis=0), at.max(axis=0)
    count = np.maximum(1, np.ceil((high - low) / step)).astype(int)
    lines = [np.linspace(low[k], high[k], count[k] + 1) for k in (0, 1)]
    grid = np.stack(np.meshgrid(*lines), axis=-1).reshape(-1, 2)
    far, _ = cKDTree(at).query(grid)
    return grid[far < 1.2 * step], step


def _basis(at: Floats, centre: Floats, scale: float, bumps: Floats, reach: float) -> Floats:
    x, y = ((at - centre) / scale)[..., 0], ((at - centre) / scale)[..., 1]
    smooth = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    far = ((at[..., None, :] - bumps) ** 2).sum(axis=-1)
    return np.concatenate([smooth, np.exp(-0.5 * far / reach**2)], axis=-1)
