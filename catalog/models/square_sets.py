"""What a set of squares may be, the sets that are asked for, and those that are chosen."""

from __future__ import annotations

from collections.abc import Collection, Set
from dataclasses import dataclass, replace
from typing import Literal

from catalog.models.likeness import Likeness, MatchBy
from catalog.models.palettes import SeenFrom

SameFabric = Literal["allow", "prefer", "avoid"]
"""Whether two squares of one fabric may be a set."""


@dataclass(frozen=True)
class MatchRules:
    """What a set may be."""

    size: int = 2
    """Squares in a set: 2, 3 or 4."""
    sets: int | None = None
    """How many are wanted; None for as many as there can be."""
    same_fabric: SameFabric = "allow"
    least_value_step: float = 0.0
    """Least L* between a set's darkest and lightest."""
    greatest_value_step: float | None = None
    tolerance: float = 5.0
    """CIEDE2000 above which a set is flagged."""
    within: float | None = None
    """CIEDE2000 above which a set doesn't count as a match; None where every set does."""
    locked: tuple[tuple[str, ...], ...] = ()
    """Labels that must be a set together."""
    forbidden: tuple[tuple[str, str], ...] = ()
    """Labels that must not be in one set."""
    held_back: frozenset[str] = frozenset()
    """Labels that no set may use."""
    k_lightness: float = 1.0
    """Weight kL of lightness in CIEDE2000: 1, or 2 as is usual for textiles."""
    match_by: MatchBy = "colour"
    """What squares of a set share, unless a request says otherwise."""
    seen_from: SeenFrom = "wall"
    """From how far they are looked at."""
    standing: tuple[tuple[str, ...], ...] = ()
    """Labels of sets that were chosen before: each stays where no rule forbids it."""
    standing_far: frozenset[tuple[str, ...]] = frozenset()
    """Those of them that stay also where they are too far apart to count."""

    @property
    def likeness(self) -> Likeness:
        """By what squares are compared."""
        weight = self.k_lightness if self.match_by == "colour" else 1.0
        return Likeness(self.match_by, self.seen_from, weight)

    @property
    def standing_rules(self) -> MatchRules:
        """What of these rules speaks of no square by its label, and asks for no number."""
        return MatchRules(
            size=self.size,
            same_fabric=self.same_fabric,
            least_value_step=self.least_value_step,
            greatest_value_step=self.greatest_value_step,
            tolerance=self.tolerance,
            within=self.within,
            k_lightness=self.k_lightness,
            match_by=self.match_by,
            seen_from=self.seen_from,
        )

    def among(self, labels: Set[str]) -> MatchRules:
        """Return what these rules say of some of the squares, such as those left over.

        Parameters
        ----------
        labels : set of str
            What speaks of any other square is left out.
        """
        return replace(
            self,
            locked=tuple(lock for lock in self.locked if labels >= set(lock)),
            forbidden=tuple(pair for pair in self.forbidden if labels >= set(pair)),
            held_back=self.held_back & labels,
            standing=tuple(one for one in self.standing if labels >= set(one)),
            standing_far=frozenset(one for one in self.standing_far if labels >= set(one)),
        )


@dataclass(frozen=True)
class SetRequest:
    """Sets that one need of a pattern asks for."""

    need: str
    sets: int | None
    """None for as many as there can be."""
    size: int
    """Squares in a set; 1 for squares that need no partner."""
    eligible: frozenset[str]
    """Labels that may serve."""
    match_by: MatchBy | None = None
    """What squares of its sets share; None for what the rules say."""

    def suits(self, labels: Collection[str]) -> bool:
        """Tell whether these squares together are a set that is asked for."""
        return self.size == len(labels) and self.eligible.issuperset(labels)


NOT_COUNTED = "not counted"
"""Flag of a set that serves no need, mostly because its squares are too far apart."""


@dataclass(frozen=True)
class SquareSet:
    """Squares that go together in one unit."""

    number: int
    """From 1."""
    swatches: tuple[str, ...]
    """Labels, darkest first."""
    difference: float
    """Largest difference between two of them by what they were matched by, CIEDE2000."""
    value_step: float
    """L* from the darkest to the lightest, as they are seen."""
    family: str
    """The family they share, or two joined by a slash."""
    same_fabric: bool | None
    flags: tuple[str, ...] = ()
    need: str = ""
    """The need that it was made for."""
    k_lightness: float = 1.0
    """Weight kL of lightness in ``difference``."""
    match_by: MatchBy = "colour"
    """What they were matched by."""


@dataclass(frozen=True)
class Matching:
    """The sets chosen and how good the choice is."""

    sets: tuple[SquareSet, ...]
    unused: tuple[str, ...]
    """Labels in no set, held back or left over."""
    total: float
    """Sum of CIEDE2000 over all pairs inside the sets."""
    bound: float
    """No choice can have a smaller total than this; equal to ``total`` where proven best."""
    wanted: int
    """Sets asked for."""
    left_aside: tuple[tuple[str, ...], ...] = ()
    """Locked sets that have no place among those asked for; their squares serve like any."""
