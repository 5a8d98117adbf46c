"""A print's colours with their shares, and which of them is its ground."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring.colour_bins import ColourBins, binned, weighed
from catalog.models import Palette, PaletteColour

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]
Labels = NDArray[np.uint8]
Members = NDArray[np.intp]

HIDDEN = 255
"""Marks pixels that aren't the square's cloth."""
USUAL_COLOURS, MAX_COLOURS = 4, 5
"""Colours that a print is parted into first, and that it may have where one is left that is far
from all of them."""
MIN_APART, MIN_APART_FIFTH = 10.0, 22.0
"""CIELAB distance up to which two colours are shades of one, and CIEDE2000 from which one more is
told besides the usual (`tests/bench/palettes.py` prints what comes of these and of the others)."""
MIN_SHARE, MIN_SHARE_FIFTH = 0.02, 0.03
"""Share of the cloth that a colour of a palette covers, and one more."""
MAX_MIXED_PURITY, MAX_BESIDE = 0.6, 0.25
"""Weight of a colour's pixels, over that of the two that it lies between, below which it is but
mixed of them; how far it may lie beside the straight line between them, over its length."""
MAX_MIXED_WEIGHT = 0.4
"""Mean weight of a bin's pixels below which they are taken for mixed."""
MIN_SPREAD = 3.0
"""CIELAB, root mean square, up to which a print is of one colour: there none of 165 squares of 25
photos has two that are apart."""
MAX_ROUNDS = 10
"""Rounds of k-means, which end earlier where nothing moves."""
MIN_GROUND_SHARE, MIN_CONNECTED, MIN_RIM = 0.3, 0.8, 0.5
"""Share of the cloth that a ground covers; of the ground that hangs together in one piece; and, of
each of the square's sides, the share at which that piece is seen, over its share of the cloth."""


@dataclass(frozen=True, eq=False)
class PrintColours:
    """A print's colours and where they are."""

    palette: Palette
    places: Labels
    """(side, side) each pixel's colour, by its place in the palette; `HIDDEN` where it isn't seen.
    """

    def without_ground(self) -> PrintColours:
        """Return the same with no colour for the ground, where none lies behind."""
        if len(self.palette) == 1:
            return self
        return replace(self, palette=tuple(replace(one, ground=False) for one in self.palette))


def colours_of(planes: Pixels, shown: NDArray[np.bool_]) -> PrintColours:
    """Return a print's colours with their shares, and which of them is its ground.

    Parameters
    ----------
    planes : (3, side, side) float32
        L*, a* and b* of a square laid flat.
    shown : (side, side) bool
        Which pixels are the square's cloth.

    Returns
    -------
    PrintColours
        One to five colours, the largest share first; one of them alone is the ground.
    """
    weights, pixels = weighed(planes, shown)
    if (one := _of_one_colour(weights, pixels)) is not None:
        return PrintColours((one,), np.where(shown, np.uint8(0), np.uint8(HIDDEN)))
    bins = binned(weights, pixels)
    of_bin = _joined(bins, _parted(bins, USUAL_COLOURS))
    if of_bin.any():
        of_bin = _shared_out(bins, _with_fifth(bins, _pure(bins, of_bin)))
    sums = _sums(bins, of_bin)
    middles, shares = _middles(sums), sums[:, 4] / sums[:, 4].sum()
    order = sorted(range(len(middles)), key=lambda k: (-shares[k], *middles[k]))
    told = np.argsort(order).astype(np.uint8)[of_bin].take(bins.of_pixel)
    if told.size == shown.size:
        places = told.reshape(shown.shape)
    else:
        places = np.full(shown.shape, HIDDEN, np.uint8)
        places[shown] = told
    ground = ground_of(places, shares[order])
    palette = tuple(
        PaletteColour((lightness, a, b), share, place == ground)
        for place, (lightness, a, b, share) in enumerate(
            np.column_stack([middles, shares])[order].tolist()
        )
    )
    return PrintColours(palette, places)


def _of_one_colour(weights: Pixels, pixels: Pixels) -> PaletteColour | None:
    """Return the colour of pixels that all lie near one; None where they may lie further apart.

    `_parted` would find the same: what bins leave out of the spread is but little.
    """
    beside = pixels - pixels[:, :1]  # small numbers, of which single precision loses nothing
    whole = np.add.reduce(weights)
    middle = beside @ weights / whole
    beside *= beside
    if (beside @ weights).sum() / whole - middle @ middle >= MIN_SPREAD**2:
        return None
    lightness, a, b = (middle + pixels[:, 0]).tolist()
    return PaletteColour((lightness, a, b), 1.0, ground=True)


def _parted(bins: ColourBins, count: int) -> Members:
    """Return each bin's colour, by k-means from bins that are many and far from the others."""
    colours, weights = bins.colours, bins.weights
    if _spread(bins) < MIN_SPREAD:
        return np.zeros(len(weights), np.intp)
    seeds = [int(weights.argmax())]
    away = _squared(colours - colours[seeds[0]])
    while len(seeds) < min(count, len(away)):
        seeds.append(int((away * weights).argmax()))
        away = np.minimum(away, _squared(colours - colours[seeds[-1]]))
    return _settled(bins, colours[seeds])


def _squared(steps: Floats) -> Floats:
    """Return the squared lengths, (...), of steps (..., 3)."""
    return np.asarray(np.einsum("...i,...i", steps, steps))


def _spread(bins: ColourBins) -> float:
    """Return the root mean square distance of the pixels' colours from their mean, CIELAB."""
    whole, *middle, _ = np.add.reduce(bins.sums)
    return float(np.sqrt(_squared(bins.colours - np.array(middle) / whole) @ bins.weights / whole))


def _settled(bins: ColourBins, middles: Floats) -> Members:
    """Return each bin's colour by k-means from these."""
    nearest = np.zeros(len(bins.weights), np.intp)
    for _ in range(MAX_ROUNDS):
        # half the squared distance, less what is the same for all middles
        away = 0.5 * _squared(middles) - bins.colours @ middles.T
        before, nearest = nearest, away.argmin(axis=1)
        if (nearest == before).all():
            break
        sums = _sums(bins, nearest, len(middles))
        middles = np.where(sums[:, :1] > 0, _middles(sums), middles)
    return _renumbered(nearest)


def _sums(bins: ColourBins, of_bin: Members, count: int | None = None) -> Floats:
    """Return the sums of each colour's bins, (count, 5)."""
    own = np.eye(int(of_bin.max()) + 1 if count is None else count).take(of_bin, axis=1)
    return np.asarray(own @ bins.sums)


def _middles(sums: Floats) -> Floats:
    """Return the means, (k, 3), of colours from the sums of their bins."""
    return np.asarray(sums[:, 1:4] / np.maximum(sums[:, :1], 1e-9))


def _renumbered(of_bin: Members) -> Members:
    """Number the colours anew, where some have no bins any more."""
    kept = np.bincount(of_bin) > 0
    return of_bin if kept.all() else np.asarray((np.cumsum(kept) - 1).take(of_bin))


def _joined(bins: ColourBins, of_bin: Members) -> Members:
    """Join colours that are shades of one, or too small, each to its nearest."""
    sums = _sums(bins, of_bin)
    while len(sums) > 1:
        middles, counts = _middles(sums), sums[:, 4]
        away = _squared(middles[:, None] - middles)
        if away.max() < MIN_APART**2:  # whichever are joined first, all are in the end
            return np.zeros_like(of_bin)
        np.fill_diagonal(away, np.inf)
        one, two = divmod(int(away.argmin()), len(away))
        small = int(counts.argmin())
        if counts[small] < MIN_SHARE * len(bins.of_pixel):
            one, two = small, int(away[small].argmin())
        elif away[one, two] >= MIN_APART**2:
            break
        sums[two] += sums[one]
        sums = np.delete(sums, one, axis=0)
        of_bin = _renumbered(np.where(of_bin == one, two, of_bin))
    return of_bin


def _pure(bins: ColourBins, of_bin: Members) -> Members:
    """Put aside colours that are only seen where two others meet.

    Their bins go to that of the two which they have more of: light mixes, not CIELAB.
    """
    while (found := _mixed(sums := _sums(bins, of_bin))) is not None:
        mixed, one, two = found
        ends = lab.lab_to_linear(_middles(sums)[[one, two]])
        along = ends[1] - ends[0]
        part = (lab.lab_to_linear(bins.colours) - ends[0]) @ along / (along @ along)
        nearer = np.where(part < 0.5, one, two)
        of_bin = _renumbered(np.where(of_bin == mixed, nearer, of_bin))
    return of_bin


def _shared_out(bins: ColourBins, of_bin: Members) -> Members:
    """Give bins of pixels that are mixed to the colour that they have most of, as light mixes."""
    mixed = np.flatnonzero(bins.weights < MAX_MIXED_WEIGHT * bins.counts)
    if not len(mixed):
        return of_bin
    middles = _middles(_sums(bins, of_bin))
    light = lab.lab_to_linear(np.concatenate([middles, bins.colours[mixed]]))
    ends, light = light[: len(middles)], light[len(middles) :]
    shared = of_bin.copy()
    shared[mixed] = _squared(light[:, None] - ends).argmin(axis=1)
    return shared


def _mixed(sums: Floats) -> tuple[int, int, int] | None:
    """Return a colour that is only seen where two others meet, and these two."""
    middles, purity = _middles(sums), sums[:, 0] / sums[:, 4]
    for k in np.argsort(purity, kind="stable")[: max(0, len(middles) - 2)].tolist():
        if purity[k] >= MAX_MIXED_PURITY * purity.max():
            break
        purer = np.flatnonzero(purity[k] < MAX_MIXED_PURITY * purity).tolist()
        for one, two in combinations(purer, 2):
            along = middles[two] - middles[one]
            part = float((middles[k] - middles[one]) @ along / (along @ along))
            beside = float(np.linalg.norm(middles[one] + part * along - middles[k]))
            if 0.0 < part < 1.0 and beside < MAX_BESIDE * float(np.linalg.norm(along)):
                return k, one, two
    return None


def _with_fifth(bins: ColourBins, of_bin: Members) -> Members:
    """Tell one colour more where one is left that is far from all the others."""
    middles = _middles(_sums(bins, of_bin))
    if len(middles) >= MAX_COLOURS:
        return of_bin
    away = _squared(bins.colours - middles[of_bin])
    candidate = int((away * bins.weights).argmax())
    if away[candidate] < MIN_APART_FIFTH**2:
        return of_bin
    more = _settled(bins, np.vstack([middles, bins.colours[candidate]]))
    sums = _sums(bins, more)
    told = len(sums) > len(middles) and sums[:, 4].min() >= MIN_SHARE_FIFTH * len(bins.of_pixel)
    if not told or _mixed(sums) is not None:
        return of_bin
    one, two = np.triu_indices(len(sums), 1)
    found = _middles(sums)
    apart = float(ciede2000(found[one], found[two]).min())
    return more if apart >= MIN_APART_FIFTH else of_bin


def ground_of(places: Labels, shares: Floats) -> int | None:
    """Return which colour lies behind the others: in one piece that runs to all four sides.

    Parameters
    ----------
    places : (side, side) uint8
        Each pixel's colour; `HIDDEN` where the cloth isn't seen.
    shares : (k,)
        Of the colours, falling.

    Returns
    -------
    int or None
        None where no colour does, as in stripes.
    """
    import cv2

    if len(shares) == 1:
        return 0
    for k in np.flatnonzero(shares >= MIN_GROUND_SHARE):
        own = places == k
        if _rim(own) < MIN_RIM * shares[k]:
            continue
        _, marks, stats, _ = cv2.connectedComponentsWithStats(own.view(np.uint8), connectivity=4)
        areas = stats[1:, cv2.CC_STAT_AREA]
        largest = int(np.argmax(areas))
        if areas[largest] < MIN_CONNECTED * areas.sum():
            continue
        if _rim(marks == largest + 1) >= MIN_RIM * shares[k]:
            return int(k)
    return None


def _rim(piece: NDArray[np.bool_]) -> float:
    """Return the share of the side of a patch at which a piece is seen least."""
    sides = (piece[0], piece[-1], piece[:, 0], piece[:, -1])
    return min(np.count_nonzero(side) for side in sides) / len(piece)
