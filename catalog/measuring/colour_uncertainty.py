"""How far a square's colour may be off."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.models import Light

Floats = NDArray[np.float64]

COVERAGE_SIGMAS = 1.5
"""Standard deviations told. They cover the truth of 0.98 of a photo's squares on the 14 dev photos,
0.90 on the worst; chosen on 13 to cover nine in ten they would be 1.25 and cover 0.89 of the
fourteenth in the mean, 0.64 where overall lightness was guessed worst (a photo's errors go
together). The rest is for photos unlike these."""
MIN_UNCERTAINTY = 0.35
"""CIEDE2000 that no colour is surer than: noise, lens, the camera's sharpening."""
FIELD_ERROR = (0.02, 0.08)
"""Natural logarithm by which the light at a square may be misjudged where it is as the mean, and
what each unit of the logarithm by which it is brighter or dimmer adds."""
FIELD_EDGE_ERROR = 0.12
"""The same for each unit by which the light varies over the square and round it, as at a shadow's
edge."""
CHROMA_ERROR = 0.04
"""Share of its chroma by which a colour may be too strong or too weak: the camera's saturation."""
SAMPLE, HIDDEN = 0.05, 0.2
"""Share of the print's spread by which another part of the square differs in the mean, and by which
what is hidden does if all of it is."""
CLIPPING_ERROR = 8.0
"""CIEDE2000 for each unit of the square's share that the camera clipped."""


def covering(
    colours: Floats,
    light: Light,
    around: NDArray[np.float32],
    *,
    spread: Floats,
    shown: NDArray[np.floating],
    clipped: NDArray[np.floating],
) -> tuple[Floats, Floats]:
    """Return what covers the true colours nine times in ten, in all and of each square alone.

    Parameters
    ----------
    colours : (n, 3)
        CIELAB.
    light : Light
    around : (n, rows, columns, 3)
        The light over each square and half a side beyond, 1 for the mean.
    spread : (n,)
        Of the prints, CIEDE2000.
    shown, clipped : (n,)
        Share of each square that is seen, and that the camera clipped.

    Returns
    -------
    tuple of (n,) arrays
        CIEDE2000; the second leaves out what the photo's squares have in common, its white.
    """
    logs = np.log(np.maximum(around.mean(axis=3), 1e-4)).reshape(len(colours), -1)
    place = (
        FIELD_ERROR[0]
        + FIELD_ERROR[1] * np.abs(logs.mean(axis=1))
        + FIELD_EDGE_ERROR * logs.std(axis=1)
    )
    shared = _moved(colours, light.level_doubt, light.tint_doubt)
    parts = (
        _moved(colours, place, 0.3 * place),
        ciede2000(colours, colours * (1.0, 1.0 - CHROMA_ERROR, 1.0 - CHROMA_ERROR)),
        SAMPLE * spread / np.sqrt(np.maximum(shown, 0.1)),
        HIDDEN * spread * (1.0 - shown),
        CLIPPING_ERROR * clipped,
        np.full(len(colours), MIN_UNCERTAINTY),
    )
    own = np.sqrt(np.square(parts).sum(axis=0))
    return COVERAGE_SIGMAS * np.hypot(own, shared), COVERAGE_SIGMAS * own


def _moved(colours: Floats, level: ArrayLike, tint: ArrayLike) -> Floats:
    """Return the CIEDE2000, (n,), by which doubts of the light's level and tint move colours."""
    linear = np.maximum(lab.lab_to_linear(colours), 1e-4)
    levels, tints = (np.broadcast_to(doubt, len(colours)) for doubt in (level, tint))
    none = np.zeros(len(colours))
    changes = np.array([[levels] * 3, [tints, none, none], [none, none, tints]])
    moved = lab.linear_to_lab(linear * np.exp(changes.transpose(0, 2, 1)))
    return np.asarray(np.sqrt(np.square(ciede2000(colours, moved)).sum(axis=0)))
