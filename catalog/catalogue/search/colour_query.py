"""What a person means by a colour: words, ``#4f7f86``, ``5R 3/2``, or a square she has."""

from __future__ import annotations

import re
import sqlite3
from dataclasses import dataclass
from typing import Final

from catalog.catalogue.search.bundle_search import square_of
from catalog.catalogue.store.bundle_list import bundle_id, known_id, tidy
from catalog.colour.colour_words import colour_of_hex, colour_of_words
from catalog.colour.munsell import lab_of_munsell, looks_munsell
from catalog.errors import CatalogueError, UsageError
from catalog.models import Lab

_LABEL: Final = r"R[1-9]\d*C[1-9]\d*|S\d{3,}"


@dataclass(frozen=True)
class ColourQuery:
    """The colour that was asked for."""

    lab: Lab
    words: str
    """What it was taken for."""
    square: int | None = None
    """The square whose colour it is."""
    bundle: int | None = None
    """The bundle of that square."""
    note: str = ""
    """What else it could have meant, as a sentence."""


def parse_colour_query(
    connection: sqlite3.Connection, text: str, bundle: str | None = None
) -> ColourQuery:
    """Return the colour that a person asks for.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a snapshot.
    text : str
        A square (``NAME:R3C2``, or ``R3C2`` where the bundle is known), ``#4f7f86``, a Munsell
        notation, or words.
    bundle : str, optional
        Name of the bundle that squares without one are of.

    Raises
    ------
    CatalogueError
        There is no such bundle or square.
    UsageError
        It is no colour.
    """
    square = _square_meant(connection, text.strip(), bundle)
    if square is not None:
        return square
    name, colon, label = text.rpartition(":")
    if colon and _is_bundle(connection, name):
        raise _no_square(name, label)
    hexadecimal = colour_of_hex(text)
    if hexadecimal is not None:
        return ColourQuery(hexadecimal.lab, hexadecimal.words)
    if looks_munsell(text):
        return ColourQuery(lab_of_munsell(text), f"Munsell {text.strip().upper()}")
    meant = colour_of_words(text)
    return ColourQuery(meant.lab, meant.words)


def queried_square(connection: sqlite3.Connection, text: str, bundle: str | None = None) -> int:
    """Return the number of the square that a person asks for.

    The parameters are those of `parse_colour_query`; the text may be ``NAME R3C2`` as well.

    Raises
    ------
    UsageError
        It names no square.
    """
    name, blank, label = text.strip().rpartition(" ")
    apart = blank and re.fullmatch(_LABEL, label, re.IGNORECASE)
    meant = f"{name}:{label}" if apart and ":" not in name else text.strip()
    asked = _square_meant(connection, meant, bundle)
    if asked is None or asked.square is None:
        raise UsageError(f"'{text}' names no square", "name one of a bundle, as in NAME:R3C2")
    return asked.square


def _square_meant(
    connection: sqlite3.Connection, text: str, bundle: str | None
) -> ColourQuery | None:
    name, colon, label = text.rpartition(":")
    if colon and re.fullmatch(_LABEL, label.strip(), re.IGNORECASE):
        return _square(connection, name, label)
    if re.fullmatch(_LABEL, text, re.IGNORECASE):
        return _square(connection, bundle or _only_bundle(connection, text), text)
    joined = re.fullmatch(rf"(.+?)\s*({_LABEL})", text, re.IGNORECASE)
    if joined is None or not _is_bundle(connection, joined[1]):
        return None
    note = ""
    if looks_munsell(text):
        note = (
            f"{text} was taken for the square {joined[2].upper()} of the bundle {joined[1]}; for "
            f"the Munsell colour put a stroke, as in 5R 3/2."
        )
    return _square(connection, joined[1], joined[2], note)


def _square(connection: sqlite3.Connection, name: str, label: str, note: str = "") -> ColourQuery:
    number = bundle_id(connection, name)
    square = square_of(connection, number, label)
    if square is None:
        raise _no_square(name, label)
    row = connection.execute(
        """select w.lightness, w.a, w.b, w.label, n.name from swatches w
            join bundles n on n.id = w.bundle_id where w.square_id = ?""",
        (square,),
    ).fetchone()
    colour = (row["lightness"], row["a"], row["b"])
    return ColourQuery(colour, f"{row['label']} of {row['name']}", square, number, note)


def _no_square(name: str, label: str) -> CatalogueError:
    return CatalogueError(
        f"{label.strip().upper()} can't be found in {tidy(name)}",
        f'calicount show "{tidy(name)}" lists its squares',
    )


def _is_bundle(connection: sqlite3.Connection, name: str) -> bool:
    return known_id(connection, tidy(name)) is not None


def _only_bundle(connection: sqlite3.Connection, label: str) -> str:
    names = [row[0] for row in connection.execute("select name from bundles order by name limit 2")]
    if not names:
        raise UsageError("no bundle is kept yet", "keep one with: calicount add NAME PHOTO")
    if len(names) > 1:
        told = label.upper()
        raise UsageError(
            f"{told} may be a square of several bundles",
            f"name its bundle, as in {names[0]}:{told}",
        )
    return str(names[0])
