"""What looking through the bundles found, in words and as JSON."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from catalog.bundle.naming.square_names import short_name
from catalog.bundle.tally_notes import IN_WHAT, words_for_difference
from catalog.colour import colour_names
from catalog.colour.ciede2000 import as_shown
from catalog.colour.lab import lab_to_hex
from catalog.lengths import show_length
from cli import console
from cli.bundles.print_json import print_object
from cli.colour_bars import SHARES, shares_cell

if TYPE_CHECKING:
    from catalog.catalogue.search.bundle_search import FoundSquare
    from catalog.catalogue.search.colour_query import ColourQuery
    from catalog.catalogue.search.near_colours import NearColour
    from catalog.catalogue.search.partner_search import Partner
    from cli.colour_bars import BarCell

SURE: Final = 1.0
"""Doubt, CIEDE2000, up to which a difference is as good as certain: observers see none below 1
(see `catalog.bundle.tally_notes`)."""
PARTS: Final[Mapping[float, str]] = {
    19 / 20: "nearly all",
    3 / 4: "three quarters",
    2 / 3: "two thirds",
    1 / 2: "half",
    1 / 3: "a third",
    1 / 4: "a quarter",
    1 / 5: "a fifth",
    1 / 10: "a tenth",
    1 / 20: "a twentieth",
    1 / 40: "a little",
}
"""Shares of a square as people say them; the nearest is said."""


def say_found(asked: ColourQuery | None, found: Sequence[FoundSquare], hint: str) -> None:
    """Print squares, nearest first."""
    if asked and asked.note:
        console.tell(asked.note)
    if not found:
        console.tell(f"No square of your bundles is like that; {hint}.")
        return
    title = f"Nearest to {asked.words} (about {lab_to_hex(asked.lab)})" if asked else "Squares"
    columns = ["bundle", "square", "colour", SHARES, "value", "state", "that is", "differs by"]
    shown = len(columns) if asked else 6
    _table(title, columns[:shown], [_row(one)[:shown] for one in found], words=7)


def say_partners(own: FoundSquare, found: Sequence[Partner]) -> None:
    """Print the best partners of a square, and how sure they are."""
    if not found:
        console.tell(
            f"No free square of your bundles can be a partner of {own.label} of {own.bundle}; "
            "return what a project does not need, or buy a matching fabric."
        )
        return
    _table(
        f"Best partners for {own.label} of {own.bundle} ({own.colour_name}, {own.value})",
        ("bundle", "square", "colour", SHARES, "value", "that is", "how sure", "differs by"),
        [_partner_row(own, one) for one in found],
        words=7,
    )
    if any(as_shown(one.doubt) > SURE for one in found):
        console.tell(
            "Where it says to hold them together, the photos leave more in doubt than the eye "
            "would: look at the two squares side by side before you cut."
        )


def _table(
    title: str, columns: Sequence[str], rows: Sequence[tuple[str | BarCell, ...]], words: int
) -> None:
    """Put a table on standard output, its shares left out where no square has several colours."""
    place = columns.index(SHARES)
    if not any(row[place] for row in rows):
        columns, words = [one for one in columns if one != SHARES], words - 1
        rows = [(*row[:place], *row[place + 1 :]) for row in rows]
    console.table(title, columns, rows, words)


def found_json(asked: ColourQuery | None, found: Sequence[FoundSquare]) -> dict[str, Any]:
    """Return the colour asked for and the squares found."""
    return {
        "asked": {"words": asked.words, "hex": lab_to_hex(asked.lab), "lab": asked.lab}
        if asked
        else None,
        "note": asked.note if asked else "",
        "squares": [_object(one) for one in found],
    }


def partners_json(own: FoundSquare, found: Sequence[Partner]) -> dict[str, Any]:
    """Return a square and its best partners."""
    return {
        "square": _object(own),
        "partners": [
            {
                **_object(one.square),
                "difference": float(as_shown(one.difference)),
                "difference_in_words": _apart(one),
                "doubt": one.doubt or None,
            }
            for one in found
        ],
    }


def _row(one: FoundSquare) -> tuple[str | BarCell, ...]:
    away = one.difference
    named = f"{one.label} ({one.said})" if one.said else one.label
    told = ("", "") if away is None else (told_away(one), f"{away:.1f}")
    colours = short_name(one.colour_name), shares_cell(one.palette, one.look)
    return (one.bundle, named, *colours, one.value, one.state or "free", *told)


def told_away(one: FoundSquare) -> str:
    """Say how far a square is from the colour that was asked for; empty where none was."""
    return "" if one.difference is None else words_for_difference(one.difference) + _by(one.by)


def told_partner(one: Partner) -> tuple[str, str]:
    """Say how far a partner is from its square, and how sure that is."""
    return _apart(one), _sureness(one)


def _by(colour: NearColour | None) -> str:
    """Say by which of its colours a print is near: ``its aqua, a tenth of it``."""
    if colour is None:
        return ""
    part = min(PARTS, key=lambda share: abs(math.log(share / colour.share)))
    return f" by its {_everyday(colour)}, {PARTS[part]} of it"


def _everyday(colour: NearColour) -> str:
    (name,) = colour_names.name_colours([colour.lab])
    return colour_names.everyday_words()[name]


def _partner_row(own: FoundSquare, one: Partner) -> tuple[str | BarCell, ...]:
    other = one.square
    larger = f", {show_length(other.side)}: cut it down" if other.side > own.side else ""
    return (
        other.bundle,
        f"{other.label}{larger}",
        short_name(other.colour_name),
        shares_cell(other.palette, other.look),
        other.value,
        *told_partner(one),
        f"{one.difference:.1f}",
    )


def _apart(one: Partner) -> str:
    """Say how far a partner is from a square, and in what."""
    words = words_for_difference(one.difference, one.likeness.k_lightness)
    return words + IN_WHAT[one.likeness.match_by]


def _sureness(one: Partner) -> str:
    """Say what the doubt may do to a difference."""
    if not one.doubt:
        return "not judged"
    away, doubt = float(as_shown(one.difference)), float(as_shown(one.doubt))
    if doubt <= SURE:
        return "sure"
    weight = one.likeness.k_lightness
    most = words_for_difference(away + doubt, weight)
    if most == words_for_difference(max(0.0, away - doubt), weight):
        return f"give or take {doubt:.1f}"
    return f"give or take {doubt:.1f}: hold them together"


def _object(one: FoundSquare) -> dict[str, Any]:
    away = one.difference
    return {
        "bundle": one.bundle,
        "square": one.label,
        "name": one.said,
        "colour_name": one.colour_name,
        "hex": lab_to_hex(one.lab),
        "value": one.value,
        "fabric": one.fabric,
        "family": one.family,
        "state": one.state,
        "size_in": float(one.side),
        "uncertainty": one.uncertainty or None,
        "by": one.by
        and {"colour": _everyday(one.by), "hex": lab_to_hex(one.by.lab), "share": one.by.share},
        "difference": None if away is None else float(as_shown(away)),
        "difference_in_words": None if away is None else words_for_difference(away),
        **print_object(one),
    }
