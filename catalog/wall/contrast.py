"""Feature against background in lightness: which blocks would be lost, and which ground serves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Quilt
from catalog.models import Swatch
from catalog.phrases import joined

LOST_BELOW: Final = 100.0 / 7.0
"""L* below which a figure is lost on its ground: one of the seven steps of value that teachers sort
cloth into (https://textileranger.com/2015/02/07/fabric-color-and-value/; others use eight, 12.5);
inside a step two cloths read as one."""
LIGHT_BACKGROUND_L: Final = 93.0
DARK_BACKGROUND_L: Final = 20.0
"""L* of a white-ish and of a nearly black cotton (common practice: the lightest light and the
darkest dark that shops have)."""

BackgroundTone = Literal["light", "dark"]


@dataclass(frozen=True)
class Advice:
    """Which ground to buy."""

    ground: BackgroundTone
    lightness: float
    """L* that was reckoned with."""
    lost: Mapping[BackgroundTone, tuple[str, ...]]
    """What would be lost on each, by label or place."""

    @property
    def words(self) -> str:
        """The advice in a sentence or two."""
        other: BackgroundTone = "dark" if self.ground == "light" else "light"
        here, there = self.lost[self.ground], self.lost[other]
        line = f"A {self.ground} background shows these squares best"
        if there and not here:
            line += f"; on a {other} one {_named(there)} would hardly show"
        if here:
            line += f", though {_named(here)} would hardly show on it: set them apart"
        return line + "."


def suggest_background(lightness: Mapping[str, float]) -> Advice:
    """Choose between a light and a dark ground.

    Parameters
    ----------
    lightness : mapping from a label to L*
        Of the features, one at least.

    Returns
    -------
    Advice
        The ground on which fewer are lost; if equal, on which the least contrast is greater, then
        the light one.
    """
    grounds: dict[BackgroundTone, float] = {"light": LIGHT_BACKGROUND_L, "dark": DARK_BACKGROUND_L}
    lost: dict[BackgroundTone, tuple[str, ...]] = {
        name: tuple(label for label, own in lightness.items() if abs(own - ground) < LOST_BELOW)
        for name, ground in grounds.items()
    }
    best = min(
        grounds,
        key=lambda name: (
            len(lost[name]),
            -min(abs(own - grounds[name]) for own in lightness.values()),
        ),
    )
    return Advice(best, grounds[best], lost)


def lost_blocks(
    quilt: Quilt, plan: WallPlan, bundle: Mapping[str, Swatch]
) -> tuple[tuple[str, float], ...]:
    """Return the blocks whose figure is lost on the background squares that they were given.

    Returns
    -------
    tuple of (str, float)
        Place, and the smallest step of L* between a feature and a background that share a unit;
        those under `LOST_BELOW`, the worst first. Blocks with bought background are not judged.
    """
    found = []
    for block in plan.blocks:
        given = {patch: bundle[label].lab[0] for patch, label in block.squares}
        steps = [
            abs(given[one] - given[two])
            for unit in quilt.blocks[block.kind].units
            for one in unit.patches
            for two in unit.patches
            if one in given
            and two in given
            and quilt.kind(one.kind).role == "feature"
            and quilt.kind(two.kind).role == "background"
        ]
        if steps and min(steps) < LOST_BELOW:
            found.append((block.place, min(steps)))
    return tuple(sorted(found, key=lambda one: one[1]))


def _named(labels: Sequence[str]) -> str:
    return f"{len(labels)} of them" if len(labels) > 6 else joined(labels)
