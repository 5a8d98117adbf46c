"""Everything that a run found, as one JSON object.

The object has these members::

    photos    [{name, pixels_wide, pixels_high, cut_off, light | null, reference_page | null,
              doubts [text]}]
              light: {evidence, unevenness, expected_error, tint [r, g, b], question | null}
              reference_page: {paper, marks, printed, size_error}
    swatches  [{swatch, photo, row | null, col | null, corners [[x, y] * 4], width_in, height_in,
                lab [L, a, b], chroma, hue | null, hex, colour_name, family, value, print, busyness,
                fabric, confidence, flags [text], uncertainty | null, munsell_value,
                palette [text], ground_hex, print_scale, directional | null,
                reads}]
    sets      [{set, swatches [label, darkest first], difference, value_step, family,
                same_fabric, flags [text], need, difference_in_words, matched_by}]
    matching  {wanted, total, bound, unused [label]} | null
    tally     {title, enough, unused [label], lines [{need, role, piece, size_in, family | null,
                value | null, needed, on_hand, short, left_over, swatches [label], note,
                pieces [number]}], rests [{swatch, pieces, size_in}]} | null
    plan      {cut [{cloth, piece, count, width_in, length_in, how, trim, note}], buy [{cloth,
                bought_in, used_in, usable_width_in, words, plan [text], spare_in}], ground | null,
                lost [{place, step}], order, wall [{sew, place, row, column, sets [number],
                darker | null, darker_goes | null, lighter | null, lighter_goes | null,
                squares [label], turned, press_inside, press_to_next, press_row}]} | null
    files     [path]

Corners are in pixels of the upright photo, clockwise; sizes in inches; colours CIELAB D65;
differences CIEDE2000. A reference page tells on what paper it is, how many of its marks are seen,
how large it was printed (1: as drawn), and the part by which sizes may be off. What is unknown is
null. Members may be added, never taken away.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

from catalog.bundle.photo_doubts import photo_doubts
from catalog.light_questions import LIGHT_QUESTIONS
from catalog.models import (
    Found,
    Light,
    Matching,
    Photo,
    SeenPage,
    SquareSet,
    Swatch,
    Tally,
    TallyLine,
)
from catalog.report.tables.columns import json_members
from catalog.report.tables.csv_tables import SET_FACTS, SWATCHES, TALLY


def json_object(
    photos: Sequence[Photo],
    swatches: Sequence[Swatch],
    *,
    lights: Mapping[str, Light] | None = None,
    found: Mapping[str, Found] | None = None,
    matching: Matching | None = None,
    tally: Tally | None = None,
    plan: Mapping[str, Any] | None = None,
    files: Sequence[str] = (),
) -> str:
    """Return the JSON text of a run, ending in a newline.

    Parameters
    ----------
    photos : sequence of Photo
    swatches : sequence of Swatch
    lights, found : mapping from a photo's name, optional
        Its light, and what was found in it.
    matching, tally : optional
        None where the run made none.
    plan : mapping, optional
        What to cut and to buy, and the wall, as above.
    files : sequence of str
        The files that the run wrote.
    """
    members = {
        "photos": [_photo(photo, lights or {}, found or {}) for photo in photos],
        "swatches": [_swatch(swatch) for swatch in swatches],
        "sets": [_set(square_set) for square_set in matching.sets] if matching else [],
        "matching": _matching(matching) if matching else None,
        "tally": _tally(tally) if tally else None,
        "plan": plan,
        "files": list(files),
    }
    return json.dumps(members, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _photo(photo: Photo, lights: Mapping[str, Light], found: Mapping[str, Found]) -> dict[str, Any]:
    high, wide, _ = photo.pixels.shape
    light, seen = lights.get(photo.name), found.get(photo.name)
    return {
        "name": photo.name,
        "pixels_wide": wide,
        "pixels_high": high,
        "cut_off": seen.cut_off if seen else 0,
        "light": _light(light) if light else None,
        "reference_page": _page(seen.page, seen.scale_doubt) if seen and seen.page else None,
        "doubts": list(photo_doubts(seen.squares)) if seen else [],
    }


def _page(page: SeenPage, doubt: float | None) -> dict[str, Any]:
    return {
        "paper": page.paper,
        "marks": len(page.marks),
        "printed": _number(page.stretch, 4),
        "size_error": None if doubt is None else _number(doubt, 4),
    }


def _light(light: Light) -> dict[str, Any]:
    return {
        "evidence": light.evidence,
        "unevenness": _number(light.unevenness, 3),
        "expected_error": _number(light.expected_error, 2),
        "tint": [_number(float(share), 4) for share in light.tint],
        "question": LIGHT_QUESTIONS[light.question].words if light.question else None,
    }


def _swatch(swatch: Swatch) -> dict[str, Any]:
    told = json_members(SWATCHES, swatch)

    def named(*names: str) -> dict[str, Any]:
        return {name: told[name] for name in names}

    return {
        **named("swatch", "photo", "row", "col"),
        "corners": [[told[f"x{corner}"], told[f"y{corner}"]] for corner in range(1, 5)],
        **named("width_in", "height_in"),
        "lab": [told[axis] for axis in "Lab"],
        "chroma": told["C"],
        "hue": told["h"],
        **named("hex", "colour_name", "family", "value", "print"),
        "busyness": _number(swatch.busyness, 2),
        **named("fabric", "confidence", "flags", "uncertainty", "munsell_value"),
        **named("palette", "ground_hex", "print_scale", "directional", "reads"),
    }


def _set(square_set: SquareSet) -> dict[str, Any]:
    return {
        "set": square_set.number,
        "swatches": list(square_set.swatches),
        **json_members(SET_FACTS, square_set),
    }


def _matching(matching: Matching) -> dict[str, Any]:
    return {
        "wanted": matching.wanted,
        "total": _number(matching.total, 3),
        "bound": _number(matching.bound, 3),
        "unused": list(matching.unused),
    }


def _tally(tally: Tally) -> dict[str, Any]:
    return {
        "title": tally.title,
        "enough": tally.enough,
        "unused": list(tally.unused),
        "lines": [_line(line) for line in tally.lines],
        "rests": [
            {"swatch": rest.label, "pieces": rest.pieces, "size_in": _number(float(rest.size), 4)}
            for rest in tally.rests
        ],
    }


def _line(line: TallyLine) -> dict[str, Any]:
    *facts, _ = TALLY
    return {**json_members(facts, line), "pieces": list(line.pieces)}


def _number(value: float, places: int) -> float | None:
    """Round a number; None for what JSON can't hold."""
    return round(float(value), places) + 0.0 if math.isfinite(value) else None
