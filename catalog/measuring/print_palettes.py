"""A print's colours with their shares, and which of them is its ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.models import Palette, PaletteColour

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]
Labels = NDArray[np.uint8]

BIN_SIDE = 3.0
"""CIELAB along a side of the bins that pixels are counted in: about what is just noticeable in
cloth, and far less than two colours of a palette are apart."""
MAX_COLOURS = 5
"""Colours of a palette."""
MIN_APART = 8.0
"""CIELAB distance up to which two colours are shades of one."""
MIN_SHARE = 0.02
"""Share of the cloth that a colour of a palette covers."""
MAX_STEP = 4.0
"""CIELAB distance between a pixel's neighbours on either side, up to which it counts as one colour:
at a figure's border, where pixels are mixed of two, it is more."""
ROUNDS = 12
"""Rounds of k-means, which end earlier where nothing moves."""
MIN_GROUND_SHARE, MIN_CONNECTED, MIN_RIM = 0.3, 0.8, 0.5
"""Share of the cloth that a ground covers; of the ground that hangs together in one piece; and, of
each of the square's sides, the share at which that piece is seen, over its share of the cloth."""


@dataclass(frozen=True, eq=False)
class ColourBins:
    """Pixels counted by their colour."""

    colours: Floats
    """(n, 3) mean CIELAB of each bin."""
    counts: Floats
    """(n,) pixels of one colour in it; mixed ones count little."""
    of_pixel: NDArray[np.intp]
    """(m,) each pixel's bin."""


def palette_of(colours: Pixels, shown: NDArray[np.bool_]) -> Palette:
    """Return a print's colours with their shares, and which of them is its ground.

    Parameters
    ----------
    colours : (side, side, 3) float32
        CIELAB of a square laid flat.
    shown : (side, side) bool
        Which pixels are the square's cloth.

    Returns
    -------
    Palette
        One to five colours, the largest share first; one of them alone is the ground.
    """
    bins = counted(colours, shown)
    of_bin = _merged(bins, _clustered(bins))
    pixels = of_bin[bins.of_pixel]
    middles = np.array([
        np.average(bins.colours[of_bin == k], axis=0, weights=bins.counts[of_bin == k])
        for k in range(int(of_bin.max()) + 1)
    ])  # fmt: skip
    shares = np.bincount(pixels, minlength=len(middles)) / len(pixels)
    labels = np.full(shown.shape, len(middles), np.uint8)
    labels[shown] = pixels
    ground = ground_of(labels, shares)
    order = sorted(range(len(middles)), key=lambda k: (-shares[k], *middles[k]))
    return tuple(
        PaletteColour(
            (float(middles[k, 0]), float(middles[k, 1]), float(middles[k, 2])),
            float(shares[k]),
            k == ground,
        )
        for k in order
    )


def counted(colours: Pixels, shown: NDArray[np.bool_]) -> ColourBins:
    """Count pixels by their colour, those mixed of two colours for little."""
    pure = 1.0 / (1.0 + np.square(steps(colours)[shown] / MAX_STEP))
    pixels = colours[shown]
    cell = np.floor(pixels / np.float32(BIN_SIDE)).astype(np.int64) + 64
    _, of_pixel = np.unique((cell[:, 0] * 128 + cell[:, 1]) * 128 + cell[:, 2], return_inverse=True)
    counts = np.bincount(of_pixel, weights=pure)
    sums = [np.bincount(of_pixel, weights=pixels[:, axis] * pure) for axis in range(3)]
    means = np.stack(sums, axis=1) / counts[:, None]
    return ColourBins(means, np.asarray(counts, np.float64), of_pixel)


def steps(colours: Pixels) -> Pixels:
    """Return how far, (side, side), the pixels on either side of each are apart, CIELAB."""
    across = np.zeros(colours.shape[:2], np.float32)
    down = np.zeros_like(across)
    across[:, 1:-1] = np.square(colours[:, 2:] - colours[:, :-2]).sum(axis=2)
    down[1:-1] = np.square(colours[2:] - colours[:-2]).sum(axis=2)
    return np.sqrt(np.maximum(across, down))


def _clustered(bins: ColourBins) -> NDArray[np.intp]:
    """Return each bin's cluster, by k-means from bins that are many and far from the others."""
    middles = bins.colours[[int(np.argmax(bins.counts))]]
    away = np.square(bins.colours - middles[0]).sum(axis=1)
    while len(middles) < min(MAX_COLOURS, len(bins.counts)):
        middles = np.vstack([middles, bins.colours[int(np.argmax(away * bins.counts))]])
        away = np.minimum(away, np.square(bins.colours - middles[-1]).sum(axis=1))
    nearest = np.zeros(len(bins.counts), np.intp)
    for _ in range(ROUNDS):
        before = nearest
        nearest = np.square(bins.colours[:, None] - middles).sum(axis=2).argmin(axis=1)
        if (nearest == before).all():
            break
        for k in np.unique(nearest):
            own = nearest == k
            middles[k] = np.average(bins.colours[own], axis=0, weights=bins.counts[own])
    return np.asarray(np.unique(nearest, return_inverse=True)[1])


def _merged(bins: ColourBins, of_bin: NDArray[np.intp]) -> NDArray[np.intp]:
    """Join clusters that are shades of one colour, or too small, to their nearest."""
    while of_bin.max() > 0:
        count = int(of_bin.max()) + 1
        weights = np.bincount(of_bin, weights=bins.counts)
        middles = np.stack(
            [np.bincount(of_bin, weights=bins.counts * c) for c in bins.colours.T], axis=1
        ) / weights[:, None]  # fmt: skip
        away = np.linalg.norm(middles[:, None] - middles, axis=2) + np.eye(count) * 1e9
        small = int(np.argmin(weights))
        if weights[small] < MIN_SHARE * weights.sum():
            one, two = small, int(np.argmin(away[small]))
        else:
            one, two = divmod(int(np.argmin(away)), count)
            if away[one, two] >= MIN_APART:
                break
        of_bin = np.unique(np.where(of_bin == one, two, of_bin), return_inverse=True)[1]
    return of_bin


def ground_of(labels: Labels, shares: Floats) -> int | None:
    """Return which colour lies behind the others: in one piece that runs to all four sides.

    Parameters
    ----------
    labels : (side, side) uint8
        Each pixel's colour; one past the last where the cloth isn't seen.
    shares : (k,)
        Of the colours.

    Returns
    -------
    int or None
        None where no colour does, as in stripes and checks.
    """
    import cv2

    if len(shares) == 1:
        return 0
    for k in np.argsort(-shares, kind="stable"):
        if shares[k] < MIN_GROUND_SHARE:
            break
        own = cv2.erode((labels == k).astype(np.uint8), np.ones((3, 3), np.uint8))
        _, marks, stats, _ = cv2.connectedComponentsWithStats(own, connectivity=4)
        areas = stats[1:, cv2.CC_STAT_AREA]
        if not len(areas):
            continue
        piece = marks == 1 + int(np.argmax(areas))
        rim = min(float(side.mean()) for side in (piece[0], piece[-1], piece[:, 0], piece[:, -1]))
        together = float(areas.max()) / float(areas.sum())
        if together >= MIN_CONNECTED and rim >= MIN_RIM * shares[k]:
            return int(k)
    return None
