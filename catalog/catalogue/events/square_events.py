"""What a person says of squares: whether they are any, where they lie, and what they are."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Self

from catalog.catalogue.events.drawn_squares import sized, turns_of
from catalog.catalogue.events.event_base import Event, PhotoEvent, several
from catalog.catalogue.events.event_fields import (
    MAX_NAME,
    Name,
    Outline,
    PhotoNumber,
    RowNumber,
    SquareNumber,
    Squares,
    TwoSquares,
)
from catalog.catalogue.records import TAKEN_OUT, Mark, StoredSquare
from catalog.errors import CatalogueError
from catalog.models import BundleRole, Corners

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class NotASquare(PhotoEvent, frozen=True, tag="not a square"):
    """These are no squares of the bundle."""

    squares: Squares
    says = "{squares} is no square|{squares} are no squares"

    def apply(self, now: Projection) -> None:
        now.change(self.squares, dropped="not a square")


class MissedSquare(PhotoEvent, frozen=True, tag="missed"):
    """A square that the photo shows and the tool missed."""

    photo: PhotoNumber
    square: SquareNumber
    """0 until the catalogue gives it a number."""
    corners: Outline
    row: RowNumber | None
    col: RowNumber | None
    says = "{square} drawn on {photo}"

    @classmethod
    def of(
        cls, photo: PhotoNumber, corners: Outline,
        row: RowNumber | None = None, col: RowNumber | None = None,
    ) -> Self:  # fmt: skip
        return cls(photo, 0, rounded(corners), row, None if row is None else col)

    def apply(self, now: Projection) -> None:
        if self.square in now.squares:
            return
        near = [s.square for s in now.squares.values() if s.photo == self.photo and not s.dropped]
        square = sized(self.corners, near, self.row, self.col)
        loose = replace(square, row=None, col=None)
        dropped = TAKEN_OUT if self.photo in now.dropped_photos else ""
        label = now.labels.get(self.square, "")
        drawn = StoredSquare(self.square, self.photo, label, loose, drawn=True, dropped=dropped)
        now.squares[self.square] = drawn
        if self.row is not None and self.col is not None:
            now.settle_in(self.square, square)


class MovedCorners(PhotoEvent, frozen=True, tag="corners"):
    """A square's corners lie elsewhere."""

    square: SquareNumber
    corners: Outline
    says = "corners of {square} put right"

    @classmethod
    def of(cls, square: SquareNumber, corners: Outline) -> Self:
        return cls(square, rounded(corners))

    def apply(self, now: Projection) -> None:
        one = now.squares.get(self.square)
        if one is not None:
            near = [
                s.square
                for s in now.squares.values()
                if s.photo == one.photo and not s.dropped and s.id != one.id and not s.moved
            ]
            square = sized(self.corners, near, one.square.row, one.square.col)
            now.change([one.id], square=square, moved=True)


class PlacedSquare(PhotoEvent, frozen=True, tag="place"):
    """A square lies in another row and column; one that is there already changes places with it."""

    square: SquareNumber
    row: RowNumber
    col: RowNumber
    says = "{square} put in row {row}, column {col}"

    def apply(self, now: Projection) -> None:
        one = now.squares.get(self.square)
        if one is not None:
            now.settle_in(one.id, replace(one.square, row=self.row, col=self.col))


class SamePiece(PhotoEvent, frozen=True, tag="same piece"):
    """Squares of overlapping photos are one piece of cloth; the first stands for it."""

    squares: TwoSquares
    says = "{squares} are one piece of cloth"

    def apply(self, now: Projection) -> None:
        joined: dict[int, None] = {}
        for number in self.squares:
            piece = next((one for one in now.pieces if number in one), [number])
            joined.update(dict.fromkeys(piece))
        now.pieces = [one for one in now.pieces if not joined.keys() & set(one)]
        now.pieces.append(list(joined))


class OneFabric(Event, frozen=True, tag="one fabric"):
    """These are cut from one fabric, and so is what was taken for the same as any of them."""

    squares: Squares
    says = "{squares} are cut from one fabric"

    @classmethod
    def of(cls, squares: Squares) -> Self:
        return cls(several(squares))

    def apply(self, now: Projection) -> None:
        now.fabrics.append(("one", self.squares))


class OwnFabric(Event, frozen=True, tag="own fabric"):
    """These are a fabric of their own."""

    squares: Squares
    says = "{squares} is a fabric of its own|{squares} are a fabric apart"

    def apply(self, now: Projection) -> None:
        now.fabrics.append(("own", self.squares))


class NamedSquares(Event, frozen=True, tag="name"):
    """A person's name for squares; an empty one takes it away."""

    squares: Squares
    text: Name
    says = "{squares} is called “{text}”|{squares} are called “{text}”"

    @classmethod
    def of(cls, squares: Squares, text: Name) -> Self:
        return cls(squares, " ".join(text.split())[:MAX_NAME])

    def apply(self, now: Projection) -> None:
        now.change(self.squares, said=self.text)

    def words(self, names: Names) -> str:
        return names.told(self.says if self.text else "name of {squares} taken away", self)


class SquaresRole(Event, frozen=True, tag="role"):
    """What squares are for."""

    squares: Squares
    role: BundleRole
    says = "{squares} is for the {role}|{squares} are for the {role}"

    def apply(self, now: Projection) -> None:
        now.change(self.squares, role=self.role)

    def words(self, names: Names) -> str:
        return names.told(
            self.says if self.role else "{squares} may be feature or background", self
        )


class MarkedSquares(Event, frozen=True, tag="mark"):
    """Squares are damaged, wrong side up, held back or cut; or no longer."""

    squares: Squares
    mark: Mark
    on: bool = True
    says = "{squares} is |{squares} are "

    def apply(self, now: Projection) -> None:
        for number in self.squares:
            if number in now.squares:
                marks = [m for m in now.squares[number].marks if m != self.mark]
                now.change([number], marks=(*marks, *([self.mark] if self.on else [])))

    def words(self, names: Names) -> str:
        mark = {"wrong side": "wrong side up", "cut": "cut already"}.get(self.mark, self.mark)
        return names.told(self.says, self) + (mark if self.on else f"not {mark}")


def rounded(corners: Corners) -> Corners:
    """Return corners as they are kept: to a hundredth, and clockwise in the picture.

    Raises
    ------
    CatalogueError
        They go neither way round.
    """
    a, b, c, d = ((round(float(x), 2), round(float(y), 2)) for x, y in corners)
    turns = turns_of((a, b, c, d))
    if all(turn < 0 for turn in turns):
        return a, d, c, b
    if not all(turn > 0 for turn in turns):
        raise CatalogueError(
            "those four points are no corners of a square",
            "give them in order round the square, beginning at its top left",
        )
    return a, b, c, d
