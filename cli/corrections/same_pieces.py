"""Squares that two photos of a kept bundle both show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog.errors import CatalogueError
from cli.bundles.named_squares import number_of
from cli.bundles.open_bundle import quoted
from cli.corrections.said_of_bundle import Catalogue, Event, StoredBundle, events

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis


def same_piece(kept: StoredBundle, first: str, second: str) -> Event:
    """Say that two squares are one piece, the first standing for both.

    Raises
    ------
    CatalogueError
        They lie in one photo, so they are two.
    """
    one, other = number_of(kept, first), number_of(kept, second)
    squares = kept.state.squares
    if one != other and squares[one].photo == squares[other].photo:
        raise CatalogueError(
            f"{first} and {second} lie in one photo, so they are two pieces",
            "if one of them is no square, say so: "
            f"calicount square isnt {quoted(kept.name)} {second}",
        )
    return events.SamePiece(events.two(one, other))


def all_alike(catalogue: Catalogue, kept: StoredBundle) -> list[Event]:
    """Say of all pairs that look like one piece that they are.

    Raises
    ------
    CatalogueError
        There is none.
    """
    pairs = alike(catalogue, kept)
    if not pairs:
        raise CatalogueError(
            f"no two squares of {kept.name} look like one piece of cloth",
            f"name those that are: calicount square same {quoted(kept.name)} R3C4 R9C1",
        )
    return [same_piece(kept, one, other) for one, other, _ in pairs]


def alike(
    catalogue: Catalogue, kept: StoredBundle, fresh: int | None = None
) -> tuple[tuple[str, str, float], ...]:
    """Return squares of two photos that look like one piece of cloth, and how sure that is.

    Parameters
    ----------
    catalogue : Catalogue
    kept : StoredBundle
    fresh : int, optional
        How many of the last photos are new; only pairs with one of them are given.

    Returns
    -------
    tuple of (str, str, float)
        Labels, and 0 to 1.
    """
    from catalog.analysis import same_squares

    if len(kept.photos) < 2:
        return ()
    looked = looked_of(catalogue, kept)
    known = 0 if fresh is None else len(looked) - fresh
    return tuple(
        (
            looked[one.photo_a].swatches[one.square_a].label,
            looked[one.photo_b].swatches[one.square_b].label,
            one.sure,
        )
        for one in same_squares(looked, known)
    )


def looked_of(catalogue: Catalogue, kept: StoredBundle) -> list[PhotoAnalysis]:
    """Return what each photo of a kept bundle shows now, with labels as in the bundle."""
    from catalog.analysis import PhotoAnalysis
    from catalog.models import Found

    crops = catalogue.crops(kept)
    looked = []
    for photo in kept.photos:
        swatches = tuple(one for one in kept.swatches if one.photo == photo.name)
        found = Found(tuple(one.square for one in swatches), photo.pixels_per_inch, photo.cut_off)
        pictures = tuple(crops[one.label] for one in swatches)
        looked.append(
            PhotoAnalysis(
                photo.name,
                photo.digest,
                photo.wide,
                photo.high,
                found,
                None,
                swatches,
                pictures,
            )
        )
    return looked
