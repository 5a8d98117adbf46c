"""Other ways to find a print's colours, for `palettes.py` to measure beside the tool's own.

Each takes the pixels of a square, (n, 3) CIELAB, and a weight for each, and gives colours with
shares. Medians cut and k-means are as in P. Heckbert, Color image quantization for frame buffer
display, SIGGRAPH 1982, and S. Lloyd, Least squares quantization in PCM, 1982; mode seeking as in
D. Comaniciu and P. Meer, Mean shift, PAMI 24 (2002); joining as in J. Ward, J. Am. Stat. Assoc. 58
(1963), from bins, up to a difference that is just told as another colour.
"""

from __future__ import annotations

import cv2
import numpy as np
from sklearn.cluster import AgglomerativeClustering

from catalog.measuring.colour_bins import BIN_SIDE
from catalog.measuring.print_palettes import MAX_COLOURS, MIN_APART, MIN_SHARE

Array = np.ndarray
Told = list[tuple[Array, float]]
BANDWIDTH = 4.0
"""CIELAB, standard deviation, over which modes are sought."""


def binned(pixels: Array, weights: Array) -> tuple[Array, Array]:
    """Return the means and weights of bins of colour."""
    _, of_pixel = np.unique(np.floor(pixels / BIN_SIDE), axis=0, return_inverse=True)
    of_pixel = of_pixel.ravel()
    heavy = np.bincount(of_pixel, weights=weights)
    sums = [np.bincount(of_pixel, weights=weights * plane) for plane in pixels.T]
    return np.stack(sums, axis=1) / heavy[:, None], heavy


def k_means(count: int):
    """Return k-means from random starts, shades joined."""

    def way(pixels: Array, weights: Array) -> Told:
        cv2.setRNGSeed(1)
        stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.1)
        few = np.float32(pixels)
        _, labels, _ = cv2.kmeans(few, count, None, stop, 2, cv2.KMEANS_PP_CENTERS)
        return joined(pixels, weights, labels.ravel())

    return way


def modes(pixels: Array, weights: Array) -> Told:
    """Return the modes of the colours' density, the bins that climb to each."""
    colours, heavy = binned(pixels, weights)
    at = colours.copy()
    for _ in range(15):
        near = np.exp(-np.square(at[:, None] - colours).sum(axis=2) / (2 * BANDWIDTH**2)) * heavy
        at = near @ colours / near.sum(axis=1, keepdims=True)
    labels = np.full(len(at), -1)
    for one in np.argsort(-heavy):
        if labels[one] < 0:
            labels[(np.linalg.norm(at - at[one], axis=1) < BANDWIDTH) & (labels < 0)] = one
    return joined(colours, heavy, labels)


def median_cut(pixels: Array, weights: Array) -> Told:
    """Return the boxes of a cube that is cut at its medians where it spreads most."""
    colours, heavy = binned(pixels, weights)
    boxes = [np.arange(len(colours))]
    while len(boxes) < min(2 * MAX_COLOURS, len(colours)):
        spread = [colours[box].std(axis=0) * np.sqrt(heavy[box].sum()) for box in boxes]
        widest = int(np.argmax([one.max() for one in spread]))
        box = boxes.pop(widest)
        order = box[np.argsort(colours[box, int(np.argmax(spread[widest]))], kind="stable")]
        half = np.searchsorted(np.cumsum(heavy[order]), heavy[order].sum() / 2)
        half = int(np.clip(half, 1, len(order) - 1)) if len(order) > 1 else 1
        boxes += [part for part in (order[:half], order[half:]) if len(part)]
    labels = np.zeros(len(colours), int)
    for number, box in enumerate(boxes):
        labels[box] = number
    return joined(colours, heavy, labels)


def agglomerated(pixels: Array, weights: Array) -> Told:
    """Return what is left where the nearest are joined, from the heaviest bins."""
    colours, heavy = binned(pixels, weights)
    top = np.argsort(-heavy)[:80]
    labels = np.zeros(len(top), int)
    if len(top) > MAX_COLOURS:
        labels = AgglomerativeClustering(MAX_COLOURS, linkage="ward").fit_predict(colours[top])
    nearest = np.square(colours[:, None] - colours[top]).sum(axis=2).argmin(axis=1)
    return joined(colours, heavy, labels[nearest])


def joined(colours: Array, weights: Array, labels: Array) -> Told:
    """Join clusters that are shades of one or too small, down to as many as a palette has."""
    labels = np.unique(labels, return_inverse=True)[1].ravel()
    while True:
        heavy = np.bincount(labels, weights=weights)
        sums = [np.bincount(labels, weights=weights * plane) for plane in colours.T]
        middles, shares = np.stack(sums, axis=1) / heavy[:, None], heavy / heavy.sum()
        away = np.linalg.norm(middles[:, None] - middles, axis=2)
        np.fill_diagonal(away, np.inf)
        one, two = np.unravel_index(int(np.argmin(away)), away.shape)
        if len(heavy) > 1 and shares.min() < MIN_SHARE:
            one = int(np.argmin(shares))
            two = int(np.argmin(away[one]))
        elif len(heavy) == 1 or (away[one, two] >= MIN_APART and len(heavy) <= MAX_COLOURS):
            return list(zip(middles, shares.tolist(), strict=True))
        labels = np.unique(np.where(labels == one, two, labels), return_inverse=True)[1].ravel()


WAYS = {
    "k-means of 4": k_means(4),
    "k-means of 5": k_means(5),
    "modes of the density": modes,
    "median cut": median_cut,
    "Ward's joining": agglomerated,
}
