"""How far white may be off where witnesses disagree or cloth is clipped, and what to ask."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.colour.light_changes import NINE_TENTHS, moved_between, moved_by
from catalog.light.candidates.surface_field import IlluminationField
from catalog.light.cloth_light import ClothLight
from catalog.light.reduced_view import ReducedView, thinned
from catalog.light.white_evidence import (
    MAX_NEUTRAL_CHROMA,
    MAX_SURFACE_SPREAD,
    WhiteEstimate,
    tint_beside,
)
from catalog.models import LightHints, LightQuestion

Floats = NDArray[np.float64]
Judge = Callable[[LightHints], WhiteEstimate]
"""Tells white by what the user says."""

CLIPPED_LEVEL: Final = 253
"""Pixels from here on, of 255, in any channel are taken for clipped."""
CLIPPED_DOUBT: Final = (1.2, 0.8)
"""Natural logarithm by which the level and the tint of white may be off, for the square of the
share of cloth that is clipped: what outshone the camera was brighter than can be told. On 23
rendered photos made 1.3, 1.7 and 2.2 times as bright, of which then 0.2, 0.35 and 0.45 were
clipped, white was off by 0.07, 0.15 and 0.32 (level), 0.06, 0.11 and 0.14 (tint)."""
MIN_SHEET_LUMINANCE: Final = 0.75
"""Luminance of a ground beside the brightest cloth, below which it can't be white: cloth reflects
0.92 of the light at most (L* 97), a sheet 0.83, and light over the squares is told to a tenth."""
TINTED, PALE = 0.5, 0.15
"""Chance that the other answer is right where a bright ground has a tint and where it has none
(choice of ours)."""
SAMPLES, CLIPPED_SAMPLES = 400, 20_000
"""Pixels of cloth by which is judged how far colours move, and how much is clipped."""


@dataclass(frozen=True, eq=False)
class DoubtedWhite:
    """White, how far it may be off, and what to ask."""

    white: WhiteEstimate
    """With its doubts and its expected error, which all colours share."""
    question: LightQuestion | None


@dataclass(frozen=True, eq=False)
class _Answers:
    """White by either answer to a question."""

    question: LightQuestion
    yes: WhiteEstimate
    no: WhiteEstimate
    chance: float
    """That the answer is the one which isn't taken."""


def with_doubts(
    view: ReducedView,
    surface: IlluminationField,
    cloth: ClothLight,
    hints: LightHints,
    judge: Judge,
) -> DoubtedWhite:
    """Judge white, and by how much it may be off.

    Where two answers of the user's are both plausible and lead to different whites, their
    disagreement adds to the doubt; where it moves colours by more than is told of them, they are
    asked for. A sheet comes first: it tells white and the lamp's colour with it.

    Parameters
    ----------
    view : ReducedView
    surface : IlluminationField
        The light as the ground shows it.
    cloth : ClothLight
    hints : LightHints
        What the user has said already.
    judge : callable
        Tells white by what is said.
    """
    white = judge(hints)
    colours = lab.linear_to_lab(
        cloth.pixels[thinned(np.arange(len(cloth.pixels)), SAMPLES)] / white.tint
    )
    answers = _answers(surface, view, cloth, hints, judge)
    level, tint = white.level_doubt, white.tint_doubt
    for one in answers:
        if one.question == "sheet":  # between lamp and none the estimate itself has weighed
            moved_level, moved_tint = _apart(one)
            share = np.sqrt(one.chance)
            level, tint = np.hypot(level, share * moved_level), np.hypot(tint, share * moved_tint)
    lost = _clipped_share(view) ** 2
    level = float(np.hypot(level, CLIPPED_DOUBT[0] * lost))
    tint = float(np.hypot(tint, CLIPPED_DOUBT[1] * lost))
    expected = float(np.median(moved_by(colours, level, tint)))
    worth = [
        one.question
        for one in answers
        if np.median(moved_between(colours, one.yes.tint, one.no.tint)) > NINE_TENTHS * expected
    ]
    told = replace(white, level_doubt=level, tint_doubt=tint, expected_error=expected)
    return DoubtedWhite(told, worth[0] if worth else None)


def _answers(
    surface: IlluminationField,
    view: ReducedView,
    cloth: ClothLight,
    hints: LightHints,
    judge: Judge,
) -> list[_Answers]:
    """Return the whites of either answer to the questions that are open."""
    found: list[_Answers] = []
    shown = surface.at(view.centres).mean(axis=0)
    smooth = surface.spread < MAX_SURFACE_SPREAD
    bright = float(shown @ camera_response.LUMA) > MIN_SHEET_LUMINANCE * cloth.brightest_luminance
    if hints.ground is None and smooth and bright:
        yes, no = (judge(replace(hints, ground=ground)) for ground in ("white", "other"))
        tinted = tint_beside(shown, no.tint) > MAX_NEUTRAL_CHROMA
        found.append(_Answers("sheet", yes, no, TINTED if tinted else PALE))
    if hints.lamp is None:
        yes, no = (judge(replace(hints, lamp=lamp)) for lamp in (True, False))
        found.append(_Answers("lamp", yes, no, 0.0))
    return found


def _apart(one: _Answers) -> tuple[float, float]:
    """Return by how much the level and the tint of two whites differ, natural logarithm."""
    logs = np.log(one.yes.tint / one.no.tint)
    tints = logs[[0, 2]] - logs[1]
    return abs(float(logs @ camera_response.LUMA)), float(np.sqrt((tints**2).mean()))


def _clipped_share(view: ReducedView) -> float:
    """Return the share of the squares' pixels that the camera clipped."""
    picked = thinned(np.flatnonzero(view.inside), CLIPPED_SAMPLES)
    cloth = view.pixels.reshape(-1, 3)[picked]
    return float((cloth >= CLIPPED_LEVEL).any(axis=1).mean()) if len(cloth) else 0.0
