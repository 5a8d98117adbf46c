"""What a bundle could make, as plain JSON values: for programs and for the page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.lengths import show_length

if TYPE_CHECKING:
    from catalog.catalogue.patterns.pattern_fits import PatternFit
    from catalog.models import TallyLine


def fit_object(fit: PatternFit) -> dict[str, Any]:
    """Return a bundle counted for a pattern."""
    return {
        "bundle": fit.bundle,
        "bundle_id": fit.bundle_id,
        "pattern": fit.pattern,
        "pattern_id": fit.pattern_id,
        "title": fit.title,
        "construction": fit.construction,
        "enough": fit.enough,
        "pieces_short": fit.pieces_short,
        "short": [_short(line) for line in fit.short],
        "problem": fit.problem,
    }


def _short(line: TallyLine) -> dict[str, Any]:
    need = line.need
    return {
        "need": need.name,
        "role": need.role,
        "piece": need.piece,
        "size": show_length(need.size, step=None) if need.size else "",
        "family": need.family or "",
        "value": need.value or "",
        "needed": need.count,
        "on_hand": line.on_hand,
        "short": line.short,
    }
