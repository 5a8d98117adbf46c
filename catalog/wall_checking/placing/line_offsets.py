"""Which part of the plan the lines of a photo may be: rows and columns of seams that meet.

As with squares, but the scale isn't known: it is tried too, and must be about the same both ways.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.placing.plan_offsets import PlanOffset
from catalog.wall_checking.placing.seen_lines import SeenLines
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall

Floats = NDArray[np.float64]

STEPS = 640
"""Steps over the frame by which lines are moved."""
BLUR = 2.0
"""Standard deviation, steps, by which a line may be off."""
SCALE_STEP = 0.022
"""Logarithm from one scale to the next."""
FEWEST_BLOCKS, MOST_FRAMES = 1.5, 3.0
"""Blocks across the frame at the nearest; frames that the wall would take at the farthest."""
SPREADS_IN = (0.0, 0.5, 0.85, 1.3)
"""Inches by which blocks may hang further apart than they will be sewn, strips between them left
out."""
SAME_SCALE = 2
"""Steps by which the scales across and down may differ."""
MAX_PEAKS = 3
MAX_GUESSES = 60
WHOLE_LINE = 0.25
"""Share of the wall's height (or width) along which a line has to be seen to be a whole one."""


@dataclass(frozen=True)
class _Meeting:
    """Lines of the plan that meet those seen, along one axis."""

    scale: int
    score: float
    spread: float
    shift: float


def guess_by_lines(seen: SeenLines, plan: PlannedWall, middles: Floats) -> list[PlanOffset]:
    """Return where the plan may lie, the likeliest first.

    Parameters
    ----------
    seen : SeenLines
    plan : PlannedWall
    middles : (n, 2)
        Of its blocks, along their sides.
    """
    lines = [_plan_lines(plan, middles, axis) for axis in (0, 1)]
    size = max(max(block.width, block.height) for block in plan.blocks)
    frame = seen.frame()
    span = np.ptp(frame, axis=0)
    nearest = FEWEST_BLOCKS * size / span.max()
    farthest = MOST_FRAMES * (np.ptp(middles, axis=0).max() + size) / span.min()
    scales = np.exp(np.arange(np.log(nearest), np.log(max(farthest, 2 * nearest)), SCALE_STEP))
    low = frame.min(axis=0)
    found = []
    for turn in range(4):
        # turned clockwise x becomes y, y becomes -x
        across, down = [(0, 1), (1, 0), (0, 1), (1, 0)][turn]
        signs = [(1, 1), (-1, 1), (-1, -1), (1, -1)][turn]
        both = [
            _Axis(seen.at[k], seen.length[k], float(low[k]), float(span[k])).meetings(
                lines[own], sign, scales
            )
            for k, own, sign in ((0, across, signs[0]), (1, down, signs[1]))
        ]
        found += list(_joined(both, scales, turn))
    found.sort(key=lambda one: -one.agreement)
    return found[:MAX_GUESSES]


def _joined(both: list[list[_Meeting]], scales: Floats, turn: int) -> Iterator[PlanOffset]:
    """Yield places of the plan at which both axes meet at one scale."""
    for one, two in product(*both):
        if abs(one.scale - two.scale) > SAME_SCALE:
            continue
        side = float(np.sqrt(scales[one.scale] * scales[two.scale]))
        x, y = one.shift * scales[one.scale], two.shift * scales[two.scale]
        spreads = (one.spread, two.spread)
        for _ in range(turn):
            x, y = y, -x
        if turn % 2:
            spreads = spreads[::-1]
        yield PlanOffset(side, float(turn), spreads, (x, y), one.score * two.score)


class _Axis:
    """The lines seen that cross one axis."""

    def __init__(self, at: Floats, length: Floats, low: float, span: float) -> None:
        self.low, self.step = low, span / STEPS
        self.count = 2048
        row = np.zeros(self.count)
        inside = (at > low) & (at < low + span)
        np.add.at(row, ((at[inside] - low) / self.step).astype(int), length[inside])
        whole = WHOLE_LINE * max(float(np.sort(_blurred(row))[-8:].mean()), 1e-9) * 4.0
        self.row = np.minimum(_blurred(row) / whole, 1.0)
        self.window = np.zeros(self.count)
        self.window[:STEPS] = 1.0
        self.row -= self.row[:STEPS].mean()
        self.row *= self.window

    def meetings(
        self, lines: tuple[Floats, Floats, Floats, float], sign: int, scales: Floats
    ) -> list[_Meeting]:
        """Return the best meetings at each scale."""
        from scipy.fft import irfft, rfft

        own, local, length, pitch = lines
        strip = max(0.0, pitch - float(np.ptp(local)))
        extras = (0.0, *(extra - strip for extra in SPREADS_IN[1:]))
        rows, firsts, spreads = [], [], []
        for scale, extra in product(scales, extras):
            at = sign * (own * (1.0 + extra / pitch) + local) / scale
            place = ((at - at.min()) / self.step).astype(int)
            row = np.zeros(self.count)
            near = place < self.count // 2
            np.add.at(row, place[near], length[near])
            rows.append(row)
            firsts.append(self.low - at.min())
            spreads.append(1.0 + extra / pitch)
        combs = _blurred(np.array(rows))
        combs = np.minimum(combs / (WHOLE_LINE * combs.max(axis=1, keepdims=True) + 1e-9), 1.0)
        spectrum = np.conj(rfft(combs))
        met = irfft(rfft(self.row) * spectrum, self.count)
        window = rfft(self.window)
        total = irfft(window * spectrum, self.count)
        square = irfft(window * np.conj(rfft(combs**2)), self.count)
        size = np.sqrt(np.maximum(square - total**2 / STEPS, 4.0) * (self.row**2).sum() + 1e-9)
        score = met / size
        lag = (np.arange(self.count) + self.count // 2) % self.count - self.count // 2
        found = []
        for number, one in enumerate(score):
            for _ in range(MAX_PEAKS):
                k = int(one.argmax())
                shift = firsts[number] + lag[k] * self.step
                found.append(
                    _Meeting(number // len(SPREADS_IN), float(one[k]), spreads[number], shift)
                )
                one[np.arange(k - 6, k + 7) % self.count] = -1.0
        found.sort(key=lambda meeting: -meeting.score)
        return found[: 4 * MAX_GUESSES]


def _blurred(rows: Floats) -> Floats:
    import cv2

    image = np.atleast_2d(rows).astype(np.float32)
    wide = (2 * int(3 * BLUR) + 1, 1)
    told = cv2.GaussianBlur(image, wide, BLUR, borderType=cv2.BORDER_CONSTANT)
    return np.asarray(told, np.float64).reshape(rows.shape)


def _plan_lines(
    plan: PlannedWall, middles: Floats, axis: int
) -> tuple[Floats, Floats, Floats, float]:
    """Return middles of blocks, places of lines from them, their lengths, and the pitch."""
    rows = [
        (middles[number, axis], place, length)
        for number, block in enumerate(plan.blocks)
        for place, length in _seams(block, axis)
    ]
    own, local, length = np.array(rows).T
    steps = np.diff(np.unique(np.round(middles[:, axis], 2)))
    return own, local, length, float(steps.min()) if len(steps) else 12.0


def _seams(block: PlannedBlock, axis: int) -> list[tuple[float, float]]:
    """Return place and length of a block's straight seams that cross an axis."""
    seen: dict[tuple[object, ...], int] = {}
    for patch in block.patches:
        corners = np.round(np.array(patch.polygon), 3)
        for one, two in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            if abs(one[axis] - two[axis]) < 1e-6:
                ends = tuple(sorted((float(one[1 - axis]), float(two[1 - axis]))))
                key = (patch.slot, patch.bought, float(one[axis]), *ends)
                seen[key] = seen.get(key, 0) + 1
    return [
        (float(key[2]), float(key[4]) - float(key[3]))  # type: ignore[arg-type]
        for key, times in seen.items()
        if times == 1
    ]
