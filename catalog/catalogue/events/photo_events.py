"""What a person says of photos: the light that they were taken in, and which of them count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog.catalogue.events.event_base import PhotoEvent
from catalog.catalogue.events.event_fields import PhotoNumber, SquareNumber
from catalog.catalogue.records import TAKEN_OUT
from catalog.models import Ground

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection

_GROUNDS: Final = {
    "white": "something white",
    "grey": "something grey",
    "wood": "wood",
    "mat": "a cutting mat",
}


class WhiteSquare(PhotoEvent, frozen=True, tag="white"):
    """Which square is white cloth; None for none."""

    square: SquareNumber | None

    def apply(self, now: Projection) -> None:
        now.white = self.square

    def words(self, names: Names) -> str:
        if self.square is None:
            return "no square is said to be white"
        return f"{names.square(self.square)} is white"


class GreySquare(PhotoEvent, frozen=True, tag="grey"):
    """Which square is a neutral grey; None for none."""

    square: SquareNumber | None

    def apply(self, now: Projection) -> None:
        now.grey = self.square

    def words(self, names: Names) -> str:
        if self.square is None:
            return "no square is said to be grey"
        return f"{names.square(self.square)} is a neutral grey"


class PhotoGround(PhotoEvent, frozen=True, tag="ground"):
    """What the squares of a photo lie on; None leaves it to its looks."""

    photo: PhotoNumber
    ground: Ground | None

    def apply(self, now: Projection) -> None:
        now.grounds.pop(self.photo, None)
        if self.ground is not None:
            now.grounds[self.photo] = self.ground

    def words(self, names: Names) -> str:
        photo = names.photo(self.photo)
        if self.ground is None:
            return f"what {photo} was laid on is left to its looks"
        return f"squares of {photo} lie on {_GROUNDS[self.ground]}"


class DroppedPhoto(PhotoEvent, frozen=True, tag="drop photo"):
    """A photo, and with it its squares, is out of the bundle."""

    photo: PhotoNumber

    def apply(self, now: Projection) -> None:
        now.dropped_photos.add(self.photo)
        gone = [s.id for s in now.squares.values() if s.photo == self.photo and not s.dropped]
        now.change(gone, dropped=TAKEN_OUT)

    def words(self, names: Names) -> str:
        return f"{names.photo(self.photo)} taken out of the bundle"
