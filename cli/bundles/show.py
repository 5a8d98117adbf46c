"""``calicount show``: a kept bundle as it stands, and what it is in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from catalog.bundle.photo_doubts import PHOTO_DOUBTS
from catalog.light_questions import LIGHT_QUESTIONS
from catalog.phrases import count_of, listed, sentence
from cli import console
from cli.bundles.open_bundle import opened, quoted
from cli.options import BundleName, Manner
from cli.reference_words import CURE_KEPT, reference_lines
from cli.wording import MAX_LISTED

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle
    from catalog.models import LightQuestion
    from cli.colour_bars import BarCell

ALWAYS = ("square", "colour", "family", "value", "fabric")
"""Columns of the table of squares; more come where there is something to put into them."""


def show(name: BundleName, *, manner: Manner) -> None:
    """Show a bundle: its squares with colour, value, fabric and what they are used for.

    For example:

    calicount show blues

    calicount show blues --json
    """
    with opened(manner, reading=True) as file:
        kept = file.bundle(name)
    from cli.bundles.bundle_json import bundle_object

    console.answer(manner, lambda: bundle_object(kept), lambda: _say(kept))


def _say(kept: StoredBundle) -> None:
    columns, rows = square_table(kept)
    if rows:
        console.table(title(kept), columns, rows, words=len(columns))
        console.say("")
    else:
        console.tell(title(kept))
    console.tell_lines(bundle_lines(kept))


def title(kept: StoredBundle) -> str:
    """Name, number of squares and what they measure."""
    from catalog.lengths import show_length

    free = sum(square.free for square in kept.by_label.values())
    size = show_length(kept.side, step=None)
    return f"{kept.name}: {count_of(len(kept.swatches), 'square')} of {size}, {free:,} free"


def square_table(kept: StoredBundle) -> tuple[tuple[str, ...], list[tuple[str | BarCell, ...]]]:
    """Return the columns and rows of the table of squares, columns that stay empty left out."""
    from catalog.bundle.naming.square_names import short_name
    from catalog.bundle.square_differences import reads_busy
    from catalog.report.palette_bars import looks_told, print_words
    from catalog.report.tables.csv_tables import look_again
    from cli.colour_bars import SHARES, shares_cells

    names = ("state", SHARES, "print", "reads", "for", "called", "look again", "photo")
    more: dict[str, list[str | BarCell]] = {name: [] for name in names}
    numbers = {photo.id: photo.number for photo in kept.photos}
    rows = []
    for swatch, look in zip(kept.swatches, looks_told(kept.swatches), strict=True):
        square, name = kept.by_label[swatch.label], short_name(swatch.colour_name)
        rows.append(
            (
                swatch.label,
                name,
                swatch.family,
                swatch.value,
                swatch.fabric,
            )
        )
        more["state"].append(square.why_not_free)
        more["print"].append(", ".join(print_words(look, name)))
        more["reads"].append("busy" if reads_busy(swatch) else "")
        more["for"].append(square.role)
        more["called"].append(square.said)
        more["look again"].append(", ".join(look_again(swatch)))
        several = len(kept.photos) > 1
        more["photo"].append(str(numbers.get(square.photo, "")) if several else "")
    prints = [(swatch.palette, swatch.look) for swatch in kept.swatches]
    more[SHARES] += shares_cells(prints, kept.state.rules.names)
    used = [name for name, cells in more.items() if any(cells)]
    columns = (*ALWAYS, *used)
    return columns, [
        (*row, *(more[name][place] for name in used)) for place, row in enumerate(rows)
    ]


def bundle_lines(kept: StoredBundle) -> list[str]:
    """Everything of a bundle but its squares."""
    from catalog.bundle.fabric_doubts import fabric_doubts

    return [
        *photo_lines(kept),
        *fabric_doubts(kept.swatches),
        *light_lines(kept),
        *reference_lines(kept.swatches, kept.side, cure=CURE_KEPT),
        *set_lines(kept),
        *project_lines(kept),
        *out_lines(kept),
        *(sentence(note) for note in kept.state.notes),
    ]


def photo_lines(kept: StoredBundle) -> list[str]:
    """The photos with their numbers."""
    counted = {photo.id: 0 for photo in kept.photos}
    for square in kept.by_label.values():
        counted[square.photo] = counted.get(square.photo, 0) + 1
    return [
        f"Photo {photo.number}: {photo.name}, {count_of(counted[photo.id], 'square')}"
        + (f", {photo.cut_off} more cut off by the edge" if photo.cut_off else "")
        + "."
        for photo in kept.photos
    ]


def light_lines(kept: StoredBundle) -> list[str]:
    """What the colours are judged by, photos alike in one line, and what a person said of it."""
    told: dict[tuple[str, str], list[str]] = {}
    for photo in kept.photos:
        if photo.evidence:
            key = (photo.evidence, f"{photo.expected_error:.1f}")
            told.setdefault(key, []).append(str(photo.number))
    lines = [
        _photos(numbers, len(kept.photos))
        + f"olours are judged by {evidence}; they may be off by about {error} "
        "(1 is barely seen, 5 is plain to see)."
        for (evidence, error), numbers in told.items()
    ]
    lines += [
        f"{photo.name}: {PHOTO_DOUBTS[doubt]}."
        for photo in kept.photos
        for doubt in kept.doubts(photo)
    ]
    lines += _questions(kept)
    for word, number in (("white", kept.state.white), ("a neutral grey", kept.state.grey)):
        if number is not None:
            lines.append(f"You said that {kept.label(number)} is {word}.")
    return lines


def _questions(kept: StoredBundle) -> list[str]:
    """What a word of the user's would settle of the light, photos alike in one line."""
    asked: dict[LightQuestion, list[str]] = {}
    for photo in kept.photos:
        if photo.question:
            asked.setdefault(photo.question, []).append(str(photo.number))
    lines = []
    for question, numbers in asked.items():
        several = len(kept.photos) > 1
        where = f"Photo{'' if len(numbers) == 1 else 's'} {listed(numbers, MAX_LISTED)}: "
        one = f" --photo {numbers[0]}" if several else ""
        found = LIGHT_QUESTIONS[question]
        lines.append(
            f"{where if several else ''}{found.words} It would change the colours; say it with "
            f"calicount light {quoted(kept.name)}{one} and {found.options()}."
        )
    return lines


def _photos(numbers: Sequence[str], of: int) -> str:
    if of == 1:
        return "C"
    return f"Photo{'' if len(numbers) == 1 else 's'} {listed(numbers, MAX_LISTED)}: c"


def set_lines(kept: StoredBundle) -> list[str]:
    """Rules, locked sets and pairs that are kept apart."""
    from catalog.catalogue.events.standing_rules import StandingRules, rules_words

    state = kept.state
    lines = []
    if state.rules != StandingRules():
        lines.append(f"How sets are chosen: {rules_words(state.rules)}.")
    if state.locks:
        lines.append(f"Locked sets: {_sets(kept, state.locks)}.")
    if state.forbidden:
        lines.append(f"Never in one set: {_sets(kept, state.forbidden)}.")
    return lines


def project_lines(kept: StoredBundle) -> list[str]:
    """What is set aside or sewn, project by project."""
    return [
        f"{project.name}, {how}: {_sets(kept, sets)}."
        for project in kept.state.projects.values()
        for stage, how in (("reserved", "set aside"), ("sewn", "sewn"))
        if (sets := [one.squares for one in project.sets if one.stage == stage])
    ]


def out_lines(kept: StoredBundle) -> list[str]:
    """Squares that are out of the bundle, and why."""
    gone: dict[str, list[str]] = {}
    for square in kept.state.squares.values():
        if not square.live:
            twin = square.twin_of if not square.dropped else None
            why = square.dropped if twin is None else f"the same piece as {kept.label(twin)}"
            gone.setdefault(why, []).append(square.label)
    return [
        f"Out of the bundle ({why}): {listed(labels, MAX_LISTED)}." for why, labels in gone.items()
    ]


def _sets(kept: StoredBundle, sets: Iterable[Sequence[int]]) -> str:
    return listed([" + ".join(map(kept.label, one)) for one in sets], MAX_LISTED)
