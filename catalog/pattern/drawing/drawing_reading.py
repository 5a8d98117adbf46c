"""A picture of a drawn block to a proposal: the order of the stages.

Frames, the drawing squared, its lattice, the odds of every short seam, the units that explain them,
their colours. Of several frames the one whose drawing is explained best is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from numpy.typing import NDArray

from catalog.errors import PatternError
from catalog.pattern.drawing.block_frame import frames_in, whole_frames
from catalog.pattern.drawing.block_parsing import ParsedUnit, UnlikeCost, parsed_block
from catalog.pattern.drawing.lattice_size import LatticeFit, lattice_fits
from catalog.pattern.drawing.patch_colours import colours_of, look
from catalog.pattern.drawing.proposed_block import agreement, proposed
from catalog.pattern.drawing.seam_evidence import TriangleLooks, evidence_of, looks_of
from catalog.pattern.drawing.seam_lattice import as_seams
from catalog.pattern.drawing.seam_odds import is_lined, odds_of
from catalog.pattern.drawing.squared_drawing import SquaredDrawing, squared

if TYPE_CHECKING:
    import numpy as np

    from catalog.pattern.drawing.drawing_values import DrawingProposal

MAX_STRAY: Final = 0.75
"""Stray share above which lines don't run on a lattice: cloth and text are near 1."""
GOOD_COST: Final = 0.3
"""Cost of a lattice at which a frame surely holds the block, and what lies in it is a part of it; a
page that happens to fit a fine lattice costs more."""
MAX_PIECE_STEP: Final = 8.0
"""CIELAB by which pieces of one part may look different before it costs anything."""


HOPE: Final = 0.5
"""Certainty that is added to every frame's before they are held against each other, so that a large
doubtful drawing goes before one sure unit of it."""
MAX_EXPLAINED: Final = 3
"""Frames that are looked at to the end."""
MIN_AGREEMENT: Final = 0.9
"""Share of what a lattice's short seams show that the units must explain."""

MIN_MEAN_CERTAINTY: Final = 0.4
"""Of the cells of a block; pages of text that happen to lie on a lattice have less."""
CLEAR_STRAY: Final = 0.1
"""Stray share at which a drawing without lines, whose seams are unsure, is one all the same."""


@dataclass(frozen=True, eq=False)
class SeenFrame:
    """A frame and what is drawn in it."""

    corners: NDArray[np.float64]
    drawing: SquaredDrawing
    fit: LatticeFit
    worth: float
    """How much of the picture it explains, the larger the more."""


@dataclass(frozen=True, eq=False)
class ExplainedDrawing:
    """A frame's drawing with the units that explain it."""

    seen: SeenFrame
    units: tuple[ParsedUnit, ...]
    proposal: DrawingProposal
    agrees: float
    """Share of what is seen that goes with its units, 0 to 1."""

    @property
    def is_block(self) -> bool:
        """Whether there is more than one plain square, and what is seen goes with it."""
        sure = self.proposal.certainties
        plain = len(self.units) == 1 and self.units[0].shape is None
        clear = self.seen.fit.stray <= CLEAR_STRAY or sum(sure) >= MIN_MEAN_CERTAINTY * len(sure)
        return self.agrees >= MIN_AGREEMENT and clear and not plain


def read_drawing(picture: NDArray[np.uint8]) -> DrawingProposal:
    """Return the block that a picture of a drawing seems to show.

    Parameters
    ----------
    picture : (height, width, 3) uint8, RGB
        Upright; a scan, a screenshot or a photo of a page.

    Raises
    ------
    PatternError
        No drawn block is seen.
    """
    found = _blocks(_seen_frames(picture, frames_in(picture)))
    if all(len(one.units) == 1 for one in found):  # cut out along its frame, perhaps
        found += _blocks(_seen_frames(picture, whole_frames(picture)))
    if not found:
        raise _nothing()
    best = max(found, key=lambda one: one.seen.worth * (HOPE + one.proposal.certainty))
    return best.proposal


def _blocks(seen: Iterable[SeenFrame]) -> list[ExplainedDrawing]:
    """Return the drawings that explain most of the picture, those that show a block."""
    likely = sorted(seen, key=lambda one: -one.worth)[:MAX_EXPLAINED]
    return [one for one in map(explained, likely) if one.is_block]


def _seen_frames(
    picture: NDArray[np.uint8], frames: Iterable[NDArray[np.float64]]
) -> Iterator[SeenFrame]:
    """Yield the frames whose drawing runs on a lattice, those inside a good one left out."""
    import cv2

    good: list[NDArray[np.float32]] = []
    for corners in frames:
        x, y = (float(one) for one in corners.mean(axis=0))
        if any(cv2.pointPolygonTest(other, (x, y), False) > 0 for other in good):
            continue
        drawing = squared(picture, corners)
        fit = lattice_fits(drawing)[0]
        if fit.stray <= MAX_STRAY:
            seen = SeenFrame(corners, drawing, fit, _worth(fit, drawing, corners))
            if fit.cost <= GOOD_COST and seen.worth > 0:
                good.append(corners.astype("float32"))
            yield seen


def _nothing() -> PatternError:
    return PatternError(
        "no drawing of a block is seen in the picture",
        "photograph or cut out one block's diagram, its frame whole and straight on",
    )


def _worth(fit: LatticeFit, drawing: SquaredDrawing, corners: NDArray[np.float64]) -> float:
    """Return how much of the picture a frame explains."""
    import cv2
    import numpy as np

    drawn = float((drawing.edges > 0).sum()) / max(drawing.edges.shape)
    area = cv2.contourArea(corners.astype(np.float32))
    return float(max(0.0, 1 - fit.stray) * min(drawn, 3.0) * math.sqrt(area))


def explained(seen: SeenFrame) -> ExplainedDrawing:
    """Return the units that explain a drawing best on its lattice."""
    drawing, rows, columns = seen.drawing, seen.fit.rows, seen.fit.columns
    looks = looks_of(drawing, rows, columns)
    evidence = evidence_of(drawing, rows, columns, looks)
    odds = as_seams(odds_of(evidence), rows, columns)
    units = tuple(parsed_block(odds, rows, columns, unlike_cost(looks, columns)))
    colours = colours_of(units, looks, columns)
    found = proposed(units, odds, seen.fit, colours, seen.corners, lined=is_lined(evidence))
    return ExplainedDrawing(seen, units, found, agreement(units, odds))


def unlike_cost(looks: TriangleLooks, columns: int) -> UnlikeCost:
    """Return what it costs a unit that pieces of one part don't look alike."""
    import numpy as np

    def cost(unit: ParsedUnit) -> float:
        worst = 0.0
        for part in unit.triangles(columns):
            if len(part) > 1:
                seen = np.array([look(piece, looks) for piece in part])
                worst = max(worst, float(np.linalg.norm(seen - seen.mean(axis=0), axis=1).max()))
        return max(0.0, worst - MAX_PIECE_STEP) / 2

    return cost
