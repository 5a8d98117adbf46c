"""What a unit is made of: pieces, strips and the method that joins them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from catalog.cutting.units.surd import ONE, ROOT2, ZERO, Number, Surd
from catalog.cutting.units.unit_sizes import UNFINISHED, Size, on_inch_ruler
from catalog.lengths import EIGHTH, Rounding

if TYPE_CHECKING:
    from catalog.cutting.units.sized_unit import SizedUnit
    from catalog.cutting.units.steps.sewing_steps import Step

Shape = Literal["square", "rectangle", "strip"]
HAIR: Final = Fraction(1, 64)
"""Inches by which a piece may be larger than the points beside it leave room for: at each point of
a centre that is 1/90 in, no more than a thread or two (choice of ours)."""


@dataclass(frozen=True)
class UnitPiece:
    """One kind of piece to cut for a set of units."""

    what: str
    """In the trade's words, singular."""
    count: int
    """For one set."""
    width: Size
    """Side of a square, long side of a rectangle, width of a strip."""
    height: Size | None = None
    """Short side of a rectangle."""
    shape: Shape = "square"
    flipped: bool = False
    """Sewn across a corner, after which what lies outside the seam is cut off."""
    rule_first: bool = False
    """Cut by the trade's rule, which rounds the allowance up before it adds it, as its charts do;
    never less than exact. The charts are for rulers in inches."""
    rounding: Rounding = "up"
    """To which mark it is cut: ``up`` where the unit must reach its size, ``nearest`` where only
    its own size shows, ``down`` where more of it would cut points off."""
    large: Fraction = Fraction(0)
    """Inches to add when it is cut large, to be trimmed once sewn; common practice."""
    of_one_square: bool = False
    """Whether all of them come from one square in hand."""

    def fits(self, size: Fraction, exact: Surd, *, trimmed: bool) -> bool:
        """Say whether a piece that is cut to `size` does where `exact` would meet, both inches.

        What is trimmed once sewn may be larger; what isn't has to be as it is, and a piece that is
        cut to the nearest mark or the one below may be that much off.
        """
        off = size - exact
        if self.rounding == "up":  # what is cut large is trimmed, if not the whole unit
            return off >= 0 and (trimmed or self.large > 0 or off <= HAIR)
        return -EIGHTH <= off <= (EIGHTH if self.rounding == "nearest" else HAIR)

    def cut_for(self, exact: Surd, *, trimmed: bool) -> Fraction:
        """Return the size on the coarsest marks of a ruler that `fits`, inches."""
        marks = (EIGHTH, EIGHTH / 2, EIGHTH / 4, HAIR)
        sizes = [self.on_mark(exact, mark) for mark in marks]
        return next((s for s in sizes if self.fits(s, exact, trimmed=trimmed)), sizes[-1])

    def least(self, finished: Number, seam: Fraction, mark: Fraction) -> Surd:
        """Return the width, inches, that a cut must not be below: exact, or as the rule says."""
        exact = self.width.at(finished, seam)
        if not self.rule_first or not on_inch_ruler(mark):
            return exact
        return max(self.width.by_rule(finished, seam, mark), exact)

    def on_mark(self, length: Surd, mark: Fraction) -> Fraction:
        """Return the mark that a length of this piece, inches, is cut to."""
        if self.rounding == "nearest":
            return length.nearest_to(mark)
        return down_to_mark(length, mark) if self.rounding == "down" else length.up_to(mark)


def down_to_mark(length: Surd, mark: Fraction) -> Fraction:
    """Return the mark below a length, inches, or the one above if that is but a hair longer."""
    above = length.up_to(mark)
    return above if above <= length + HAIR else length.down_to(mark)


@dataclass(frozen=True)
class StripYield:
    """How units come out of strips sewn together and cut across."""

    segments_per_unit: int
    pieces_per_unit: int | Fraction
    """Each as long as a segment and as wide as a strip, in area."""
    lost: int = 0
    """Segments that the slanted ends cost."""
    segment: Size | None = None
    """Length of a segment; None where it is as long as a strip is wide."""
    ends: Size | None = None
    """What the slanted ends cost of a strip's length."""

    def units(
        self, usable: Fraction, cut: Fraction, finished: Number = 0, seam: Fraction = Fraction(0)
    ) -> int:
        """Return how many units strips of `usable` length give, cut so wide, all in inches."""
        if self.segment is None:
            return max(segments(usable, cut) - self.lost, 0) // self.segments_per_unit
        left = usable - (self.ends.at(finished, seam) if self.ends else 0)
        number = (left / self.segment.at(finished, seam)).down_to(Fraction(1)) if left > 0 else 0
        return int(number) // self.segments_per_unit

    def length(self, width: Number, finished: Number, seam: Number) -> Surd:
        """Return the length of a segment of a strip so wide, inches."""
        return Surd.of(width) if self.segment is None else self.segment.at(finished, seam)


def segments(usable: Fraction, cut: Fraction) -> int:
    """Return how many pieces of length `cut` lie in a strip of length `usable`, both inches."""
    return int(usable // cut)


@dataclass(frozen=True)
class PrintLay:
    """How the pieces of a part are laid for a print with an up and a down to hang upright."""

    kind: Literal["halves", "equal", "leaning"]
    """``halves``: halves of squares, so that the diagonal on which a square is cut tells the two
    corners that it serves. ``equal``: an upright square gives as many pieces for each of the four
    places that they can lie in. ``leaning``: straight edges lie on a slant in the unit."""
    places: tuple[int, ...] = ()
    """Where in the unit: of ``halves`` the corners, clockwise from the upper left; of
    ``equal`` the corners if made eight at a time, else the edges, clockwise from the upper one.
    Cut on both diagonals, a square falls into one triangle at each edge; cut in four and each
    quarter towards the middle, into two for each corner."""


@dataclass(frozen=True)
class Method:
    """A way to make a unit."""

    unit: str
    """Its name in the command."""
    at_a_time: int
    """By which the trade tells ways of one unit apart."""
    pieces: tuple[UnitPiece, ...]
    """The first is the one that a square in hand is taken for."""
    how: str
    """How it is sewn, one sentence or two."""
    units: int = 1
    """Units that one set of pieces gives; of strips see `strips`."""
    aspect: Fraction = Fraction(1)
    """Finished height over finished width."""
    face: Surd = ONE
    """Finished area over the square of the finished width."""
    bias: str = ""
    """Which edges it leaves on the bias; empty where none."""
    strips: StripYield | None = None
    trimmed: bool = True
    """Whether it is trimmed once sewn; patches are not, as their outer ones would shrink."""
    trimming: str = ""
    """How it is trimmed, or why not, one sentence."""
    points: Surd | None = None
    """Of a centre set on its point: the inches by which the pieces round it grow for each inch of
    the unit's side while the centre stays. Such a unit is trimmed a seam outside the centre's
    points and no closer. None of other units."""
    fills: bool = False
    """Whether it fills the edge of a quilt; its sizes are then those of the block it meets."""
    lays: tuple[PrintLay | None, ...] = ()
    """Of each of the unit's parts; None, or left out, where a print hangs as the unit does."""
    one_cloth: int | None = None
    """Of a part of which each unit has pieces from several squares, its number from 0: all of it
    has to be of one cloth."""
    grid: Size | None = None
    """Of a unit whose pieces are all so many of one finished width, that width: it is brought to a
    mark, and all of them follow it, so that they meet."""
    title: str = ""
    """What it is called above its sizes; its name if empty."""
    measured: str = ""
    """Between which points its size is told, where it is no rectangle."""
    caution: str = ""
    """What goes wrong easily, one sentence; empty where nothing does."""
    steps: Callable[[SizedUnit], tuple[Step, ...]] | None = None
    """How it is made, step by step (see `sewing_steps`)."""

    @property
    def main(self) -> UnitPiece:
        """The piece that a square in hand is taken for."""
        return self.pieces[0]

    def sewn(self, cut: Number, seam: Number) -> Surd:
        """Return the exact unfinished width, inches, from the first piece's cut and the seam.

        Of a centre set on its point the least that leaves a seam outside its points.
        """
        return UNFINISHED.at(self.main.width.finished_at(cut, seam), seam)

    def makes_up(self, cut: Number, finished: Number, seam: Number) -> Surd:
        """Return how much larger the pieces round a centre are cut where it is smaller than exact.

        A centre of finished side a and a corner triangle of short side c make a unit of unfinished
        side a / √2 + c - √2 seam: what the centre lacks is missing from the side by its √2nd part.
        Strips round a centre, or beside the first of them, are longer by what that one is.
        """
        if self.grid:  # what the first piece has more, those along it have too
            return cut - self.main.width.at(finished, seam)
        if self.points is None:
            return ZERO
        return (self.main.width.at(finished, seam) - cut) / ROOT2 * self.points

    def on_grid(
        self, finished: Surd, seam: Fraction, mark: Fraction, *, up: bool = True
    ) -> Fraction:
        """Return the finished width, inches, next to one at which strips are cut on a mark.

        Not what shows of a strip has to lie on the mark but its cut: two seams may lie on none.
        """
        if self.grid is None:
            return finished.rational
        cut = self.grid.at(finished, seam) + 2 * seam
        on_mark = cut.up_to(mark) if up else cut.down_to(mark)
        return self.grid.finished_at(on_mark - 2 * seam, seam).rational

    def most_made_up(self, mark: Fraction) -> Surd:
        """Return the most that `makes_up` gives for a centre cut to a mark of the ruler."""
        return ZERO if self.points is None else self.points * mark / ROOT2
