"""The squares and photos of a bundle that a command names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from catalog.errors import CatalogueError, UsageError
from catalog.phrases import listed
from cli.bundles.open_bundle import quoted

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle, StoredPhoto, StoredSquare


def squares_of(kept: StoredBundle, labels: Sequence[str]) -> list[StoredSquare]:
    """Return the squares of these labels, each once.

    Raises
    ------
    CatalogueError
        A label that no square of the bundle has.
    """
    wanted = [label.strip().upper() for text in labels for label in text.split("+")]
    missing = [label for label in dict.fromkeys(wanted) if label not in kept.by_label]
    if missing:
        raise _missing(kept, missing)
    return [kept.by_label[label] for label in dict.fromkeys(wanted)]


def refuse_used(square: StoredSquare) -> None:
    """Refuse a square that is to be in a set and can't be used.

    Raises
    ------
    CatalogueError
    """
    if not square.free:
        raise CatalogueError(
            f"{square.label} can't be in a set ({square.why_not_free})", "choose another square"
        )


def numbers_of(kept: StoredBundle, labels: Sequence[str]) -> tuple[int, ...]:
    """Return the numbers of the squares of these labels; see `squares_of`."""
    return tuple(square.id for square in squares_of(kept, labels))


def number_of(kept: StoredBundle, label: str) -> int:
    """Return the number of the square of a label; see `squares_of`."""
    numbers = numbers_of(kept, [label])
    if len(numbers) != 1:
        raise UsageError(f"{label} names {len(numbers)} squares", "name one here")
    return numbers[0]


def _missing(kept: StoredBundle, labels: Sequence[str]) -> CatalogueError:
    """Say which label is none, and why if it was one."""
    gone = kept.state.labelled(labels[0])
    lists = f"calicount show {quoted(kept.name)} lists its squares"
    if len(labels) > 1 or gone is None:
        what = "no square" if len(labels) == 1 else "no squares"
        return CatalogueError(f"{kept.name} has {what} {listed(labels)}", lists)
    if gone.twin_of is not None and not gone.dropped:
        other = kept.state.squares[gone.twin_of].label
        return CatalogueError(
            f"{gone.label} is the same piece of cloth as {other}", f"name {other}"
        )
    return CatalogueError(
        f"{gone.label} is out of {kept.name} ({gone.dropped})",
        f"calicount history {quoted(kept.name)} lists what was done, to take it back",
    )


def photo_of(kept: StoredBundle, number: int | None) -> StoredPhoto:
    """Return the photo of a number, or the only one.

    Raises
    ------
    CatalogueError
        There is none of that number, or several to choose from.
    """
    photos = listed([f"{photo.number} ({photo.name})" for photo in kept.photos])
    if number is None:
        if len(kept.photos) == 1:
            return kept.photos[0]
        if not kept.photos:
            raise CatalogueError(f"{kept.name} has no photo", "add one with calicount add")
        raise CatalogueError(
            f"{kept.name} has {len(kept.photos)} photos", f"say which with --photo: {photos}"
        )
    found = next((photo for photo in kept.photos if photo.number == number), None)
    if found is None:
        raise CatalogueError(f"{kept.name} has no photo {number}", f"it has {photos or 'none'}")
    return found
