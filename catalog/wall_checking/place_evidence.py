"""What speaks for each thing that can hang at each place, as logarithms of likelihoods."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.models import Corners
from catalog.wall_checking.block_likelihoods import Evidence, evidence_of, likelihood, picked
from catalog.wall_checking.block_views import PX_PER_IN
from catalog.wall_checking.blocks_read import ReadBlocks, ReadPhoto
from catalog.wall_checking.cloth_features import ClothFeatures, ClothsInHand, features_of
from catalog.wall_checking.contents import Contents, contents_of, turns_of
from catalog.wall_checking.flannel import flannel_of, unknown_cloth
from catalog.wall_checking.planned_wall import PlannedWall

Floats = NDArray[np.float64]

USUAL_AREA_IN2 = 2.0
"""Square inches that have to show of a cloth for its features to be as good as they get."""
UNKNOWN_SHARE = 0.1
"""Of blocks that aren't the plan's, those of cloth that isn't the bundle's."""
NO_WALL_SEEN = 6.0
"""By how much less likely (logarithm) an empty place is where the wall is seen nowhere else."""


@dataclass(frozen=True, eq=False)
class PlaceEvidence:
    """What speaks for what at one place, by one photo."""

    block: int
    """Which of the plan's."""
    contents: Contents
    turns: tuple[int, ...]
    hangs: Floats
    """(m, t) for each of the contents, turned so."""
    missing: float
    foreign: float
    """For a block of any other cloths."""
    outline: Corners
    seen: float
    """How well the place is seen: px of a side, by the share of its squares that were found."""


def evidence_of_places(
    read: ReadPhoto, plan: PlannedWall, cloths: ClothsInHand
) -> Iterator[PlaceEvidence]:
    """Yield for each place in a photo what speaks for what.

    Parameters
    ----------
    read : ReadPhoto
    plan : PlannedWall
    cloths : ClothsInHand
        The bundle's.
    """
    flannel = flannel_of(read, plan)
    table = _ClothTable(cloths, flannel)
    for group in read.groups:
        yield from _of_group(read, group, plan, table)


class _ClothTable:
    """The bundle's cloths, cloth that is unknown and the wall, as patches of an area show them."""

    def __init__(self, cloths: ClothsInHand, flannel: ClothFeatures | None) -> None:
        self._cloths = cloths
        self.row = {cloth.label: number for number, cloth in enumerate(cloths.cloths)}
        self.unknown = len(cloths.cloths)
        self.flannel = len(cloths.cloths) + 1
        self.sees_wall = flannel is not None
        self._more = [unknown_cloth(), flannel or unknown_cloth()]
        self._by_area: dict[int, ClothFeatures] = {}

    def at_area(self, area: float) -> ClothFeatures:
        """Return all of them, the bundle's first, then unknown cloth, then the wall."""
        key = max(1, round(2.0 * np.log2(max(area, 0.25)) + 4.0))
        if key not in self._by_area:
            own = self._cloths.features(2.0 ** ((key - 4.0) / 2.0))
            self._by_area[key] = _stacked([own, *self._more])
        return self._by_area[key]


def _stacked(several: Sequence[ClothFeatures]) -> ClothFeatures:
    return ClothFeatures(
        np.concatenate([one.mean for one in several]),
        np.concatenate([one.spread for one in several]),
        np.concatenate(
            [np.zeros(len(one.mean)) if one.clipped is None else one.clipped for one in several]
        ),
    )


def _of_group(
    read: ReadPhoto, group: ReadBlocks, plan: PlannedWall, table: _ClothTable
) -> Iterator[PlaceEvidence]:
    model = group.model
    contents = contents_of(plan, model.kind, len(model.squares))
    columns = np.array(
        [[table.row.get(label, table.unknown) for label in one] for one in contents.squares],
        np.intp,
    ).reshape(len(contents.source), len(model.squares))
    turns = turns_of(model)
    told = [_under_turn(read, group, columns, table, turn) for turn in turns]
    hangs = np.stack([one[0] for one in told], axis=-1)
    missing = told[0][1] - (0.0 if table.sees_wall else NO_WALL_SEEN)
    height, width = (read.enlarged * side for side in read.photo.pixels.shape[:2])
    for number, block in enumerate(group.views.block):
        outline = group.views.outline[number] * read.enlarged
        side = np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1).mean()
        inside = ((outline >= 0) & (outline <= (width, height))).all(axis=1).mean()
        a, b, c, d = ((float(x), float(y)) for x, y in outline)
        yield PlaceEvidence(
            int(block),
            contents,
            turns,
            hangs[number],
            float(missing[number]),
            float(told[0][2][number]),
            (a, b, c, d),
            float(side * inside),
        )


def _under_turn(
    read: ReadPhoto, group: ReadBlocks, columns: NDArray[np.intp], table: _ClothTable, turn: int
) -> tuple[Floats, Floats, Floats]:
    """Return for blocks that hang turned: each content's likelihood, an empty place's, any other's.

    The views are turned back, so that the patches lie where they do in the plan.
    """
    slots = [patch.slot for patch in group.model.patches]
    names = [patch.bought for patch in group.model.patches]
    moments = np.rot90(group.moments, turn // 90, axes=(1, 2))
    parts, empty, other = [], [], []
    for slot in range(len(group.model.squares)):
        mine = group.weights[[own == slot for own in slots]].sum(axis=0)
        if not mine.any():
            continue
        shown, clipped, area = _features(moments, mine)
        one = evidence_of(shown, clipped, table.at_area(area), _share(area))
        parts.append(picked(one, columns[:, slot]))
        empty.append(picked(one, np.array([table.flannel])))
        other.append(_best_cloth(one, table))
    for name in dict.fromkeys(filter(None, names)):
        mine = group.weights[[own == name for own in names]].sum(axis=0)
        shown, clipped, area = _features(moments, mine)
        cloths = _stacked([table.at_area(area), _bought_cloth(shown)])
        one = evidence_of(shown, clipped, cloths, _share(area))
        last = len(cloths.mean) - 1
        parts.append(picked(one, np.full(max(1, len(columns)), last)))
        empty.append(picked(one, np.array([table.flannel])))
        other.append(_best_cloth(one, table, [last]))
    foreign = likelihood([best for best, _ in other])[:, 0] + sum(rare for _, rare in other)
    return likelihood(parts), likelihood(empty)[:, 0], foreign


def _features(moments: NDArray[np.float32], weight: Floats) -> tuple[Floats, Floats, float]:
    """Return features (k, 7) of a part of blocks, what is clipped of it (k, 3), square inches."""
    flat = (weight / weight.sum()).ravel()
    averages = flat @ moments.reshape(len(moments), -1, moments.shape[-1]).astype(np.float64)
    return features_of(averages), averages[:, 10:], float(weight.sum()) / PX_PER_IN**2


def _share(area: float) -> float:
    return min(1.0, area / USUAL_AREA_IN2)


def _bought_cloth(shown: Floats) -> ClothFeatures:
    """Return the features of a bought cloth, as most blocks (k, 7) show it."""
    middle = np.median(shown, axis=0)
    spread = 1.5 * np.median(np.abs(shown - middle), axis=0)
    return ClothFeatures(middle[None], np.diag(spread**2)[None])


def _best_cloth(
    one: Evidence, table: _ClothTable, more: Sequence[int] = ()
) -> tuple[Evidence, Floats]:
    """Return the evidence (k, 1) under the likeliest cloth, and how rarely just that one hangs.

    Parameters
    ----------
    one : Evidence
    table : _ClothTable
    more : sequence of int
        Cloths as likely as any of the bundle's besides.
    """
    known = np.array([*range(table.unknown), *more, table.unknown], np.intp)
    rare = np.full(len(known), np.log((1.0 - UNKNOWN_SHARE) / max(1, len(known) - 1)))
    rare[-1] = np.log(UNKNOWN_SHARE)
    best = (likelihood([picked(one, known)]) + rare).argmax(axis=1)
    return picked(one, known[best][:, None]), rare[best]
