"""What a drawing shows along each short seam of a lattice, and how likely a seam it makes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

from catalog.pattern.drawing.seam_lattice import seam_ends, triangles_of

if TYPE_CHECKING:
    import numpy as np
    from cv2.typing import MatLike

    from catalog.pattern.drawing.squared_drawing import SquaredDrawing

MARGIN: Final = 0.02
"""Share of the side that is left out along a triangle's sides, where its lines are."""
MAX_MARGIN: Final = 0.09
"""The same as a share of a cell; a triangle reaches 0.2 of it from its sides."""
REACH: Final = 0.013
"""Share of the side by which a drawn line may lie off its place."""
SAMPLES: Final = 16
"""Places along a seam that are looked at, the ends left out."""


@dataclass(frozen=True, eq=False)
class TriangleLooks:
    """What the triangles of a lattice look like."""

    lab: NDArray[np.float64]
    """(n, 3), mean CIELAB."""
    texture: NDArray[np.float64]
    """(n, 3), mean local contrast, and direction times it."""
    spread: NDArray[np.float64]
    """(n,), standard deviation of L."""


def looks_of(drawing: SquaredDrawing, rows: int, columns: int) -> TriangleLooks:
    """Return what each triangle of a lattice looks like, its rim left out."""
    import numpy as np

    shape = drawing.lab.shape[:2]
    cell = shape[1] / columns
    margin = min(MARGIN * max(shape), MAX_MARGIN * cell)
    numbers = triangles_of(rows, columns, (shape[0], shape[1]), margin)
    inside = numbers >= 0
    at = numbers[inside]
    count = 4 * rows * columns
    pixels = np.maximum(np.bincount(at, minlength=count), 1)

    def mean(values: NDArray[np.float32]) -> NDArray[np.float64]:
        return np.bincount(at, values[inside], minlength=count) / pixels

    lab = np.stack([mean(drawing.lab[..., k]) for k in range(3)], axis=-1)
    texture = np.stack([mean(drawing.texture[..., k]) for k in range(3)], axis=-1)
    squares = mean(drawing.lab[..., 0] ** 2)
    spread = np.sqrt(np.maximum(squares - lab[:, 0] ** 2, 0))
    return TriangleLooks(lab, texture, spread)


def evidence_of(
    drawing: SquaredDrawing, rows: int, columns: int, looks: TriangleLooks
) -> NDArray[np.float64]:
    """Return what is seen along each short seam, each number from 0 to about 1.

    Returns
    -------
    (n, 7) float64
        In the order of `seam_ends`: a line all along; more of it there than beside; how much deeper
        it is than what lies beside, and than the deepest there; the step of colour between its two
        triangles, the step of their texture, and the step of colour across the seam itself.
    """
    import cv2
    import numpy as np

    ends = seam_ends(rows, columns)
    shape = drawing.lab.shape[:2]
    scale = np.array([shape[1] / columns, shape[0] / rows])
    reach = REACH * max(shape)
    size = round(2 * reach) | 1
    near = cv2.dilate(drawing.ridges, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size)))
    start, along = ends.starts * scale, (ends.ends - ends.starts) * scale
    share = np.linspace(0.14, 0.86, SAMPLES)
    points = start[:, None] + along[:, None] * share[None, :, None]
    long = np.linalg.norm(along, axis=1)
    across = np.stack([-along[:, 1], along[:, 0]], axis=-1) / long[:, None]
    far = 0.30 * np.where(ends.slanted, scale[0] / np.sqrt(2), scale[0] / 2)
    far = np.maximum(far, 2.2 * reach)
    offsets = np.linspace(-1, 1, 13)
    ridge, light = (_profile(image, points, across * far[:, None], offsets)
                    for image in (drawing.ridges, drawing.lab[..., 0]))  # fmt: skip
    middle = np.abs(offsets)[None] * far[:, None] <= reach * 1.1
    inner = np.where(middle, ridge, -1).max(axis=1)
    outer = np.where(middle, np.nan, ridge)
    whole = np.quantile(_sampled(near, points, np.zeros_like(across)), 0.2, axis=1)
    beside = np.max([np.quantile(_sampled(near, points, across * (k * far)[:, None]), 0.2, axis=1)
                     for k in (-1.0, 1.0)], axis=0)  # fmt: skip
    one, other = ends.sides.T
    colour = np.linalg.norm(looks.lab[one] - looks.lab[other], axis=1)
    texture = np.linalg.norm(looks.texture[one] - looks.texture[other], axis=1)
    step = np.abs(light[:, 2:4].mean(axis=1) - light[:, 9:11].mean(axis=1))
    seen = np.stack([
        whole / 30,
        (whole - beside) / 30,
        (inner - np.nanmedian(outer, axis=1)) / 20,
        (inner - np.nanmax(outer, axis=1)) / 20,
        colour / 20,
        texture / 20,
        step / 20,
    ], axis=-1)  # fmt: skip
    return np.asarray(np.tanh(seen))


def _profile(
    image: MatLike,
    points: NDArray[np.float64],
    away: NDArray[np.float64],
    offsets: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return an image's means along lines of points, moved by (n, 2) px times each offset."""
    import numpy as np

    means = [_sampled(image, points, away * offset).mean(axis=1) for offset in offsets]
    return np.stack(means, axis=-1)


def _sampled(
    image: MatLike, points: NDArray[np.float64], shift: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return an image's values at (n, m) points moved by (n, 2) px."""
    import cv2
    import numpy as np

    at = (points + shift[:, None] - 0.5).astype(np.float32)
    found = cv2.remap(image, at[..., 0], at[..., 1], cv2.INTER_LINEAR,
                      borderMode=cv2.BORDER_REPLICATE)  # fmt: skip
    return np.asarray(found, np.float64)
