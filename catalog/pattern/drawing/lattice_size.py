"""How many cells a drawing has: the coarsest lattice on which its lines and steps run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

from catalog.pattern.drawing.unit_seams import MAX_CELLS

if TYPE_CHECKING:
    import numpy as np

    from catalog.pattern.drawing.squared_drawing import SquaredDrawing

NEAR_LINE: Final = 0.015
"""Share of the side within which a line lies on a lattice's."""
NEAR_HATCHING: Final = 0.035
"""The same of the end of a hatching, which is seen less sharply."""
NEAR_IN_CELL: Final = 0.14
"""The same as a share of a cell at most; else fine lattices lie near everything."""
RIM: Final = 0.03
"""Share of the side along the frame that is left out: its own line runs there."""
ASPECT_OFF: Final = 0.17
"""Logarithm by which a frame's height over width may come out wrong in a hand-held photo, whose
principal point is not quite its middle."""
CELL_COST: Final = 0.02
"""Stray share that one cell more along the longer side has to save."""
UNLIKELY_ASPECT: Final = 0.6
"""Stray share that one unit of the aspect's logarithm is worth."""


MIN_CHANCE: Final = 0.05
"""Share of a drawing that lies on no line, below which a lattice is too fine to be told."""


@dataclass(frozen=True)
class LatticeFit:
    """How well a lattice fits."""

    rows: int
    columns: int
    stray: float
    """Share of the lines and steps that run where the lattice has none, over the share that would
    do so if they ran anywhere: 0 fits, 1 doesn't."""
    cost: float
    """Stray share and what speaks against so many cells, and against their aspect."""


def lattice_fits(drawing: SquaredDrawing) -> list[LatticeFit]:
    """Return how every lattice of square cells fits a drawing, the likeliest first."""
    import math

    import numpy as np

    shape = drawing.edges.shape
    rim = round(RIM * max(shape))
    edges = drawing.edges.copy()
    for side in (edges[:rim], edges[-rim:], edges[:, :rim], edges[:, -rim:]):
        side[:] = 0
    y, x = np.nonzero(edges)
    spots, strength = np.column_stack([x + 0.5, y + 0.5]), edges[y, x].astype(float)
    hatched, total = drawing.crowded[y, x], max(float(strength.sum()), 1e-6)
    everywhere = np.meshgrid(*(np.arange(rim, side - rim, 5) + 0.5 for side in shape[::-1]))
    grid = np.stack(everywhere, axis=-1).reshape(-1, 2)
    found = []
    for rows, columns in _lattices(drawing.aspect):
        cell = np.array([shape[1] / columns, shape[0] / rows])
        most = NEAR_IN_CELL * float(cell.min())
        off = chance = 0.0
        for own, reach in ((~hatched, NEAR_LINE), (hatched, NEAR_HATCHING)):
            near, weight = min(reach * max(shape), most), float(strength[own].sum())
            off += float(strength[own] @ _off(spots[own], cell, near)) / total
            chance += weight / total * float(_off(grid, cell, near).mean())
        stray = off / max(chance, MIN_CHANCE)
        off_aspect = abs(math.log(rows / columns / drawing.aspect))
        cost = stray + CELL_COST * max(rows, columns) + UNLIKELY_ASPECT * off_aspect
        found.append(LatticeFit(rows, columns, stray, cost))
    return sorted(found, key=lambda one: one.cost)


def _lattices(aspect: float) -> list[tuple[int, int]]:
    """Return rows and columns of square cells that make a frame of about this height over width."""
    import math

    pairs = [
        (rows, columns)
        for columns in range(1, MAX_CELLS + 1)
        for rows in range(1, MAX_CELLS + 1)
        if abs(math.log(rows / columns / aspect)) <= ASPECT_OFF
    ]
    return sorted(pairs, key=lambda pair: pair[0] * pair[1])


def _off(spots: NDArray[np.float64], cell: NDArray[np.float64], near: float) -> NDArray[np.bool_]:
    """Say which spots lie on no line of a lattice, its diagonals among them."""
    import numpy as np

    u, v = (spots / cell).T
    size = float(cell.mean())

    def away(share: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.abs(share - np.round(share)) * size)

    slant = np.minimum(away(u - v), away(u + v)) / np.sqrt(2)
    return np.asarray(np.minimum(np.minimum(away(u), away(v)), slant) > near)
