"""Looking through all bundles on the page: squares of a colour, and partners of one square."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from starlette.responses import Response
from starlette.routing import Route

from catalog.errors import UsageError
from cli.page.routes.http_answers import NotThereError, PageRequest, answering, told
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator

    from catalog.catalogue.search.bundle_search import FoundSquare
    from catalog.catalogue.search.partner_search import Partner

View = dict[str, Any]

USUAL_NUMBER: Final = 24
MAX_NUMBER: Final = 200
"""Squares shown at most; the nearest are what is looked for."""
MAX_LETTERS: Final = 200
"""Letters of what is looked for."""


class SearchRoutes:
    """The answers that come from all bundles."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def routes(self) -> list[Route]:
        """Return their addresses."""
        return [
            Route("/api/near", answering(self.near), methods=["GET"]),
            Route("/api/square/{square:int}/partners", answering(self.partners), methods=["GET"]),
        ]

    def near(self, asked: PageRequest) -> Response:
        """Answer with the squares nearest to a colour, of a value, of what was left over."""
        from cli.bundles.near import SearchRequest, ValueWord, squares_found

        query = asked.query
        value = query.get("value") or None
        if value and value not in set(ValueWord):
            raise UsageError("there is no such value", "choose light, medium or dark")
        request = SearchRequest(
            what=query.get("what", "")[:MAX_LETTERS].split(),
            bundle=query.get("bundle") or None,
            value=ValueWord(value) if value else None,
            size=query.get("size", "")[:MAX_LETTERS] or None,
            left_over=query.get("left_over") == "1",
            used_too=query.get("all") == "1",
            number=_number(query.get("number", "")),
        )
        with self._reading() as sql:
            colour, found = squares_found(sql, request)
        return told(
            {
                "asked": _colour(colour.words, colour.lab) if colour else None,
                "note": colour.note if colour else "",
                "squares": [_square(one) for one in found],
                "hint": "" if found else request.hint,
            }
        )

    def partners(self, asked: PageRequest) -> Response:
        """Answer with the squares of all bundles that go best with one."""
        from catalog.catalogue.search.bundle_search import found_squares
        from catalog.catalogue.search.partner_search import partners_of

        number = asked.number("square")
        with self._reading() as sql:
            if not sql.execute("select 1 from swatches where square_id = ?", (number,)).fetchone():
                raise NotThereError("that square is not there any more", "load the page again")
            (own,) = found_squares(sql, [number])
            found = partners_of(sql, number, _number(asked.query.get("number", "")))
        return told({"square": _square(own), "squares": [_partner(one) for one in found]})

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        from catalog.catalogue.store.catalogue_file import explained
        from catalog.catalogue.store.file_transactions import snapshot

        with self.state.catalogue() as kept, explained(kept.path), snapshot(kept.connection):
            yield kept.connection


def _number(text: str) -> int:
    asked = int(text) if text.isdecimal() and len(text) < 6 else USUAL_NUMBER
    return min(max(asked, 1), MAX_NUMBER)


def _colour(words: str, lab: tuple[float, float, float]) -> View:
    from catalog.colour.lab import lab_to_hex

    return {"words": words, "hex": lab_to_hex(lab)}


def _square(one: FoundSquare) -> View:
    from cli.bundles.near_words import told_away

    return {
        "id": one.id,
        "bundle": one.bundle,
        "bundle_id": one.bundle_id,
        "label": one.label,
        "said": one.said,
        "colour_name": one.colour_name,
        "family": one.family,
        "value": one.value,
        "state": one.state,
        "difference": None if one.difference is None else round(one.difference, 1),
        "words": told_away(one),
    }


def _partner(one: Partner) -> View:
    from cli.bundles.near_words import told_partner

    return {
        **_square(one.square),
        "difference": round(one.difference, 1),
        "words": ", ".join(told_partner(one)),
    }
