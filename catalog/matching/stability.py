"""Which sets would change within what the photos leave in doubt."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.models import Matching, SquareSet, Swatch

Floats = NDArray[np.float64]

COULD_CHANGE = "could change"
"""Flag of a set that asks for a second look."""
DRAWS = 12
"""Times that the bundle is measured anew in thought."""
MAX_CHANGED_SHARE = 0.4
"""Share of the draws in which a set has to be another for it to be flagged."""
NINE_TENTHS = 2.5
"""Standard deviations along each of three axes that nine tenths of a normal cloud lie within (chi
distribution, 3 degrees of freedom)."""
SEED = 5


def flag_doubtful(
    swatches: Sequence[Swatch],
    matching: Matching,
    match: Callable[[Floats], Iterable[Sequence[tuple[str, ...]]]],
    *,
    draws: int = DRAWS,
) -> Matching:
    """Flag the sets that would be others in most bundles which the photos could as well show.

    Parameters
    ----------
    swatches : sequence of Swatch
        With their uncertainties.
    matching : Matching
        Made of them.
    match : callable
        Makes the sets, as labels, by the same requests and rules, of each bundle whose colours have
        moved by some (draws, n, 3) CIELAB.
    draws : int
        How often to draw colours within the uncertainties; always the same ones.

    Returns
    -------
    Matching
        Sets of two and more that in more than SHARE of the draws hold other fabrics are flagged
        ``could change``: a twin of the same fabric instead is no change. Locked sets are not.
    """
    several = [one for one in matching.sets if len(one.swatches) > 1]
    if not several or not any(swatch.uncertainty for swatch in swatches):
        return matching
    fabric = {s.label: s.fabric or s.label for s in swatches}
    kept: Counter[int] = Counter()
    for sets in match(_drawn(swatches, draws)):
        cloths: dict[str, set[tuple[str, ...]]] = {}
        for one in sets:
            for label in one:
                cloths.setdefault(label, set()).add(_cloths(one, fabric))
        for each in several:
            mine = _cloths(each.swatches, fabric)
            kept[each.number] += all(mine in cloths.get(label, ()) for label in each.swatches)
    return replace(matching, sets=tuple(_flagged(one, kept, draws) for one in matching.sets))


def flag_standing(matching: Matching, free: Matching) -> Matching:
    """Flag the sets of a choice that are flagged in the one that was made with no set standing.

    A set that stands though another choice would be nearer is another matter than a doubt.

    Parameters
    ----------
    matching : Matching
        With sets that stand.
    free : Matching
        Of the same squares, as `flag_doubtful` gives it.
    """
    open_ = {frozenset(one.swatches) for one in free.sets if COULD_CHANGE in one.flags}
    return replace(
        matching,
        sets=tuple(
            replace(one, flags=(*one.flags, COULD_CHANGE))
            if frozenset(one.swatches) in open_ and "locked" not in one.flags
            else one
            for one in matching.sets
        ),
    )


def _cloths(labels: Sequence[str], fabric: dict[str, str]) -> tuple[str, ...]:
    return tuple(sorted(fabric[label] for label in labels))


def _flagged(one: SquareSet, kept: Counter[int], draws: int) -> SquareSet:
    changed = draws - kept[one.number] if len(one.swatches) > 1 else 0
    if changed <= MAX_CHANGED_SHARE * draws or "locked" in one.flags:
        return one
    return replace(one, flags=(*one.flags, COULD_CHANGE))


def _drawn(swatches: Sequence[Swatch], draws: int) -> Floats:
    """Draw by how much colours are others, (draws, n, 3) CIELAB.

    Each square has its own doubt, and what a photo's squares share.
    """
    rng = np.random.default_rng(SEED)
    colours = np.array([s.lab for s in swatches])
    own = np.array([s.own_uncertainty for s in swatches])[:, None] / NINE_TENTHS
    total = np.array([s.uncertainty for s in swatches])[:, None] / NINE_TENTHS
    shared = np.sqrt(np.maximum(total**2 - own**2, 0.0))
    names = sorted({s.photo for s in swatches})
    photo = np.array([names.index(s.photo) for s in swatches])
    moves = np.empty((draws, *colours.shape))
    for draw in range(draws):
        steps = own * rng.normal(size=colours.shape)
        if len(names) > 1:
            steps += shared * rng.normal(size=(len(names), 3))[photo]
        moves[draw] = _in_lab(steps, colours)
    return moves


def _in_lab(steps: Floats, colours: Floats) -> Floats:
    """Turn steps in lightness, chroma and hue, CIEDE2000, into CIELAB, by CIE94's weights."""
    strength, hue = lab.chroma(colours), np.radians(lab.hue_angle(colours))
    along, across = steps[:, 1] * (1 + 0.045 * strength), steps[:, 2] * (1 + 0.015 * strength)
    return np.column_stack(
        [
            steps[:, 0],
            along * np.cos(hue) - across * np.sin(hue),
            along * np.sin(hue) + across * np.cos(hue),
        ]
    )
