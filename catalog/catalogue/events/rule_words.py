"""The standing rules of a bundle's sets in plain words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from catalog.catalogue.events.event_makers import standing_rules
from catalog.catalogue.records import Deed, StandingRules


def rules_words(rules: StandingRules) -> str:
    """Say how sets are chosen, leaving out what nobody changed."""
    usual = StandingRules()
    told = [
        tell(rules)
        for name, tell in _RULES.items()
        if name == "set_size" or getattr(rules, name) != getattr(usual, name)
    ]
    return "; ".join(told)


def change_words(deed: Deed, deeds: Sequence[Deed]) -> str:
    """Say what a deed changes of the rules that held when it was done.

    Parameters
    ----------
    deed : Deed
        Of kind ``rules``.
    deeds : sequence of Deed
        Of its bundle, in order, numbered from 1.
    """
    earlier = deeds[: deed.number - 1] if deed.number else deeds
    held = (one for one in reversed(earlier) if one.kind == "rules")
    last = next((one for one in held if not 0 < one.undone <= deed.made), None)
    old = standing_rules(dict(last.args)) if last else StandingRules()
    new = standing_rules(dict(deed.args))
    told = [tell(new) for name, tell in _RULES.items() if getattr(new, name) != getattr(old, name)]
    return f"rules for sets: {'; '.join(told) or 'as they were'}"


def _tolerance(rules: StandingRules) -> str:
    if rules.tolerance is None:
        return "colours count up to the usual difference"
    return f"colours up to {rules.tolerance:g} apart count"


def _least_step(rules: StandingRules) -> str:
    if not rules.least_step:
        return "no least step from dark to light"
    return f"lightest at least {rules.least_step:g} lighter than darkest"


def _most_step(rules: StandingRules) -> str:
    if rules.most_step is None:
        return "no greatest step from dark to light"
    return f"lightest at most {rules.most_step:g} lighter than darkest"


def _same_fabric(rules: StandingRules) -> str:
    return {
        "allow": "two of one fabric may be a set",
        "prefer": "two of one fabric gladly",
        "avoid": "not two of one fabric",
    }[rules.same_fabric]


def _lightness_weight(rules: StandingRules) -> str:
    if rules.lightness_weight == 1.0:
        return "lightness weighs in full"
    return f"lightness weighs 1/{rules.lightness_weight:g}"


def _families(rules: StandingRules) -> str:
    return "colour families as they fall" if rules.families is None else (
        f"{rules.families} colour families"
    )  # fmt: skip


_RULES: Final[Mapping[str, Callable[[StandingRules], str]]] = {
    "set_size": lambda rules: f"sets of {rules.set_size}",
    "tolerance": _tolerance,
    "least_step": _least_step,
    "most_step": _most_step,
    "same_fabric": _same_fabric,
    "lightness_weight": _lightness_weight,
    "families": _families,
}
"""What each rule says, in the order told."""
