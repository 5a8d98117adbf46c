"""The list of flat things that a picture is put together from, as rows of numbers.

Lengths are in the plane's unit, about the side of a square. A thing's own frame has its centre at
the origin and keeps that unit; its half width and half height tell it from its neighbours.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from atlas import GROUND, LEVELS, PHOTO, PRINT, SIDES, start_of

COLUMNS = {
    "centre": slice(0, 2),
    "frame": slice(2, 6),  # plane to own frame, 2 x 2
    "half": slice(6, 8),
    "round": slice(8, 9),  # radius of the corners
    "ellipse": slice(9, 10),  # 1: an ellipse instead of a box
    "cut_side": slice(10, 12),  # which corner is cut off, +1 or -1
    "cut": slice(12, 13),  # how far from that corner, along both sides; 0 none
    "folded": slice(13, 14),  # 1: the corner lies folded over
    "teeth": slice(14, 18),  # height, number a unit, phase, 1 for waves, 2 curled ends
    "map": slice(18, 22),  # own frame to the picture coloured from, 2 x 2
    "shift": slice(22, 24),
    "gain": slice(24, 27),
    "offset": slice(27, 30),
    "shadow": slice(30, 34),  # depth, softness, way in the plane
    "rim": slice(34, 36),  # brightness at the edge, width
    "crease": slice(36, 40),  # direction, place, strength
}
WIDTH = 40
MOST = 320
"""Things in a picture at most."""

SUPERSAMPLING = 2


class Things:
    """Things from the lowest to the highest.

    Parameters
    ----------
    counts : tuple of int
        Pictures of each kind in the atlas.
    """

    def __init__(self, counts: tuple[int, int, int]) -> None:
        self.counts = counts
        self.rows = np.zeros((0, WIDTH), np.float32)
        self.source = np.zeros((0, 2), np.int64)  # kind, number
        self.square = np.zeros(0, bool)

    def add(
        self,
        centre: npt.ArrayLike,
        angle: npt.ArrayLike,
        half: npt.ArrayLike,
        source: np.ndarray | None = None,
        square: bool = False,
        **columns: npt.ArrayLike,
    ) -> np.ndarray:
        """Add n things above those there.

        Parameters
        ----------
        centre : (n, 2)
        angle : (n,) or number
            Radians.
        half : (2,) or (n, 2)
            Half width and half height.
        source : (n, 2), optional
            Kind and number of the picture that each is coloured from; a print by default.
        columns
            Any of COLUMNS.

        Returns
        -------
        (n, WIDTH)
            The rows added, to be changed in place.
        """
        centre = np.atleast_2d(np.asarray(centre, float))
        n = len(centre)
        rows = np.zeros((n, WIDTH), np.float32)
        cos, sin = np.cos(angle) * np.ones(n), np.sin(angle) * np.ones(n)
        rows[:, COLUMNS["frame"]] = np.stack([cos, sin, -sin, cos], 1)
        rows[:, COLUMNS["centre"]] = centre
        rows[:, COLUMNS["half"]] = half
        rows[:, COLUMNS["map"]] = [0.6, 0, 0, 0.6]
        rows[:, COLUMNS["shift"]] = 0.5
        rows[:, COLUMNS["gain"]] = 1
        rows[:, COLUMNS["cut_side"]] = 1
        for name, value in columns.items():
            numbers = np.asarray(value, np.float32)
            one_each = numbers.ndim == 1 and COLUMNS[name].stop - COLUMNS[name].start == 1
            rows[:, COLUMNS[name]] = numbers[:, None] if one_each else numbers
        if source is None:
            source = np.stack([np.zeros(n, int), np.zeros(n, int)], 1)
        first = len(self.rows)
        self.rows = np.concatenate([self.rows, rows])
        self.source = np.concatenate([self.source, np.broadcast_to(source, (n, 2))])
        self.square = np.concatenate([self.square, np.full(n, square)])
        return self.rows[first:]

    def some(self, rng: np.random.Generator, kind: int, n: int) -> np.ndarray:
        """Draw n pictures of a kind: (n, 2)."""
        return np.stack([np.full(n, kind), rng.integers(0, self.counts[kind], n)], 1)

    def corners(self) -> np.ndarray:
        """Give the corners in the plane, (n, 4, 2), as they are without folds and teeth."""
        sign = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], float)
        own = sign[None] * self.rows[:, None, COLUMNS["half"]]
        frame = self.rows[:, COLUMNS["frame"]].reshape(-1, 2, 2)
        back = np.linalg.inv(frame)
        return np.einsum("nij,nkj->nki", back, own) + self.rows[:, None, COLUMNS["centre"]]

    def addresses(self, side: np.ndarray) -> np.ndarray:
        """Where each thing's picture begins in the atlas, and its side there: (n, 2).

        Parameters
        ----------
        side : (n,)
            Pixels that one unit of length measures in the picture.
        """
        zoom = np.sqrt(np.abs(np.linalg.det(self.rows[:, COLUMNS["map"]].reshape(-1, 2, 2))))
        return np.array(
            [
                address(self.counts, kind, number, scale / max(pixels, 1e-3))
                for (kind, number), scale, pixels in zip(self.source, zoom, side, strict=True)
            ]
        ).reshape(-1, 2)


def address(counts: tuple[int, int, int], kind: int, number: int, scale: float) -> tuple[int, int]:
    """Where a picture begins in the atlas and its side, `scale` of it going into a pixel."""
    texels = scale * SIDES[kind] / SUPERSAMPLING
    level = int(np.clip(np.round(np.log2(max(texels, 1e-3))), 0, LEVELS - 1))
    return start_of(counts, kind, number, level), SIDES[kind] >> level


__all__ = ["COLUMNS", "GROUND", "MOST", "PHOTO", "PRINT", "Things", "address"]
