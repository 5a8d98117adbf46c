"""Frozen values of what finishes a quilt: backing, binding, hanging sleeve and label."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.yardage.binding import Grain

LastPanel = Literal["whole", "pieces", "squares"]
"""What the last panel of a backing is, where whole widths don't come out: a width of cloth, cut
narrower; shorter pieces of the cloth sewn end to end; or squares left over."""


@dataclass(frozen=True)
class QuiltBinding:
    """The binding."""

    strip: Fraction
    """Width to cut, inches."""
    grain: Grain = "straight"
    cloth: str = ""
    """What it is cut from; empty for a cloth of its own."""


@dataclass(frozen=True)
class QuiltBacking:
    """What is asked of the backing; None for what is usual."""

    width: Fraction | None = None
    """Usable width of its cloth, inches; None for that of all other cloth."""
    overhang: Fraction | None = None
    """Beyond the quilt on each side, inches."""
    directional: bool = False
    """Whether its print has an up and a down."""
    last_panel: LastPanel = "whole"


USUAL_BACKING: Final = QuiltBacking()
"""Of the width of other cloth, with the usual overhang."""


@dataclass(frozen=True)
class Sleeve:
    """A tube at the back of a quilt for a rod."""

    depth: Fraction
    """Finished, inches."""
    cloth: str = ""
    """What it is cut from; empty for a cloth of its own."""


@dataclass(frozen=True)
class QuiltLabel:
    """A label for the back."""

    width: Fraction
    """Finished, inches."""
    length: Fraction
    cloth: str = ""
    """What it is cut from; empty for a cloth of its own."""


@dataclass(frozen=True)
class Finishing:
    """All that finishes a quilt beside its binding."""

    backing: QuiltBacking = USUAL_BACKING
    sleeve: Sleeve | None = None
    label: QuiltLabel | None = None


USUAL_FINISHING: Final = Finishing()
"""What is usual: a backing of the usual overhang, no sleeve, no label."""
