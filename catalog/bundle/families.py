"""Swatches to colour families and to rainbow order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np
from numpy.typing import NDArray

from catalog.bundle.family_names import MIXED, Pile, names_of
from catalog.bundle.family_words import NEUTRAL_BELOW_CHROMA, contradicts, family_word
from catalog.bundle.naming.telling_colours import TellingColour, telling_colours
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.models import Lab, Swatch
from catalog.system.early_imports import import_clustering

HUE_FIRST = 2.0
"""CIEDE2000's weight kL: a step of lightness counts half, as the textile trade's own form of the
formula has it, so that a light and a dark green stay together before a green and a blue do."""
MAX_FAMILIES = 12
"""Families that are told apart unasked: as many as a person would make piles."""
MIN_SILHOUETTE_SHARE = 0.9
"""Share of the best silhouette that a smaller number of families has to reach to be chosen: with
prints beside plains silhouettes rise slowly up to the number of fabrics, and at 0.95 seven families
of 25 photos were one word and a number, here four; none at 0.85, where fewer are told apart."""
MAX_HUE_ARC = 80.0
"""Degrees of hue that one family may take up: less than two of the wheel's ten Munsell hues and a
half, so that no family holds red and yellow, or green and blue (choice of ours)."""
MIN_VIVID_CHROMA = 20.0
"""Chroma from which a colour's hue counts in that."""
RED_BEGINS = 345.0
"""Hue, degrees, at which the rainbow begins: past violet, before red."""
MULTICOLOURED = "multicoloured"
"""The family of prints of which no hue speaks before the others."""
MAX_MOVING_ROUNDS = 8
"""Times that squares are moved to where the families' names are true of them, at most."""


def tell_families(swatches: Sequence[Swatch], number: int | None = None) -> tuple[Swatch, ...]:
    """Sort squares into colour families as a person would: by hue first, then by value.

    Parameters
    ----------
    swatches : sequence of Swatch
        The whole bundle; its order doesn't matter.
    number : int, optional
        Families to make, 1 or more; at most one for each square, and one for all multicoloured
        ones. From the colours if not given.

    Returns
    -------
    tuple of Swatch
        In the order given, with ``family`` set; each family has a name of its own, which doesn't
        contradict the colour by which any of its squares is looked for (`telling_colours`), and so
        no colour name of a plain one. Multicoloured prints are one family, `MULTICOLOURED`.
    """
    told = telling_colours(swatches)
    several = {one.multicoloured for one in told}
    of_hues = [one for one in told if not one.multicoloured or (number == 1 and len(several) > 1)]
    apart = len(of_hues) < len(told)
    names = _families_of_hues(of_hues, number and number - apart, MAX_FAMILIES - apart)
    return tuple(
        replace(swatch, family=names.get(one, MULTICOLOURED))
        for swatch, one in zip(swatches, told, strict=True)
    )


def rainbow_order(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Sort from red over orange, yellow, green and blue to violet, multicoloured ones, neutrals.

    Multicoloured prints have colour, so that they go on where the hues end, and leave the quiet
    end to the neutrals.

    Parameters
    ----------
    swatches : sequence of Swatch
        In any order.

    Returns
    -------
    tuple of Swatch
        Hues of the colours by which squares are looked for (`telling_colours`) in rainbow order,
        then multicoloured ones, neutrals last; those of one hue, and these, from light to dark.
    """
    telling = telling_colours(swatches)
    neutrals = _neutral_fabrics(swatches, telling)

    def key(both: tuple[Swatch, TellingColour]) -> tuple[bool, bool, float, float, str]:
        swatch, told = both
        neutral = (swatch.fabric or swatch.label) in neutrals
        hued = not (neutral or told.multicoloured)
        turn = (float(lab.hue_angle(told.lab)) - RED_BEGINS) % 360.0 if hued else 0.0
        return neutral, told.multicoloured, turn, -swatch.lab[0], swatch.label

    ordered = sorted(zip(swatches, telling, strict=True), key=key)
    return tuple(swatch for swatch, _ in ordered)


def _neutral_fabrics(swatches: Sequence[Swatch], told: Sequence[TellingColour]) -> set[str]:
    """Return the fabrics that are neutral on the whole, so that none hangs at two ends.

    A square whose fabric isn't told stands for itself by its label.
    """
    chromas: dict[str, list[float]] = {}
    for swatch, one in zip(swatches, told, strict=True):
        chromas.setdefault(swatch.fabric or swatch.label, []).append(float(lab.chroma(one.lab)))
    return {name for name, those in chromas.items() if median(those) < NEUTRAL_BELOW_CHROMA}


def _families_of_hues(
    told: Sequence[TellingColour], number: int | None, most: int
) -> dict[TellingColour, str]:
    """Return by colours that squares are looked for by the names of their families.

    There are ``number`` of them, or as the colours fall and ``most`` at most.
    """
    counted = Counter(told)
    if not counted:
        return {}
    several = sorted(counted, key=lambda one: (one.lab, one.name))
    colours = _Colours.of(several, [counted[one] for one in several])
    piles = _put_right(colours, _piles(colours, number, most), keep=number is not None)
    names = names_of(colours.described(piles))
    return {one: names[pile] for one, pile in zip(several, piles, strict=True)}


def _piles(colours: _Colours, number: int | None, most: int) -> NDArray[np.intp]:
    """Return the number of its pile for each colour, (n,), from 0.

    As many piles as asked for; else the fewest, ``most`` at most, that have nearly the best
    silhouette, none of which spans too many hues, and each of which is called by one word.
    """
    import_clustering()
    from sklearn.cluster import AgglomerativeClustering
    from sklearn.metrics import silhouette_score

    count = len(colours.lab)
    if count == 1:
        return np.zeros(1, np.intp)
    away = ciede2000_matrix(colours.lab, HUE_FIRST)

    def parted(piles: int) -> NDArray[np.intp]:
        tool = AgglomerativeClustering(
            piles, metric="precomputed", memory=_UnstoredTrees(), linkage="average"
        )
        return np.asarray(tool.fit_predict(away), np.intp)

    if number is not None or count == 2:
        return parted(min(number or 2, count))
    tries = [parted(piles) for piles in range(2, min(most, count - 1) + 1)]
    scores = [float(silhouette_score(away, piles, metric="precomputed")) for piles in tries]
    least = MIN_SILHOUETTE_SHARE * max(scores)
    narrow = [_widest(colours.lab, t) <= MAX_HUE_ARC for t in tries]
    both = [t for t, s, n in zip(tries, scores, narrow, strict=True) if n and s >= least]
    either = [t for t, n in zip(tries, narrow, strict=True) if n] or tries[-1:]
    usable = both or either
    for tried in usable:
        if not _of_many_words(colours, tried):
            return tried
    return min(either, key=lambda one: _of_many_words(colours, one))


def _of_many_words(colours: _Colours, piles: NDArray[np.intp]) -> int:
    """Return how many of these families would not be called by one word, of any depth."""
    names = names_of(colours.described(_put_right(colours, piles, keep=False)))
    return sum(name == MIXED or " and " in name for name in names)


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


class _UnstoredTrees:
    """Stores no trees, as scikit-learn does unasked, but without what can store them in files."""

    @staticmethod
    def cache(work: Callable[..., object]) -> Callable[..., object]:
        return work


@dataclass(frozen=True, eq=False)
class _Colours:
    """The different colours that a bundle is looked through by, n of them."""

    lab: NDArray[np.float64]
    shares: NDArray[np.intp]
    """(n,) how many squares have each."""
    names: NDArray[np.str_]
    words: NDArray[np.str_]
    """The family that each would be by itself."""

    @classmethod
    def of(cls, told: Sequence[TellingColour], shares: Sequence[int]) -> _Colours:
        return cls(
            np.array([one.lab for one in told], np.float64),
            np.array(shares, np.intp),
            np.array([one.name for one in told]),
            np.array([family_word(one.lab, one.name) for one in told]),
        )

    def described(self, piles: NDArray[np.intp]) -> list[Pile]:
        """Return what each pile's name has to suit."""
        told = []
        for pile in range(int(piles.max()) + 1):
            here = piles == pile
            mean = np.average(self.lab[here], axis=0, weights=self.shares[here])
            names, words = (tuple(one[here].tolist()) for one in (self.names, self.words))
            told.append(Pile(_plain(mean), names, words))
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
