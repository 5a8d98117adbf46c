"""What a unit is: one value that holds all that is known of it.

A unit stands in one file of a folder of `catalog.cutting.units.kinds`: at the top of the module is
a `UnitKind` or, where numbers belong to its name, a `UnitFamily`. `units_by_name` finds it there.
Sizes both ways round follow from its ways of sewing, pictures and words from its parts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method
from catalog.cutting.units.face_shapes import Polygon, quarter_turned
from catalog.errors import UsageError
from catalog.phrases import count_of, with_article


@dataclass(frozen=True)
class UnitPart:
    """What of a unit is cut from one cloth."""

    polygons: tuple[Polygon, ...]
    """What shows of it, in shares of the unit's sides."""
    name: str = ""
    """What the trade calls it, such as sky; empty where it is told by where it lies."""
    shape: str = "part"
    """What it is called with its place before it, such as the upper left half."""
    piece: int = 0
    """Which of a way's pieces it is cut as."""
    pieces: int | None = None
    """How many of them it takes of those of one unit; None where as many as polygons tell."""


@dataclass(frozen=True)
class UnitKind:
    """One unit."""

    name: str
    """In the command and in pattern files: lower case, joined by hyphens."""
    ways: tuple[Method, ...]
    """The usual first; the first piece is the one that a square in hand is taken for."""
    parts: tuple[UnitPart, ...] = ()
    """In the order in which a pattern names their fabrics; none where blocks can't hold it."""
    other_names: tuple[str, ...] = ()
    reshaped: Callable[[Fraction], UnitKind] | None = None
    """Of a unit whose two sides are free: gives it with another height over width, at most 1."""
    groups: tuple[tuple[int, ...], ...] = ()
    """Parts that are usually of one cloth, by their numbers: a pattern may then name a fabric for
    each group instead of one for each part."""
    group_names: tuple[str, ...] = ()
    """What the trade calls the groups."""

    def in_proportion(self, aspect: Fraction) -> UnitKind:
        """Return the unit lying, its height over width at most 1, where its sides are free."""
        return self.reshaped(aspect) if self.reshaped else self

    def in_shape(self, wide: int, high: int) -> UnitKind:
        """Return the unit as it covers so many cells of a block.

        One whose sides are free and that is higher than wide is the lying one turned a quarter
        clockwise, so that it is cut in the same way.
        """
        if self.reshaped is None:
            return self
        lying = self.in_proportion(Fraction(*sorted((wide, high))))
        if high <= wide:
            return lying
        parts = (replace(part, polygons=quarter_turned(part.polygons)) for part in lying.parts)
        return replace(lying, parts=tuple(parts))

    def for_each_part(self, fabrics: tuple[str, ...]) -> tuple[str, ...] | None:
        """Return a fabric for each part, from one for each part or for each group of parts.

        None where there are more or fewer.
        """
        if len(fabrics) == len(self.parts):
            return fabrics
        if len(fabrics) != len(self.groups):
            return None
        spread = {part: one for one, group in zip(fabrics, self.groups, strict=True)
                  for part in group}  # fmt: skip
        return tuple(spread[part] for part in range(len(self.parts)))

    @property
    def fabrics_wanted(self) -> str:
        """How many fabrics a pattern names for it, in words."""
        parts = count_of(len(self.parts), "part")
        return f"{parts}, or {len(self.groups)} groups of them" if self.groups else parts

    def piece_counts(self, method: Method) -> tuple[Fraction, ...]:
        """Return how many pieces of each part one unit takes.

        Parts that are cut as the same piece share its number as they share what shows of it.
        """
        shares = [part.pieces or len(part.polygons) for part in self.parts]
        shown = [0] * len(method.pieces)
        for part, share in zip(self.parts, shares, strict=True):
            shown[part.piece] += share
        return tuple(
            Fraction(method.pieces[part.piece].count * share, method.units * shown[part.piece])
            for part, share in zip(self.parts, shares, strict=True)
        )


@dataclass(frozen=True)
class NameNumber:
    """A number that belongs to a unit's name."""

    what: str
    """Such as rounds."""
    least: int
    most: int
    usual: int
    """Where the name is written without it."""


@dataclass(frozen=True)
class UnitFamily:
    """Units that one rule makes, told apart by the numbers behind their name."""

    name: str
    numbers: tuple[NameNumber, ...]
    unit: Callable[..., UnitKind]
    """Makes the unit of a name, which comes first, and these numbers."""
    other_names: tuple[str, ...] = ()

    def of(self, given: tuple[int, ...]) -> UnitKind:
        """Return the unit of these numbers, as many as are told; the usual for the others.

        Raises
        ------
        UsageError
            There are too many numbers, or one can't be had; the cure names the nearest that can.
        """
        if len(given) > len(self.numbers):
            raise UsageError(
                f"{self.name} takes {len(self.numbers)} numbers at most, not {len(given)}",
                f"write {self.name}-{'-'.join(str(one.usual) for one in self.numbers)}",
            )
        usual = tuple(one.usual for one in self.numbers[len(given) :])
        asked = (*given, *usual)
        near = tuple(
            min(max(number, one.least), one.most)
            for one, number in zip(self.numbers, asked, strict=True)
        )
        for one, number, other in zip(self.numbers, asked, near, strict=True):
            if number != other:
                raise UsageError(
                    f"{with_article(self.name)} has {one.least} to {one.most} {one.what}, "
                    f"not {number}",
                    f"write {self.name}-{'-'.join(map(str, near))}",
                )
        return self.unit(self.name_of(asked), *asked)

    def name_of(self, numbers: tuple[int, ...]) -> str:
        """Return the name with its numbers, usual ones at the end left out."""
        told = list(numbers)
        while told and told[-1] == self.numbers[len(told) - 1].usual:
            told.pop()
        return "-".join((self.name, *map(str, told)))
