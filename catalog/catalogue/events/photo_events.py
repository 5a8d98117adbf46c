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

_SURFACES: Final = {
    "white": "something white",
    "grey": "something grey",
    "mat": "a cutting mat",
    "other": "something neither white nor grey",
}
"""What a ground is called where its word alone won't do."""


class WhiteSquare(PhotoEvent, frozen=True, tag="white"):
    """Which square is white cloth; None for none."""

    square: SquareNumber | None
    says = "{square} is white"

    def apply(self, now: Projection) -> None:
        now.white = self.square

    def words(self, names: Names) -> str:
        return "no square is said to be white" if self.square is None else super().words(names)


class GreySquare(PhotoEvent, frozen=True, tag="grey"):
    """Which square is a neutral grey; None for none."""

    square: SquareNumber | None
    says = "{square} is a neutral grey"

    def apply(self, now: Projection) -> None:
        now.grey = self.square

    def words(self, names: Names) -> str:
        return "no square is said to be grey" if self.square is None else super().words(names)


class PhotoGround(PhotoEvent, frozen=True, tag="ground"):
    """What the squares of a photo lie on; None leaves it to its looks."""

    photo: PhotoNumber
    ground: Ground | None
    says = "what {photo} was laid on is left to its looks"

    def apply(self, now: Projection) -> None:
        now.grounds.pop(self.photo, None)
        if self.ground is not None:
            now.grounds[self.photo] = self.ground

    def words(self, names: Names) -> str:
        if self.ground is None:
            return super().words(names)
        surface = _SURFACES.get(self.ground, self.ground)
        return f"squares of {names.photo(self.photo)} lie on {surface}"


class PhotoLamp(PhotoEvent, frozen=True, tag="lamp"):
    """Whether a lamp was on when a photo was taken; None leaves it to the prints."""

    photo: PhotoNumber
    lamp: bool | None
    says = "whether a lamp was on in {photo} is left to the prints"

    def apply(self, now: Projection) -> None:
        now.lamps.pop(self.photo, None)
        if self.lamp is not None:
            now.lamps[self.photo] = self.lamp

    def words(self, names: Names) -> str:
        if self.lamp is None:
            return super().words(names)
        return f"{'a' if self.lamp else 'no'} lamp was on in {names.photo(self.photo)}"


class DroppedPhoto(PhotoEvent, frozen=True, tag="drop photo"):
    """A photo, and with it its squares, is out of the bundle."""

    photo: PhotoNumber
    says = "{photo} taken out of the bundle"

    def apply(self, now: Projection) -> None:
        now.dropped_photos.add(self.photo)
        gone = [s.id for s in now.squares.values() if s.photo == self.photo and not s.dropped]
        now.change(gone, dropped=TAKEN_OUT)
