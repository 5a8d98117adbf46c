"""The squares that a photo of the wall shows, laid flat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalog.finding.detector import detect
from catalog.finding.layout.lattice import common_turn
from catalog.finding.layout.size_classes import size_classes
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import Plane, poses_of
from catalog.image_pyramid import image_pyramid
from catalog.models import Photo

Floats = NDArray[np.float64]
MIN_SEEN = 4
"""Squares from which on a photo can be laid flat: fewer don't tell how the camera stood."""
MIN_SIGHTING_SCORE = 0.3
"""What the detector is less sure of isn't taken for a square of the wall."""


@dataclass(frozen=True, eq=False)
class FlatPicture:
    """A photo laid flat, turned so that the sides of what hangs there lie along its axes."""

    plane: Plane
    turn: float
    """Radians from the plane to that."""
    shape: tuple[int, int]
    """Height and width of the photo, px."""

    def to_photo(self, points: Floats) -> Floats:
        """Return where the photo shows points (..., 2), px."""
        return self.plane.to_photo(points @ axes_turned(self.turn))

    def to_flat(self, points: Floats) -> Floats:
        """Return where points (..., 2) of the photo lie."""
        return np.asarray(self.plane.to_plane(points) @ axes_turned(self.turn).T, np.float64)

    def frame(self) -> Floats:
        """Return the corners (4, 2) of the photo."""
        height, width = self.shape
        return self.to_flat(np.array([[0, 0], [width, 0], [width, height], [0, height]], float))


@dataclass(frozen=True, eq=False)
class SeenSquares(FlatPicture):
    """Squares of one size, n of them; the flat picture's unit is their side."""

    middle: Floats
    """(n, 2)"""
    corners: Floats
    """(n, 4, 2)"""
    score: Floats
    """(n,) how sure the detector is, 0 to 1."""


def axes_turned(turn: float) -> Floats:
    """Return the directions (2, 2) of axes that are turned by so many radians."""
    cos, sin = np.cos(turn), np.sin(turn)
    return np.array([[cos, sin], [-sin, cos]])


def see_squares(photo: Photo) -> SeenSquares | None:
    """Look for squares of the commonest size in a photo; None where it shows too few."""
    seen = detect(image_pyramid(photo.pixels))
    sure = seen.scores >= MIN_SIGHTING_SCORE
    quads, scores = seen.quads[sure], seen.scores[sure]
    if len(quads) < MIN_SEEN:
        return None
    shape = photo.pixels.shape[:2]
    weight = np.repeat(scores[:, None] ** 3, 4, axis=1)
    plane = fit_plane(quads, weight, shape)
    plane, scale = size_classes(plane, quads, scores, shape)
    usual = scale == 1.0
    if usual.sum() < MIN_SEEN:
        return None
    flat = plane.to_plane(quads[usual])
    poses = poses_of(flat)
    turn = common_turn(poses.turn)
    axes = axes_turned(turn)
    return SeenSquares(
        plane,
        turn,
        (shape[0], shape[1]),
        np.asarray(poses.middle @ axes.T, np.float64),
        np.asarray(flat @ axes.T, np.float64),
        scores[usual],
    )
