"""How a bundle's sets are chosen unless a command says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from msgspec import Meta, structs

from catalog import rule_limits
from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.event_fields import Number, limits_of
from catalog.models import ColourTerms, MatchBy, SameFabric, SeenFrom

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class StandingRules(Event, frozen=True, tag="rules"):
    """How sets are chosen from now on."""

    set_size: Annotated[int, Meta(ge=2, le=4), rule_limits.SET_SIZE] = 2
    tolerance: Annotated[Number, rule_limits.TOLERANCE] | None = None
    """CIEDE2000 up to which a set counts; None for the tool's own choice."""
    least_step: Annotated[Number, rule_limits.STEP] = 0.0
    most_step: Annotated[Number, rule_limits.STEP] | None = None
    same_fabric: SameFabric = "allow"
    lightness_weight: Annotated[float, Meta(ge=0.1, le=10.0), rule_limits.LIGHTNESS_WEIGHT] = 1.0
    families: Annotated[int, Meta(ge=1, le=999_999), rule_limits.FAMILIES] | None = None
    names: ColourTerms = "standard"
    match_by: MatchBy = "colour"
    seen_from: SeenFrom = "wall"

    def apply(self, now: Projection) -> None:
        now.rules = self.within_limits()
        now.rule_notes = [
            f"the rules say {name.replace('_', ' ')} {getattr(self, name):g}; "
            f"as that can't be meant, {limit:g} holds"
            for name, limit in self._exceeded().items()
        ]

    def within_limits(self) -> StandingRules:
        """Return them with numbers beyond their limits, which earlier versions took, at these."""
        return structs.replace(self, **self._exceeded())

    def changes(self, before: StandingRules) -> list[str]:
        """Say of each rule what it is now, leaving out those that were so before."""
        told = {
            "set_size": f"sets of {self.set_size}",
            "tolerance": "colours count up to the usual difference"
            if self.tolerance is None
            else f"colours up to {self.tolerance:g} apart count",
            "least_step": f"lightest at least {self.least_step:g} lighter than darkest"
            if self.least_step
            else "no least step from dark to light",
            "most_step": "no greatest step from dark to light"
            if self.most_step is None
            else f"lightest at most {self.most_step:g} lighter than darkest",
            "same_fabric": {
                "allow": "two of one fabric may be a set",
                "prefer": "two of one fabric gladly",
                "avoid": "not two of one fabric",
            }[self.same_fabric],
            "lightness_weight": "lightness weighs in full"
            if self.lightness_weight == 1.0
            else f"lightness weighs 1/{self.lightness_weight:g}",
            "families": "colour families as they fall"
            if self.families is None
            else f"{self.families} colour families",
            "names": {
                "standard": "colours by their standard names",
                "everyday": "colours in everyday words",
            }[self.names],
            "match_by": {
                "colour": "matched by colour",
                "value": "matched by value alone, whatever the colour",
                "hue": "matched by hue alone, however light or dark",
            }[self.match_by],
            "seen_from": {
                "wall": "looked at from the design wall",
                "hand": "looked at in the hand",
            }[self.seen_from],
        }
        return [
            words for name, words in told.items() if getattr(self, name) != getattr(before, name)
        ]

    def words(self, names: Names) -> str:
        changes = self.within_limits().changes(names.rules_before.within_limits())
        return f"rules for sets: {'; '.join(changes) or 'as they were'}"

    def _exceeded(self) -> dict[str, float]:
        """Return by name the limits that numbers go beyond."""
        return {
            name: limits.nearest(value)
            for name, limits in _LIMITED.items()
            if (value := getattr(self, name)) is not None and not limits.hold(value)
        }


_LIMITED = limits_of(StandingRules)
"""Rules that are numbers between limits."""


def rules_words(rules: StandingRules) -> str:
    """Say how sets are chosen, leaving out what nobody changed, but for the size."""
    size = [f"sets of {rules.set_size}"]
    rest = rules.changes(structs.replace(StandingRules(), set_size=rules.set_size))
    return "; ".join(size + rest)
