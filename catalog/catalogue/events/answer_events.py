"""What a person answers where a square was in doubt."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from catalog.catalogue.events.event_base import PhotoEvent
from catalog.catalogue.events.event_fields import Squares
from catalog.models import RIGHT_AS_FOUND

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class RightAsFound(PhotoEvent, frozen=True, tag="right as found"):
    """Squares are right as the photo shows them, whatever was in doubt; or no longer.

    It holds of an outline: where the corners are moved afterwards, the new one is judged anew.
    """

    squares: Squares
    on: bool = True
    says = "{squares} is right as found|{squares} are right as found"

    def apply(self, now: Projection) -> None:
        for number in self.squares:
            one = now.squares.get(number)
            if one is not None:
                flags = [flag for flag in one.square.flags if flag != RIGHT_AS_FOUND]
                said = (*flags, *([RIGHT_AS_FOUND] if self.on else []))
                now.change([number], square=replace(one.square, flags=said))

    def words(self, names: Names) -> str:
        if self.on:
            return super().words(names)
        return names.told(
            "{squares} is to be looked at again|{squares} are to be looked at again", self
        )
