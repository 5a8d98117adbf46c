"""Swatches to colour families and to rainbow order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.family_names import Pile, names_of
from catalog.bundle.family_words import NEUTRAL_BELOW_CHROMA, contradicts, family_word
from catalog.colour import colour_names, lab
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.models import Lab, Swatch

HUE_FIRST = 2.0
"""CIEDE2000's weight kL: a step of lightness counts half, as the textile trade's own form of the
formula has it, so that a light and a dark green stay together before a green and a blue do."""
MAX_FAMILIES = 12
"""Families that are told apart unasked: as many as a person would make piles."""
MIN_SILHOUETTE_SHARE = 0.95
"""Share of the best silhouette that a smaller number of families has to reach to be chosen."""
MAX_HUE_ARC = 80.0
"""Degrees of hue that one family may take up: less than two of the wheel's ten Munsell hues and a
half, so that no family holds red and yellow, or green and blue (choice of ours)."""
MIN_VIVID_CHROMA = 20.0
"""Chroma from which a colour's hue counts in that."""
RED_BEGINS = 345.0
"""Hue, degrees, at which the rainbow begins: past violet, before red."""
MAX_MOVING_ROUNDS = 8
"""Times that squares are moved to where the families' names are true of them, at most."""


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
        In the order given, with ``family`` set; each family has a name of its own, which doesn't
        contradict the colour name of any of its squares (`family_names.contradicts`).
    """
    if not swatches:
        return ()
    several, places = np.unique([s.lab for s in swatches], axis=0, return_inverse=True)
    colours = _Colours.of(several, np.bincount(places.ravel()))
    piles = _put_right(colours, _piles(several, number), keep=number is not None)
    names = names_of(colours.described(piles))
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
        neutral = float(lab.chroma(swatch.lab)) < NEUTRAL_BELOW_CHROMA
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
    away = ciede2000_matrix(colours, HUE_FIRST)

    def parted(piles: int) -> NDArray[np.intp]:
        tool = AgglomerativeClustering(piles, metric="precomputed", linkage="average")
        return np.asarray(tool.fit_predict(away), np.intp)

    if number is not None or count == 2:
        return parted(min(number or 2, count))
    tries = [parted(piles) for piles in range(2, min(MAX_FAMILIES, count - 1) + 1)]
    scores = [float(silhouette_score(away, piles, metric="precomputed")) for piles in tries]
    least = MIN_SILHOUETTE_SHARE * max(scores)
    narrow = [_widest(colours, t) <= MAX_HUE_ARC for t in tries]
    both = [t for t, s, n in zip(tries, scores, narrow, strict=True) if n and s >= least]
    either = [t for t, n in zip(tries, narrow, strict=True) if n] or tries[-1:]
    return (both or either)[0]


def _widest(colours: NDArray[np.float64], piles: NDArray[np.intp]) -> float:
    """Return the widest arc of hue, degrees, that the vivid colours of one pile take up."""
    vivid = lab.chroma(colours) >= MIN_VIVID_CHROMA
    widest = 0.0
    for pile in range(int(piles.max()) + 1):
        hues = np.sort(lab.hue_angle(colours[vivid & (piles == pile)]))
        if len(hues) > 1:
            gaps = np.diff(np.append(hues, hues[0] + 360.0))
            widest = max(widest, 360.0 - float(gaps.max()))
    return widest


@dataclass(frozen=True, eq=False)
class _Colours:
    """The different colours of a bundle, n of them, with their own names and families."""

    lab: NDArray[np.float64]
    shares: NDArray[np.intp]
    """(n,) how many squares have each."""
    names: NDArray[np.str_]
    words: NDArray[np.str_]

    @classmethod
    def of(cls, colours: NDArray[np.float64], shares: NDArray[np.intp]) -> _Colours:
        names = colour_names.name_colours(colours)
        words = [family_word(_plain(c), name) for c, name in zip(colours, names, strict=True)]
        return cls(colours, shares, np.array(names), np.array(words))

    def described(self, piles: NDArray[np.intp]) -> list[Pile]:
        """Return what each pile's name has to suit."""
        told = []
        for pile in range(int(piles.max()) + 1):
            here = piles == pile
            mean = np.average(self.lab[here], axis=0, weights=self.shares[here])
            told.append(Pile(_plain(mean), tuple(self.names[here]), tuple(self.words[here])))
        return told


def _put_right(colours: _Colours, piles: NDArray[np.intp], *, keep: bool) -> NDArray[np.intp]:
    """Return piles (n,) from which few colours went that the names of most contradict.

    How many piles there are stays where ``keep`` says so.
    """
    for _ in range(MAX_MOVING_ROUNDS):
        moved = _moved(colours, piles, keep=keep)
        if np.array_equal(moved, piles):
            break
        piles = np.asarray(np.unique(moved, return_inverse=True)[1], np.intp).ravel()
    return piles


def _moved(colours: _Colours, piles: NDArray[np.intp], *, keep: bool) -> NDArray[np.intp]:
    """Move each colour that its pile's name contradicts to the nearest whose name doesn't."""
    described = colours.described(piles)
    names = names_of(described, wrong=0.5)
    means = np.array([pile.mean for pile in described])
    moved, left = piles.copy(), np.bincount(piles)
    fresh: dict[str, int] = {}
    for i, pile in enumerate(piles):
        if not contradicts(names[pile], colours.names[i]) or (keep and left[pile] == 1):
            continue
        away = ciede2000(colours.lab[i], means, HUE_FIRST)
        barred = [_bars(name, colours, piles == other, i) for other, name in enumerate(names)]
        if not all(barred):
            moved[i] = int(np.where(barred, np.inf, away).argmin())
        elif not keep:
            moved[i] = fresh.setdefault(colours.words[i], len(names) + len(fresh))
        left[pile] -= moved[i] != pile
    return moved


def _bars(name: str, colours: _Colours, here: NDArray[np.bool_], one: int) -> bool:
    """Tell whether a pile can't take a colour: for its name, or as its hues would be too many."""
    if contradicts(name, colours.names[one]):
        return True
    joined = np.append(colours.lab[here], colours.lab[[one]], axis=0)
    return _widest(joined, np.zeros(len(joined), np.intp)) > MAX_HUE_ARC


def _plain(colour: NDArray[np.float64]) -> Lab:
    return float(colour[0]), float(colour[1]), float(colour[2])
