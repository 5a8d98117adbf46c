"""What a person says of squares: whether they are any, where they lie, and what they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Self

from msgspec import Meta

from catalog.catalogue.events.drawn_squares import sized
from catalog.catalogue.events.event_base import Event, PhotoEvent, several
from catalog.catalogue.events.event_fields import (
    MAX_NAME,
    Name,
    Outline,
    PhotoNumber,
    RowNumber,
    Said,
    SquareNumber,
    Squares,
    Whole,
)
from catalog.catalogue.records import TAKEN_OUT, KeptSquare, Mark
from catalog.errors import CatalogueError
from catalog.models import BundleRole, Corners

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class NotASquare(PhotoEvent, frozen=True, tag="not a square"):
    """These are no squares of the bundle."""

    squares: Squares

    def apply(self, now: Projection) -> None:
        now.change(self.squares, dropped="not a square")

    def words(self, names: Names) -> str:
        return names.say(self.squares, "is no square", "are no squares")


class MissedSquare(PhotoEvent, frozen=True, tag="missed"):
    """A square that the photo shows and the tool missed."""

    photo: PhotoNumber
    square: SquareNumber
    """0 until the catalogue gives it a number."""
    corners: Outline
    row: RowNumber | None
    col: RowNumber | None

    @classmethod
    def of(
        cls,
        photo: PhotoNumber,
        corners: Outline,
        row: RowNumber | None = None,
        col: RowNumber | None = None,
    ) -> Self:
        """Say it of a square without a number; see `rounded` for its errors."""
        return cls(photo, 0, rounded(corners), row, col)

    def apply(self, now: Projection) -> None:
        if self.square in now.squares:
            return
        near = [s.square for s in now.squares.values() if s.photo == self.photo and not s.dropped]
        square = sized(self.corners, near, self.row, self.col)
        now.squares[self.square] = KeptSquare(
            self.square,
            self.photo,
            now.labels.get(self.square, ""),
            replace(square, row=None, col=None),
            drawn=True,
            dropped=TAKEN_OUT if self.photo in now.dropped_photos else "",
        )
        if self.row is not None and self.col is not None:
            now.settle_in(self.square, square)

    def words(self, names: Names) -> str:
        return f"{names.square(self.square)} drawn on {names.photo(self.photo)}"


class MovedCorners(PhotoEvent, frozen=True, tag="corners"):
    """A square's corners lie elsewhere."""

    square: SquareNumber
    corners: Outline

    @classmethod
    def of(cls, square: SquareNumber, corners: Outline) -> Self:
        """Say it; see `rounded` for its errors."""
        return cls(square, rounded(corners))

    def apply(self, now: Projection) -> None:
        one = now.squares.get(self.square)
        if one is None:
            return
        others = [
            s.square
            for s in now.squares.values()
            if s.photo == one.photo and not s.dropped and s.id != one.id and not s.moved
        ]
        square = sized(self.corners, others, one.square.row, one.square.col)
        now.change([one.id], square=square, moved=True)

    def words(self, names: Names) -> str:
        return f"corners of {names.square(self.square)} put right"


class PlacedSquare(PhotoEvent, frozen=True, tag="place"):
    """A square lies in another row and column; one that is there already changes places with it."""

    square: SquareNumber
    row: RowNumber
    col: RowNumber

    def apply(self, now: Projection) -> None:
        one = now.squares.get(self.square)
        if one is not None:
            now.settle_in(one.id, replace(one.square, row=self.row, col=self.col))

    def words(self, names: Names) -> str:
        return f"{names.square(self.square)} put in row {self.row}, column {self.col}"


class SamePiece(PhotoEvent, frozen=True, tag="same piece"):
    """Squares of overlapping photos are one piece of cloth; the first stands for it."""

    squares: Annotated[
        tuple[Whole, ...],
        Said(
            Annotated[
                tuple[Whole, ...],
                Meta(min_length=2, max_length=2, description="two different squares"),
            ]
        ),
    ]

    @classmethod
    def of_two(cls, first: int, second: int) -> Self:
        """Say it of two squares."""
        return cls(several((first, second)))

    def apply(self, now: Projection) -> None:
        joined: dict[int, None] = {}
        for number in self.squares:
            piece = next((one for one in now.pieces if number in one), [number])
            joined.update(dict.fromkeys(piece))
        now.pieces = [one for one in now.pieces if not joined.keys() & set(one)]
        now.pieces.append(list(joined))

    def words(self, names: Names) -> str:
        return f"{names.squares(self.squares)} are one piece of cloth"


class OneFabric(Event, frozen=True, tag="one fabric"):
    """These are cut from one fabric, and so is what was taken for the same as any of them."""

    squares: Squares

    @classmethod
    def of(cls, squares: Squares) -> Self:
        """Say it of at least two."""
        return cls(several(squares))

    def apply(self, now: Projection) -> None:
        now.fabrics.append(("one", self.squares))

    def words(self, names: Names) -> str:
        return f"{names.squares(self.squares)} are cut from one fabric"


class OwnFabric(Event, frozen=True, tag="own fabric"):
    """These are a fabric of their own."""

    squares: Squares

    def apply(self, now: Projection) -> None:
        now.fabrics.append(("own", self.squares))

    def words(self, names: Names) -> str:
        return names.say(self.squares, "is a fabric of its own", "are a fabric apart")


class NamedSquares(Event, frozen=True, tag="name"):
    """A person's name for squares; an empty one takes it away."""

    squares: Squares
    text: Name

    @classmethod
    def of(cls, squares: Squares, text: Name) -> Self:
        """Say it with the name as it is kept: on one line, and its beginning if it is long."""
        return cls(squares, " ".join(text.split())[:MAX_NAME])

    def apply(self, now: Projection) -> None:
        now.change(self.squares, said=self.text)

    def words(self, names: Names) -> str:
        if not self.text:
            return f"name of {names.squares(self.squares)} taken away"
        return names.say(self.squares, "is", "are", f"called “{self.text}”")


class SquaresRole(Event, frozen=True, tag="role"):
    """What squares are for."""

    squares: Squares
    role: BundleRole

    def apply(self, now: Projection) -> None:
        now.change(self.squares, role=self.role)

    def words(self, names: Names) -> str:
        if not self.role:
            return f"{names.squares(self.squares)} may be feature or background"
        return names.say(self.squares, "is", "are", f"for the {self.role}")


class MarkedSquares(Event, frozen=True, tag="mark"):
    """Squares are damaged, wrong side up, held back or cut; or no longer."""

    squares: Squares
    mark: Mark
    on: bool = True

    def apply(self, now: Projection) -> None:
        for number in self.squares:
            if number in now.squares:
                marks = [m for m in now.squares[number].marks if m != self.mark]
                now.change([number], marks=(*marks, *([self.mark] if self.on else [])))

    def words(self, names: Names) -> str:
        mark = {"wrong side": "wrong side up", "cut": "cut already"}.get(self.mark, self.mark)
        return names.say(self.squares, "is", "are", mark if self.on else f"not {mark}")


def rounded(corners: Corners | Iterable[Sequence[float]]) -> Corners:
    """Return corners as they are kept: to a hundredth, and clockwise in the picture.

    Raises
    ------
    CatalogueError
        They go neither way round.
    """
    a, b, c, d = ((round(float(x), 2), round(float(y), 2)) for x, y in corners)
    turns = [_turn(*three) for three in ((a, b, c), (b, c, d), (c, d, a), (d, a, b))]
    if all(turn < 0 for turn in turns):
        return a, d, c, b
    if not all(turn > 0 for turn in turns):
        raise CatalogueError(
            "those four points are no corners of a square",
            "give them in order round the square, beginning at its top left",
        )
    return a, b, c, d


def _turn(a: Sequence[float], b: Sequence[float], c: Sequence[float]) -> float:
    """Return twice the area of a triangle, positive where it goes round clockwise in a picture."""
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
