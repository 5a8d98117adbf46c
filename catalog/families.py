"""Swatches to colour families and to rainbow order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog import lab
from catalog.models import Lab, Swatch

NEUTRAL = 8.0
MOST = 12


def tell_families(swatches: Sequence[Swatch], number: int | None = None) -> tuple[Swatch, ...]:
    """Sort squares into colour families as a person would: by hue first, then by value."""
    if not swatches:
        return ()
    order = sorted(range(len(swatches)), key=lambda i: (swatches[i].lab, swatches[i].label))
    colours = np.array([swatches[i].lab for i in order])
    piles = _piles(colours, number)
    names = _names([tuple(colours[piles == p].mean(axis=0)) for p in range(piles.max() + 1)])
    family = {place: names[pile] for place, pile in zip(order, piles, strict=True)}
    return tuple(replace(s, family=family[i]) for i, s in enumerate(swatches))


def rainbow_order(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Sort from red over yellow, green and blue to violet, then neutrals from light to dark."""

    def key(swatch: Swatch) -> tuple[bool, float, float, str]:
        lightness, a, b = swatch.lab
        neutral = float(lab.chroma(swatch.lab)) < NEUTRAL
        turn = 0.0 if neutral else (float(lab.hue_angle(swatch.lab)) + 15.0) % 360.0
        return neutral, turn, -lightness, swatch.label

    return tuple(sorted(swatches, key=key))


def _piles(colours: NDArray[np.float64], number: int | None) -> NDArray[np.int_]:
    from sklearn.cluster import AgglomerativeClustering
    from sklearn.metrics import silhouette_score

    n = len(colours)
    if n < 3 and number is None:
        return np.zeros(n, int) if n == 1 else np.arange(n)
    away = lab.ciede2000_matrix(colours, 2.0)

    def cluster(count: int) -> NDArray[np.int_]:
        tool = AgglomerativeClustering(count, metric="precomputed", linkage="average")
        return np.asarray(tool.fit_predict(away))

    if number is not None:
        return cluster(min(number, n))
    tries = [cluster(k) for k in range(2, min(MOST, n - 1) + 1)]
    return max(tries, key=lambda piles: silhouette_score(away, piles, metric="precomputed"))


def _names(means: list[Lab]) -> list[str]:
    hues = [_hue_name(mean) for mean in means]
    names = list(hues)
    for hue in set(hues):
        same = sorted((i for i, h in enumerate(hues) if h == hue), key=lambda i: means[i][0])
        if len(same) > 1:
            words = ["dark", "medium", "light"] if len(same) == 3 else ["dark", "light"]
            for rank, i in enumerate(same):
                names[i] = f"{words[rank]} {hue}" if len(same) < 4 else f"{hue} {rank + 1}"
    return names


def _hue_name(colour: Lab) -> str:
    lightness, hue, vivid = colour[0], float(lab.hue_angle(colour)), float(lab.chroma(colour))
    if vivid < NEUTRAL:
        return "blacks" if lightness < 25 else "whites" if lightness > 85 else "greys"
    for border, name in (
        (15, "pinks"), (45, "reds"), (75, "oranges"), (105, "yellows"), (165, "greens"),
        (220, "teals"), (295, "blues"), (335, "purples"), (360, "pinks"),
    ):  # fmt: skip
        if hue < border:
            return name
    return "reds"
