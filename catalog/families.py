"""Swatches to colour families and to rainbow order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog import lab
from catalog.models import Lab, Swatch

HUE_FIRST = 2.0
"""CIEDE2000's weight kL: a step of lightness counts half, as the textile trade's own form of the
formula has it, so that a light and a dark green stay together before a green and a blue do."""
MOST = 12
"""Families that are told apart unasked: as many as a person would make piles."""
NEARLY = 0.95
"""Share of the best silhouette that a smaller number of families has to reach to be chosen."""
WIDEST = 80.0
"""Degrees of hue that one family may take up: less than two of the wheel's ten Munsell hues and a
half, so that no family holds red and yellow, or green and blue (choice of ours)."""
VIVID = 20.0
"""Chroma from which a colour's hue counts in that."""
NEUTRAL = 8.0
"""Chroma below which a colour goes with the neutrals (choice of ours; NBS SP 440 draws the line at
Munsell chroma 1, about 5 to 7 CIELAB units)."""
CREAM = 25.0
"""Chroma up to which pale yellowish cloth is called cream or tan (choice of ours)."""
BROWN = 58.0
"""L* below which orange is called brown (NBS SP 440 draws it near Munsell value 5.5)."""
PALE_RED = 60.0
"""L* above which red is called pink (NBS SP 440 draws it between Munsell value 5.5 and 6.5)."""
DEEP = 46.0
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
RED_BEGINS = 345.0
"""Hue, degrees, at which the rainbow begins: past violet, before red."""
SHADES = {
    2: ("dark", "light"),
    3: ("dark", "medium", "light"),
    4: ("darkest", "dark", "light", "lightest"),
    5: ("darkest", "dark", "medium", "light", "lightest"),
    6: ("darkest", "very dark", "dark", "light", "very light", "lightest"),
    7: ("darkest", "very dark", "dark", "medium", "light", "very light", "lightest"),
}


def tell_families(swatches: Sequence[Swatch], number: int | None = None) -> tuple[Swatch, ...]:
    """Sort squares into colour families as a person would: by hue first, then by value.

    Parameters
    ----------
    swatches : sequence of Swatch
        The whole bundle; its order doesn't matter.
    number : int, optional
        Families to make, 1 or more; at most one for each square. From the colours if not given.

    Returns
    -------
    tuple of Swatch
        In the order given, with ``family`` set; each family has a name of its own.
    """
    if not swatches:
        return ()
    colours, places = np.unique([s.lab for s in swatches], axis=0, return_inverse=True)
    piles = _piles(colours, number)
    shares = np.bincount(places.ravel(), minlength=len(colours)).astype(np.float64)
    means = [
        np.average(colours[piles == pile], axis=0, weights=shares[piles == pile])
        for pile in range(int(piles.max()) + 1)
    ]
    names = _names([(float(m[0]), float(m[1]), float(m[2])) for m in means])
    told = zip(swatches, piles[places.ravel()], strict=True)
    return tuple(replace(swatch, family=names[pile]) for swatch, pile in told)


def rainbow_order(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Sort from red over orange, yellow, green and blue to violet, then the neutrals.

    Parameters
    ----------
    swatches : sequence of Swatch
        In any order.

    Returns
    -------
    tuple of Swatch
        Hues in rainbow order, each from light to dark; neutrals last, from light to dark.
    """

    def key(swatch: Swatch) -> tuple[bool, float, float, str]:
        neutral = float(lab.chroma(swatch.lab)) < NEUTRAL
        turn = 0.0 if neutral else (float(lab.hue_angle(swatch.lab)) - RED_BEGINS) % 360.0
        return neutral, turn, -swatch.lab[0], swatch.label

    return tuple(sorted(swatches, key=key))


def _piles(colours: NDArray[np.float64], number: int | None) -> NDArray[np.intp]:
    """Return the number of its pile for each colour, (n,), from 0."""
    from sklearn.cluster import AgglomerativeClustering
    from sklearn.metrics import silhouette_score

    count = len(colours)
    if count == 1:
        return np.zeros(1, np.intp)
    away = lab.ciede2000_matrix(colours, HUE_FIRST)

    def parted(piles: int) -> NDArray[np.intp]:
        tool = AgglomerativeClustering(piles, metric="precomputed", linkage="average")
        return np.asarray(tool.fit_predict(away), np.intp)

    if number is not None or count == 2:
        return parted(min(number or 2, count))
    tries = [parted(piles) for piles in range(2, min(MOST, count - 1) + 1)]
    scores = [float(silhouette_score(away, piles, metric="precomputed")) for piles in tries]
    least = NEARLY * max(scores)
    narrow = [_widest(colours, t) <= WIDEST for t in tries]
    both = [t for t, s, n in zip(tries, scores, narrow, strict=True) if n and s >= least]
    either = [t for t, n in zip(tries, narrow, strict=True) if n] or tries[-1:]
    return (both or either)[0]


def _widest(colours: NDArray[np.float64], piles: NDArray[np.intp]) -> float:
    """Return the widest arc of hue, degrees, that the vivid colours of one pile take up."""
    vivid = lab.chroma(colours) >= VIVID
    widest = 0.0
    for pile in range(int(piles.max()) + 1):
        hues = np.sort(lab.hue_angle(colours[vivid & (piles == pile)]))
        if len(hues) > 1:
            gaps = np.diff(np.append(hues, hues[0] + 360.0))
            widest = max(widest, 360.0 - float(gaps.max()))
    return widest


def _names(means: list[Lab]) -> list[str]:
    """Name each pile by its hue, and by its lightness where two would share a name."""
    words = [family_word(mean) for mean in means]
    names = list(words)
    for word in sorted(set(words)):
        same = sorted((i for i, w in enumerate(words) if w == word), key=lambda i: means[i])
        if len(same) == 1:
            continue
        for rank, i in enumerate(same):
            shades = SHADES.get(len(same))
            names[i] = f"{shades[rank]} {word}" if shades else f"{word} {rank + 1}"
    return names


def family_word(colour: Lab) -> str:
    """Return the plain word for a colour's family, such as ``reds``."""
    lightness, vivid, hue = colour[0], float(lab.chroma(colour)), float(lab.hue_angle(colour))
    if vivid < NEUTRAL:
        edges = lab.NEUTRAL_BORDERS
        return "blacks" if lightness < edges[0] else "whites" if lightness > edges[-1] else "greys"
    name = _hue_word(hue, vivid)
    if vivid < CREAM and 42.0 <= hue < 103.0:
        return "creams" if lightness > 80.0 else "tans" if lightness > BROWN else "browns"
    if 42.0 <= hue < 84.0 and lightness < BROWN:
        return "browns"
    if name == "reds" and lightness > PALE_RED:
        return "pinks"
    if name == "pinks" and lightness < DEEP:
        return "purples" if 180.0 < hue < WINE_BEGINS else "reds"
    return name


def _hue_word(hue: float, vivid: float) -> str:
    """Return the word for a hue, degrees, of this chroma."""
    for border, name in HUES:
        if hue < border + (BLUE_LEANS * vivid if name == "blues" else 0.0):
            return name
    return HUES[-1][1]
