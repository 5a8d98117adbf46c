"""The light that a photo was taken in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

LightQuestion = Literal["sheet", "lamp"]
"""Whether what squares lie on is a white sheet; whether a lamp was on."""


@dataclass(frozen=True, eq=False)
class Light:
    """The light that a photo was taken in.

    A linear pixel divided by ``tint`` times ``field`` at its place is the colour in even,
    neutral light.
    """

    tint: NDArray[np.float64]
    """(3,) what a white surface shows, linear RGB."""
    field: NDArray[np.float32]
    """(rows, columns, 3) the light over the photo, linear, mean 1 over the squares; a coarse
    grid whose cells tile the whole photo, to be read bilinearly between the cells' centres."""
    evidence: str
    """What the estimate rests on, in words for the user."""
    unevenness: float
    """Brightest over dimmest place among the squares, 1 or more."""
    expected_error: float
    """CIEDE2000 by which colours may be off, as measured for this kind of evidence."""
    contrast: float = 0.0
    """Strength of the camera's tone curve that ``field`` takes for removed (see `camera`)."""
    saturation: float = 1.0
    """Factor of the camera's saturation that ``field`` takes for removed (see `camera`)."""
    power: float = 1.0
    """Exponent of linear light that ``field`` takes for removed (see `camera`)."""
    mixing: NDArray[np.float64] | None = None
    """(3, 8) by which a chart corrects linear RGB in even, neutral light (see `camera`); white
    stays white. None without a chart."""
    tint_doubt: float = 0.1
    """Natural logarithm by which the ratios of the tint's channels may be off (one standard
    deviation)."""
    level_doubt: float = 0.14
    """The same of the tint's brightness."""
    question: LightQuestion | None = None
    """What the user is asked, since the answer would move colours by more than may be off."""


Ground = Literal["white", "grey", "wood", "mat", "other"]
"""What the squares lie on, in the user's word; other is neither white nor grey."""


@dataclass(frozen=True)
class LightHints:
    """What the user says of white, grey, the supporting surface, a reference page and the lamp."""

    white: str | None = None
    """Label, in this photo's own rows, of a square that is white."""
    grey: str | None = None
    """Label, in this photo's own rows, of a square that is a neutral grey of whatever value."""
    ground: Ground | None = None
    reference_bar: float | None = None
    """Inches that the bar on the printed reference page measures; None for as it was drawn."""
    lamp: bool | None = None
    """Whether a lamp was on; None where it isn't said."""
