"""Which blocks beside each other are sewn together: whether the wall shows between them.

Along the line where two blocks meet each has its own cloths; between loose ones lies a strip of the
wall, the same all along. So two explanations of what is seen across that line are held against
each other: cloth to cloth, or cloth, a strip of one colour, cloth.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.models import Photo, SeenPlace, WallCheck
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]

REACH: Final = 0.13
"""How far to each side of the line is looked, shares of a block: outlines are a few hundredths off,
and gaps of half an inch between blocks of 8 in. are a sixteenth."""
ALONG: Final = 40
ACROSS: Final = 66
"""Points along the line and across it."""
ENDS: Final = 0.08
"""Share of the line left out at either end, where corners curl and pins are."""
MAX_SLOPE: Final = 0.04
SLOPES: Final = 9
"""How far the line may lie askew to the outlines, across by along, and in how many steps."""
MIN_SIDE: Final = 6
"""Points that the cloth on each side covers at least."""
MIN_STRIP: Final = 0.012
"""Share of a block from which a strip is one: 1/10 in. of 8; a seam's ditch is less."""
MAX_STRIP: Final = 0.085
"""And up to which: what is wider is a print, or a place left empty."""
STRIP_EXPLAINS: Final = 0.9
"""Part of what cloth to cloth leaves unexplained that a strip may leave at most, to be one. On four
rendered walls 42 sewn joins left 0.93 of it and more, 52 of loose blocks 0.85 and less but for two
that touched; without either of the walls that decide it, the middle is 0.89 and 0.91."""
MIN_SHARE_SEWN: Final = 0.5
"""Part of the joins of a row, or column, that look sewn, from which they are told: rows are sewn
one by one, and loose blocks that touch by chance are few in theirs."""
SEEN: Final = frozenset({"as planned", "other", "turned", "sides"})


def with_joins(check: WallCheck, photos: Sequence[Photo], plan: PlannedWall) -> WallCheck:
    """Tell of each place to which of those beside it its block is sewn.

    Parameters
    ----------
    check : WallCheck
    photos : sequence of Photo
        Those that were checked.
    plan : PlannedWall
        Of a quilt without strips between its blocks; on point nothing is told.

    Returns
    -------
    WallCheck
    """
    pixels = {photo.name: photo.pixels for photo in photos}
    at = {one.place: one for one in check.places}
    looks: dict[tuple[bool, float], list[tuple[str, str, bool]]] = {}
    for one, other, below in _beside(plan):
        here, there = at.get(one.place), at.get(other.place)
        if here is None or there is None or not _both_seen(here, there):
            continue
        seen = _sampled(pixels[here.photo], here, there, below=below)
        if seen is not None:
            line = (below, round(one.x if below else one.y, 2))
            looks.setdefault(line, []).append((one.place, other.place, is_sewn(seen)))
    joined: dict[str, list[str]] = {}
    for all_along in looks.values():
        if sum(sewn for _, _, sewn in all_along) > MIN_SHARE_SEWN * len(all_along):
            for here_is, there_is in ((a, b) for a, b, sewn in all_along if sewn):
                joined.setdefault(here_is, []).append(there_is)
                joined.setdefault(there_is, []).append(here_is)
    return replace(check, places=tuple(_with(place, joined, at) for place in check.places))


def _with(
    one: SeenPlace, joined: Mapping[str, Sequence[str]], order: Mapping[str, SeenPlace]
) -> SeenPlace:
    found = {*one.joined_to, *joined.get(one.place, ())}
    return replace(one, joined_to=tuple(place for place in order if place in found))


def _both_seen(here: SeenPlace, there: SeenPlace) -> bool:
    whole = here.outline is not None and there.outline is not None
    return whole and here.photo == there.photo and {here.state, there.state} <= SEEN


def _beside(plan: PlannedWall) -> Iterator[tuple[PlannedBlock, PlannedBlock, bool]]:
    """Yield blocks that touch along a side, and whether the second lies below the first."""
    if plan.on_point:
        return
    spots = {(round(block.x, 2), round(block.y, 2)): block for block in plan.blocks}
    for block in plan.blocks:
        right = spots.get((round(block.x + block.width, 2), round(block.y, 2)))
        if right is not None:
            yield block, right, False
        below = spots.get((round(block.x, 2), round(block.y + block.height, 2)))
        if below is not None:
            yield block, below, True


def _sampled(
    pixels: NDArray[np.uint8], here: SeenPlace, there: SeenPlace, *, below: bool
) -> Floats | None:
    """Return what is seen across the line between two blocks, (SLOPES, ALONG, ACROSS, 3).

    None where the photo ends before that.
    """
    import cv2

    if here.outline is None or there.outline is None:
        return None
    one, two = np.array(here.outline), np.array(there.outline)
    if below:  # laid so that the second is at the right of the first
        one, two = np.roll(one, -1, axis=0), np.roll(two, -1, axis=0)
    start, end = (one[1] + two[0]) / 2, (one[2] + two[3]) / 2
    across = (two[[1, 2]].mean(axis=0) - one[[0, 3]].mean(axis=0)) / 2
    t = np.linspace(ENDS, 1 - ENDS, ALONG)
    d = np.linspace(-REACH, REACH, ACROSS)
    slopes = np.linspace(-MAX_SLOPE, MAX_SLOPE, SLOPES)
    shift = d[None, None, :] + slopes[:, None, None] * (t[None, :, None] - 0.5)
    line = start + t[:, None] * (end - start)
    points = (line[None, :, None] + shift[..., None] * across).reshape(-1, 2)
    high, wide = pixels.shape[:2]
    if points.min() < 0 or (points >= (wide, high)).any():
        return None
    side = float(np.linalg.norm(across))
    left, top = np.floor(points.min(axis=0)).astype(int)
    right, low = np.ceil(points.max(axis=0)).astype(int) + 1
    part = pixels[top:low, left:right]
    blurred = cv2.GaussianBlur(part, (0, 0), max(0.5, side * REACH / ACROSS))
    spots = (points - (left, top) - 0.5).astype(np.float32).reshape(SLOPES, -1, 2)
    read = [
        cv2.remap(blurred, each[:, 0].copy()[:, None], each[:, 1].copy()[:, None], cv2.INTER_LINEAR)
        for each in spots
    ]
    return np.asarray(read, np.float64).reshape(SLOPES, ALONG, ACROSS, 3)


def is_sewn(seen: Floats) -> bool:
    """Tell whether cloth meets cloth along a line.

    Parameters
    ----------
    seen : (SLOPES, ALONG, ACROSS, 3)
        Levels of 255 across the line, for each way that it may lie askew.
    """
    plain, strip = zip(*(_unexplained(one) for one in seen), strict=True)
    return bool(min(strip) > STRIP_EXPLAINS * min(plain))


def _unexplained(seen: Floats) -> tuple[float, float]:
    """Return what cloth to cloth, and cloth, strip, cloth leave unexplained, sums of squares.

    On each side every point along the line has a colour of its own, the strip has one.
    """
    step = 2 * REACH / ACROSS
    count = np.arange(ACROSS + 1)
    sums = np.concatenate([np.zeros((ALONG, 1, 3)), seen.cumsum(axis=1)], axis=1)
    squares = np.concatenate([[0.0], (seen**2).sum(axis=(0, 2)).cumsum()])
    own = slice(MIN_SIDE, ACROSS - MIN_SIDE + 1)
    rest = sums[:, -1:] - sums
    # Beyond the first and the last points there is nothing to take a mean of.
    left = squares - (sums**2).sum(axis=(0, 2)) / np.maximum(count, 1)
    right = squares[-1] - squares - (rest**2).sum(axis=(0, 2)) / np.maximum(ACROSS - count, 1)
    total = sums.sum(axis=0)
    wide = count[None] - count[:, None]
    between = ((total[None] - total[:, None]) ** 2).sum(axis=2) / (ALONG * np.maximum(wide, 1))
    both = left[:, None] + squares[None] - squares[:, None] - between + right[None]
    fit = (wide >= MIN_STRIP / step) & (wide <= MAX_STRIP / step)
    return float((left + right)[own].min()), float(np.where(fit, both, np.inf)[own, own].min())
