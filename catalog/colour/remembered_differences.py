"""Differences of palettes that were worked out last, for who asks again with some of them.

A bundle that is sorted is paired anew after each thing said of it, and its colours are the same as
before: of 1,000 squares they take most of a second to compare.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_difference_matrix, pile_sizes
from catalog.models import Palette

WORTH_REMEMBERING: Final = 64
"""Palettes below which they are compared as quickly as they are looked up."""
MAX_REMEMBERED: Final = 2_000
"""Palettes whose differences are remembered at most: 32 MB."""
TABLES: Final = 3
"""Remembered at a time: by colour, by value and by hue."""


@dataclass(frozen=True, eq=False)
class _Table:
    places: Mapping[Palette, int]
    sizes: NDArray[np.intp]
    matrix: NDArray[np.float64]
    k_lightness: float


_tables: deque[_Table] = deque(maxlen=TABLES)


_pairs: deque[tuple[bytes, float, NDArray[np.float64]]] = deque(maxlen=TABLES)


def remembered_differences(
    colours: NDArray[np.float64],
    pairs: tuple[NDArray[np.intp], NDArray[np.intp]],
    k_lightness: float,
) -> NDArray[np.float64]:
    """Return CIEDE2000 of some pairs of colours (n, 3), and remember it."""
    asked = b"".join(each.tobytes() for each in (colours, *pairs))
    for known, k, away in tuple(_pairs):
        if k == k_lightness and known == asked:
            return away
    away = ciede2000(colours[pairs[0]], colours[pairs[1]], k_lightness)
    _pairs.append((asked, k_lightness, away))
    return away


def remembered_difference_matrix(
    palettes: Sequence[Palette], k_lightness: float
) -> NDArray[np.float64]:
    """Return the same as `palette_difference_matrix`, to the last bit, and remember it."""
    if not WORTH_REMEMBERING <= len(palettes) <= MAX_REMEMBERED:
        return palette_difference_matrix(palettes, k_lightness)
    sizes = pile_sizes(palettes)
    for table in tuple(_tables):
        if table.k_lightness == k_lightness:
            found = [table.places.get(one, -1) for one in palettes]
            # In another order the two of a pair would change places, which its last bits may show.
            in_order = min(found) >= 0 and bool((np.diff(found) > 0).all())
            if in_order and np.array_equal(table.sizes[found], sizes):
                matrix = table.matrix[np.ix_(found, found)]
                np.fill_diagonal(matrix, 0.0)
                return matrix
    matrix = palette_difference_matrix(palettes, k_lightness)
    places = {one: place for place, one in enumerate(palettes)}
    _tables.append(_Table(places, sizes, matrix.copy(), k_lightness))
    return matrix
