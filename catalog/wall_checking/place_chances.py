"""How likely each thing is that can hang at a place: by what is seen and by usual mistakes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.place_evidence import PlaceEvidence

Floats = NDArray[np.float64]

TURNED, SIDES, OTHER, MISSING, SPARE, FOREIGN = 0.015, 0.012, 0.06, 0.02, 0.01, 0.004
"""How often a block is found turned (each way), with its cloths on each other's sides, in another's
place (over all others), missing, of a set that is to hang nowhere (over all), or none of the
plan's: choice of ours, errors are few."""
JUST_ELSEWHERE = 0.8
"""Share of blocks in another's place that are neither turned nor sewn wrongly besides."""
HANGS_ELSEWHERE = 0.1
"""What is left of a block's chance to hang in another place where it surely hangs in its own."""
HANGS_NOWHERE = 6.0
"""How much likelier it is there where its own place surely shows something else."""


def plan_shown(evidence: Sequence[PlaceEvidence]) -> float:
    """Return the share of places whose planned block, or one of the others, shows there.

    It must explain what is seen better than any other cloths would, each of the bundle's as likely;
    empty places don't count.

    Parameters
    ----------
    evidence : sequence of PlaceEvidence
    """
    shown = []
    for one in evidence:
        own = float(one.hangs.ravel()[planned_among(one)])
        best = max(own, float(one.hangs.max()) - float(np.log(one.hangs.size)))
        if one.missing < max(best, one.foreign):
            shown.append(best > one.foreign)
    return float(np.mean(shown)) if len(shown) > len(evidence) / 4 else 0.0


def planned_among(one: PlaceEvidence) -> int:
    """Return where the planned block stands among a place's chances."""
    at = np.flatnonzero((one.contents.source == one.block) & ~one.contents.exchanged)
    return int(at[0]) * len(one.turns)


def chances_of(one: PlaceEvidence, at_home: Floats) -> Floats:
    """Return the probability of each content and turn, of an empty place, of any other block.

    Parameters
    ----------
    at_home : (n,)
        How surely each block hangs where it is planned; of spare sets it means nothing.
    """
    source, count = one.contents.source, len(one.turns)
    own, spare = source == one.block, one.contents.spare
    away_from = ~own & ~spare
    others = max(1, len(set(source[away_from].tolist())))
    each = max(1, int(away_from.sum())) // others * count
    away = HANGS_NOWHERE ** (1.0 - at_home[source]) * HANGS_ELSEWHERE ** at_home[source]
    prior = np.repeat((OTHER / others * away)[:, None], count, axis=1)
    prior *= (1.0 - JUST_ELSEWHERE) / max(1, each - 1)
    prior[~one.contents.exchanged, 0] *= JUST_ELSEWHERE * max(1, each - 1) / (1.0 - JUST_ELSEWHERE)
    prior[spare] = SPARE / max(1, int(spare.sum()) * count)
    exchanged = max(1, int((own & one.contents.exchanged).sum())) * count
    prior[own] = np.where(one.contents.exchanged[own][:, None], SIDES / exchanged, TURNED)
    place, turn = divmod(planned_among(one), count)
    prior[place, turn] = 1.0 - TURNED * (count - 1) - SIDES - OTHER - MISSING - SPARE - FOREIGN
    log = np.concatenate(
        [
            (one.hangs + np.log(prior)).ravel(),
            [one.missing + np.log(MISSING), one.foreign + np.log(FOREIGN)],
        ]
    )
    chance = np.exp(log - log.max())
    return np.asarray(chance / chance.sum(), np.float64)
