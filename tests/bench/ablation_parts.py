"""The parts of finding and measuring that can be left out, and what then stands in for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from pkgutil import resolve_name
from typing import Any

import numpy as np

Array = np.ndarray


class Stage(IntEnum):
    """The first stage that a part belongs to; what comes before it is worked out once a picture."""

    DETECTING = 0
    SETTLING = 1
    COMPLETING = 2
    BOUNDARY = 3
    MEASURING = 4


@dataclass(frozen=True)
class Part:
    """One part of the work and what stands in for it."""

    name: str
    stage: Stage
    instead: dict[str, Any]
    """Dotted name in ``catalog`` to what is put in its place."""


def first(*given: Any, **_: Any) -> Any:
    """The first argument, as it came."""
    return given[0]


def second_and_third(*given: Any) -> Any:
    """The second and the third argument, as they came."""
    return given[1:3]


def fourth(*given: Any) -> Any:
    """The fourth argument, as it came."""
    return given[3]


def _wrapped(name: str, change: Callable[..., Any]) -> Callable[..., Any]:
    """A function of ``catalog``, handed to ``change`` before its arguments."""
    usual = resolve_name(f"catalog.{name}")
    return lambda *given, **named: change(usual, *given, **named)


def _of(stage: Stage, module: str, parts: dict[str, dict[str, Any]]) -> Iterator[Part]:
    """Parts that lie in one module, each with the names in it that are put aside."""
    for name, instead in parts.items():
        yield Part(name, stage, {f"{module}.{attr}": what for attr, what in instead.items()})


NOTHING = Part("nothing", Stage.MEASURING, {})
NO_TURN = np.array([-1e-9, 0.0, 1e-9])
"""Turns of a side among which there is nothing to choose."""
_STRETCH = "finding.shared_plane._foreshortening"
_PLANE = "finding.plane_fitting.plane_of"
_REFINEMENT = "finding.edges.corner_refinement"

PARTS = (
    NOTHING,
    *_of(Stage.DETECTING, "finding.detector", {
        "nearer looks of the detector": {"_tiles": lambda *_: []},
    }),
    *_of(Stage.SETTLING, "finding", {
        "detecting upside down where rows overlap": {
            "_verify_best_hypothesis": resolve_name("catalog.finding._verify"),
        },
        "radial distortion": {
            "plane_fitting.plane_of": _wrapped(
                _PLANE, lambda usual, x, *rest: usual(x * [1, 1, 1, 1, 0, 1], *rest)
            ),
        },
        "the stretch that one camera shows": {
            "shared_plane._foreshortening": lambda _: np.zeros(2),
        },
        "the focal length": {
            "shared_plane._foreshortening": _wrapped(
                _STRETCH, lambda usual, x: usual(x * [1, 1, 1, 1, 1, 0])
            ),
        },
        "corners weighed by their sides": {
            "by_corner": np.ones_like,
            "edges.corner_refinement.by_corner": np.ones_like,
            "layout.overlap_hypothesis.by_corner": np.ones_like,
        },
        "colour of the ground": {
            "surface_likelihood": lambda *_: np.zeros((32, 32, 32), np.float32),
        },
        "the ground's colours in shadow": {"surface_colour.SHADOWS": ()},
    }),
    *_of(Stage.SETTLING, _REFINEMENT, {
        "fitting the plane again": {"_refit": lambda plane, corners, *_: (plane, corners)},
        "the coarse look": {"_consensus_fit": second_and_third},
        "the fine look, but for how clearly sides are seen": {
            "_fit_sides": _wrapped(
                f"{_REFINEMENT}._fit_sides",
                lambda usual, *given: (given[2], *usual(*given)[1:]),
            ),
        },
        "rows read each way they may lie": {"overlap_hypotheses": lambda *_: []},
        "rows that slipped put back": {"slipped_back": lambda evidence, corners, *_: corners},
        "covered squares put onto their row's line": {"in_rows": first},
        "strays tried in line": {
            "back_in_line": lambda corners: (corners, np.zeros(len(corners), bool)),
        },
        "hidden stretches silenced": {"without_hidden": first},
        "the known way of rows in silencing": {
            "without_hidden": _wrapped(
                f"{_REFINEMENT}.without_hidden",
                lambda usual, evidence, corners, up=None, deep=None: usual(
                    evidence, corners, None, deep
                ),
            ),
        },
    }),
    *_of(Stage.SETTLING, "finding.edges.offset_consensus", {
        "voting together: the whole bundle does": {"NEIGHBOUR_RANGE": 1e6},
        "voting together: each square alone": {"NEIGHBOUR_RANGE": 0.01, "FAR_WEIGHT": 0.0},
        "ballots blurred": {"BLUR": (0.0, 1.0, 0.0)},
    }),
    *_of(Stage.SETTLING, "finding.edges.side_lines", {
        "each side's own slant": {"_slanted": first},
        "turns of single sides": {"TILTS": NO_TURN},
    }),
    *_of(Stage.SETTLING, "finding.layout", {
        "rows ahead that nobody saw": {"overlap_hypothesis.MIN_UNSEEN_STRENGTH": 0.0},
        "sides under the next row as most are": {"occlusion.MAX_HIDDEN_SHARE": 2.0},
    }),
    *_of(Stage.SETTLING, "finding.verification", {
        "bare corners": {"CORNER_WEIGHT": 0.0},
        "the size of the detector's outline": {"SIZE_SPREAD": 1e6},
        "the misfit of the detector's outline": {"MISFIT_OF_FEW": 1e6, "MISFIT_OF_MANY": 1e6},
        "few squares must fit tightly": {"MISFIT_OF_FEW": 0.06},
        "company": {"COMPANY_WEIGHT": 0.0},
        "neighbours in the verification": {"NEIGHBOUR_WEIGHT": 0.0},
    }),
    *_of(Stage.SETTLING, "finding", {"guessed sides told with less": {"with_guesses": first}}),
    *_of(Stage.COMPLETING, "finding", {
        "squares that rows miss": {"MAX_COMPLETION_ROUNDS": 0},
        "places foretold by one neighbour": {
            "layout.predicted_positions.promising": _wrapped(
                "finding.layout.predicted_positions.promising",
                lambda usual, likeness, free: usual(likeness, free) & free.agreed,
            ),
        },
    }),
    *_of(Stage.BOUNDARY, "finding", {
        "boundary network and curl: steps of colour alone": {
            "refine_to_boundary": lambda levels, at, ground: (at, at.corners),
        },
        "own slant at the boundary": {"edges.side_lines._slanted": first},
        "steps at the ends": {"edges.corner_curl.END_WEIGHT": 0.0},
        "corners that stand up": {"edges.corner_curl.CURL_IN": 0.0},
    }),
    *_of(Stage.BOUNDARY, _REFINEMENT, {
        "hidden stretches silenced at the boundary": {"without_hidden": first},
        "squares held otherwise at the boundary": {
            "BOUNDARY_PRIOR": resolve_name("catalog.finding.edges.side_lines.STEP_PRIOR"),
        },
        "ends": {"refine_ends": fourth},
    }),
    *_of(Stage.MEASURING, "measuring", {
        "what lies on a square": {"uncovered": lambda colours, shown: shown},
        "which of two squares lies on top": {
            "on_top": lambda photo, found: np.zeros((len(found.squares),) * 2, bool),
        },
        "how other pairs lie on top": {"overlap_order.PAIRS_WEIGHT": 0.0},
        "neighbours' outlines left out": {"rectified_patches.MIN_SHOWN": 2.0},
        "the margin of a patch": {"rectified_patches.EDGE_MARGIN_IN": 0.0},
        "several points to a patch's pixel": {"rectified_patches.MAX_SUPERSAMPLING": 1},
        "contrasts of prints": {
            "print_features._bands": lambda colours, _: np.zeros((len(colours), 21), np.float32),
        },
    }),
)  # fmt: skip
