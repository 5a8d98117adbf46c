"""The lights of several photos of one bundle brought together by what they share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.light.shared_prints import shared_prints
from catalog.models import Light, Swatch
from catalog.system.one_thread import on_one_thread

Floats = NDArray[np.float64]

MIN_SHARED_PRINTS = 3
"""Prints that two photos have to share; fewer say nothing about their lights."""
MAX_SCATTER = 0.12
"""Natural logarithm by which the shared prints may disagree, median: else they aren't shared."""
SHARED_LIGHT_ERROR = 0.02
"""Natural logarithm by which the lights of two photos are known from their shared prints."""
MIN_CHANGE = 0.005
"""Change of a light, natural logarithm, below which it is left as it is."""


@dataclass(frozen=True, eq=False)
class _Link:
    one: int
    two: int
    apart: Floats
    """(3,) by how much brighter the first photo shows the shared prints, natural logarithm."""
    prints: int


@on_one_thread
def join_lights(
    lights: Sequence[Light | None], groups: Sequence[Sequence[Swatch]]
) -> tuple[Light | None, ...]:
    """Correct the lights of photos so that prints seen in several of them come out alike.

    Parameters
    ----------
    lights : sequence of Light or None
        One for each photo; None where it has no squares.
    groups : sequence of sequences of Swatch
        The photos' squares, measured in these lights.

    Returns
    -------
    tuple of Light or None
        Each moved the more, the less sure its white is; the same object where nothing changes.
    """
    links = _links(groups)
    if not links:
        return tuple(lights)
    change = _changes(lights, links)
    joined = []
    for number, light in enumerate(lights):
        moved = change[number]
        linked = any(number in (link.one, link.two) for link in links)
        if light is None or not linked or np.abs(moved).max() < MIN_CHANGE:
            joined.append(light)
            continue
        by, *rest = light.evidence.split("; ", 1)
        told = "; ".join([f"{by}, and by prints that several photos share", *rest])
        joined.append(replace(light, tint=light.tint * np.exp(moved), evidence=told))
    return tuple(joined)


def _links(groups: Sequence[Sequence[Swatch]]) -> list[_Link]:
    """Compare photos by the prints that surely are in both."""
    colours = [np.array([one.lab for one in group]).reshape(-1, 3) for group in groups]
    means = [np.log(np.maximum(lab.lab_to_linear(some), 0.004)) for some in colours]
    links = []
    for one, two, pairs in sorted(shared_prints(groups, MIN_SHARED_PRINTS)):
        apart = np.array([means[one][i] - means[two][j] for i, j in pairs])
        middle = np.median(apart, axis=0)
        if float(np.median(np.abs(apart - middle))) <= MAX_SCATTER:
            links.append(_Link(one, two, middle, len(pairs)))
    return links


def _changes(lights: Sequence[Light | None], links: Sequence[_Link]) -> Floats:
    """Return the logarithms, (n, 3), by which the tints change: least squares by their doubts."""
    doubts = [np.hypot(one.tint_doubt, one.level_doubt) if one else 1.0 for one in lights]
    normal, right = np.diag(np.power(doubts, -2.0)), np.zeros((len(lights), 3))
    for link in links:
        step = np.zeros(len(lights))
        step[link.one], step[link.two] = 1.0, -1.0
        normal += np.outer(step, step) / SHARED_LIGHT_ERROR**2
        right += np.outer(step, link.apart) / SHARED_LIGHT_ERROR**2
    return np.asarray(np.linalg.solve(normal, right))
