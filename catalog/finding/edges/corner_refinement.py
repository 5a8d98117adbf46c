"""From rough squares to exact corners, by what the photo shows along their sides.

The bundle first votes on how much its squares must grow, since at a strong tilt the plane must
follow first. Then each square is moved, turned and (a little) resized to the edges seen, and
the plane is fitted again. Last, when it is settled which squares there are, a network tells where
their cloth ends.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.finding.edges.boundary_network import boundary_profiles
from catalog.finding.edges.corner_curl import refine_ends
from catalog.finding.edges.edge_profile import edge_profiles
from catalog.finding.edges.offset_consensus import consensus_offsets
from catalog.finding.edges.own_size import own_sizes
from catalog.finding.edges.side_lines import SquarePrior, fit_lines, robust_squares
from catalog.finding.edges.trial_size import trial_sizes
from catalog.finding.layout.neighbours import axes
from catalog.finding.layout.occlusion import OVERLAP_DEPTH, clearness, without_hidden
from catalog.finding.layout.overlap_hypothesis import (
    OverlapHypothesis,
    flat_explains,
    overlap_hypotheses,
    row_of,
    slipped_back,
    supported_strength,
)
from catalog.finding.layout.row_alignment import back_in_line, in_rows
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.shared_plane import Plane, by_corner, poses_of, with_ends_moved

Array = NDArray[np.float64]

COARSE_REACH_STEP = (0.08, 0.006)
FINE_REACH_STEP = (0.018, 0.0015)
"""Reach and step of each look, in sides: 0.005 is 1/40 in on a 5 in square. The fine look reaches
no further: at 0.035 lines of the surface and of prints draw sides astray. More looks of either kind
don't pay since the boundary network has the last word."""
MIN_BAND_PX = 6.0
"""No band is narrower to each side than this, px: an edge is blurred over two or three."""
IN_LINE_REACH_STEP = (0.04, 0.0025)
"""The fine look at squares that were put onto the line of their row."""
MAX_CLEARNESS_LOSS = 0.1
"""Squares that stray are taken where they are in line if they are seen less clearly there by no
more than this: prints show lines elsewhere too."""
SLIP_REACH_STEP = (0.4, 0.008)
"""Reach and step of the look for rows that may have slipped: by as much as they overlap."""
BOUNDARY_PRIOR = SquarePrior(far_cost=3.0, spread=0.008, uneven=0.008, oblong=0.003, own_slant=0.5)
"""For where the cloth ends. Chosen on the dev photos and 20 drawn layouts."""
CORNER_ERROR = 0.01
"""Usual error of a refined corner, in sides."""


@dataclass(frozen=True, eq=False)
class Refined:
    """Squares with their corners as the photo shows them."""

    plane: Plane
    corners: Array
    """(n, 4, 2) in the plane, clockwise."""
    seen: Array
    """(n, 4) how clearly each side is seen, 0 to 1."""
    shown: Array
    """(n, 4) part of each side that no other square covers."""
    up: Array | None
    """(2,) the direction in which rows lie over one another, if they do."""
    scale: Array
    """(n,) the usual size of squares like it, in sides: 1, but where squares are of two sizes."""
    usual: Array
    """(n,) the size that it is held to: its scale, or if it is of an odd size its own."""

    def relative(self) -> Array:
        """Corners (n, 4, 2) as if all were held to side 1, each where it then lies."""
        return np.asarray(self.corners / self.usual[:, None, None])


def refine(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    quads: Array,
    surface: NDArray[np.float32],
    weight: Array,
    scale: Array | None = None,
) -> Refined:
    """Move the squares' sides to the edges that the photo shows.

    Parameters
    ----------
    levels : list of (height, width, 3) uint8
        The photo, then halves of it.
    plane : Plane
        Fitted to the quadrilaterals.
    quads : (n, 4, 2)
        Where the squares are supposed to lie, px.
    surface : (32, 32, 32) float32
        How like the surface a colour is.
    weight : (n,)
        How much each square counts in the fit of the plane.
    scale : (n,), optional
        What squares measure where they are of two sizes (`layout.size_classes`).
    """
    scale = np.ones(len(quads)) if scale is None else scale
    plane, corners, up = _coarse_fit(levels, plane, quads, surface, weight, scale)
    if up is None:
        band = FINE_REACH_STEP
        corners, usual = trial_sizes(levels, plane, quads, corners, surface, scale)
    else:
        band = IN_LINE_REACH_STEP
        corners, usual = in_rows(corners, up), scale
    corners, seen, shown = _fit_sides(levels, plane, corners, surface, up, band, usual)
    known = np.where(usual == scale, weight, 0.0)[:, None] * by_corner(seen)
    plane, corners = _refit(plane, corners, known, levels[0].shape, scale)
    refined = Refined(plane, corners, seen, shown, up, scale, usual)
    return refined if (scale != 1).any() else _outliers_in_line(levels, refined, surface)


def _outliers_in_line(
    levels: list[NDArray[np.uint8]], found: Refined, surface: NDArray[np.float32]
) -> Refined:
    """The same, but squares out of line are in it if they show about as clearly there."""
    moved, strays = back_in_line(found.corners)
    if not strays.any():
        return found
    moved, seen, shown = _fit_sides(
        levels, found.plane, moved, surface, found.up, IN_LINE_REACH_STEP, found.usual
    )
    back = strays & (
        clearness(seen, shown) + MAX_CLEARNESS_LOSS > clearness(found.seen, found.shown)
    )
    return replace(
        found,
        corners=np.where(back[:, None, None], moved, found.corners),
        seen=np.where(back[:, None], seen, found.seen),
        shown=np.where(back[:, None], shown, found.shown),
    )


def _coarse_fit(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    quads: Array,
    surface: NDArray[np.float32],
    weight: Array,
    scale: Array,
) -> tuple[Plane, Array, Array | None]:
    """The plane and the squares in it after the coarse look; which way rows lie on top, if any."""
    tried = [
        _fit_hypothesis(levels, reading, surface, weight)
        for reading in overlap_hypotheses(plane, quads, weight, levels[0].shape)
        if (scale == 1).all()
    ]
    laid = [one for one in tried if one is not None]
    corners = poses_of(plane.to_plane(quads)).corners(scale)
    hidden = np.zeros((len(corners), 4), bool)
    flat = _consensus_fit(levels, plane, corners, hidden, surface, weight, scale)
    if laid:
        best = max(laid, key=lambda one: one[0])[1:]
        if not flat_explains(*flat, best[0]):
            return best
    return *flat, None


def _fit_hypothesis(
    levels: list[NDArray[np.uint8]],
    reading: OverlapHypothesis,
    surface: NDArray[np.float32],
    weight: Array,
) -> tuple[float, Plane, Array, Array] | None:
    """The same by one reading, and how much speaks for it (see `laid_over`)."""
    plane, corners = _consensus_fit(
        levels,
        reading.plane,
        reading.corners,
        reading.hidden,
        surface,
        weight,
        np.ones(len(weight)),
    )
    row = row_of(corners, reading.ahead)
    if row is None:
        return None
    evidence = edge_profiles(levels, plane, corners, surface, *SLIP_REACH_STEP)
    says = supported_strength(evidence, weight, row)
    up = axes(row)[0].mean(axis=0)
    return says, plane, slipped_back(evidence, corners, weight, row), up


def _consensus_fit(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: Array,
    hidden: NDArray[np.bool_],
    surface: NDArray[np.float32],
    weight: Array,
    scale: Array,
) -> tuple[Plane, Array]:
    """The plane and the squares in it after the coarse look; hidden sides (n, 4) say nothing."""
    reach, step = COARSE_REACH_STEP
    step = min(max(step, 0.5 / _side_px(plane, corners)), reach)
    evidence = edge_profiles(levels, plane, corners, surface, reach, step)
    evidence = evidence.only(evidence.shown & ~hidden[..., None])
    offset, clear = consensus_offsets(evidence, weight, corners.mean(axis=1))
    known = by_corner(clear)
    grown = with_ends_moved(corners, offset, offset)
    plane, corners = _refit(plane, grown, weight[:, None] * known, levels[0].shape, scale)
    return plane, poses_of(corners, known).corners(scale)


def refine_in_plane(
    levels: list[NDArray[np.uint8]],
    known: Refined,
    corners: Array,
    surface: NDArray[np.float32],
) -> tuple[Array, Array, Array]:
    """Move more squares (n, 4, 2) of a known plane to their edges.

    Also how clearly each side is seen and how much of it no other square covers, (n, 4); the known
    squares are looked at too, since they tell which sides lie hidden.
    """
    n = len(corners)
    every = np.concatenate([known.corners, corners])
    usual = np.concatenate([known.usual, np.ones(n)])
    every, seen, shown = _fit_sides(
        levels, known.plane, every, surface, known.up, FINE_REACH_STEP, usual
    )
    return every[-n:], seen[-n:], shown[-n:]


def refine_to_boundary(
    levels: list[NDArray[np.uint8]],
    known: Refined,
    surface: NDArray[np.float32],
    side_in: float,
) -> tuple[Refined, Array]:
    """Squares whose sides lie where the cloth itself ends (see `boundary_network`).

    Also their corners (n, 4, 2) in the plane with the ends of the sides looked at by themselves
    (see `corner_curl`). How clearly sides are seen stays as steps of colour told it: the
    verification rests on that, and the network is sure of itself on nearly all sides.
    """
    evidence = boundary_profiles(levels, known.plane, known.corners, surface)
    evidence = without_hidden(evidence, known.corners, known.up, OVERLAP_DEPTH)
    offset, tilt, seen = fit_lines(evidence, BOUNDARY_PRIOR)
    own = own_sizes(evidence, known.relative(), known.usual / known.scale)
    scale = own.of_classes(known.scale)
    odd = own.odd(side_in, known.usual / scale)
    usual = np.where(odd, own.size * known.usual, scale)
    squares = robust_squares(known.corners, offset, tilt, seen, BOUNDARY_PRIOR, usual)
    corners = refine_ends(levels, known.plane, known.corners, squares, surface, evidence)
    return replace(known, corners=squares, scale=scale, usual=usual), corners


def _fit_sides(
    levels: list[NDArray[np.uint8]],
    plane: Plane,
    corners: Array,
    surface: NDArray[np.float32],
    up: Array | None,
    band: tuple[float, float],
    usual: Array | float = 1.0,
) -> tuple[Array, Array, Array]:
    """Squares that follow the lines along their sides; how clearly, how much of each is seen."""
    pixel = 1 / _side_px(plane, corners)
    reach, step = max(band[0], MIN_BAND_PX * pixel), max(band[1], pixel / 2)
    evidence = edge_profiles(levels, plane, corners, surface, reach, step)
    evidence = without_hidden(evidence, corners, up)
    offset, tilt, seen = fit_lines(evidence)
    squares = robust_squares(corners, offset, tilt, seen, usual=usual)
    return squares, seen, evidence.shown.mean(axis=2)


def _side_px(plane: Plane, corners: Array) -> float:
    quads = plane.to_photo(corners)
    return float(np.median(np.linalg.norm(np.roll(quads, -1, axis=1) - quads, axis=-1)))


def _refit(
    plane: Plane, corners: Array, weight: Array, shape: tuple[int, ...], scale: Array
) -> tuple[Plane, Array]:
    quads = plane.to_photo(corners)
    plane = fit_plane(quads, weight, shape, error=CORNER_ERROR, start=plane, side=scale)
    return plane, plane.to_plane(quads)
