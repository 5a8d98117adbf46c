"""From the pixels of a photo to the squares in it.

The order of the stages: the detector says where, the plane holds them together, steps of colour say
more exactly where, the verification throws out what is no square, the rows tell of squares passed
over, the lattice reads rows and columns, the boundary network says where the cloth ends, and the
ends of the sides how its corners curl.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.finding.detector import Detections, detect, quarter_turns
from catalog.finding.early_look import EarlyLook
from catalog.finding.edges.corner_curl import with_curl
from catalog.finding.edges.corner_refinement import (
    Refined,
    refine,
    refine_in_plane,
    refine_to_boundary,
)
from catalog.finding.edges.side_lines import sizes
from catalog.finding.flattened_light import alike, flattened
from catalog.finding.ground_cells import are_ground_cells
from catalog.finding.layout import predicted_positions
from catalog.finding.layout.lattice import Lattice, common_turn, read_rows_of_sizes
from catalog.finding.layout.neighbours import ways
from catalog.finding.layout.occlusion import MIN_SHOWN
from catalog.finding.layout.shared_area import one_in_a_place
from catalog.finding.layout.size_classes import size_classes
from catalog.finding.odd_sizes import odd_sizes
from catalog.finding.page_beside_squares import (
    MAX_SCALE_DOUBT,
    inches_borne_out,
    known_points,
    on_page,
    outline_px,
    page_as_printed,
    without_page,
)
from catalog.finding.plane_fitting import fit_plane
from catalog.finding.seen_from_above import detect_from_above, is_strongly_tilted
from catalog.finding.shared_plane import KnownPoints, by_corner, poses_of
from catalog.finding.surface_colour import (
    corner_likelihood,
    inner_likelihood,
    inner_places,
    surface_likelihood,
)
from catalog.finding.verification import MIN_CLEARNESS, MIN_CONFIDENCE, confidence, with_guesses
from catalog.image_pyramid import image_pyramid
from catalog.models import Corners, Found, Photo, SeenPage, Square
from catalog.system.one_thread import on_one_thread

UNSEEN_SIDE_WEIGHT = 0.25
"""What a side that isn't seen counts where the detector's outline is held against the plane: where
it lies hidden, the detector guessed it."""
COLOUR_LEVEL = 2
"""Which halving of the photo the colours of the surface are counted on (quarter size)."""
MAX_COMPLETION_ROUNDS = 3
"""Times that the rows may be completed: each reaches one square further."""
UNSURE_CONFIDENCE = 0.8
"""Squares told with less confidence are flagged."""


@on_one_thread
def find_squares(
    photo: Photo,
    side_in: float,
    bar_in: float | None = None,
    seen: Callable[[], None] | None = None,
    look: EarlyLook | None = None,
) -> Found:
    """Find the squares of cloth in a photo.

    Parameters
    ----------
    photo : Photo
        Upright sRGB pixels.
    side_in : float
        What the bundle's squares measure, inches; where a reference page lies beside them it is
        the page that says so.
    bar_in : float, optional
        What the bar on that page measures, inches; else as it was drawn.
    seen : callable, optional
        Called once whole squares are seen and the detector is done with, before their corners are
        looked for.
    look : EarlyLook, optional
        Where it was begun before.

    Returns
    -------
    Found
        The squares in reading order; none if the photo shows none.
    """
    levels = look.levels() if look else image_pyramid(photo.pixels)
    page = page_as_printed(levels, bar_in)
    candidates = without_page(look.detections() if look else detect(levels), page)
    if not len(candidates.scores):
        return Found((), 0.0, page=page)
    surface = _surface(levels, candidates.quads, page)
    settled = _verify_best_hypothesis(levels, candidates, surface, page)
    settled = _with_predicted(levels, settled, surface)
    settled = settled.only(~on_page(settled.quads(), page)).one_in_a_place()
    settled = settled.only(~_ground_between(levels, settled))
    whole = _within_frame(settled.quads(), photo.pixels.shape)
    cut_off = int((~whole).sum())
    settled = settled.only(whole)
    if not len(settled.sure):
        return Found((), 0.0, cut_off, page=page)
    if seen:
        seen()
    levels, surface, settled = _second_look(levels, surface, settled, page)
    settled = replace(settled, at=_in_reading_order(settled.at))
    lattice = read_rows_of_sizes(poses_of(settled.at.corners), settled.at.scale)
    about = _scale(settled, side_in, page).side
    at, corners = refine_to_boundary(levels, settled.at, surface, about)
    settled = replace(settled, at=at)
    scale = _scale(settled, side_in, page)
    quads = settled.at.plane.to_photo(with_curl(settled.at.plane, corners, scale.side))
    return Found(
        _squares(settled, quads, lattice, scale),
        _pixels_per_inch(quads, scale.side * settled.at.scale),
        cut_off,
        page=page,
        scale_doubt=scale.doubt,
    )


def _second_look(
    levels: list[NDArray[np.uint8]],
    surface: NDArray[np.float32],
    settled: _Verified,
    page: SeenPage | None,
) -> tuple[list[NDArray[np.uint8]], NDArray[np.float32], _Verified]:
    """The photo, its surface and the squares in it; in even light where cloth is like its ground.

    Which squares there are and how sure that is stays as it was.
    """
    found = settled.at
    if not alike(levels, found.plane, found.corners, found.shown):
        return levels, surface, settled
    even = flattened(levels[0], settled.quads())
    if even is None:
        return levels, surface, settled
    levels = image_pyramid(even)
    surface = _surface(levels, settled.quads(), page)
    at = refine(levels, found.plane, settled.quads(), surface, settled.sure**3, found.scale)
    return levels, surface, replace(settled, at=at)


@dataclass(frozen=True)
class _Scale:
    """How large the squares are."""

    side: float
    """What the middle one of them measures, inches."""
    doubt: float | None
    """The part by which that may be off; None where it is as the user says."""


def _scale(settled: _Verified, side_in: float, page: SeenPage | None) -> _Scale:
    """By the page where there is one, else as the user says."""
    if page is None or not page.placed:
        return _Scale(side_in, None)
    known = by_corner(settled.at.seen * settled.at.shown)
    inches, doubt = inches_borne_out(settled.at.plane, settled.quads(), known, page)
    if doubt > MAX_SCALE_DOUBT:
        return _Scale(side_in, None)
    middle = float(np.median(np.stack(sizes(settled.at.corners)) / settled.at.scale))
    return _Scale(middle * inches, doubt)


def _surface(
    levels: list[NDArray[np.uint8]], quads: NDArray[np.float64], page: SeenPage | None
) -> NDArray[np.float32]:
    """How like the surface each colour is; the page is none of it."""
    small, marked = _colour_level(levels, np.concatenate([quads, outline_px(page)]))
    return surface_likelihood(small, marked[: len(quads)], marked[len(quads) :])


@dataclass(frozen=True, eq=False)
class _Verified:
    """Squares with how sure each of them is, (n,)."""

    at: Refined
    sure: NDArray[np.float64]

    def quads(self) -> NDArray[np.float64]:
        """Corners in px of the photo."""
        return self.at.plane.to_photo(self.at.corners)

    def only(self, keep: NDArray[np.bool_]) -> _Verified:
        """Those that are kept."""
        at = replace(
            self.at,
            corners=self.at.corners[keep],
            seen=self.at.seen[keep],
            shown=self.at.shown[keep],
            scale=self.at.scale[keep],
            usual=self.at.usual[keep],
        )
        return _Verified(at, self.sure[keep])

    def one_in_a_place(self) -> _Verified:
        """Those that don't lie in others (see `layout.shared_area`)."""
        at = self.at
        return self.only(one_in_a_place(at.corners, self.sure, at.seen, at.shown, at.up))

    def and_more(
        self,
        corners: NDArray[np.float64],
        seen: NDArray[np.float64],
        shown: NDArray[np.float64],
        sure: NDArray[np.float64],
    ) -> _Verified:
        """These and others."""
        at = replace(
            self.at,
            corners=np.concatenate([self.at.corners, corners]),
            seen=np.concatenate([self.at.seen, seen]),
            shown=np.concatenate([self.at.shown, shown]),
            scale=np.concatenate([self.at.scale, np.ones(len(corners))]),
            usual=np.concatenate([self.at.usual, np.ones(len(corners))]),
        )
        return _Verified(at, np.concatenate([self.sure, sure]))


def _colour_level(
    levels: list[NDArray[np.uint8]], quads: NDArray[np.float64]
) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """The level on which colours of the surface are counted, and quadrilaterals in its px."""
    level = min(COLOUR_LEVEL, len(levels) - 1)
    return levels[level], quads / 2**level


def _verify_best_hypothesis(
    levels: list[NDArray[np.uint8]],
    candidates: Detections,
    surface: NDArray[np.float32],
    page: SeenPage | None,
) -> _Verified:
    """See `_verify`; by the best of several looks where one doesn't do.

    Upside down the detector takes the strips that are seen of rows over one another otherwise; a
    strong tilt is taken away.
    """
    known = known_points(page)

    def better(settled: _Verified, seen: Detections) -> _Verified:
        other = without_page(seen, page)
        if not len(other.scores):
            return settled
        return max(settled, _verify(levels, other, surface, known), key=_support)

    settled = _verify(levels, candidates, surface, known)
    if settled.at.up is not None:
        settled = better(settled, detect(levels, quarter_turns(levels[0]) + 2))
    if len(settled.sure) and is_strongly_tilted(settled.at.plane):
        settled = better(settled, detect_from_above(levels, settled.at.plane, candidates))
    return settled


def _verify(
    levels: list[NDArray[np.uint8]],
    candidates: Detections,
    surface: NDArray[np.float32],
    beside: KnownPoints | None,
) -> _Verified:
    """Candidates brought into one plane, to their edges, and judged; the doubtful dropped."""
    weight = candidates.scores**3
    everywhere = np.repeat(weight[:, None], 4, axis=1)
    plane = fit_plane(candidates.quads, everywhere, levels[0].shape, known=beside)
    plane, scale = size_classes(plane, candidates.quads, candidates.scores, levels[0].shape)
    refined = refine(levels, plane, candidates.quads, surface, weight, scale)
    known = by_corner(refined.shown * np.maximum(refined.seen, UNSEEN_SIDE_WEIGHT)) ** 2
    own = refined.usual[:, None, None]
    told = poses_of(refined.plane.to_plane(candidates.quads) / own, known)
    bare = corner_likelihood(
        *_colour_level(levels, refined.plane.to_photo(refined.corners)), surface
    )
    company = np.stack([row.ahead for row in ways(refined.corners, scale)], axis=1)
    sure = confidence(candidates.scores, refined.seen, told, bare, company)
    return _Verified(refined, with_guesses(sure, refined.seen, refined.shown)).only(
        sure >= MIN_CONFIDENCE
    )


def _support(settled: _Verified) -> float:
    """How much speaks for squares: how many they are, how sure, and how clearly seen."""
    clear = (settled.at.seen * settled.at.shown).mean(axis=1)
    return float((settled.sure * clear).sum())


def _with_predicted(
    levels: list[NDArray[np.uint8]], settled: _Verified, surface: NDArray[np.float32]
) -> _Verified:
    """Add the squares that the rows miss, as long as the photo bears more of them out."""

    def likeness(corners: NDArray[np.float64]) -> NDArray[np.float64]:
        known = poses_of(settled.at.corners)
        shown = predicted_positions.uncovered(inner_places(corners), known)
        quads = settled.at.plane.to_photo(corners)
        return inner_likelihood(*_colour_level(levels, quads), surface, shown)

    for _ in range(0 if (settled.at.scale != 1).any() else MAX_COMPLETION_ROUNDS):
        free = predicted_positions.predict_positions(poses_of(settled.at.corners))
        free = free.only(predicted_positions.promising(likeness(free.corners), free))
        if not len(free.agreed):
            break
        corners, seen, shown = refine_in_plane(levels, settled.at, free.corners, surface)
        sure = predicted_positions.accepted(likeness(corners), seen, shown, free.agreed)
        if not sure.any():
            break
        taken = sure > 0
        settled = settled.and_more(corners[taken], seen[taken], shown[taken], sure[taken])
    return settled


def _ground_between(levels: list[NDArray[np.uint8]], settled: _Verified) -> NDArray[np.bool_]:
    """Which are ground between squares (see `ground_cells`)."""
    at = settled.at
    small, quads = _colour_level(levels, settled.quads())
    return are_ground_cells(small, quads, at.corners, at.seen, at.scale)


def _within_frame(quads: NDArray[np.float64], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which quadrilaterals lie within the frame, but for a hair."""
    size = np.array([shape[1], shape[0]])
    hair = 0.04 * np.sqrt(np.abs(_areas(quads)))[:, None, None]
    return np.asarray(((quads > -hair) & (quads < size + hair)).all(axis=(1, 2)))


def _areas(quads: NDArray[np.float64]) -> NDArray[np.float64]:
    one, two = quads[:, 2] - quads[:, 0], quads[:, 3] - quads[:, 1]
    return np.asarray((one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2)


def _in_reading_order(at: Refined) -> Refined:
    """Corners from the one that is top left when the square is read in its row."""
    poses = poses_of(at.corners)
    off = poses.turn - common_turn(poses.turn)
    quarter = np.round(off / (np.pi / 2)).astype(int)
    order = (np.arange(4) - quarter[:, None]) % 4
    return replace(
        at,
        corners=np.take_along_axis(at.corners, order[..., None], axis=1),
        seen=np.take_along_axis(at.seen, order, axis=1),
        shown=np.take_along_axis(at.shown, order, axis=1),
    )


def _pixels_per_inch(quads: NDArray[np.float64], side_in: NDArray[np.float64]) -> float:
    return float(np.mean(np.sqrt(np.abs(_areas(quads))) / side_in))


def _squares(
    settled: _Verified, quads: NDArray[np.float64], lattice: Lattice, scale: _Scale
) -> tuple[Square, ...]:
    size = np.stack(sizes(settled.at.corners), axis=1) / settled.at.scale[:, None]
    size = size / np.median(size)
    held = settled.at.usual / settled.at.scale
    odd = odd_sizes(size, held, settled.at.seen, settled.at.shown)
    size *= settled.at.scale[:, None]
    # that a side under another square isn't seen is no reason to look again
    uncovered = np.where(settled.at.shown < MIN_SHOWN, 1.0, settled.at.seen)
    return tuple(
        Square(
            corners=_as_corners(quads[i]),
            row=int(lattice.row[i]) or None,
            col=int(lattice.col[i]) or None,
            width_in=float(size[i, 0] * scale.side),
            height_in=float(size[i, 1] * scale.side),
            confidence=float(settled.sure[i]),
            flags=_flags(bool(odd[i]), uncovered[i], float(settled.sure[i])),
            absolute=scale.doubt is not None,
        )
        for i in lattice.order
    )


def _as_corners(quad: NDArray[np.float64]) -> Corners:
    a, b, c, d = ((float(x), float(y)) for x, y in quad)
    return a, b, c, d


def _flags(odd: bool, seen: NDArray[np.float64], sure: float) -> tuple[str, ...]:
    flags = []
    if odd:
        flags.append("odd size")
    if seen.min() < MIN_CLEARNESS:
        flags.append("side not seen")
    if sure < UNSURE_CONFIDENCE:
        flags.append("unsure")
    return tuple(flags)
