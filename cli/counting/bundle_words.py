"""What a count of a kept bundle says of the bundle, in words and for JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.phrases import count_of, sentence

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle


def left_out_lines(kept: StoredBundle) -> list[str]:
    """Say what the count leaves out, and what was said and can no longer hold."""
    used: dict[str, int] = {}
    for square in kept.by_label.values():
        if not square.free:
            used[square.why_not_free] = used.get(square.why_not_free, 0) + 1
    lines = []
    if used:
        told = ", ".join(f"{count_of(number, 'square')} {why}" for why, number in used.items())
        lines.append(f"{kept.name}, without {told}.")
    return [*lines, *(sentence(note) for note in kept.state.notes)]


def bundle_object(kept: StoredBundle) -> dict[str, Any]:
    """Return what the JSON object tells of the bundle."""
    return {
        "name": kept.name,
        "version": kept.version,
        "not_free": [
            {"square": label, "state": square.why_not_free}
            for label, square in kept.by_label.items()
            if not square.free
        ],
        "notes": list(kept.state.notes),
    }
