"""The arguments of what the page sends, checked one by one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final, cast

from catalog.catalogue.events.drawn_squares import fit_outline
from catalog.catalogue.records import corners_of
from catalog.errors import UsageError

if TYPE_CHECKING:
    from catalog.catalogue.records import Kept
    from catalog.models import Corners

Args = Mapping[str, Any]

MOST_SQUARES: Final = 5_000
MOST_SHOWN: Final = 10**9
"""Whole numbers below this are shown where they are refused."""
LONGEST: Final = 200
"""Letters of a text that is kept."""
AGAIN: Final = "load the page again"


class Said:
    """The arguments of one deed, each asked for by its kind; what doesn't fit is refused."""

    def __init__(self, args: Args, kept: Kept) -> None:
        self._args, self.kept = args, kept

    def has(self, name: str) -> bool:
        """Whether an argument was given, null not counted."""
        return self._args.get(name) is not None

    def names(self, name: str) -> bool:
        """Whether an argument was given, be it null."""
        return name in self._args

    def text(self, name: str) -> str:
        """Return a text."""
        value = self._args.get(name)
        if not isinstance(value, str) or len(value) > LONGEST:
            raise unfit(name, "a text")
        return "".join(sign if sign.isprintable() else " " for sign in value)

    def choice(self, name: str, choices: tuple[str, ...]) -> str:
        """Return a text out of a few."""
        value = self._args.get(name)
        if value not in choices:
            raise unfit(name, f"one of {', '.join(one or 'nothing' for one in choices)}")
        return cast("str", value)

    def whole(self, name: str, least: int, most: int) -> int:
        """Return a whole number."""
        return whole(self._args.get(name), name, least, most)

    def number(self, name: str, least: float, most: float) -> float:
        """Return a number."""
        value = self._args.get(name)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise unfit(name, "a number")
        if not least <= value <= most:  # nor is what is no number between them
            raise unfit(name, f"from {least:g} to {most:g}")
        return float(value)

    def yes(self, name: str) -> bool:
        """Return yes or no."""
        value = self._args.get(name)
        if not isinstance(value, bool):
            raise unfit(name, "yes or no")
        return value

    def photo(self, name: str = "photo") -> int:
        """Return a photo of the bundle."""
        value = self._args.get(name)
        if isinstance(value, bool) or not isinstance(value, int):
            raise unfit(name, "a photo's number")
        if value not in {photo.id for photo in self.kept.photos}:
            raise UsageError("that photo is not in the bundle", AGAIN)
        return value

    def square(self, name: str = "square") -> int:
        """Return a square of the bundle."""
        return self._square(self._args.get(name))

    def square_or_none(self, name: str = "square") -> int | None:
        """Return a square of the bundle, or none."""
        return self.square(name) if self.has(name) else None

    def squares(self, name: str = "squares") -> list[int]:
        """Return squares of the bundle, one at least."""
        return self._squares(self._args.get(name), name)

    def groups(self, name: str, least: int, most: int) -> list[list[int]]:
        """Return groups of so many different squares each."""
        value = self._args.get(name)
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_SQUARES:
            raise unfit(name, "a list")
        groups = [self._squares(one, name) for one in value]
        if not all(least <= len(one) <= most for one in groups):
            raise unfit(name, f"of {least} to {most} different squares each")
        return groups

    def corners(self, photo: int) -> Corners:
        """Return four corners that lie on a photo."""
        try:
            corners = corners_of(self._args.get("corners"))
        except (TypeError, ValueError, OverflowError):
            raise unfit("corners", "four points") from None
        seen = next((one for one in self.kept.photos if one.id == photo), None)
        if seen is None:
            raise UsageError("its photo was taken out of the bundle", AGAIN)
        return fit_outline(corners, seen.wide, seen.high)

    def places(self, name: str) -> tuple[str, str]:
        """Return two places on the wall."""
        value = self._args.get(name)
        if not isinstance(value, list) or len(value) != 2 or value[0] == value[1]:
            raise unfit(name, "two different places")
        one, other = (Said({"place": place}, self.kept).place("place") for place in value)
        return one, other

    def two_hands(self, name: str) -> list[list[int]] | None:
        """Return the squares that hang at two places, none where one is empty; None if not told."""
        if not self.has(name):
            return None
        value = self._args[name]
        if not isinstance(value, list) or len(value) != 2:
            raise unfit(name, "the squares of two places")
        return [[] if one == [] else self._squares(one, name) for one in value]

    def place(self, name: str) -> str:
        """Return a place on the wall, such as B3."""
        value = self.text(name)
        letters = value.rstrip("0123456789")
        if not (letters.isascii() and letters.isupper() and value != letters and len(value) <= 8):
            raise unfit(name, "a place on the wall")
        return value

    def _square(self, value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise unfit("square", "a square's number")
        if value not in self.kept.state.squares:
            raise UsageError("that square is not in the bundle", AGAIN)
        return value

    def _squares(self, value: object, name: str) -> list[int]:
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_SQUARES:
            raise unfit(name, "a list of squares")
        return list(dict.fromkeys(self._square(one) for one in value))


def whole(value: object, name: str, least: int, most: int) -> int:
    """Return a whole number, refused where it is none or out of its range."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise unfit(name, "a whole number")
    if not least <= value <= most:
        shown = f" {value}" if abs(value) < MOST_SHOWN else ""
        raise UsageError(f"the {name}{shown} can't be meant", f"give {least} to {most}")
    return value


def unfit(name: str, what: str) -> UsageError:
    """Return the error of something that the page should not have sent."""
    return UsageError(f"the page sent {name} that is not {what}", AGAIN)
