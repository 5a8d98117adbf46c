"""A shadow followed from the ground through the squares."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response
from catalog.light.border_samples import (
    COLOUR_QUANTILES,
    RECTIFIED_PX,
    RectifiedSquares,
    channels_of,
    colour_quantiles,
)
from catalog.light.candidates.shadow_palette import ShadowPalette

Floats = NDArray[np.float64]

SIDE_COINCIDENCE_COST = 1.0
"""Price of a rim pixel where the shadow ends exactly along a square's side: a shadow's edge that
follows a seam is unlikely. In nats, as `ShadowPalette.surprise`."""
CROSSING_COST = 0.15
"""Price of a pixel's side along which the shadow's edge crosses a square."""
ELSEWHERE, MOST_ELSEWHERE = 200.0, 60.0
"""Price taken off a square's shadow for each unit (mean natural logarithm) by which its colours are
more like another square's once the shadow is taken off, and the most that this may make: nothing
but a print seen elsewhere tells of a square that lies in the shadow whole. On the dev photo where a
column of them does, the worst tenth is 4.6, 4.5, 4.4 off with corners moved three ways by 0.02 in;
without it 4.5, 9.3, 4.4. 100 and 400 do as well."""
MIN_SURFACE_BORDER = 0.5
"""Share of a square's rim on known ground from which on that alone tells."""
MIN_BORDER_SHADOW = 0.1
"""A square whose whole rim is less in the shadow than this isn't looked into."""
MIN_KNOWN_BORDER = (0.8, 0.5)
"""Share of the rim that has to be known for that, at first and when all squares were looked at."""
RELAXATION_SWEEPS = 2
"""Times that each square is looked into again, all its neighbours known."""
MAX_LOG_OVERSHOOT = 0.15
"""Natural logarithm by which cloth freed of shadow may outshine the photo's brightest 1 %."""


class ShadowTracer:
    """Squares on which the shadow is being drawn, one after another."""

    def __init__(
        self, rectified: RectifiedSquares, depth: Floats, share: Floats, known: NDArray[np.bool_]
    ) -> None:
        self.rectified = rectified
        light = np.exp(rectified.logs)
        lit = light @ camera_response.LUMA
        bound = np.quantile(lit, 0.99) * np.exp(MAX_LOG_OVERSHOOT)
        too_bright = light @ (np.exp(-depth) * camera_response.LUMA) > bound
        self.palettes = [
            ShadowPalette(one, depth, bright)
            for one, bright in zip(rectified.logs, too_bright, strict=True)
        ]
        self._from_ground = [
            self._beside_ground(q, share, known) for q in range(len(rectified.logs))
        ]
        seen = np.array([known.mean() for _, known in self._from_ground])
        hidden = np.maximum(1.0 - seen / MIN_SURFACE_BORDER, 0.0)
        self.seen_elsewhere = hidden * _seen_elsewhere(rectified.logs, depth)
        self._from_squares = [list(self._beside_squares(q)) for q in range(len(rectified.logs))]
        self._told: dict[tuple[int, bytes, bytes, bytes], Floats] = {}
        self.start_again()

    def start_again(self) -> None:
        """Forget what was drawn."""
        self.shares = np.full(self.rectified.logs.shape[:3], 0.5)
        self.solved = np.zeros(len(self.shares), bool)

    def rim(self, index: int) -> tuple[Floats, Floats]:
        """Return the shares along a square's rim, (4 * SIDE,), and 1 where they are known."""
        share, known = (part.copy() for part in self._from_ground[index])
        for other, places, rows, columns in self._from_squares[index]:
            if self.solved[other]:
                share[places] = self.shares[other][rows, columns]
                known[places] = 1.0
        return share, known

    def solve(self, index: int) -> None:
        """Choose the share of one square that its print and its neighbours make likeliest."""
        share, known = self.rim(index)
        before = self.shares[[index] * int(self.solved[index])]
        given = (index, before.tobytes(), share.tobytes(), known.tobytes())
        if given not in self._told:
            self._told[given] = self._likeliest(index, share, known, before)
        self.shares[index] = self._told[given]
        self.solved[index] = True

    def _likeliest(self, index: int, share: Floats, known: Floats, before: Floats) -> Floats:
        """Return the likeliest share of a square with this rim; ``before`` is that drawn before."""
        choices = np.zeros((1, RECTIFIED_PX, RECTIFIED_PX))
        enough = MIN_KNOWN_BORDER[len(before)]
        if known.any() and (known.mean() < enough or share[known > 0].max() >= MIN_BORDER_SHADOW):
            across = _across(share, known)
            whole = np.ones_like(across)
            starts = np.stack([0.15 + 0.7 * across, 0.5 * whole])
            refined = self.palettes[index].refined(starts, share, known)
            parted = (across > 0.5).astype(np.float64)
            choices = np.stack([choices[0], whole, parted, *refined, *before])
        best = 0
        if len(choices) > 1:
            best = int(np.argmin(self._prices(index, choices, share, known)))
        return np.asarray(choices[best])

    def total(self) -> float:
        """Return the price of the whole drawing."""
        return sum(
            float(self._prices(q, s[None], *self.rim(q))[0]) for q, s in enumerate(self.shares)
        )

    def neighbours(self, index: int) -> Iterator[int]:
        """Give the squares beside one."""
        return (other for other, *_ in self._from_squares[index])

    def _beside_ground(
        self, index: int, share: Floats, known: NDArray[np.bool_]
    ) -> tuple[Floats, Floats]:
        shrink = np.divide(share.shape, self.rectified.size)[::-1]
        xs, ys = (self.rectified.rims[index] * shrink).astype(int).T
        ys, xs = np.clip(ys, 0, share.shape[0] - 1), np.clip(xs, 0, share.shape[1] - 1)
        there = (self.rectified.beside[index] < 0) & known[ys, xs]
        return np.where(there, share[ys, xs], 0.5), there.astype(np.float64)

    def _beside_squares(
        self, index: int
    ) -> Iterator[tuple[int, NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]]:
        import cv2

        beside = self.rectified.beside[index]
        for other in np.unique(beside):
            if other < 0 or other == index:
                continue
            places = np.flatnonzero(beside == other)
            points = self.rectified.rims[index][places].astype(np.float32)[:, None]
            there = cv2.perspectiveTransform(points, self.rectified.to_flat[other])[:, 0]
            columns, rows = np.clip(there.astype(np.intp), 0, RECTIFIED_PX - 1).T
            yield int(other), places, rows, columns

    def _prices(self, index: int, choices: Floats, share: Floats, known: Floats) -> Floats:
        """Return the prices, (k,), of drawings of a square, (k, SIDE, SIDE)."""
        hard = choices > 0.5
        ends = np.concatenate(
            [choices[:, 0], choices[:, -1], choices[:, :, 0], choices[:, :, -1]], axis=1
        )
        seam = np.abs(ends - share) @ known
        cut = (hard[:, 1:] != hard[:, :-1]).sum(axis=(1, 2))
        cut += (hard[:, :, 1:] != hard[:, :, :-1]).sum(axis=(1, 2))
        elsewhere = self.seen_elsewhere[index] * hard.mean(axis=(1, 2))
        surprise = self.palettes[index].surprise(hard) - elsewhere
        return np.asarray(surprise + SIDE_COINCIDENCE_COST * seam + CROSSING_COST * cut)


def trace_shadow(
    rectified: RectifiedSquares, depth: Floats, share: Floats, known: NDArray[np.bool_]
) -> Floats:
    """Tell where the shadow lies on the squares.

    Parameters
    ----------
    rectified : RectifiedSquares
        The n squares.
    depth : (3,)
        The shadow's depth, natural logarithm.
    share, known : (rows, columns)
        How surely the ground is in the shadow, and where that is known.

    Returns
    -------
    (n, SIDE, SIDE) float64
        0 in the light to 1 in the shadow. Squares are taken one after another, those next to
        the known first: once along the shadow, once from all sides; the likelier drawing wins.
    """
    best, least = np.zeros(rectified.logs.shape[:3]), np.inf
    follower = ShadowTracer(rectified, depth, share, known)
    for along in (True, False):
        follower.start_again()
        for index in _order(follower, along):
            follower.solve(index)
        for _ in range(RELAXATION_SWEEPS):
            for index in range(len(rectified.logs)):
                follower.solve(index)
        price = follower.total()
        if price < least:
            best, least = follower.shares, price
    return best


def _order(follower: ShadowTracer, along: bool) -> Iterator[int]:
    """Give each square once, next the one of whose rim most is known (and in the shadow)."""

    def rank(index: int) -> tuple[bool, float]:
        share, known = follower.rim(index)
        return along and float(((share - 0.5) * known).sum()) > RECTIFIED_PX / 4, float(known.sum())

    waiting = {index: rank(index) for index in range(len(follower.shares))}
    while waiting:
        index = max(waiting, key=lambda i: (waiting[i], -i))
        del waiting[index]
        yield index
        for other in follower.neighbours(index):
            if other in waiting:
                waiting[other] = rank(other)


def _seen_elsewhere(logs: Floats, depth: Floats) -> Floats:
    """Return what it is worth, (n,), that a square freed of shadow looks like another square.

    Parameters
    ----------
    logs : (n, SIDE, SIDE, 3)
    depth : (3,)
    """
    colours = colour_quantiles(channels_of(logs)).reshape(len(logs), -1)
    worth, shadow = np.zeros(len(logs)), np.repeat(depth, COLOUR_QUANTILES)
    for index, own in enumerate(colours if len(logs) > 1 else ()):
        away = [np.abs(colours - one).mean(axis=1) for one in (own, own - shadow)]
        lit, unlit = (np.delete(one, index).min() for one in away)
        worth[index] = ELSEWHERE * (lit - unlit)
    return np.clip(worth, -MOST_ELSEWHERE, MOST_ELSEWHERE)


def _across(share: Floats, known: Floats) -> Floats:
    """Carry the known shares of the rim into the square, each pixel after its nearest."""
    weights = _nearness() @ np.stack([share * known, known], axis=1)
    return np.asarray(weights[:, 0] / weights[:, 1]).reshape(RECTIFIED_PX, RECTIFIED_PX)


@cache
def _nearness() -> Floats:
    """Return how near each pixel, (SIDE * SIDE, 4 * SIDE), is to each place of the rim."""
    steps, low = np.arange(RECTIFIED_PX), np.full(RECTIFIED_PX, -1)
    high = low + RECTIFIED_PX + 1
    xs, ys = np.concatenate([steps, steps, low, high]), np.concatenate([low, high, steps, steps])
    apart = (steps[None, :, None] - xs) ** 2 + (steps[:, None, None] - ys) ** 2
    return np.asarray(apart**-1.5).reshape(RECTIFIED_PX**2, -1)
