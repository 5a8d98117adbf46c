"""Which of several places of the plan in a photo its colours bear out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.colour.lab import lab_to_linear, srgb_to_linear
from catalog.models import Photo
from catalog.wall_checking.placing.plan_offsets import PlanOffset
from catalog.wall_checking.placing.seen_squares import FlatPicture
from catalog.wall_checking.planned_wall import BOUGHT, PlannedWall
from catalog.wall_checking.wall_cloth import WallCloth

Floats = NDArray[np.float64]

GLANCE_PX = 500
"""Long side of the photo that colours are read from: a patch still covers several pixels."""
DARKEST = 0.01
"""Added to linear light before its logarithm, so that black doesn't rule."""
USUAL_RATIO = 0.25
"""Logarithm by which a patch may usually differ from its cloth, light apart: prints show another
part of theirs."""
RATIO_LIMIT = 3.0
"""Differences beyond so many usual ones count no more: something else hangs there."""
UPRIGHT_GAIN = 1.25
"""What a plan that stands upright in the photo is favoured by: photos are mostly the right way
up. At 1.03 a wall hung in quite another order passed for one turned by a quarter; colours that
agree by chance come to little more than half of what the right place has (choice of ours)."""
BOUGHT_SHARE = 0.25
"""What a patch of bought cloth counts against one of the bundle's: its colour is fitted, so that
much is like it."""
FIT_ROUNDS = 6


@dataclass(frozen=True, eq=False)
class PatchColours:
    """Patches of a plan, p of them, with the colour of their planned cloth."""

    owner: NDArray[np.intp]
    """(p,) block."""
    middle: Floats
    """(p, 2) from the block's middle, inches."""
    ratio: Floats
    """(p, 3) logarithm of linear RGB; 0 for bought cloth."""
    bought: NDArray[np.intp]
    """(p,) which bought cloth, from 1; 0 for the bundle's."""


def patch_colours(plan: PlannedWall, cloths: Mapping[str, WallCloth]) -> PatchColours:
    """Return a plan's patches; those whose square is wanting are left out."""
    names: dict[str, int] = {}
    rows = []
    for number, block in enumerate(plan.blocks):
        for patch in block.patches:
            middle = np.mean(patch.polygon, axis=0)
            if patch.slot == BOUGHT:
                rows.append(
                    (number, middle, np.zeros(3), names.setdefault(patch.bought, len(names) + 1))
                )
            elif block.squares[patch.slot] in cloths:
                linear = lab_to_linear(cloths[block.squares[patch.slot]].lab)
                rows.append((number, middle, np.log(np.maximum(linear, 0.0) + DARKEST), 0))
    return PatchColours(
        np.array([row[0] for row in rows], np.intp),
        np.array([row[1] for row in rows]).reshape(-1, 2),
        np.array([row[2] for row in rows]).reshape(-1, 3),
        np.array([row[3] for row in rows], np.intp),
    )


def best_offset(
    photo: Photo,
    seen: FlatPicture,
    guesses: Sequence[PlanOffset],
    patches: PatchColours,
    middles: Floats,
) -> tuple[PlanOffset, float] | None:
    """Return the guess that the colours bear out best, and how well, 0 to 1.

    Parameters
    ----------
    photo : Photo
    seen : FlatPicture
        The photo laid flat.
    guesses : sequence of PlanOffset
    patches : PatchColours
    middles : (n, 2)
        Of the plan's blocks.

    Returns
    -------
    (PlanOffset, float) or None
        None without guesses.
    """
    glance, shrink = _glance(photo)
    told = []
    for one in guesses:
        flat = one.to_flat(middles[patches.owner], patches.middle)
        at = seen.to_photo(flat) * shrink
        upright = np.cos(_roll(seen, one)) > 0.5
        score, share = _agreement(glance, at, patches)
        told.append((score * one.agreement * (UPRIGHT_GAIN if upright else 1.0), share))
    if not told:
        return None
    best = max(range(len(told)), key=lambda k: told[k][0])
    return guesses[best], told[best][1]


def _roll(seen: FlatPicture, one: PlanOffset) -> float:
    """Return by how much the plan's sides are turned in the photo, radians."""
    return one.turn * np.pi / 2.0 + seen.turn


def _glance(photo: Photo) -> tuple[NDArray[np.float32], float]:
    import cv2

    height, width = photo.pixels.shape[:2]
    shrink = min(1.0, GLANCE_PX / max(height, width))
    size = (max(1, round(width * shrink)), max(1, round(height * shrink)))
    small = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    linear = np.asarray(srgb_to_linear(small.astype(np.float32) / 255.0), np.float32)
    return np.asarray(np.log(cv2.blur(linear, (3, 3)) + DARKEST), np.float32), shrink


def _agreement(
    glance: NDArray[np.float32], at: Floats, patches: PatchColours
) -> tuple[float, float]:
    """Return how many patches show their cloth under one light, as a sum and as a share."""
    place = np.floor(at).astype(int)
    height, width = glance.shape[:2]
    inside = ((place >= 0) & (place < (width, height))).all(axis=1)
    if inside.sum() < 4:
        return 0.0, 0.0
    shown = glance[place[inside, 1], place[inside, 0]] - patches.ratio[inside]
    bought = patches.bought[inside]
    spot = at[inside] / (width, height) - 0.5
    kinds = np.eye(int(patches.bought.max()) + 1)[bought][:, 1:]
    design = np.column_stack([np.ones(len(spot)), spot, kinds])
    ridge = np.diag([1e-3, 0.5, 0.5] + [1e-3] * kinds.shape[1])
    weight = np.ones(len(spot))
    off = np.zeros(len(spot))
    for _ in range(FIT_ROUNDS):
        left = design.T * weight
        fit = np.linalg.solve(left @ design + ridge, left @ shown)
        off = np.sqrt((((shown - design @ fit) / USUAL_RATIO) ** 2).mean(axis=1))
        weight = 1.0 / (1.0 + off**2)
    told = 1.0 - np.minimum(off / RATIO_LIMIT, 1.0) ** 2
    counts = np.where(bought > 0, BOUGHT_SHARE, 1.0)
    return float((told * counts).sum()), float((told * counts).sum() / counts.sum())
