"""By what squares are compared."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from catalog.models.palettes import SeenFrom

MatchBy = Literal["colour", "value", "hue"]
"""What squares of like tone share: their colours, how light they are, or their hues."""


@dataclass(frozen=True)
class Likeness:
    """What makes two squares alike; see `catalog.bundle.square_differences`."""

    match_by: MatchBy = "colour"
    seen_from: SeenFrom = "wall"
    k_lightness: float = 1.0
    """Weight kL of lightness in CIEDE2000: 1, or 2 as is usual for textiles. By colour only."""

    def __post_init__(self) -> None:
        if self.match_by != "colour" and self.k_lightness != 1.0:
            msg = f"expected a weight of lightness by colour alone, got {self}"
            raise ValueError(msg)

    def matched_by(self, match_by: MatchBy | None) -> Likeness:
        """Return it with squares matched by something else; None for the same."""
        if match_by is None or match_by == self.match_by:
            return self
        return replace(self, match_by=match_by, k_lightness=1.0)


USUAL_LIKENESS: Final = Likeness()
