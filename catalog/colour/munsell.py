"""Munsell notations, such as ``5R 3/2`` or ``5R3C2``, to CIELAB; and the value of a lightness."""

from __future__ import annotations

import re
import warnings
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import relative_luminance
from catalog.errors import UsageError
from catalog.models import Lab

_NOTATION: Final = re.compile(
    r"(?P<step>\d+(?:\.\d+)?)\s*(?P<hue>R|YR|Y|GY|G|BG|B|PB|P|RP)\s*"
    r"(?P<value>\d+(?:\.\d+)?)\s*[/C]\s*(?P<chroma>\d+(?:\.\d+)?)"
    r"|N\s*(?P<grey>\d+(?:\.\d+)?)\s*/?"
)
"""Hue, value and chroma as ASTM D1535 writes them; ``C`` may stand for the stroke."""

MIN_VALUE: Final = 1.0
"""Munsell value below which the renotation tells no chromaticity (ASTM D1535)."""
MAX_VALUE: Final = 10.0
"""White, where the scale ends (ASTM D1535)."""
HUE_STEPS: Final = 10.0
"""Steps of each of the ten hues (ASTM D1535)."""
_LUMINANCE_OF_VALUE: Final = (0.00081939, -0.020484, 0.23352, -0.22533, 1.1914, 0.0)
"""Luminance, 100 for a perfect diffuser, as a polynomial of Munsell value, the highest power first
(ASTM D1535)."""


def looks_munsell(text: str) -> bool:
    """Tell whether a text is written as a Munsell notation."""
    return _NOTATION.fullmatch(text.strip().upper()) is not None


def lab_of_munsell(text: str) -> Lab:
    """Return the colour of a Munsell notation.

    Parameters
    ----------
    text : str
        Such as ``7.5PB 4/10``, ``5R3C2`` or ``N 5/``.

    Returns
    -------
    Lab
        By the renotation (Newhall, Nickerson and Judd 1943, as colour-science interpolates it),
        adapted from illuminant C to D65 (Bradford).

    Raises
    ------
    UsageError
        It is no notation, or of a colour that the renotation doesn't reach.
    """
    found = _NOTATION.fullmatch(text.strip().upper())
    if found is None:
        raise UsageError(f"'{text}' is no Munsell notation", "write it as 5R 3/2")
    if found["grey"]:
        wanted, value = f"N{float(found['grey']):g}", float(found["grey"])
    else:
        value = float(found["value"])
        wanted = f"{float(found['step']):g}{found['hue']} {value:g}/{float(found['chroma']):g}"
    steps = float(found["step"] or 0)
    if not (MIN_VALUE <= value <= MAX_VALUE and steps <= HUE_STEPS):
        raise _out_of_reach(text)
    try:
        xyy = renotation(wanted)
    except (AssertionError, ValueError, RuntimeError) as error:
        raise _out_of_reach(text) from error
    return adapted_to_d65(xyy, "C")


def munsell_value(lightness: float) -> float:
    """Return the value on Munsell's scale, 0 for black to 10 for white, of a lightness L*.

    By the relation of luminance to value in ASTM D1535, turned round.
    """
    luminance = 100.0 * relative_luminance(np.clip([lightness], 0.0, 100.0))
    return float(np.interp(luminance, *_tabled_values())[0])


@cache
def _tabled_values() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return luminance of values, by hundredths, and these."""
    values = np.linspace(0.0, 10.0, 1001)
    return np.polyval(_LUMINANCE_OF_VALUE, values).astype(np.float64, copy=False), values


def renotation(notation: str) -> NDArray[np.float64]:
    """Return x, y and Y, 1 for a perfect diffuser, of a notation under illuminant C.

    Raises
    ------
    AssertionError, ValueError, RuntimeError
        The renotation doesn't reach it.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about plots, and about values between the pages
        import colour

        return np.asarray(colour.munsell_colour_to_xyY(notation), np.float64)


def adapted_to_d65(xyy: NDArray[np.float64], white: str | NDArray[np.float64]) -> Lab:
    """Return the CIELAB D65 of a colour under another light, by Bradford's transform.

    Parameters
    ----------
    xyy : (3,)
        x, y and Y, 1 for a perfect diffuser, as the 2 degree observer sees it.
    white : str or (2,)
        That light: a CIE illuminant's name, or its x, y.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about plots
        import colour

        whites = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
        adapted = colour.chromatic_adaptation(
            colour.xyY_to_XYZ(xyy),
            colour.xy_to_XYZ(whites[white] if isinstance(white, str) else white),
            colour.xy_to_XYZ(whites["D65"]),
            transform="Bradford",
        )
        lightness, a, b = colour.XYZ_to_Lab(adapted, whites["D65"])
    return float(lightness), float(a), float(b)


def _out_of_reach(text: str) -> UsageError:
    return UsageError(
        f"there is no Munsell colour '{text.strip()}'",
        "name a hue such as 5R or 7.5PB, a value from 1 to 10 and a chroma that cloth reaches",
    )
