"""Standing rules as what a set may be."""

from __future__ import annotations

from catalog.bundle.tally_notes import counted_to, flagged_from
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.models import MatchRules


def match_rules(standing: StandingRules, sets: int | None = None) -> MatchRules:
    """Return standing rules as what a set may be.

    Parameters
    ----------
    standing : StandingRules
    sets : int, optional
        How many are wanted; None for as many as there can be.
    """
    by, said = standing.match_by, standing.tolerance
    weight = standing.lightness_weight if by == "colour" else 1.0
    return MatchRules(
        size=standing.set_size,
        sets=sets,
        same_fabric=standing.same_fabric,
        least_value_step=standing.least_step,
        greatest_value_step=standing.most_step,
        tolerance=flagged_from(weight) if said is None else said,
        within=counted_to(weight) if said is None else said,
        k_lightness=weight,
        match_by=by,
        seen_from=standing.seen_from,
    )
