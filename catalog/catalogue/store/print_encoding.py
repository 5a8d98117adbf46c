"""A swatch's print to the text that the catalogue holds, and back."""

from __future__ import annotations

import json
from typing import Annotated, Final

import msgspec
from msgspec import Meta, Struct

from catalog.models import Motif, Palette, PaletteColour, PrintLook, PrintScale, Swatch

Share = Annotated[float, Meta(ge=0, le=1)]
Ordinate = Annotated[float, Meta(ge=-1000, le=1000)]
"""Of CIELAB: no colour of cloth is near that."""
Inches = Annotated[float, Meta(ge=0, le=1000)]
MAX_COLOURS: Final = 16
"""Colours that a kept palette may have: more than any print is told by."""


class StoredColour(Struct, frozen=True, array_like=True, forbid_unknown_fields=True):
    """A colour of a palette."""

    lightness: Ordinate
    a: Ordinate
    b: Ordinate
    share: Share
    ground: bool


StoredPalette = Annotated[tuple[StoredColour, ...], Meta(max_length=MAX_COLOURS)]


class StoredLook(Struct, frozen=True, forbid_unknown_fields=True):
    """How a print is built."""

    scale: PrintScale
    motif: Motif
    directional: bool
    repeat_in: tuple[Inches, Inches] | None


class StoredPrint(Struct, frozen=True, forbid_unknown_fields=True):
    """What is kept of a swatch's print."""

    palette: StoredPalette
    palette_at_wall: StoredPalette
    look: StoredLook | None


def print_text(swatch: Swatch) -> str | None:
    """Write a swatch's print as JSON; None where it was measured before prints were."""
    if not swatch.palette:
        return None
    look = StoredLook(**vars(swatch.look)) if swatch.look else None
    told = StoredPrint(_stored(swatch.palette), _stored(swatch.palette_at_wall), look)
    return json.dumps(msgspec.to_builtins(told))


def print_of(text: str | None) -> tuple[Palette, Palette, PrintLook | None]:
    """Read a print from JSON: its palette, that at the wall, its look; empty for None.

    Raises
    ------
    msgspec.ValidationError, msgspec.DecodeError
        It is none.
    """
    if text is None:
        return (), (), None
    read = msgspec.json.decode(text, type=StoredPrint)
    look = PrintLook(**msgspec.structs.asdict(read.look)) if read.look else None
    return _palette(read.palette), _palette(read.palette_at_wall), look


def _stored(palette: Palette) -> tuple[StoredColour, ...]:
    return tuple(
        StoredColour(one.lab[0], one.lab[1], one.lab[2], one.share, one.ground) for one in palette
    )


def _palette(stored: tuple[StoredColour, ...]) -> Palette:
    return tuple(
        PaletteColour((one.lightness, one.a, one.b), one.share, one.ground) for one in stored
    )
