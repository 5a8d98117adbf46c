"""From what speaks for what at each place to what is told: probabilities, and can't tell.

Two things settle a place: what its patches show, and what hangs elsewhere, since each block hangs
once. So the places are gone through a few times, each with what is known of the others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.models import PlaceState, SeenPlace
from catalog.wall_checking.contents import Look, look_of, same_look
from catalog.wall_checking.place_evidence import PlaceEvidence
from catalog.wall_checking.planned_wall import PlannedWall

Floats = NDArray[np.float64]
Near = Mapping[tuple[str, str], bool]

TURNED, SIDES, OTHER, MISSING, FOREIGN = 0.015, 0.012, 0.06, 0.02, 0.004
"""How often a block is found turned (each way), with its cloths on each other's sides, in another's
place (over all others), missing, or none of the plan's: choice of ours, errors are few."""
JUST_ELSEWHERE = 0.8
"""Share of blocks in another's place that are neither turned nor sewn wrongly besides."""
HANGS_ELSEWHERE = 0.1
"""What is left of a block's chance to hang in another place where it surely hangs in its own."""
HANGS_NOWHERE = 6.0
"""How much likelier it is there where its own place surely shows something else."""
ROUNDS = 3
MAX_TOLD = 12
"""Likeliest contents of a place that are looked at one by one."""
SURE_ENOUGH = 0.9
"""Probability from which a difference is told: a false alarm costs more than a second look."""
SURE_AS_PLANNED = 0.5
"""Probability from which a place is told to be as planned."""


@dataclass(frozen=True)
class _Candidate:
    """One thing that may hang at a place."""

    state: PlaceState
    look: Look | None
    chance: float
    source: int | None = None
    turn: int = 0


def judge_places(
    evidence: Sequence[PlaceEvidence], plan: PlannedWall, near: Near, photo_names: Sequence[str]
) -> dict[int, SeenPlace]:
    """Tell what hangs at each place that is seen.

    Parameters
    ----------
    evidence : sequence of PlaceEvidence
        One for each place seen.
    plan : PlannedWall
    near : mapping
        Which two labels' cloths look alike at the wall.
    photo_names : sequence of str
        Of the photo that each place is seen in.

    Returns
    -------
    dict
        By number of the block.
    """
    at_home = np.full(len(plan.blocks), 0.9)
    chances: list[Floats] = []
    for _ in range(ROUNDS):
        chances = [_chances(one, at_home) for one in evidence]
        for one, own in zip(evidence, chances, strict=True):
            at_home[one.block] = own[_planned(one)]
    told = {}
    for one, own, name in zip(evidence, chances, photo_names, strict=True):
        told[one.block] = _verdict(one, _candidates(one, own, plan), plan, near, name)
    return told


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
        own = float(one.hangs.ravel()[_planned(one)])
        best = max(own, float(one.hangs.max()) - float(np.log(one.hangs.size)))
        if one.missing < max(best, one.foreign):
            shown.append(best > one.foreign)
    return float(np.mean(shown)) if len(shown) > len(evidence) / 4 else 0.0


def _planned(one: PlaceEvidence) -> int:
    """Return where the planned block stands among a place's chances."""
    at = np.flatnonzero((one.contents.source == one.block) & ~one.contents.exchanged)
    return int(at[0]) * len(one.turns)


def _chances(one: PlaceEvidence, at_home: Floats) -> Floats:
    """Return the probability of each content and turn, of an empty place, of any other block.

    Parameters
    ----------
    at_home : (n,)
        How surely each block hangs where it is planned.
    """
    source, count = one.contents.source, len(one.turns)
    own = source == one.block
    others = max(1, len(set(source[~own].tolist())))
    each = max(1, int((~own).sum())) // others * count
    away = HANGS_NOWHERE ** (1.0 - at_home[source]) * HANGS_ELSEWHERE ** at_home[source]
    prior = np.repeat((OTHER / others * away)[:, None], count, axis=1)
    prior *= (1.0 - JUST_ELSEWHERE) / max(1, each - 1)
    prior[~one.contents.exchanged, 0] *= JUST_ELSEWHERE * max(1, each - 1) / (1.0 - JUST_ELSEWHERE)
    exchanged = max(1, int((own & one.contents.exchanged).sum())) * count
    prior[own] = np.where(one.contents.exchanged[own][:, None], SIDES / exchanged, TURNED)
    place, turn = divmod(_planned(one), count)
    prior[place, turn] = 1.0 - TURNED * (count - 1) - SIDES - OTHER - MISSING - FOREIGN
    log = np.concatenate(
        [
            (one.hangs + np.log(prior)).ravel(),
            [one.missing + np.log(MISSING), one.foreign + np.log(FOREIGN)],
        ]
    )
    chance = np.exp(log - log.max())
    return np.asarray(chance / chance.sum(), np.float64)


def _candidates(one: PlaceEvidence, chance: Floats, plan: PlannedWall) -> list[_Candidate]:
    """Return what is likeliest at a place, the planned block first."""
    block, count = plan.blocks[one.block], len(one.turns)
    planned = _planned(one)
    best = np.argsort(-chance[:-2], kind="stable")[:MAX_TOLD]
    found = []
    for k in [planned, *(int(k) for k in best if k != planned)]:
        content, turn = k // count, one.turns[k % count]
        source = int(one.contents.source[content])
        state: PlaceState = "as planned"
        if source != one.block:
            state = "other"
        elif one.contents.exchanged[content]:
            state = "sides"
        elif turn:
            state = "turned"
        look = look_of(block, one.contents.squares[content], turn)
        found.append(_Candidate(state, look, float(chance[k]), source, turn))
    found.append(_Candidate("missing", None, float(chance[-2])))
    found.append(_Candidate("other", None, float(chance[-1])))
    return found


def _verdict(
    one: PlaceEvidence, candidates: list[_Candidate], plan: PlannedWall, near: Near, name: str
) -> SeenPlace:
    block, planned = plan.blocks[one.block], candidates[0]
    as_planned = [c for c in candidates if c.look and same_look(c.look, planned.look or (), near)]
    sure = sum(c.chance for c in as_planned)
    rest = [c for c in candidates if c not in as_planned]
    doubtful = any(c.look != planned.look for c in as_planned)
    alike = "" if not doubtful else "cloths that look alike here may have changed places"
    if sure >= SURE_AS_PLANNED:
        return SeenPlace(
            block.place, "as planned", sure=sure, photo=name, outline=one.outline, near=alike
        )
    best = max(rest, key=lambda c: c.chance)
    mates = [c for c in rest if _alike(c, best, near)]
    chance = sum(c.chance for c in mates)
    told = min(mates, key=lambda c: (_ORDER.index(c.state), -c.chance))
    if told.state == best.state:
        told = best
    if 1.0 - sure < SURE_ENOUGH or chance < SURE_AS_PLANNED:
        return SeenPlace(
            block.place,
            "can't tell",
            sure=max(sure, chance),
            photo=name,
            outline=one.outline,
            near=_doubt(told, plan),
        )
    shown = None if told.state != "other" or told.source is None else plan.blocks[told.source]
    return SeenPlace(
        block.place,
        told.state,
        shows=shown.place if shown else None,
        turned_deg=told.turn,
        sure=chance,
        photo=name,
        outline=one.outline,
        set_number=shown.set_number if shown else None,
    )


_ORDER: tuple[PlaceState, ...] = ("turned", "sides", "other", "missing")
"""Of things that look the same the one that is put right most easily is told."""


def _alike(one: _Candidate, two: _Candidate, near: Near) -> bool:
    if one.look is None or two.look is None:
        return one == two
    return same_look(one.look, two.look, near)


def _doubt(told: _Candidate, plan: PlannedWall) -> str:
    if told.state == "other" and told.source is not None:
        return f"it may be the block of {plan.blocks[told.source].place}"
    words = {"turned": "it may be turned", "sides": "its cloths may have changed sides"}
    return words.get(told.state, "it may be missing, or none of the plan's")
