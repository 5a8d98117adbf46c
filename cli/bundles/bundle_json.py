"""Kept bundles as JSON objects; members may be added, never taken away."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from msgspec import structs

from catalog.light_questions import LIGHT_QUESTIONS
from cli.bundles.print_json import print_objects

if TYPE_CHECKING:
    from catalog.catalogue.records import (
        Project,
        RecordedEvent,
        SeenSquare,
        StoredBundle,
        StoredPhoto,
        StoredSquare,
    )
    from catalog.catalogue.store.bundle_list import BundleLine
    from catalog.models import Swatch


def change_object(
    kept: StoredBundle, events: Sequence[RecordedEvent], fresh: Sequence[str]
) -> dict[str, Any]:
    """Return what was done to a bundle, and the squares that it was about."""
    from catalog.catalogue.events.event_words import words_of

    about = {number: None for one in events for number in one.event.about}
    known = [kept.state.squares[number] for number in about if number in kept.state.squares]
    return {
        "bundle": kept.name,
        "version": kept.version,
        "done": [
            {"number": one.number, "kind": one.event.kind, "words": words_of(one, kept)}
            for one in events
        ],
        "notes": list(kept.state.notes),
        "new_notes": list(fresh),
        "squares": square_objects(kept, known),
    }


def bundle_object(kept: StoredBundle) -> dict[str, Any]:
    """Return a bundle as it stands, as an object."""
    state = kept.state
    return {
        "bundle": kept.name,
        "version": kept.version,
        "square_in": float(kept.side),
        "added_at": kept.added_at,
        "photos": [photo_object(kept, photo) for photo in kept.photos],
        "squares": square_objects(kept, [kept.by_label[one.label] for one in kept.swatches]),
        "out": square_objects(
            kept,
            [one for one in state.squares.values() if one.dropped or one.twin_of is not None],
        ),
        "locks": [_labels(kept, lock) for lock in state.locks],
        "forbidden": [_labels(kept, pair) for pair in state.forbidden],
        "white": _label(kept, state.white),
        "grey": _label(kept, state.grey),
        "rules": structs.asdict(state.rules),
        "projects": [project_object(kept, project) for project in state.projects.values()],
        "notes": list(state.notes),
    }


def list_object(lines: Iterable[BundleLine]) -> dict[str, Any]:
    """Return the list of bundles."""
    listed = [
        {
            "bundle": line.name,
            "square_in": float(line.side),
            "photos": line.photos,
            "squares": line.squares,
            "free": line.free,
            "projects": list(line.projects),
            "added_at": line.added_at,
            "version": line.version,
        }
        for line in lines
    ]
    return {"bundles": listed}


def square_objects(kept: StoredBundle, squares: Sequence[StoredSquare]) -> list[dict[str, Any]]:
    """Return squares: where each is, what it looks like where it is measured, and its state."""
    measured = {one.label: one for one in kept.swatches}
    swatches = [
        None if one.dropped or one.twin_of is not None else measured.get(one.label)
        for one in squares
    ]
    names = {photo.id: photo.number for photo in kept.photos}
    prints = print_objects(swatches, kept.state.rules.names)
    return [
        {**_square_object(kept, square, swatch, names.get(square.photo)), **told}
        for square, swatch, told in zip(squares, swatches, prints, strict=True)
    ]


def _square_object(
    kept: StoredBundle, square: StoredSquare, swatch: Swatch | None, photo: int | None
) -> dict[str, Any]:
    from catalog.bundle.square_differences import reads_as
    from catalog.colour.lab import lab_to_hex

    return {
        "square": square.label,
        "photo": photo,
        "row": square.square.row,
        "col": square.square.col,
        "corners": [[round(x, 2), round(y, 2)] for x, y in square.square.corners],
        "state": square.why_not_free,
        "free": square.free,
        "marks": list(square.marks),
        "project": square.project or None,
        "stage": square.stage,
        "for": square.role or "either",
        "name": square.said,
        "drawn": square.drawn,
        "moved": square.moved,
        "same_piece_as": _label(kept, square.twin_of),
        "lab": [round(float(one), 2) for one in swatch.lab] if swatch else None,
        "hex": lab_to_hex(swatch.lab) if swatch else None,
        "colour_name": swatch.colour_name if swatch else None,
        "family": swatch.family if swatch else None,
        "value": swatch.value if swatch else None,
        "reads": reads_as(swatch) if swatch else None,
        "print": swatch.print_kind if swatch else None,
        "fabric": swatch.fabric if swatch else None,
        "flags": list(dict.fromkeys((*swatch.square.flags, *swatch.flags))) if swatch else [],
    }


def photo_object(kept: StoredBundle, photo: StoredPhoto) -> dict[str, Any]:
    """Return a photo of a bundle."""
    return {
        "photo": photo.number,
        "name": photo.name,
        "digest": photo.digest,
        "pixels_wide": photo.wide,
        "pixels_high": photo.high,
        "cut_off": photo.cut_off,
        "ground": kept.state.grounds.get(photo.id),
        "lamp": kept.state.lamps.get(photo.id),
        "evidence": photo.evidence,
        "expected_error": round(photo.expected_error, 2),
        "added_at": photo.added_at,
        "question": LIGHT_QUESTIONS[photo.question].words if photo.question else None,
        "doubts": list(kept.doubts(photo)),
    }


def project_object(kept: StoredBundle, project: Project) -> dict[str, Any]:
    """Return a project and the squares that it has."""
    return {
        "project": project.name,
        "pattern": project.pattern or None,
        "sets": [
            {"squares": _labels(kept, one.squares), "stage": one.stage} for one in project.sets
        ],
    }


def history_object(
    kept: StoredBundle, said: Sequence[tuple[RecordedEvent, str]], seen: Mapping[int, SeenSquare]
) -> dict[str, Any]:
    """Return everything that was done, oldest first, with what the photo said beside it."""
    return {
        "bundle": kept.name,
        "version": kept.version,
        "photos": [photo_object(kept, photo) for photo in kept.photos],
        "history": [_event_object(kept, one, words, seen) for one, words in said],
        "notes": list(kept.state.notes),
    }


def _event_object(
    kept: StoredBundle, one: RecordedEvent, words: str, seen: Mapping[int, SeenSquare]
) -> dict[str, Any]:
    return {
        "number": one.number,
        "at": one.at,
        "kind": one.event.kind,
        "words": words,
        "undone": bool(one.undone),
        "squares": [
            {"square": _label(kept, number), "photo_said": _seen_object(seen.get(number))}
            for number in one.event.about
        ],
    }


def _seen_object(seen: SeenSquare | None) -> dict[str, Any] | None:
    """Return what the photo said of a square; None where a person drew it."""
    if seen is None or seen.square is None:
        return None
    square = seen.square
    return {
        "square": seen.label,
        "row": square.row,
        "col": square.col,
        "corners": [[round(x, 2), round(y, 2)] for x, y in square.corners],
    }


def _labels(kept: StoredBundle, numbers: Iterable[int]) -> list[str | None]:
    return [_label(kept, number) for number in numbers]


def _label(kept: StoredBundle, number: int | None) -> str | None:
    square = kept.state.squares.get(number) if number is not None else None
    return square.label if square else None
