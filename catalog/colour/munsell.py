"""Munsell notations, such as ``5R 3/2`` or ``5R3C2``, to CIELAB."""

from __future__ import annotations

import re
import warnings
from typing import Final

from catalog.errors import UsageError
from catalog.models import Lab

_NOTATION: Final = re.compile(
    r"(?P<step>\d+(?:\.\d+)?)\s*(?P<hue>R|YR|Y|GY|G|BG|B|PB|P|RP)\s*"
    r"(?P<value>\d+(?:\.\d+)?)\s*[/C]\s*(?P<chroma>\d+(?:\.\d+)?)"
    r"|N\s*(?P<grey>\d+(?:\.\d+)?)\s*/?"
)
"""Hue, value and chroma as ASTM D1535 writes them; ``C`` may stand for the stroke."""

LEAST_VALUE: Final = 1.0
"""Munsell value below which the renotation tells no chromaticity (ASTM D1535)."""


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
    if not (LEAST_VALUE <= value <= 10.0 and steps <= 10.0):
        raise _out_of_reach(text)
    return _renotated(wanted, text)


def _renotated(wanted: str, text: str) -> Lab:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about plots, and about values between the pages
        import colour

        illuminants = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
        try:
            xyz = colour.xyY_to_XYZ(colour.munsell_colour_to_xyY(wanted))
        except (AssertionError, ValueError, RuntimeError) as error:
            raise _out_of_reach(text) from error
        adapted = colour.chromatic_adaptation(
            xyz,
            colour.xy_to_XYZ(illuminants["C"]),
            colour.xy_to_XYZ(illuminants["D65"]),
            transform="Bradford",
        )
        lightness, a, b = colour.XYZ_to_Lab(adapted, illuminants["D65"])
    return float(lightness), float(a), float(b)


def _out_of_reach(text: str) -> UsageError:
    return UsageError(
        f"there is no Munsell colour '{text.strip()}'",
        "name a hue such as 5R or 7.5PB, a value from 1 to 10 and a chroma that cloth reaches",
    )
