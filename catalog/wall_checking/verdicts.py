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
from catalog.wall_checking.near_cloths import LikeCloths
from catalog.wall_checking.place_chances import chances_of, planned_among
from catalog.wall_checking.place_evidence import PlaceEvidence
from catalog.wall_checking.planned_wall import PlannedWall

Floats = NDArray[np.float64]

ROUNDS = 3
MAX_TOLD = 12
"""Likeliest contents of a place that are looked at one by one."""
SURE_ENOUGH = 0.9
"""Probability from which a difference is told: a false alarm costs more than a second look."""
SURE_AS_PLANNED = 0.5
"""Probability from which a place is told to be as planned."""
MIN_DOUBT = 0.002
"""Probability from which cloths that look alike are told to be in doubt: where the photo says
nothing of them it is that of a turned block, a hundredth."""
ALIKE = (
    "two cloths are too much alike to tell apart in the photo; if it matters, look there yourself"
)


@dataclass(frozen=True)
class _Candidate:
    """One thing that may hang at a place."""

    state: PlaceState
    look: Look | None
    chance: float
    source: int | None = None
    turn: int = 0


def judge_places(
    evidence: Sequence[PlaceEvidence],
    plan: PlannedWall,
    cloths: LikeCloths,
    photo_names: Sequence[str],
) -> dict[int, SeenPlace]:
    """Tell what hangs at each place that is seen.

    Parameters
    ----------
    evidence : sequence of PlaceEvidence
        One for each place seen.
    plan : PlannedWall
    cloths : LikeCloths
    photo_names : sequence of str
        Of the photo that each place is seen in.

    Returns
    -------
    dict
        By number of the block.
    """
    at_home = np.full(len(plan.blocks) + len(plan.spare), 0.9)
    chances: list[Floats] = []
    for _ in range(ROUNDS):
        chances = [chances_of(one, at_home) for one in evidence]
        for one, own in zip(evidence, chances, strict=True):
            at_home[one.block] = own[planned_among(one)]
    told = {}
    for one, own, name in zip(evidence, chances, photo_names, strict=True):
        told[one.block] = _verdict(one, _candidates(one, own, plan), plan, cloths, name)
    return told


def _candidates(one: PlaceEvidence, chance: Floats, plan: PlannedWall) -> list[_Candidate]:
    """Return what is likeliest at a place, the planned block first."""
    block, count = plan.blocks[one.block], len(one.turns)
    planned = planned_among(one)
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
    one: PlaceEvidence,
    candidates: list[_Candidate],
    plan: PlannedWall,
    cloths: LikeCloths,
    name: str,
) -> SeenPlace:
    block, planned, near = plan.blocks[one.block], candidates[0], cloths.near
    as_planned = [c for c in candidates if c.look and same_look(c.look, planned.look or (), near)]
    sure = sum(c.chance for c in as_planned)
    rest = [c for c in candidates if c not in as_planned]
    meant = cloths.fabrics(planned.look or ())
    hidden = sum(c.chance for c in as_planned if cloths.fabrics(c.look or ()) != meant)
    alike = ALIKE if hidden >= MIN_DOUBT else ""
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
    shows, set_number = _hangs(told, plan)
    return SeenPlace(
        block.place,
        told.state,
        shows=shows,
        turned_deg=told.turn if shows or told.state != "other" else 0,
        sure=chance,
        photo=name,
        outline=one.outline,
        set_number=set_number,
    )


def _hangs(told: _Candidate, plan: PlannedWall) -> tuple[str | None, int | None]:
    """Return the place whose block another one is, and its set, so far as it has them."""
    if told.state != "other" or told.source is None:
        return None, None
    if told.source >= len(plan.blocks):
        return None, plan.spare[told.source - len(plan.blocks)].number
    block = plan.blocks[told.source]
    return block.place, block.set_number


_ORDER: tuple[PlaceState, ...] = ("turned", "sides", "other", "missing")
"""Of things that look the same the one that is put right most easily is told."""


def _alike(one: _Candidate, two: _Candidate, near: Mapping[tuple[str, str], bool]) -> bool:
    if one.look is None or two.look is None:
        return one == two
    return same_look(one.look, two.look, near)


def _doubt(told: _Candidate, plan: PlannedWall) -> str:
    place, number = _hangs(told, plan)
    if place:
        return f"it may be the block of {place}"
    if number is not None:
        return f"it may be cloth of set {number}"
    words = {"turned": "it may be turned", "sides": "its cloths may have changed sides"}
    return words.get(told.state, "it may be missing, or none of the plan's")
