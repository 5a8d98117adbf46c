"""The colours of a drawing's patches: which are alike, and which of them is the background."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from catalog.pattern.blocks.coloured_block import BlockColour
from catalog.pattern.drawing.block_parsing import ParsedUnit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from catalog.pattern.drawing.seam_evidence import TriangleLooks

TEXTURE_SCALE: Final = 0.7
"""What a step of texture counts beside one of CIELAB."""
ALIKE: Final = 8.0
"""Difference below which two patches are of one colour."""
UNLIKE: Final = 20.0
"""Difference above which they are of two; between them the widest gap decides."""
MAX_COLOURS: Final = 8
NAMES: Final = ("feature", "accent", "third", "fourth", "fifth", "sixth", "seventh")
"""Of colours besides the background, the largest first."""
BACKGROUND: Final = "background"


@dataclass(frozen=True)
class DrawnColours:
    """Which colour each patch has."""

    colours: tuple[BlockColour, ...]
    looks: tuple[str, ...]
    """Of each colour, as #rrggbb."""
    named: tuple[tuple[str, ...], ...]
    """For each unit the colour of each of its parts."""
    nearest: float
    """Difference of the two colours that are most alike; infinite where there is one."""


def look(triangles: Sequence[int], looks: TriangleLooks) -> NDArray[np.float64]:
    """Return what some triangles look like together: CIELAB and scaled texture."""
    import numpy as np

    own = list(triangles)
    texture = TEXTURE_SCALE * looks.texture[own]
    return np.concatenate([looks.lab[own].mean(axis=0), texture.mean(axis=0)])


def colours_of(units: Sequence[ParsedUnit], looks: TriangleLooks, columns: int) -> DrawnColours:
    """Return the colours of a block's patches.

    The lightest is the background, as paper is where a drawing leaves it; of the others the one
    that covers most is the feature.
    """
    import numpy as np

    parts = [part for unit in units for part in unit.triangles(columns)]
    flat = [[n for piece in part for n in piece] for part in parts]
    seen = np.array([look(one, looks) for one in flat])
    areas = np.array([len(one) for one in flat], float)
    groups, nearest = _groups(seen)
    weights = [areas[groups == g].sum() for g in range(groups.max() + 1)]
    means = np.array([np.average(seen[groups == g], axis=0, weights=areas[groups == g])
                      for g in range(groups.max() + 1)])  # fmt: skip
    order = sorted(range(len(weights)), key=lambda g: -weights[g])
    if len(order) > 1:
        lightest = max(order, key=lambda g: means[g][0] - 0.3 * float(np.hypot(*means[g][1:3])))
        order = [*(g for g in order if g != lightest), lightest]
    called = NAMES if len(order) == 1 else (*NAMES[: len(order) - 1], BACKGROUND)
    names = dict(zip(order, called, strict=False))
    colours = tuple(
        BlockColour(names[g], "background" if names[g] == BACKGROUND else "feature") for g in order
    )
    at, named = 0, []
    for unit in units:
        count = len(unit.triangles(columns))
        named.append(tuple(names[int(g)] for g in groups[at : at + count]))
        at += count
    return DrawnColours(colours, tuple(_hex(means[g]) for g in order), tuple(named), nearest)


def _groups(seen: NDArray[np.float64]) -> tuple[NDArray[np.int64], float]:
    """Return the group of each patch, and how far apart the nearest two groups are."""
    import numpy as np
    from scipy.cluster.hierarchy import fcluster, linkage

    if len(seen) == 1:
        return np.zeros(1, int), float("inf")
    tree = linkage(seen, "average")
    steps = np.concatenate([[0.0], tree[:, 2]])
    between = [(low, high) for low, high in zip(steps, [*steps[1:], np.inf], strict=True)
               if high > ALIKE and low < UNLIKE]  # fmt: skip
    low, high = max(between, key=lambda gap: min(gap[1], 3 * UNLIKE) / max(gap[0], ALIKE / 2))
    cut = (max(low, ALIKE / 2) + min(high, 3 * UNLIKE)) / 2
    groups = fcluster(tree, cut, "distance") - 1
    while groups.max() >= MAX_COLOURS:
        cut *= 1.2
        groups = fcluster(tree, cut, "distance") - 1
    return groups.astype(int), float(high if groups.max() else np.inf)


def _hex(mean: NDArray[np.float64]) -> str:
    import cv2
    import numpy as np

    rgb = cv2.cvtColor(mean[None, None, :3].astype(np.float32), cv2.COLOR_LAB2RGB)[0, 0]
    return "#" + "".join(f"{round(255 * float(np.clip(one, 0, 1))):02x}" for one in rgb)
