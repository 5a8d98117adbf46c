"""Swatches to which of them are cut from one fabric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.models import Swatch

Floats = NDArray[np.float64]

COLOUR_TERMS = 13 * 16
SAME = 1.0


def tell_fabrics(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Tell which squares are cut from one fabric."""
    if len(swatches) < 2:
        return tuple(replace(s, fabric="F01") for s in swatches)
    from scipy.cluster.hierarchy import fcluster, linkage
    from scipy.spatial.distance import squareform

    order = sorted(range(len(swatches)), key=lambda i: _reading_key(swatches[i]))
    away = _unlikeness(np.array([swatches[i].signature for i in order], np.float64))
    piles = fcluster(linkage(squareform(away, checks=False), "average"), SAME, "distance")
    names: dict[int, str] = {}
    fabric = {}
    for place, pile in zip(order, piles, strict=True):
        fabric[place] = names.setdefault(int(pile), f"F{len(names) + 1:02d}")
    return tuple(replace(s, fabric=fabric[i]) for i, s in enumerate(swatches))


def _reading_key(swatch: Swatch) -> tuple[str, int, int, str]:
    return (swatch.photo, swatch.square.row or 0, swatch.square.col or 0, swatch.label)


def _unlikeness(signatures: Floats) -> Floats:
    """Return how unlike every two signatures are; 1 where it is even odds that they differ."""
    colours, bands = signatures[:, :COLOUR_TERMS], np.log(signatures[:, COLOUR_TERMS:] + 0.3)
    apart = np.array([np.abs(colours - one).mean(axis=1) for one in colours])
    structure = np.array([np.sqrt(((bands - one) ** 2).mean(axis=1)) for one in bands])
    return np.asarray(np.exp((3.65 * np.log(apart + 0.1) + 1.85 * np.log(structure + 0.1) - 4.05) / 3.65))
