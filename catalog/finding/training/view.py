"""The camera: from the plane of the cloth to the pixels of a picture."""

from __future__ import annotations

import numpy as np
from net import HEIGHT, WIDTH

LENS = 0.8 * WIDTH
"""Radial distortion is told at this distance from the middle, px."""


class Camera:
    """A pinhole camera that looks at a plane, with radial distortion.

    Parameters
    ----------
    rng : np.random.Generator
    outline : (n, 2)
        Points of the plane to be brought into the frame.
    tilt : float
        Angle between the plane's normal and the line of sight, radians.
    fill : float
        Share of the frame that the outline takes along its tighter direction.
    turn : float
        Roll, radians.
    bend : float
        Coefficient k1.
    frame : (2,)
        Width and height of the photograph; the rest of the picture, right or below, is blank.
    """

    def __init__(
        self,
        rng: np.random.Generator,
        outline: np.ndarray,
        tilt: float,
        fill: float,
        turn: float,
        bend: float,
        frame: np.ndarray,
    ) -> None:
        low, high = outline.min(0), outline.max(0)
        middle, size = (low + high) / 2, (high - low).max()
        self.bend = bend
        way = rng.uniform(0, 2 * np.pi)
        about = np.array([np.cos(way), np.sin(way), 0])
        cross = np.array([[0, 0, about[1]], [0, 0, -about[0]], [-about[1], about[0], 0]])
        rotation = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
        cos, sin = np.cos(turn), np.sin(turn)
        rotation = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]]) @ rotation
        away = np.array([0, 0, size * rng.uniform(0.85, 2.2)])
        shift = np.array([[1, 0, -middle[0]], [0, 1, -middle[1]], [0, 0, 1]])
        self.matrix = np.stack([rotation[:, 0], rotation[:, 1], away], 1) @ shift
        seen = self.flat(outline)
        low, high = seen.min(0), seen.max(0)
        scale = fill * (frame / (high - low)).min()
        room = np.abs(frame - scale * (high - low)) * 0.45
        place = frame / 2 + rng.uniform(-1, 1, 2) * room
        place -= scale * (low + high) / 2
        fit = np.array([[scale, 0, place[0]], [0, scale, place[1]], [0, 0, 1]])
        self.matrix = fit @ self.matrix

    def flat(self, points: np.ndarray) -> np.ndarray:
        """Project points (..., 2) without the lens's bend; nan where they lie behind."""
        out = points @ self.matrix[:, :2].T + self.matrix[:, 2]
        depth = np.where(out[..., 2:] > 1e-6, out[..., 2:], np.nan)
        return out[..., :2] / depth

    def see(self, points: np.ndarray) -> np.ndarray:
        """Project points (..., 2) to px."""
        off = self.flat(points) - np.array([WIDTH, HEIGHT]) / 2
        square = (off**2).sum(-1, keepdims=True) / LENS**2
        return np.array([WIDTH, HEIGHT]) / 2 + off * (1 + self.bend * np.minimum(square, 2))
