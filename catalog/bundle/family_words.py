"""What the words of a family's name say, and which colour names they rule out."""

from __future__ import annotations

from itertools import chain
from typing import Final

from catalog.colour import colour_names, lab
from catalog.models import Lab

NEUTRAL_BELOW_CHROMA = 8.0
"""Chroma below which a colour goes with the neutrals (choice of ours; NBS SP 440 draws the line at
Munsell chroma 1, about 5 to 7 CIELAB units)."""
CREAM_BELOW_CHROMA = 25.0
"""Chroma up to which pale yellowish cloth is called cream or tan (choice of ours)."""
BROWN_BELOW_L = 58.0
"""L* below which orange is called brown (NBS SP 440 draws it near Munsell value 5.5)."""
PINK_ABOVE_L = 60.0
"""L* above which red is called pink (NBS SP 440 draws it between Munsell value 5.5 and 6.5)."""
RED_BELOW_L = 46.0
"""L* below which purplish red is called red, no longer pink (Munsell value 4.5; NBS SP 440 draws
the line between 5.5 and 6.5, but shops call a strong one of middling value pink)."""
WINE_BEGINS = 346.0
"""Hue from which it does, degrees: Munsell 5RP begins there; before it NBS SP 440 says purple."""
HUES = (
    (12.0, "pinks"),
    (42.0, "reds"),
    (72.0, "oranges"),
    (103.0, "yellows"),
    (178.0, "greens"),
    (218.0, "teals"),
    (289.0, "blues"),
    (340.0, "purples"),
    (360.0, "pinks"),
)
"""Borders of the hues, degrees of h_ab, at the middle of the Munsell hues between two names;
checked against the renotation in the tests."""
BLUE_LEANS = 0.17
"""Degrees of hue that the border from blue to purple moves for each unit of chroma, because CIELAB
bends blues towards purple: parts the renotation's 49 chips of 7.5PB, which NBS SP 440 calls blue,
from its 55 of 10PB, which it calls violet, without a miss."""
_HOLD_NOUN: Final = {
    "yellowish pink": ("oranges", "pinks"), "pink": ("pinks",), "red": ("reds",),
    "orange": ("oranges",), "brown": ("browns", "tans"),
    "yellow": ("yellows",), "olive": ("greens", "yellows", "browns"), "green": ("greens",),
    "blue": ("blues",), "violet": ("purples",), "purple": ("purples",),
    "white": ("whites",), "gray": ("greys",), "black": ("blacks",),
}  # fmt: skip
"""The families that may hold a name of NBS SP 440 with these last words, the likeliest first."""
_HOLD_MORE: Final = {
    ("bluish", "green"): ("teals",), ("greenish", "blue"): ("teals",),
    ("orange", "yellow"): ("oranges",),
    ("brownish", "orange"): ("browns",), ("olive", "brown"): ("yellows",),
    ("deep", "pink"): ("reds",),
    ("light", "red"): ("pinks",), ("pale", "pink"): ("creams",),
    ("grayish", "yellow"): ("tans", "creams"), ("pale", "yellow"): ("creams", "tans"),
    ("grayish", "olive"): ("tans",),
    ("yellowish", "white"): ("creams",), ("yellowish", "gray"): ("tans", "creams"),
}  # fmt: skip
"""Those that may too where a word stands before it: cloth that shops call teal, peach, gold,
copper, mustard, rose, dusty pink, beige, khaki or cream (common practice)."""
_HUES: Final = frozenset(chain(*_HOLD_NOUN.values(), *_HOLD_MORE.values()))
"""The families' words, without those of depth."""
_NEUTRAL: Final = {
    "whites": {"white", "light gray"},
    "greys": {"light gray", "medium gray", "dark gray"},
    "blacks": {"black", "dark gray"},
}
"""The names without a hue that a family of neutrals may hold."""
_TINTED: Final = {
    "whites": {"white", "gray"},
    "greys": {"gray", "grayish"},
    "blacks": {"black", "blackish", "gray"},
}
"""Words of which a name with a hue must have one for such a family to hold it."""
_LIGHT: Final = {"light", "pale"}
_DARK: Final = {"dark", "deep", "blackish"}
"""Words of depth; ``brilliant`` says more of strength, and ``darker`` only compares."""
_CLAIMS: Final = {
    "darkest": _LIGHT, "dark": _LIGHT, "lightest": _DARK, "light": _DARK,
    "medium": {"very"}, "whites": _DARK, "creams": _DARK, "blacks": _LIGHT,
}  # fmt: skip
"""What a word of a family's name rules out in the names of its squares."""


def contradicts(family: str, name: str) -> bool:
    """Tell whether a family's name gainsays the colour name of a square in it.

    It does where one says light and the other dark, where one has a hue and the other none, and
    where the name's last word, which says its hue, isn't the family's: a brown is none of the
    greens, a purplish pink none of the purples. A family called by several hues needs one that
    fits.

    Parameters
    ----------
    family : str
        Such as ``dark blues``.
    name : str
        By the ISCC-NBS system, such as ``light grayish olive``.
    """
    words = set(family.replace(",", " ").split())
    said = set(name.split())
    hues = words & _HUES
    if any(said & _CLAIMS.get(word, set()) for word in words - (hues if len(hues) > 1 else set())):
        return True
    return bool(hues) and not any(_fits(hue, name) for hue in hues)


def _fits(hue: str, name: str) -> bool:
    """Tell whether a family of this hue, or neutral, may hold a name."""
    if name in colour_names.NEUTRALS:
        return name in _NEUTRAL.get(hue, ())
    if hue in _NEUTRAL:
        return not _TINTED[hue].isdisjoint(name.split())
    return hue in _holding(name)


def _holding(name: str) -> tuple[str, ...]:
    """Return the families that may hold a name, the likeliest first."""
    *before, noun = name.split()
    held = _HOLD_NOUN.get(" ".join((*before[-1:], noun))) or _HOLD_NOUN[noun]
    more = (_HOLD_MORE.get((word, noun), ()) for word in before)
    return (*held, *chain.from_iterable(more))


def family_noun(family: str) -> str:
    """Return what a family's squares are called: ``blues``, ``multicoloured squares``."""
    if family.endswith(("coloured", "colored")):
        return f"{family} squares"
    return family if family.endswith("s") else f"{family}s"


def family_word(colour: Lab, name: str | None = None) -> str:
    """Return the plain word for a colour's family, such as ``reds``; the colour's name agrees.

    The name is asked for where it isn't given.
    """
    neutral = float(lab.chroma(colour)) < NEUTRAL_BELOW_CHROMA
    words = [*([_neutral_word(colour[0])] if neutral else []), _hued_word(colour)]
    name = name or colour_names.name_colours([colour])[0]
    words += _holding(name)
    return next((word for word in words if not contradicts(word, name)), words[-1])


def _neutral_word(lightness: float) -> str:
    edges = colour_names.NEUTRAL_BORDERS
    return "blacks" if lightness < edges[0] else "whites" if lightness > edges[-1] else "greys"


def _hued_word(colour: Lab) -> str:
    lightness, vivid, hue = colour[0], float(lab.chroma(colour)), float(lab.hue_angle(colour))
    name = _hue_word(hue, vivid)
    if vivid < CREAM_BELOW_CHROMA and 42.0 <= hue < 103.0:
        return "creams" if lightness > 80.0 else "tans" if lightness > BROWN_BELOW_L else "browns"
    if 42.0 <= hue < 84.0 and lightness < BROWN_BELOW_L:
        return "browns"
    if name == "reds" and lightness > PINK_ABOVE_L:
        return "pinks"
    if name == "pinks" and lightness < RED_BELOW_L:
        return "purples" if 180.0 < hue < WINE_BEGINS else "reds"
    return name


def _hue_word(hue: float, vivid: float) -> str:
    """Return the word for a hue, degrees, of this chroma."""
    for border, name in HUES:
        if hue < border + (BLUE_LEANS * vivid if name == "blues" else 0.0):
            return name
    return HUES[-1][1]
