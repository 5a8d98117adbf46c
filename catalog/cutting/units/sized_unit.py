"""A unit with all its sizes: what is cut for it, and what it comes to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.units.cutting_method import Method, Shape
from catalog.cutting.units.surd import ONE, ROOT2, ZERO, Surd


@dataclass(frozen=True)
class SizedPiece:
    """One kind of piece, to be cut for a set of units; lengths in inches."""

    what: str
    count: int
    shape: Shape
    width: Fraction
    """On a mark of the ruler, or the square in hand."""
    height: Fraction
    """Of a strip, its usable length."""
    exact: Surd
    """The width at which everything meets; of a piece rounded up, the least that would do."""

    @property
    def area(self) -> Fraction:
        """Cloth of all these pieces, square inches."""
        return self.count * self.width * self.height


@dataclass(frozen=True)
class SizedUnit:
    """A unit with all its sizes, inches and square inches; widths unless said."""

    method: Method
    seam: Fraction
    cuts: tuple[SizedPiece, ...]
    """The first is the square in hand, where there is one."""
    units: int
    """Units that one set of pieces gives."""
    sewn: Surd
    """Unfinished width as it comes from the sewing."""
    trim: Fraction
    trim_height: Fraction
    waste: Surd
    """Cloth of the pieces that neither shows nor lies in a seam, square inches; the small points
    that a seam leaves at its ends are counted as seam."""
    left_over: tuple[Fraction, Fraction] | None = None
    """A strip left of the square in hand, wide and high."""

    @property
    def finished(self) -> Fraction:
        """Width once it is sewn in."""
        return self.trim - 2 * self.seam

    @property
    def finished_height(self) -> Fraction:
        """Height once it is sewn in."""
        return self.trim_height - 2 * self.seam

    @property
    def spare(self) -> Surd:
        """What trimming takes off the width; never negative."""
        return self.sewn - self.trim

    @property
    def cloth(self) -> Fraction:
        """Area of all the pieces."""
        return sum((cut.area for cut in self.cuts), Fraction(0))

    @property
    def shown(self) -> Surd:
        """Area that shows once all the units are sewn in."""
        shape = self.method.face / self.method.aspect
        return shape * (self.units * self.finished * self.finished_height)


def left_over(main: SizedPiece, cut: int) -> tuple[Fraction, Fraction] | None:
    """Return the strip left of a square that so many rectangles are cut from, wide and high."""
    rest = main.width - cut * main.height
    return (main.width, rest) if main.shape == "rectangle" and rest > 0 else None


def strip_width(cuts: tuple[SizedPiece, ...]) -> Fraction:
    """Return the width that the strips of a unit are cut, inches; they are all as wide."""
    return min(cut.height for cut in cuts if cut.shape == "rectangle")


def grid_sewn(method: Method, cuts: tuple[SizedPiece, ...], seam: Fraction) -> Fraction:
    """Return the unfinished width across the strips of a unit, inches, from what is cut for it.

    A centre adds what it is cut; where there is none, the strips are all that there is.
    """
    share = method.grid.finished if method.grid else ONE
    centre = method.main.height is None
    others = (1 - method.main.width.finished) / share if centre else 1 / share
    first = cuts[0].width if centre else 2 * seam
    return (first + others * (strip_width(cuts) - 2 * seam)).rational


def sized(
    method: Method,
    cuts: tuple[SizedPiece, ...],
    seam: Fraction,
    trim: tuple[Fraction, Fraction],
    needed: Fraction,
    rest: tuple[Fraction, Fraction] | None = None,
) -> SizedUnit:
    """Return a unit with its sizes: sewn, trimmed, and the cloth that is lost."""
    main, strips = cuts[0], method.strips
    units = strips.units(main.height, main.width, needed, seam) if strips else method.units
    used = _used(method, units, needed, seam)
    cloth = sum((cut.area for cut in cuts), Fraction(0))
    sewn = method.sewn(main.width, seam)
    if method.grid:
        sewn = Surd.of(grid_sewn(method, cuts, seam))
    if method.points:
        sewn = trim[0] + (cuts[-1].width - cuts[-1].exact) / method.points
    return SizedUnit(method, seam, cuts, units, sewn, *trim, cloth - used, rest)


def _used(method: Method, units: int, finished: Fraction, seam: Fraction) -> Surd:
    """Return the cloth that stays in the units and their seams, square inches."""
    if method.strips:
        width = method.main.width.at(finished, seam)
        length = method.strips.length(width, finished, seam)
        return width * length * (units * method.strips.pieces_per_unit)
    used = ZERO
    for piece in method.pieces:
        width = piece.width.at(finished, seam)
        height = piece.height.at(finished, seam) if piece.height else width
        used += width * height * piece.count
        if piece.flipped:
            # Of square and ground alike, a triangle of height side/√2 - seam is cut off.
            beyond = max(width - ROOT2 * seam, ZERO)
            used -= beyond * beyond * piece.count
    return used
