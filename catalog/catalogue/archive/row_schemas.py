"""The form that a bundle's rows have, so that what comes from elsewhere can be held against it."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from msgspec import Meta, Struct

from catalog.catalogue.events.event_fields import Number, Outline, Text, Whole
from catalog.catalogue.store.print_encoding import StoredPrint
from catalog.models import BundleRole, Value

LABEL: Final = r"R[1-9]\d{0,5}C[1-9]\d{0,5}|S\d{3,6}"
Label = Annotated[str, Meta(pattern=rf"\A({LABEL})\Z")]
FromOne = Annotated[int, Meta(ge=1, le=999_999)]


class StrictRow(Struct, frozen=True, forbid_unknown_fields=True):
    """A JSON object with all of these members and no others."""


class BundleRow(StrictRow, frozen=True):
    """The bundle itself; its side is a length as the catalogue writes it, inches."""

    name: Text
    side: Annotated[str, Meta(pattern=r"\A[0-9]{1,6}(/[0-9]{1,6})?\Z")]
    version: Annotated[int, Meta(ge=1, lt=2**31)]
    added_at: Text


class PhotoRow(StrictRow, frozen=True):
    """A photo, and which files of the archive hold it and its light."""

    number: FromOne
    name: Text
    digest: Annotated[str, Meta(pattern=r"\A[0-9a-f]{64}\Z")]
    wide: Whole
    high: Whole
    cut_off: Whole
    pixels_per_inch: Number
    added_at: Text
    evidence: Text
    expected_error: Number
    unevenness: Number
    measured_from: Text
    file: Text
    file_digest: Annotated[str, Meta(pattern=r"\A([0-9a-f]{64})?\Z")]
    light: Text | None


class OutlineRow(StrictRow, frozen=True):
    """A square as `catalog.catalogue.store.encoding` writes it."""

    corners: Outline
    row: FromOne | None
    col: FromOne | None
    width_in: Number
    height_in: Number
    confidence: Annotated[float, Meta(ge=0, le=1)]
    flags: tuple[Text, ...]
    absolute: bool = False
    said_in: Annotated[float, Meta(ge=0, le=100)] = 0.0


class SquareRow(StrictRow, frozen=True):
    """A square as it came into the bundle."""

    number: FromOne
    photo: FromOne
    label: Label
    seen: OutlineRow | None
    crop: Text | None


class EventRow(StrictRow, frozen=True):
    """What a person said or did; `event_kinds.is_event` judges its kind and fields."""

    number: FromOne
    kind: Text
    args: dict[str, Any]
    at: Text
    made: Whole
    undone: Whole


class SwatchRow(StrictRow, frozen=True):
    """A square as it was measured."""

    square: FromOne
    place: Whole
    label: Label
    outline: OutlineRow
    lightness: Number
    a: Number
    b: Number
    busyness: Number
    uncertainty: Number
    own_uncertainty: Number
    print_kind: Literal["plain", "tonal", "busy"]
    value: Value
    role: BundleRole
    colour_name: Text
    fabric: Text
    family: Text
    state: Text
    said: Text
    signature: Text
    flags: tuple[Text, ...]
    print: StoredPrint | None
    """None where it was measured before prints were."""


class SetRow(StrictRow, frozen=True):
    """A set of a count."""

    number: Whole
    need: Text
    difference: Number
    value_step: Number
    family: Text
    flags: tuple[Text, ...]
    squares: tuple[FromOne, ...]


class CountRow(StrictRow, frozen=True):
    """A count that was kept."""

    at: Text
    title: Text
    pattern: Text
    rules: dict[str, Any]
    tally: list[Any]
    enough: bool
    sets: tuple[SetRow, ...]


class PatternEventRow(EventRow, frozen=True):
    """What a person did to a pattern."""

    made: Annotated[int, Meta(ge=1, lt=2**31)]
    undone: Annotated[int, Meta(ge=0, lt=2**31)]


class PatternRow(StrictRow, frozen=True):
    """A pattern that goes along; `pattern_archive` judges its events."""

    name: Text
    version: Annotated[int, Meta(ge=1, lt=2**31)]
    added_at: Text
    events: tuple[PatternEventRow, ...]


class ArchiveIndex(StrictRow, frozen=True):
    """All that ``bundle.json`` says."""

    format: Any
    version: Any
    bundle: BundleRow
    photos: tuple[PhotoRow, ...]
    squares: tuple[SquareRow, ...]
    deeds: tuple[EventRow, ...]
    swatches: tuple[SwatchRow, ...]
    counts: tuple[CountRow, ...]
    patterns: tuple[PatternRow, ...]
