"""What a count is asked, whoever asks it: a command, the page, or the rules a bundle keeps."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Final

from catalog.bundle.eligibility import sets_need
from catalog.cutting.layouts.stock import NO_STOCK, Stock
from catalog.cutting.yardage.bolt import Bolt
from catalog.models import ColourTerms, LightHints, MatchRules, Need

if TYPE_CHECKING:
    from catalog.cutting.plans import Arrangement
    from catalog.cutting.quilt import Quilt
    from catalog.pattern.patterns import Pattern

DEFAULT_ARRANGEMENT: Final[Arrangement] = "rainbow-diagonal"
USUAL_BOLT: Final = Bolt()
NO_HINTS: Final = LightHints()
SETS_TITLE: Final = "Matched sets"
"""Of a count without a pattern."""


@dataclass(frozen=True)
class CountRequest:
    """All that a count is asked, checked and in the library's terms."""

    side: Fraction
    """Of the squares in hand, inches."""
    rules: MatchRules
    """What a set may be, and how many are wanted."""
    needs: tuple[Need, ...]
    """In the sizes that are cut; see `needs_for`."""
    pattern: Pattern | None = None
    """None for matched sets alone."""
    seam: Fraction | None = None
    """Really sewn, inches; None for the pattern's."""
    cloth: Bolt = USUAL_BOLT
    """What is bought."""
    stock: Stock = NO_STOCK
    """Precuts in hand beside the squares, and those to buy cloth as."""
    arrangement: Arrangement | None = None
    """How sets hang; None for the default with a pattern, and not at all without one."""
    photos: tuple[Path, ...] = ()
    """To be looked at first; none for a bundle that is kept."""
    photo_sides: tuple[Fraction, ...] = ()
    """Of the squares in each photo, inches, where the photos show several kinds."""
    families: int | None = None
    """How many colour families to make; None as they are, or as the colours fall."""
    terms: ColourTerms = "standard"
    """What colours are called by."""
    hints: LightHints = NO_HINTS
    """What is known of the light in the photos."""
    side_typed: str = ""
    """The side as people type it, for advice."""

    @property
    def usable_side(self) -> Fraction:
        """Side of the squares in hand that can be counted on when they are cut, inches."""
        if self.stock.pinked != "tips":
            return self.side
        from catalog.cutting.layouts.precuts import PINKING

        return self.side - PINKING

    @property
    def title(self) -> str:
        """What is counted for."""
        return self.pattern.title if self.pattern else SETS_TITLE

    @property
    def quilt(self) -> Quilt | None:
        """How the pattern is built; None where nothing says so."""
        return self.pattern.quilt if self.pattern else None

    @property
    def asks_number(self) -> bool:
        """Whether a number is asked for, so that there can be too few."""
        return self.pattern is not None or self.rules.sets is not None

    @property
    def asks_plan(self) -> bool:
        """Whether there is something to plan: a quilt that is told, or sets to hang alone."""
        return self.quilt is not None if self.pattern else self.arrangement is not None

    def of_size(self, rows: int, columns: int) -> CountRequest:
        """Return the request for other rows and columns of the pattern.

        Raises
        ------
        ValueError
            There is no pattern.
        PatternError
            It makes no sense so.
        """
        if self.pattern is None:
            msg = "sets alone have no rows and columns"
            raise ValueError(msg)
        pattern = self.pattern.of_size(rows, columns)
        needs = needs_for(pattern, self.rules, self.usable_side, self.seam)
        return replace(self, pattern=pattern, needs=needs)


def needs_for(
    pattern: Pattern | None, rules: MatchRules, side: Fraction, seam: Fraction | None
) -> tuple[Need, ...]:
    """Return what is counted: a pattern's pieces in the sizes that are cut, or sets alone.

    Parameters
    ----------
    pattern : Pattern, optional
    rules : MatchRules
        Say how many squares a set has and how many sets are wanted, where there is no pattern.
    side : Fraction
        Of the squares in hand, inches.
    seam : Fraction, optional
        Really sewn, inches; the pattern's if None.

    Raises
    ------
    SetError
        There are no such sets.
    """
    if pattern is None:
        return (replace(sets_need(rules.size, rules.sets, square=side), of_square=side),)
    if pattern.quilt is None:
        return tuple(replace(need, of_square=side) for need in pattern.needs)
    from catalog.cutting.adapted.cut_needs import as_cut

    return as_cut(pattern.needs, pattern.quilt, side, seam)
