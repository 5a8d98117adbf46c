"""Pixels, squares and their light to swatches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from catalog.colour import colour_names, lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring import print_features, rectified_patches
from catalog.measuring.colour_uncertainty import ColourEvidence, covering, light_over
from catalog.measuring.fabric_looks import ClothToLookAt, cloth_px, cloth_to_look_at, fabric_looks
from catalog.measuring.foreign_objects import is_shade, uncovered
from catalog.measuring.overlap_order import on_top
from catalog.measuring.print_patches import print_patch
from catalog.measuring.rectified_patches import cloth_shown_in
from catalog.measuring.square_labels import hints_by_photo
from catalog.measuring.square_prints import SquareCloth, read_print
from catalog.models import Found, Light, Photo, Swatch, Value, label_of
from catalog.system.one_thread import on_one_thread
from catalog.system.second_thread import second_thread

__all__ = ["hints_by_photo", "label_bundle", "measure", "value_bundle"]

SQUARES_PER_BATCH = 8
"""Squares measured at a time: their pixels stay in the processor's cache."""
COVERED = "partly covered"
"""Flag of a square that something lies on."""
MIN_COVERED_SHARE = 0.04
"""Share of a square that has to be covered for that: less is a sliver of ground at its edge."""
MIN_VALUE_SPAN = 6.0
"""L* over which a bundle has to spread to fall into values at all: half a step of an eight-step
value scale (steps of about 12)."""


@on_one_thread
def measure(photo: Photo, found: Found, light: Light) -> tuple[Swatch, ...]:
    """Measure each square's colour and print, the photo's light removed.

    Parameters
    ----------
    photo : Photo
    found : Found
        Squares in reading order.
    light : Light
        As estimated for this photo.

    Returns
    -------
    tuple of Swatch
        One for each square in the same order, with colour, print and signature; fabric, family
        and value are told later, over the whole bundle.
    """
    if not found.squares:
        return ()
    view = _View(photo, found, light, on_top(photo, found))
    everyone = list(range(len(found.squares)))
    batches = [everyone[at : at + SQUARES_PER_BATCH] for at in everyone[::SQUARES_PER_BATCH]]
    told, waiting = [], []
    with second_thread() as begin:
        for picked in batches:
            cloth = _lay_flat(view, picked)
            colours = lab.pixels_to_lab(cloth.coarse.even)
            shown = uncovered(colours, cloth.coarse.shown)
            waiting.append(begin(partial(fabric_looks, _to_look_at(view, cloth, shown))))
            told.append(_swatches(view, cloth, colours, shown))
            if len(waiting) > 1:
                waiting[-2]()  # so that the pixels of no more than two batches are kept
        looks = chain.from_iterable(wait() for wait in waiting)
        swatches = [
            replace(one, signature=np.concatenate([one.signature, look]))
            for one, look in zip(chain.from_iterable(one for one, _ in told), looks, strict=True)
        ]
    names = colour_names.name_colours(np.array([one.lab for one in swatches]))
    seen = zip(*(evidence for _, evidence in told), strict=True)
    evidence = ColourEvidence(*(np.concatenate(parts) for parts in seen))
    in_all, own = covering(swatches, evidence, light)
    return tuple(
        replace(one, colour_name=name, uncertainty=float(whole), own_uncertainty=float(alone))
        for one, name, whole, alone in zip(swatches, names, in_all, own, strict=True)
    )


@dataclass(frozen=True, eq=False)
class _View:
    """A photo, what was found on it, its light, and which squares lie over which."""

    photo: Photo
    found: Found
    light: Light
    over: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class _Cloth:
    """A few squares laid flat."""

    picked: Sequence[int]
    """Which of the squares, from 0."""
    coarse: rectified_patches.RectifiedPatches
    fine: list[NDArray[np.float32]]
    """Of each, (side, side, 3) linear light."""


def _lay_flat(view: _View, picked: Sequence[int]) -> _Cloth:
    photo, light = view.photo, view.light
    coarse = rectified_patches.cut_patches(photo, view.found, picked, light, view.over)
    squares = (view.found.squares[index] for index in picked)
    fine = [
        print_patch(photo, square, light, white)
        for square, white in zip(squares, coarse.over_white, strict=True)
    ]
    return _Cloth(picked, coarse, fine)


def _to_look_at(view: _View, cloth: _Cloth, shown: NDArray[np.float32]) -> list[ClothToLookAt]:
    """Make ready what the fabric network looks at of a few squares."""
    ready = []
    for i, index in enumerate(cloth.picked):
        square, even = view.found.squares[index], cloth.fine[i]
        width_in = cloth_shown_in(square)
        if (px := cloth_px(width_in)) > len(even):
            even = print_patch(view.photo, square, view.light, cloth.coarse.over_white[i], px)
        ready.append(cloth_to_look_at(even, shown[i], width_in))
    return ready


def _swatches(
    view: _View, cloth: _Cloth, colours: NDArray[np.float32], shown: NDArray[np.float32]
) -> tuple[list[Swatch], tuple[NDArray[np.floating], ...]]:
    """Return the swatches of a few squares, and what their doubts rest on."""
    coarse = cloth.coarse
    means = lab.linear_to_lab(_mean_light(coarse.even, shown))
    spread = print_features.busyness(colours, means, shown)
    seen = shown.mean(axis=(1, 2))
    hidden = coarse.shown.mean(axis=(1, 2)) - seen
    covered = [
        hidden[i] > MIN_COVERED_SHARE and not is_shade(colours[i], coarse.shown[i], shown[i])
        for i in range(len(shown))
    ]
    signatures = print_features.signatures(colours, shown)
    kinds = [print_features.kind(float(one)) for one in spread]
    swatches = []
    for i, index in enumerate(cloth.picked):
        square = view.found.squares[index]
        flat = SquareCloth(coarse.even[i], shown[i], cloth.fine[i])
        told = read_print(flat, cloth_shown_in(square), plain=kinds[i] == "plain")
        swatches.append(
            Swatch(
                label=label_of(square, index + 1),
                photo=view.photo.name,
                square=square,
                lab=(float(means[i, 0]), float(means[i, 1]), float(means[i, 2])),
                print_kind=kinds[i],
                busyness=float(spread[i]),
                flags=(*square.flags, *((COVERED,) if covered[i] else ())),
                signature=signatures[i],
                palette=told.palette,
                palette_at_wall=told.palette_at_wall,
                look=told.look,
            )
        )
    as_print = _off_if_print(cloth, means, np.array(covered))
    return swatches, (light_over(coarse.around), spread, seen, coarse.clipped, as_print)


def _off_if_print(
    cloth: _Cloth, means: NDArray[np.float64], covered: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return by how much covered squares' colours, (n,), differ from those of all that is shown."""
    if not covered.any():
        return np.zeros(len(covered))
    whole = lab.linear_to_lab(_mean_light(cloth.coarse.even, cloth.coarse.shown))
    return np.where(covered, ciede2000(means, whole), 0.0)


def _mean_light(even: NDArray[np.float32], shown: NDArray[np.float32]) -> NDArray[np.float64]:
    """Return the mean, (n, 3), of linear light (n, side, side, 3) over what is shown."""
    count = len(even)
    weights = (shown / shown.sum(axis=(1, 2), keepdims=True)).reshape(count, 1, -1)
    return np.asarray(weights @ even.reshape(count, -1, 3), np.float64)[:, 0]


def label_bundle(groups: Sequence[Sequence[Swatch]]) -> tuple[Swatch, ...]:
    """Label the squares of several photos so that no two of the bundle share a label.

    Parameters
    ----------
    groups : sequence of sequences of Swatch
        One for each photo, in the order given; each in reading order.

    Returns
    -------
    tuple of Swatch
        Rows of a later photo go on counting after those before; squares in no rows get
        ``S001`` onwards over the whole bundle.
    """
    labelled = []
    rows_before = loose = 0
    for group in groups:
        for swatch in group:
            square = swatch.square
            if square.row is None or square.col is None:
                loose += 1
                labelled.append(replace(swatch, label=label_of(square, loose)))
            else:
                square = replace(square, row=square.row + rows_before)
                labelled.append(replace(swatch, square=square, label=label_of(square, 0)))
        rows_before += max((s.square.row or 0 for s in group), default=0)
    return tuple(labelled)


def value_bundle(swatches: Sequence[Swatch]) -> tuple[Swatch, ...]:
    """Sort a bundle into light, medium and dark by the natural breaks of its L*.

    Parameters
    ----------
    swatches : sequence of Swatch
        The whole bundle, in any order.

    Returns
    -------
    tuple of Swatch
        In the order given, with ``value`` set.
    """
    low, high = _breaks(np.sort([s.lab[0] for s in swatches])) if swatches else (0.0, 0.0)
    return tuple(replace(s, value=_value(s.lab[0], low, high)) for s in swatches)


def _breaks(lightness: NDArray[np.float64]) -> tuple[float, float]:
    """Return the two L* that part three piles with the least squared spread (Fisher, Jenks)."""
    if lightness[-1] - lightness[0] < MIN_VALUE_SPAN:
        return -np.inf, np.inf
    count = np.arange(1.0, len(lightness) + 1.0)
    total, squares = np.cumsum(lightness), np.cumsum(lightness**2)
    low = (squares - total**2 / count)[:-1]
    high = (squares[-1] - squares - (total[-1] - total) ** 2 / np.maximum(count[::-1] - 1, 1))[:-1]
    best, first, last = np.inf, 0, 0
    for at in range(len(low)):  # row by row: a table of thousands by thousands is too much
        middle = squares[at:-1] - squares[at]
        middle = middle - (total[at:-1] - total[at]) ** 2 / np.maximum(count[at:-1] - count[at], 1)
        spread = np.round(low[at] + np.maximum(middle, 0.0) + high[at:], 6)
        least = int(np.argmin(spread))
        if spread[least] < best:
            best, first, last = float(spread[least]), at, at + least
    edges = (lightness[:-1] + lightness[1:]) / 2.0
    return float(edges[first]), float(edges[last])


def _value(lightness: float, low: float, high: float) -> Value:
    if lightness < low:
        return "dark"
    return "light" if lightness > high else "medium"
