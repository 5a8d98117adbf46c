"""``calicount near`` and ``calicount partner``: look through all bundles."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import CatalogueError, UsageError
from cli import completion, console
from cli.options import MannerJsonFirst, length

if TYPE_CHECKING:
    import sqlite3
    from fractions import Fraction

    from catalog.catalogue.search.bundle_search import FoundSquare
    from catalog.catalogue.search.colour_query import ColourQuery
    from catalog.catalogue.search.square_batches import SquareSearch


class ValueWord(StrEnum):
    """How light a square is in its bundle."""

    light = "light"
    medium = "medium"
    dark = "dark"


Number = Annotated[int, typer.Option(help="How many to show at most.", metavar="N", min=1)]


@dataclass(frozen=True)
class SearchRequest:
    """Which squares are looked for, and how many are shown."""

    what: Annotated[
        list[str] | None,
        typer.Argument(
            help='Words such as dusty teal, "#4f7f86", "5R 3/2", or a square as BUNDLE:R3C2.',
            metavar="WHAT",
            show_default=False,
        ),
    ] = None
    bundle: Annotated[
        str | None,
        typer.Option(
            help="Look through this bundle only.",
            metavar="BUNDLE",
            autocompletion=completion.bundles,
        ),
    ] = None
    value: Annotated[
        ValueWord | None, typer.Option(help="Only squares of this value in their bundle.")
    ] = None
    fabric: Annotated[
        str | None,
        typer.Option(help="Only squares of the same fabric as this one.", metavar="SQUARE"),
    ] = None
    size: Annotated[str | None, length("Only squares that measure this.")] = None
    left_over: Annotated[
        bool, typer.Option("--left-over", help="Only squares that the last count left over.")
    ] = False
    used_too: Annotated[
        bool, typer.Option("--all", help="Also squares that are cut, sewn or set aside.")
    ] = False
    number: Number = 12

    @property
    def colour(self) -> str:
        """The colour or square that is to be come near to; empty for none."""
        return " ".join(self.what or ())

    @property
    def hint(self) -> str:
        """What to leave out where nothing was found."""
        if self.left_over:
            return (
                "only what a count left over was looked through: calicount count BUNDLE makes one"
            )
        if not self.used_too:
            return "add --all to see those that are cut, sewn or set aside as well"
        return "ask for less at once"


def near(request: SearchRequest, *, manner: MannerJsonFirst) -> None:
    """Look through all bundles for squares of a colour, the nearest first.

    For example:

    calicount near dusty teal --value dark

    calicount near "#4f7f86" --number 5

    calicount near 5R3C2

    calicount near autumn:R3C2 --size 5 --left-over
    """
    from cli.bundles.near_words import found_json, say_found

    with _opened(manner.catalogue) as sql:
        asked, found = squares_found(sql, request)
    console.answer(
        manner, lambda: found_json(asked, found), lambda: say_found(asked, found, request.hint)
    )


def squares_found(
    sql: sqlite3.Connection, request: SearchRequest
) -> tuple[ColourQuery | None, tuple[FoundSquare, ...]]:
    """Return the colour that was asked for, and the squares that come near it.

    Parameters
    ----------
    sql : sqlite3.Connection
        In a snapshot.
    request : SearchRequest

    Raises
    ------
    CalicountError
        Nothing to look for was named, or nothing has that name.
    """
    from catalog.catalogue.search.bundle_search import search_squares
    from catalog.catalogue.search.colour_query import parse_colour_query
    from catalog.length_text import parse_length

    side = parse_length(request.size) if request.size else None
    named = (request.colour, request.bundle, request.value, request.fabric, request.size)
    if not (any(named) or request.left_over):
        raise UsageError("nothing to look for was named", "name a colour, as in: near dusty teal")
    asked = parse_colour_query(sql, request.colour, request.bundle) if request.colour else None
    search = _search(sql, request, side, asked)
    near_to, like = (asked.lab, asked.square) if asked else (None, None)
    return asked, search_squares(sql, near_to, search, request.number, like=like)


def _search(
    sql: sqlite3.Connection,
    request: SearchRequest,
    side: Fraction | None,
    asked: ColourQuery | None,
) -> SquareSearch:
    from catalog.catalogue.search.bundle_search import found_squares
    from catalog.catalogue.search.colour_query import queried_square
    from catalog.catalogue.search.square_batches import SquareSearch
    from catalog.catalogue.store.bundle_list import bundle_id

    fabric = None
    if request.fabric:
        (one,) = found_squares(sql, [queried_square(sql, request.fabric, request.bundle)])
        fabric = one.bundle_id, one.fabric
    return SquareSearch(
        bundle=bundle_id(sql, request.bundle) if request.bundle else None,
        value=request.value.value if request.value else None,
        fabric=fabric,
        side=side,
        used_too=request.used_too,
        left_over=request.left_over,
        without=(asked.square,) if asked and asked.square else (),
    )


def partner(
    square: Annotated[
        list[str],
        typer.Argument(help="The square, as BUNDLE:R3C2 or BUNDLE R3C2.", metavar="SQUARE"),
    ],
    number: Number = 5,
    *,
    manner: MannerJsonFirst,
) -> None:
    """Find the best partners for a square that lacks one, across all bundles.

    Only squares that can be used and are at least as large; none that is in a locked set or that
    you said must not go with it.

    For example:

    calicount partner autumn:R3C2

    calicount partner "blue scraps" R1C5 --number 3
    """
    from catalog.catalogue.search.partner_search import partners_of
    from cli.bundles.near_words import partners_json, say_partners

    with _opened(manner.catalogue) as sql:
        from catalog.catalogue.search.bundle_search import found_squares
        from catalog.catalogue.search.colour_query import queried_square

        number_asked = queried_square(sql, " ".join(square))
        (own,) = found_squares(sql, [number_asked])
        found = partners_of(sql, number_asked, number)
    console.answer(manner, lambda: partners_json(own, found), lambda: say_partners(own, found))


@contextmanager
def _opened(catalogue: Path | None) -> Iterator[sqlite3.Connection]:
    """Open the catalogue to look at one state of it; nothing heavy is loaded."""
    from contextlib import closing

    from catalog.catalogue.store.catalogue_file import connect_to_read, default_file, explained
    from catalog.catalogue.store.file_transactions import snapshot

    place = catalogue or default_file()
    with closing(connect_to_read(place)) as sql, explained(place), snapshot(sql):
        if sql.execute("select 1 from bundles").fetchone() is None:
            raise CatalogueError("no bundle is kept yet", "keep one with: calicount add NAME PHOTO")
        yield sql
