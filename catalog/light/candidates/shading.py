"""How light falls off within each square, which tells of the light and of nothing else.

A square's colour is its cloth's, but what changes steadily from one side of it to the other is the
light: prints and plains have no lighter end (the assumption of retinex: Land and McCann 1971,
Journal of the Optical Society of America 61, 1, here at the scale of a square). One print's slope
is noise; over a bundle the noise averages out. Squares laid out in order of lightness, which look
as if light fell off over them, are told from such light by this alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.light.border_samples import RECTIFIED_PX, RectifiedSquares

Floats = NDArray[np.float64]

FLAT, PRINT = 0.02, 0.25
"""Natural logarithm by which a plain square's slope is off (curl, creases), and the share of a
print's spread by which it is off beyond that."""
LIKELIHOOD_WEIGHT = 0.3
"""By which the logarithm of the slopes' likelihood counts: squares of one photo err alike, as
where all were pressed the same way. On the 25 photographs at hand 0.1 leaves the light near a
window off by a tenth more, and 1.0 makes the sewn squares of the real quilt differ by a half
more."""
_STEPS = (np.arange(RECTIFIED_PX) + 0.5) / RECTIFIED_PX - 0.5
_TO_SLOPES = np.stack([one.ravel() for one in np.meshgrid(_STEPS, _STEPS)])
_TO_SLOPES /= np.square(_TO_SLOPES[0]).sum()
"""(2, SIDE * SIDE) by which values over a square tell how they grow to the right and down."""


@dataclass(frozen=True, eq=False)
class Shading:
    """The light's slopes over n squares, which may lie in m orders: then m of each."""

    slopes: Floats
    """(2n, 3) natural logarithm by which light grows from left to right and from top to bottom."""
    error: Floats
    """(2n, 1) by which they may be off: scale of a Cauchy distribution."""

    def log_likelihood(self, told: Floats | float = 0.0) -> Floats:
        """Return how likely the slopes are if light has those told, (2n, 3), nats."""
        off = ((self.slopes - told) / self.error) ** 2
        return np.asarray(-LIKELIHOOD_WEIGHT * np.log1p(off).mean(axis=-1).sum(axis=-1))

    def weights(self, told: Floats) -> Floats:
        """Return what each slope counts, (2n, 1), in a fit by least squares near those told."""
        off = ((self.slopes - told) ** 2).mean(axis=-1, keepdims=True)
        return np.asarray(2.0 * LIKELIHOOD_WEIGHT / (self.error**2 + off))

    def shuffled(self, orders: NDArray[np.intp]) -> Shading:
        """Return the slopes of the squares in m orders, (m, n)."""
        both = both_slopes(orders)
        return Shading(self.slopes[both], self.error[both])


def both_slopes(squares: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return where the two slopes of some squares, (..., n), stand among all: (..., 2n)."""
    return np.asarray((2 * squares[..., None] + (0, 1)).reshape(*squares.shape[:-1], -1))


def shading_of(rectified: RectifiedSquares) -> Shading:
    """Measure how light falls off within squares laid flat."""
    slopes = _slopes(rectified.logs)
    red, green, blue = np.moveaxis(rectified.logs, 3, 0)
    print_spread = ((red + green + blue) / 3.0).reshape(len(slopes), -1).std(axis=1)
    error = (FLAT + PRINT * print_spread).repeat(2)
    return Shading(slopes.reshape(-1, 3), error[:, None])


def slopes_of_terms(rectified: RectifiedSquares) -> Floats:
    """Return the slopes, (2n, terms - 1), that each term of a light has over the squares."""
    return _slopes(rectified.terms).reshape(-1, rectified.terms.shape[-1])[:, 1:]


def _slopes(values: Floats) -> Floats:
    """Return the slope over a side, (n, 2, k), of values (n, SIDE, SIDE, k)."""
    flat = values.reshape(len(values), RECTIFIED_PX**2, -1)
    return np.asarray(_TO_SLOPES @ flat)
