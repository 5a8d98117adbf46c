"""A kept bundle to what the page shows of it; results in, plain JSON values out."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from msgspec import structs

from catalog.bundle.fabric_doubts import fabric_doubt
from catalog.bundle.families import rainbow_order
from catalog.bundle.photo_doubts import PHOTO_DOUBTS
from catalog.bundle.square_differences import value_in_words
from catalog.bundle.tally_notes import counted_to
from catalog.catalogue.doubts.doubt_queue import doubt_of, doubt_queue
from catalog.catalogue.events.event_words import words_of
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.store.photo_rows import picture_mark
from catalog.catalogue.undoing import next_redone, next_undone
from catalog.colour.lab import lab_to_linear, lab_to_srgb8
from catalog.lengths import show_length
from catalog.light_questions import LIGHT_QUESTIONS, LightAnswer
from catalog.phrases import capital, sentence
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.palette_bars import bar_words, looks_told, palette_bars, print_words
from catalog.report.tables.csv_tables import look_again
from cli.page.routes.picture_routes import photo_mark

if TYPE_CHECKING:
    from catalog.catalogue.records import (
        RecordedEvent,
        SeenSquare,
        StoredBundle,
        StoredPhoto,
        StoredSquare,
    )
    from catalog.catalogue.store.bundle_list import BundleLine
    from catalog.models import ColourTerms, Lab, Swatch

View = dict[str, Any]

MAX_LOOKS: Final = 4
"""Bundles of which colours and bars are remembered, some megabytes each at 1,000 squares."""
LEGIBLE: Final = 0.179
"""Relative luminance from which black letters have more contrast than white ones: equal at
sqrt(1.05 * 0.05) - 0.05, by the contrast ratio of WCAG 2.2."""


def line_view(line: BundleLine) -> View:
    """Return a bundle of the list."""
    return {
        **_members(line, "id", "name", "photos", "squares", "free", "projects", "version"),
        "side_in": float(line.side),
        "side": show_length(line.side),
    }


def bundle_view(kept: StoredBundle) -> View:
    """Return a bundle as it stands, with what the photos said beside it."""
    state = kept.state
    numbers = {label: square.id for label, square in kept.by_label.items()}
    looks = _looks(kept)
    usual = round(counted_to(match_rules(state.rules).likeness.k_lightness), 1)
    return {
        **_members(kept, "id", "name", "version"),
        "side_in": float(kept.side),
        "side": show_length(kept.side),
        "photos": [_photo(photo, kept) for photo in kept.photos],
        **_squares(kept, looks, numbers),
        "families": [
            {"name": name, "squares": [numbers[one.label] for one in members]}
            for name, members in looks.families
        ],
        "fabrics": _fabrics(kept.swatches, numbers),
        "rules": structs.asdict(state.rules),
        "defaults": {**structs.asdict(StandingRules()), "tolerance": usual},
        **_members(state, "white", "grey"),
        "locks": [list(lock) for lock in state.locks],
        "forbidden": [list(pair) for pair in state.forbidden],
        "notes": [sentence(note) for note in state.notes],
        "projects": [asdict(project) for project in state.projects.values()],
        **_history(kept),
    }


@dataclass(frozen=True, eq=False)
class _Looks:
    """What follows from a bundle's swatches alone, and takes longest to work out."""

    swatches: tuple[Swatch, ...]
    names: ColourTerms
    families: Sequence[tuple[str, Sequence[Swatch]]]
    colours: Sequence[View]
    """In the order of the swatches, as the bars."""
    bars: Sequence[View]


_last: Final[OrderedDict[int, _Looks]] = OrderedDict()


def _looks(kept: StoredBundle) -> _Looks:
    """Return what follows from a bundle's swatches, as it was where they are the same still."""
    names, known = kept.state.rules.names, _last.get(kept.id)
    if known and known.names == names and known.swatches == kept.swatches:
        return known
    families = Sheets(kept.name, rainbow_order(kept.swatches)).families
    colours = colours_of([one.lab for one in kept.swatches])
    made = _Looks(kept.swatches, names, families, colours, bars_view(kept.swatches, names))
    _last[kept.id] = made
    while len(_last) > MAX_LOOKS:
        _last.popitem(last=False)
    return made


def _squares(kept: StoredBundle, looks: _Looks, numbers: Mapping[str, int]) -> View:
    """Return the squares of a bundle, and those that are out of it."""
    seen = {one.id: one for one in kept.seen}
    swatches = {numbers[swatch.label]: swatch for swatch in kept.swatches}
    colours = dict(zip(swatches, looks.colours, strict=True))
    bars = dict(zip(swatches, looks.bars, strict=True))
    shown = {
        photo.id: picture_mark(photo.digest, kept.measured_from.get(photo.id, ""))
        for photo in (*kept.photos, *kept.gone_photos)
    }
    squares, asked = kept.state.squares, doubt_queue(kept).asked
    return {
        "squares": [
            {
                **_square(squares[n], swatch, seen.get(n), shown),
                **colours[n],
                **bars[n],
                "asked": n in asked,
            }
            for n, swatch in swatches.items()
        ],
        "out": [
            {**_square(square, None, seen.get(n), shown), "dropped": square.why_not_free}
            for n, square in squares.items()
            if n not in swatches
        ],
    }


def _members(of: object, *names: str) -> View:
    """Return members of a value under their own names."""
    return {name: getattr(of, name) for name in names}


def colours_of(labs: Sequence[Lab]) -> list[View]:
    """Return of each colour how a screen shows it, its grey, and letters legible on it."""
    if not labs:
        return []
    colours = np.array(labs, np.float64)
    greys = colours * (1.0, 0.0, 0.0)
    luminance = np.clip(lab_to_linear(colours), 0.0, 1.0) @ np.array([0.2126, 0.7152, 0.0722])
    inks = np.where(luminance > LEGIBLE, "#000", "#fff")
    shown = zip(lab_to_srgb8(colours), lab_to_srgb8(greys), inks, strict=True)
    return [
        {"hex": f"#{bytes(colour).hex()}", "grey": f"#{bytes(grey).hex()}", "ink": str(ink)}
        for colour, grey, ink in shown
    ]


def bars_view(swatches: Sequence[Swatch], terms: ColourTerms) -> list[View]:
    """Return of each square its colours with their percents, the ground first, and its print.

    ``palette`` is as seen in the hand, ``greys`` as it hangs at the wall.
    """
    return [
        {
            "palette": [[part.colour, part.percent] for part in own],
            "greys": [[part.grey, part.percent] for part in at_wall],
            "shares": bar_words(own),
            "look": list(print_words(look)),
        }
        for look, own, at_wall in zip(
            looks_told(swatches),
            palette_bars(swatches, terms=terms),
            palette_bars(swatches, "wall", terms),
            strict=True,
        )
    ]


def _photo(photo: StoredPhoto, kept: StoredBundle) -> View:
    return {
        **_members(photo, "id", "number", "name", "wide", "high", "cut_off", "evidence"),
        "v": photo_mark(photo),
        "expected_error": round(photo.expected_error, 2),
        "ground": kept.state.grounds.get(photo.id),
        "lamp": kept.state.lamps.get(photo.id),
        "question": _question(photo),
        "doubts": [sentence(PHOTO_DOUBTS[doubt]) for doubt in kept.doubts(photo)],
    }


def _question(photo: StoredPhoto) -> View | None:
    """Return what is asked of a photo's light, with the event of each answer."""
    if photo.question is None:
        return None
    asked = LIGHT_QUESTIONS[photo.question]
    return {
        "words": asked.words,
        "answers": [{"words": one.words, "event": _said(photo, one)} for one in asked.answers],
    }


def _said(photo: StoredPhoto, one: LightAnswer) -> View:
    if one.ground is not None:
        return {"kind": "ground", "photo": photo.id, "ground": one.ground}
    return {"kind": "lamp", "photo": photo.id, "lamp": one.lamp}


def _square(
    square: StoredSquare, swatch: Swatch | None, seen: SeenSquare | None, shown: Mapping[int, str]
) -> View:
    outline = square.square
    own = ("id", "label", "photo", "said", "role", "project", "stage", "drawn", "moved",
           "right", "twin_of")  # fmt: skip
    return {
        **_members(square, *own),
        "v": shown.get(square.photo, ""),
        "corners": _corners(outline.corners),
        **_members(outline, "row", "col"),
        "width_in": round(outline.width_in, 3),
        "height_in": round(outline.height_in, 3),
        "confidence": round(outline.confidence, 3),
        "doubt": doubt_of(square, swatch),
        **_colour(swatch),
        "marks": list(square.marks),
        "state": square.why_not_free,
        "seen": _seen(seen),
    }


def _colour(swatch: Swatch | None) -> View:
    """Return what a square looks like; empty for one that isn't measured."""
    if swatch is None:
        empty = dict.fromkeys(
            ("colour_name", "family", "value", "value_words", "print", "fabric", "fabric_doubt"), ""
        )
        return {"flags": [], "hex": "", "grey": "", "ink": "", "lab": None, "uncertainty": 0.0,
                "palette": [], "greys": [], "shares": "", "look": [], **empty}  # fmt: skip
    return {
        "flags": look_again(swatch),
        "fabric_doubt": fabric_doubt(swatch),
        "value_words": value_in_words(swatch),
        "lab": [round(float(one), 2) for one in swatch.lab],
        "uncertainty": round(swatch.uncertainty, 2),
        **_members(swatch, "colour_name", "family", "value", "fabric"),
        "print": swatch.print_kind,
    }


def _seen(seen: SeenSquare | None) -> View | None:
    if seen is None or seen.square is None:
        return None
    square = seen.square
    return {"corners": _corners(square.corners), "row": square.row, "col": square.col}


def _corners(corners: Iterable[Sequence[float]]) -> list[list[float]]:
    return [[round(float(x), 2), round(float(y), 2)] for x, y in corners]


def _fabrics(swatches: Sequence[Swatch], numbers: Mapping[str, int]) -> list[View]:
    piles: dict[str, list[int]] = {}
    for swatch in swatches:
        piles.setdefault(swatch.fabric, []).append(numbers[swatch.label])
    return [{"name": name, "squares": squares} for name, squares in piles.items()]


def _history(kept: StoredBundle) -> View:
    back, again = next_undone(kept.events), next_redone(kept.events)

    def words(one: RecordedEvent | None) -> str | None:
        return None if one is None else capital(words_of(one, kept))

    return {
        "undo": words(back),
        "redo": words(again),
        "history": [
            {**_members(one, "number", "at"), "words": words(one), "undone": bool(one.undone)}
            for one in reversed(kept.events)
        ],
    }
