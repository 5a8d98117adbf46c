"""The plain paper of a reference page beside the squares, as white."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from catalog.colour import camera_response, lab
from catalog.light.candidates.selection import LightCandidate
from catalog.light.candidates.surface_field import LOG_FLOOR
from catalog.light.reduced_view import ReducedView, thinned
from catalog.light.white_evidence import GUESSED_LEVEL, WhiteEstimate, tint_beside
from catalog.light.white_point import CONTRADICTING_CHROMA, fuse
from catalog.models import SeenPage
from catalog.reference_page.printed_layout import Box, corners_of, layout_of

Floats = NDArray[np.float64]
Picked = NDArray[np.intp]

PAPER_LAB: Final = (94.0, 0.5, -3.0)
"""Uncoated white paper. ISO 12647-2:2004, paper type 4, on a white backing: 95, 0, -2, on a black
one 92, 0, -3, each within 3, 2 and 2 (as Bertholdt and Dolezalek give it, ISO TC 130 and ICC
meeting on paper categories, Leeds 2006); with the brighteners of office paper in daylight b* goes
on to -10 (ISO 12647-2:2013, wood-free uncoated; from memory), of which lamps show little."""
PAPER_TINT_DOUBT, PAPER_LEVEL_DOUBT = 0.03, 0.04
"""Natural logarithms that 2 in a* and b*, and 1.5 in L*, make of it."""
PLACE_TINT_DOUBT, PLACE_LEVEL_DOUBT = 0.03, 0.05
"""The same of the light beside the squares instead of on them. On six rendered scenes the paper's
lightness was 0.067 off in all (root mean square), its tint 0.04."""
PAPER_ERROR = 2.0
"""CIEDE2000, as of other cards and paper."""
FIELD_RIM_MM: Final = 4.0
"""What is left out along the edge of the empty field: its line, and what corners are off by."""
ROUND_PATCH_MM: Final = (1.5, 5.0)
"""From where to where, outside a patch, the paper round it is read: what is next lies 6 away."""
MAX_SAMPLES = 4_000
MIN_PIXELS = 40
"""Fewer pixels of paper, on the working copy, tell nothing: the page shows too small."""
CLIPPED_LEVEL = 250
"""Paper that is brighter in any channel, of 255, is cut off by the camera."""
MAX_CLIPPED_SHARE = 0.2
"""Share of the paper that may be cut off in a channel; what is left of more is its darker part."""
GREY_TINT_DOUBT = 0.06
"""Natural logarithm by which a printed grey's channels may be off those of its paper, where one is
cut off on the paper: 4 in a* or b*. Most printers make grey of black ink alone, which has the tint
of its paper; some mix it of colours (common practice)."""
BRIGHT_QUANTILE, BRIGHT_WITHIN = 0.8, 0.12
"""The paper's light is that of its bright part: this quantile of its luminance, and what is within
so much of it (natural logarithm). What is darker has a shadow or something lying on it."""
MAX_SHADOW_SHARE = 0.05
"""Paper with a larger share of a shadow that is known is left out, where enough is left."""
EXTRAPOLATION_WEIGHT = 0.3
"""Part of the step that the paper's own unevenness, carried on to the squares, would make by which
its lightness is taken to be off there."""
MAX_BLACK_SHARE = 0.15
"""Black print that shows more of the paper's light than this has a lamp mirrored in it: blacks on
plain paper reflect 3 to 8 % (densities of 1.1 to 1.5; from memory), and cameras lift them."""
SHINING_DOUBT = 0.15
"""Doubt of the paper's lightness then, and where its greys are unlike."""
MAX_WHITE_DOUBT = 0.042
"""Doubt of the other evidence's tint up to which paper that contradicts it isn't white paper: that
of whites in prints, sheets and squares that the user names, but not of a grey ground."""
MAX_GREY_RATIO = 0.12
"""Natural logarithm by which the two greys, each over the paper beside it, may differ: more is a
shine on one of them."""


def joined(paper: WhiteEstimate, white: WhiteEstimate) -> WhiteEstimate:
    """Join what the page's paper and all else say of white.

    Parameters
    ----------
    paper : WhiteEstimate
        As `paper_white` tells it; paper that isn't white says nothing.
    white : WhiteEstimate
        By everything else.
    """
    if _coloured(paper, white):
        return white
    level_known = replace(white, evidence=white.evidence.removesuffix(f"; {GUESSED_LEVEL}"))
    surer, other = sorted((paper, level_known), key=lambda one: one.tint_doubt)
    return fuse(surer, other)


def _coloured(paper: WhiteEstimate, white: WhiteEstimate) -> bool:
    """Tell whether the paper has a colour beside a white that is well known."""
    known = white.tint_doubt <= MAX_WHITE_DOUBT
    return known and tint_beside(paper.tint, white.tint) > CONTRADICTING_CHROMA


def paper_white(view: ReducedView, page: SeenPage, light: LightCandidate) -> WhiteEstimate | None:
    """Tell white by the empty field; None where too little of it is seen, or it is too bright.

    A channel that is cut off on the paper is told by its greys.

    Parameters
    ----------
    view : ReducedView
    page : SeenPage
    light : LightCandidate
        Over the plane.
    """
    if not page.placed:
        return None
    picked = _pixels(view, page, layout_of(page.paper).field, FIELD_RIM_MM)
    if len(picked) < MIN_PIXELS:
        return None
    clipped = view.pixels.reshape(-1, 3)[picked] >= CLIPPED_LEVEL
    whole = clipped.mean(axis=0) <= MAX_CLIPPED_SHARE
    grey = None if whole.all() else _grey_light(view, page, light)
    if not whole.any() or not (whole.all() or grey is not None):
        return None
    picked = _bright(view, _lit(view, picked[~clipped[:, whole].any(axis=1)], light))
    shown = np.median(_even_light(view, picked, light), axis=0)
    if grey is not None:
        by_grey = grey * np.exp(np.log(shown / grey)[whole].mean())
        shown = np.where(whole, shown, by_grey)
    return WhiteEstimate(
        shown / lab.lab_to_linear(PAPER_LAB),
        f"the paper {'' if grey is None else 'and the printed greys '}of the reference page",
        PAPER_ERROR,
        float(np.hypot(PAPER_TINT_DOUBT if grey is None else GREY_TINT_DOUBT, PLACE_TINT_DOUBT)),
        _level_doubt(view, page, picked, light),
    )


def _level_doubt(view: ReducedView, page: SeenPage, picked: Picked, light: LightCandidate) -> float:
    away = EXTRAPOLATION_WEIGHT * _away(view, picked, _even_light(view, picked, light))
    shine = SHINING_DOUBT if _shines(view, page) else 0.0
    return float(np.linalg.norm((PAPER_LEVEL_DOUBT, PLACE_LEVEL_DOUBT, away, shine)))


def _grey_light(view: ReducedView, page: SeenPage, light: LightCandidate) -> Floats | None:
    """Return the even light, (3,), of the printed greys; None where they can't be read."""
    boxes = layout_of(page.paper).greys
    seen = [_pixels(view, page, box, FIELD_RIM_MM) for box in boxes]
    lights = [np.median(_even_light(view, one, light), axis=0) for one in seen if len(one) > 0]
    known = sum(map(len, seen)) >= MIN_PIXELS
    return np.maximum(np.exp(np.mean(np.log(lights), axis=0)), LOG_FLOOR) if known else None


def _pixels(view: ReducedView, page: SeenPage, box: Box, rim: float) -> Picked:
    """Return the flat indices of what the photo shows of a box, its rim left out, mm."""
    import cv2

    left, top, wide, high = box
    inner = corners_of((left + rim, top + rim, wide - 2 * rim, high - 2 * rim))
    mask = np.zeros(view.pixels.shape[:2], np.uint8)
    quad = np.round((page.shown(inner) * view.scale - 0.5) * 16).astype(np.int32)
    cv2.fillConvexPoly(mask, quad, 1, shift=4)
    return thinned(np.flatnonzero(mask.astype(bool) & (view.inside == 0)), MAX_SAMPLES)


def _lit(view: ReducedView, picked: Picked, light: LightCandidate) -> Picked:
    """Leave out what lies in a shadow that is known, where that isn't nearly all."""
    if light.shadow is None:
        return picked
    lit = picked[light.shadow.at(view, view.points_at(picked)) < MAX_SHADOW_SHARE]
    return lit if len(lit) >= MIN_PIXELS else picked


def _bright(view: ReducedView, picked: Picked) -> Picked:
    """Leave out what is darker than the paper's bright part."""
    luminance = np.log(view.light_at(picked) @ camera_response.LUMA + 1e-4)
    away = np.abs(luminance - np.quantile(luminance, BRIGHT_QUANTILE))
    return np.asarray(picked[away < BRIGHT_WITHIN])


def _even_light(view: ReducedView, picked: Picked, light: LightCandidate) -> Floats:
    """Return linear light, (n, 3), as it would be where the squares lie, in no shadow."""
    points = view.points_at(picked)
    shown = view.light_at(picked) / light.field.at(points)
    if light.shadow is not None:
        shown = shown / np.exp(np.outer(light.shadow.at(view, points), light.shadow.depth))
    return np.asarray(shown * light.field.at(view.centres).mean(axis=0))


def _away(view: ReducedView, picked: Picked, shown: Floats) -> float:
    """Return the step, natural logarithm, to the squares if the paper's slope went on to there."""
    points = view.points_at(picked)
    terms = np.column_stack([np.ones(len(points)), points - points.mean(axis=0)])
    slope = np.linalg.lstsq(terms, np.log(shown @ camera_response.LUMA + 1e-4), rcond=None)[0][1:]
    away = np.asarray(view.centres.mean(axis=0) - points.mean(axis=0)) @ slope
    return float(min(abs(away), 1.0))


def _shines(view: ReducedView, page: SeenPage) -> bool:
    """Tell whether a lamp is mirrored in the page, by its black and its two greys."""
    layout = layout_of(page.paper)
    prints = [_over_paper(view, page, box) for box in (layout.black, *layout.greys)]
    if any(one is None for one in prints):
        return False
    black, *greys = (float(one) for one in prints if one is not None)
    return black > MAX_BLACK_SHARE or abs(float(np.log(greys[0] / greys[1]))) > MAX_GREY_RATIO


def _over_paper(view: ReducedView, page: SeenPage, box: Box) -> float | None:
    """Return a patch's light over that of the paper round it; None where too little is seen."""
    ink, within, without = (
        _pixels(view, page, box, rim) for rim in (FIELD_RIM_MM, *(-one for one in ROUND_PATCH_MM))
    )
    paper = np.setdiff1d(without, within)
    if min(len(ink), len(paper)) < MIN_PIXELS:
        return None
    dark, bright = (view.light_at(part) @ camera_response.LUMA for part in (ink, paper))
    return float(max(np.median(dark), 1e-4) / max(np.median(bright), 1e-4))
