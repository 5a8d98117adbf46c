"""Which part of the plan the squares of a photo may be: places where the two lattices meet.

Squares are matched across and down apart, by how well the rows (columns) of the plan, spread a
little as loose blocks hang, meet those seen; then both together by how many squares meet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.wall_checking.placing.plan_arrays import PlanSquares
from catalog.wall_checking.placing.seen_squares import SeenSquares

Floats = NDArray[np.float64]

STEP = 1.0 / 12.0
"""Sides of a square by which one lattice is moved along the other."""
BLUR = 1.5
"""Standard deviation, steps, by which squares may be off their line: loose blocks hang a quarter
inch off."""
CLOSEST_IN, FARTHEST_IN, SPREAD_STEP_IN = -0.5, 1.8, 0.125
"""Inches by which blocks may hang further apart than they will be sewn: two seam allowances of 1/4
(common practice) and a gap up to 1 1/4. Nearer where strips are planned between them, which hang
when the blocks are sewn to them; a little nearer always, as the squares seen tell the scale."""
MAX_OFFSETS = 24
"""Meetings of rows (or columns) that are tried."""
MIN_OFFSET_SCORE = 0.5
"""Part of the best meeting's score from which another is tried."""
MEET = 0.3
"""Sides within which a square seen is the plan's."""
SURELY_MET = 0.75
"""Share of squares that meet from which squares of another size aren't tried."""
MAX_GUESSES = 48
"""Meetings of both that are held against colours."""


@dataclass(frozen=True)
class PlanOffset:
    """A guess of where the plan lies: plan inches to the flat picture's sides."""

    side: float
    """Inches that the squares seen are on the plan."""
    turn: float
    """Quarter turns clockwise from the plan to the picture; halves where the squares seen stand on
    their corners in their blocks."""
    spread: tuple[float, float]
    """By how much the middles of blocks are further apart than planned, across and down."""
    shift: tuple[float, float]
    """Where the plan's origin lies, inches in the picture turned back."""
    agreement: float = 0.0
    """Squares that meet over those that either shows, 0 to 1."""

    def to_flat(self, middles: Floats, local: Floats) -> Floats:
        """Return where points of blocks lie in the flat picture, sides.

        Parameters
        ----------
        middles : (..., 2)
            Of their blocks, inches along the blocks' sides.
        local : (..., 2)
            From those.
        """
        points = middles * np.array(self.spread) + local + np.array(self.shift)
        return turned_by(points, self.turn) / self.side


def turned_by(points: Floats, quarters: float) -> Floats:
    """Return points (..., 2) turned clockwise (y runs down) round the origin."""
    cos, sin = np.cos(quarters * np.pi / 2.0), np.sin(quarters * np.pi / 2.0)
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]), np.float64)


def guess_offsets(seen: SeenSquares, squares: PlanSquares, middles: Floats) -> list[PlanOffset]:
    """Return where the plan may lie, the likeliest first.

    Parameters
    ----------
    seen : SeenSquares
    squares : PlanSquares
    middles : (n, 2)
        Of the plan's blocks.
    """
    found = []
    for side, tilted in squares.kinds():
        own = squares.only(side, tilted)
        for turn in np.arange(4) + 0.5 * tilted:
            at = turned_by(seen.middle, -turn) * side
            across = list(_meetings(at[:, 0], seen.score, own, middles, 0))
            down = list(_meetings(at[:, 1], seen.score, own, middles, 1))
            guesses = [
                PlanOffset(side, float(turn), (a[0], b[0]), (a[1], b[1]))
                for a in across
                for b in down
            ]
            found += _judged(guesses, seen, own, middles)
        if max((one.agreement for one in found), default=0.0) > SURELY_MET:
            break
    found.sort(key=lambda one: -one.agreement)
    return found[:MAX_GUESSES]


def _meetings(
    seen: Floats, weight: Floats, squares: PlanSquares, middles: Floats, axis: int
) -> Iterator[tuple[float, float]]:
    """Yield spread and shift at which lines of the plan meet those seen, along one axis."""
    from scipy.fft import next_fast_len

    side = float(squares.side[0])
    step = STEP * side
    own, local = middles[squares.owner, axis], squares.local[:, axis]
    pitch = _pitch(middles[:, axis])
    low, high = seen.min(), seen.max()
    closest = min(CLOSEST_IN, 0.5 - max(0.0, pitch - float(np.ptp(local) + side)))
    spreads = 1.0 + np.arange(closest, FARTHEST_IN, SPREAD_STEP_IN) / pitch
    reach = float(spreads.max())
    lines = np.unique(np.round(np.concatenate([own + local, own * reach + local]), 3))
    count = int((high - low + 2.0 * (lines.max() - lines.min()) + 4.0 * side) / step) + 64
    count = next_fast_len(count, real=True)
    image = _line_image(seen - low, weight, count, step)
    combs, firsts = [], []
    for spread in spreads:
        at = np.unique(np.round(own * spread + local, 2))
        combs.append(np.minimum(_line_image(at - at[0], None, count, step), 1.0))
        firsts.append(low - at[0])
    lag = (np.arange(count) + count // 2) % count - count // 2
    order = np.argsort(lag)
    score = _correlations(image, np.array(combs))[:, order]
    best = score.argmax(axis=0)
    shifts = np.array(firsts)[best] + lag[order] * step
    yield from _peaks(score.max(axis=0), spreads[best], shifts)


def _pitch(middles: Floats) -> float:
    """Return the least step from block to block, inches."""
    steps = np.diff(np.unique(np.round(middles, 2)))
    return float(steps.min()) if len(steps) else 12.0


def _line_image(at: Floats, weight: Floats | None, count: int, step: float) -> Floats:
    """Return lines as a blurred row of pixels."""
    import cv2

    row = np.zeros(count)
    np.add.at(
        row,
        np.clip(np.round(at / step).astype(int) + 16, 0, count - 1),
        1.0 if weight is None else weight,
    )
    peak = cv2.GaussianBlur(row[None], (0, 0), BLUR, borderType=cv2.BORDER_CONSTANT)[0]
    return np.asarray(peak * BLUR * np.sqrt(2.0 * np.pi), np.float64)


def _correlations(one: Floats, several: Floats) -> Floats:
    """Return the circular correlation of a row with several, (m, count), by how far they move."""
    from scipy.fft import irfft, rfft

    spectrum = rfft(one) * np.conj(rfft(several))
    return np.asarray(irfft(spectrum, len(one)), np.float64)


def _peaks(score: Floats, spreads: Floats, shifts: Floats) -> Iterator[tuple[float, float]]:
    reach = round(0.3 / STEP)
    padded = np.pad(score, reach, constant_values=-np.inf)
    highest = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1).max(axis=1)
    good = np.flatnonzero((score >= highest) & (score >= MIN_OFFSET_SCORE * score.max()))
    for k in sorted(good, key=lambda k: -score[k])[:MAX_OFFSETS]:
        yield float(spreads[k]), float(shifts[k])


def _judged(
    guesses: list[PlanOffset], seen: SeenSquares, squares: PlanSquares, middles: Floats
) -> list[PlanOffset]:
    """Return guesses with how many squares meet."""
    from dataclasses import replace

    import cv2

    fine = 8
    low = seen.middle.min(axis=0) - 1.0
    size = np.ceil((seen.middle.max(axis=0) + 1.0 - low) * fine).astype(int)
    near = np.zeros((int(size[1]), int(size[0])), np.uint8)
    for x, y in (seen.middle - low) * fine:
        cv2.circle(near, (int(x), int(y)), round(MEET * fine), 1, -1)
    frame = seen.frame()
    found = []
    for one in guesses:
        at = one.to_flat(middles[squares.owner], squares.local)
        place = np.floor((at - low) * fine).astype(int)
        inside = ((place >= 0) & (place < size)).all(axis=1)
        met = float(near[place[inside, 1], place[inside, 0]].sum())
        shown = float(_within(at, frame).sum())
        found.append(replace(one, agreement=met / max(shown + len(seen.middle) - met, 1.0)))
    return found


def _within(points: Floats, frame: Floats) -> NDArray[np.bool_]:
    """Say which points (m, 2) lie in a convex outline (4, 2)."""
    along = np.roll(frame, -1, axis=0) - frame
    off = points[:, None] - frame
    cross = along[:, 0] * off[..., 1] - along[:, 1] * off[..., 0]
    return np.asarray((cross > 0).all(axis=1) | (cross < 0).all(axis=1))
