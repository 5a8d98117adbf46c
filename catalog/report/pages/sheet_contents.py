"""What the pages to print are made from: a bundle, its sets and its plan, all in one value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from statistics import median_low

from catalog.cutting.plans import BuyRow, ComparisonRow, CutRow, WallPlan
from catalog.models import ColourTerms, Photo, SquareSet, Swatch, Tally


@dataclass(frozen=True, eq=False)
class Sheets:
    """Everything that the report and the cards show; only title and squares are needed."""

    title: str
    """Name of the bundle, as a person wrote it."""
    swatches: tuple[Swatch, ...]
    """In rainbow order (see `catalog.bundle.families`); fabric, family and value told."""
    photos: tuple[Photo, ...] = ()
    """With their pixels; those that aren't at hand may be left out if `crops` has their squares."""
    made_on: str = ""
    """The day, in words."""
    sure: tuple[str, ...] = ()
    """What the colours rest on and how far to trust them, each a sentence."""
    crops: Mapping[str, bytes] = field(default_factory=dict)
    """JPEG of each square's cloth by label; those missing are cut out of the photos."""
    marks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By label why no set may use a square, in words such as ``held back``."""
    sets: tuple[SquareSet, ...] = ()
    """Of two squares and more, numbered from 1."""
    tally: Tally | None = None
    """None where no pattern was counted."""
    rows: tuple[ComparisonRow, ...] = ()
    """The pattern's lengths as written and as they become."""
    cuts: tuple[CutRow, ...] = ()
    buys: tuple[BuyRow, ...] = ()
    cautions: tuple[str, ...] = ()
    """To read before anything is cut."""
    advice: tuple[str, ...] = ()
    """What else to know of the plan, each a sentence."""
    wall: WallPlan | None = None
    wall_jpeg: bytes | None = None
    """The picture of the quilt."""
    notes: tuple[str, ...] = ()
    """What was asked for and can no longer hold, each a sentence."""
    terms: ColourTerms = "standard"
    """What colours are called by."""

    @cached_property
    def by_label(self) -> Mapping[str, Swatch]:
        """The squares by their labels."""
        return {one.label: one for one in self.swatches}

    @cached_property
    def places(self) -> Mapping[int, tuple[str, ...]]:
        """By a set's number the places on the wall where it hangs."""
        places: dict[int, tuple[str, ...]] = {}
        for block in self.wall.blocks if self.wall else ():
            for number in block.sets:
                places[number] = (*places.get(number, ()), block.place)
        return places

    @property
    def families(self) -> tuple[tuple[str, tuple[Swatch, ...]], ...]:
        """The families in the order of their middle squares, each from dark to light."""
        members: dict[str, list[Swatch]] = {}
        middles: dict[str, list[int]] = {}
        for rank, swatch in enumerate(self.swatches):
            members.setdefault(swatch.family, []).append(swatch)
            middles.setdefault(swatch.family, []).append(rank)
        names = sorted(members, key=lambda name: median_low(middles[name]))
        return tuple((name, tuple(sorted(members[name], key=_dark_first))) for name in names)

    @property
    def left_over(self) -> tuple[Swatch, ...]:
        """The squares that nothing uses though a set might."""
        if self.tally:
            unused = set(self.tally.unused)
        else:
            unused = self.by_label.keys() - {label for one in self.sets for label in one.swatches}
        free = unused - self.marks.keys()
        return tuple(swatch for swatch in self.swatches if swatch.label in free)

    @property
    def set_aside(self) -> tuple[Swatch, ...]:
        """The squares that no set may use."""
        return tuple(swatch for swatch in self.swatches if self.marks.get(swatch.label))


def _dark_first(swatch: Swatch) -> tuple[float, str]:
    return swatch.lab[0], swatch.label
