"""What all events have in common."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, ClassVar, Final, Self

from msgspec import Struct, structs, to_builtins

from catalog.errors import CatalogueError

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection

SQUARE_FIELDS: Final = ("squares", "sets", "pairs", "square")
"""Fields that hold numbers of squares, alone or in groups."""


class Event(Struct, frozen=True, tag_field="kind"):
    """One thing that a person says or does about a bundle.

    It is a correction or a use, never a change of what the photos said, so each can be undone by
    itself. Squares and photos are meant by their number in the catalogue, so that a label that
    changes hands never moves a correction.
    """

    says: ClassVar[str] = ""
    """Its sentence, with its fields in braces; behind a bar that for several squares or sets."""

    def apply(self, now: Projection) -> None:
        """Change the bundle as it stands by what follows from this."""
        raise NotImplementedError

    def words(self, names: Names) -> str:
        """Say what this is, in a clause without a full stop, fit to stand after "Undo:"."""
        return names.told(self.says, self)

    @property
    def kind(self) -> str:
        """What rows and archives call it; a tag may tell more after a colon."""
        return str(self.__struct_config__.tag).partition(":")[0]

    @property
    def args(self) -> dict[str, Any]:
        """Its fields as plain JSON values, as rows and archives hold them."""
        told: dict[str, Any] = to_builtins(self)
        del told["kind"]
        return told

    @property
    def about(self) -> tuple[int, ...]:
        """The numbers of the squares that it names, each once."""
        found: list[int] = []
        for name in SQUARE_FIELDS:
            _numbers(getattr(self, name, None), found.append)
        return tuple(dict.fromkeys(found))

    def renumbered(
        self, square: Callable[[int], int], photo: Callable[[int], int] = lambda number: number
    ) -> Self:
        """Return it with squares and photos under other numbers."""
        by = {**dict.fromkeys(SQUARE_FIELDS, square), "photo": photo}
        fields = {name: getattr(self, name) for name in self.__struct_fields__ if name in by}
        new = {name: _numbers(value, by[name]) for name, value in fields.items()}
        return structs.replace(self, **new)


class PhotoEvent(Event, frozen=True):
    """What is said of photos and outlines; all others speak of pieces of cloth.

    A piece is meant whichever of its squares is named.
    """


class UnknownEvent(Event, frozen=True):
    """A row that this version can't read, or that isn't as calicount writes it."""

    of_kind: str
    given: Any
    says = "{of_kind}"

    @property
    def kind(self) -> str:
        return self.of_kind

    @property
    def args(self) -> dict[str, Any]:
        return dict(self.given)

    def apply(self, now: Projection) -> None:
        raise KeyError(self.of_kind)


def several(squares: Iterable[int]) -> tuple[int, ...]:
    """Return squares, each once.

    Raises
    ------
    CatalogueError
        There are fewer than two.
    """
    found = tuple(dict.fromkeys(squares))
    if len(found) < 2:
        raise CatalogueError("that takes at least two squares", "name two different ones")
    return found


def two(first: int, second: int) -> tuple[int, int]:
    """Return two squares; see `several`."""
    one, other = several((first, second))
    return one, other


def _numbers(value: Any, number: Callable[[int], Any]) -> Any:  # noqa: ANN401 - nested
    """Return a number, or numbers in groups, each under another; 0 and what is none as it is."""
    if isinstance(value, list | tuple):
        return tuple(_numbers(one, number) for one in value)
    return number(value) if isinstance(value, int) and value else value
