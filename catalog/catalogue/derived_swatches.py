"""A bundle's photos and state to its swatches; only what has changed is measured again.

A photo's light is estimated when the bundle's photos, or what is said of white, grey or ground,
change; all lights are then brought together. Where only outlines change, the photo's squares are
measured again in the light it has: a corner put right moves no other square's colour, and undoing
it gives back exactly what was there.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from catalog.bundle.fabrics import tell_fabrics
from catalog.bundle.families import tell_families
from catalog.catalogue.records import KeptPhoto, KeptSquare, State, reading_order
from catalog.catalogue.store.row_reading import Record
from catalog.measuring import value_bundle
from catalog.models import Found, Light, LightHints, Swatch, Value, label_of
from catalog.system.progress import Progress

if TYPE_CHECKING:
    from catalog.analysis import PhotoAnalysis

    Fresh = tuple[PhotoAnalysis, Sequence[int]]

NONE_FRESH: Mapping[int, Fresh] = MappingProxyType({})


@dataclass(frozen=True, eq=False)
class Remeasured:
    """A photo measured again."""

    photo: int
    light: Light | None
    measured_from: str
    swatches: Mapping[int, Swatch]
    """By square; labels don't count."""
    crops: Mapping[int, bytes]


@dataclass(frozen=True, eq=False)
class DerivedSwatches:
    """What is to be written of a bundle."""

    swatches: Mapping[int, Swatch]
    """Of live squares, in reading order."""
    again: tuple[Remeasured, ...]


def derive_swatches(
    rows: Record,
    state: State,
    content_of: Callable[[int], bytes],
    light_of: Callable[[int], Light | None],
    tell: Progress,
    fresh: Mapping[int, Fresh] = NONE_FRESH,
    before: State | None = None,
) -> DerivedSwatches:
    """Measure what has changed and tell fabrics, families and values of the live squares.

    Parameters
    ----------
    rows : Record
        As last written.
    state : State
        As it is to be.
    content_of, light_of : callable
        File and light of a photo.
    tell : callable
        Told what is being done.
    fresh : mapping, optional
        Photos that have just been looked at, with the numbers of their squares.
    before : State, optional
        As it was when ``rows`` were written; what it has in common with ``state`` is told the same.
    """
    photos = [p for p in rows.photos if p.id not in state.dropped_photos]
    lit = _light_key(photos, state)
    asked = {p.id: f"{lit}:{_outline_key(state.live_in(p.id))}" for p in photos}
    stale = [
        p
        for p in photos
        if rows.measured_from[p.id] != asked[p.id] or _unmeasured(state.live_in(p.id), rows)
    ]
    relit = any(rows.measured_from[p.id].split(":")[0] != lit for p in photos) or any(
        state.live_in(p.id) and light_of(p.id) is None for p in stale
    )
    if relit:
        again = _all_again(photos, state, asked, content_of, tell, fresh)
    else:
        again = tuple(
            _one_again(p, state, asked[p.id], content_of(p.id), light_of(p.id), tell) for p in stale
        )
    measured = dict(rows.swatches)
    for one in again:
        measured.update(one.swatches)
    known = before and not again and (before.fabrics, before.rules.families) == (
        state.fabrics, state.rules.families
    )  # fmt: skip
    return DerivedSwatches(_told(measured, photos, state, rows.swatches if known else {}), again)


def found_of(photo: KeptPhoto, squares: Sequence[KeptSquare]) -> Found:
    """Return a photo's squares as they stand."""
    return Found(tuple(one.square for one in squares), photo.pixels_per_inch, photo.cut_off)


def _told(
    measured: Mapping[int, Swatch],
    photos: Sequence[KeptPhoto],
    state: State,
    known: Mapping[int, Swatch],
) -> dict[int, Swatch]:
    """Give the live squares their labels, and tell fabrics, families and values.

    Where the known squares are the same in the same order, what was told of them still holds.
    """
    names = {photo.id: photo.name for photo in photos}
    live = sorted((s for s in state.squares.values() if s.live), key=reading_order)
    if not live:
        return {}
    swatches = [
        replace(
            measured[s.id], label=s.label, square=s.square, role=s.role, photo=names[s.photo],
            flags=_flags(s, measured[s.id]),
        )
        for s in live
    ]  # fmt: skip
    same = [(s.id, s.label, s.square) for s in live] == [
        (number, one.label, one.square) for number, one in known.items()
    ]
    told = swatches if same else _sorted_out([s.id for s in live], swatches, state)
    return {one.id: swatch for one, swatch in zip(live, told, strict=True)}


def _sorted_out(
    numbers: Sequence[int], swatches: Sequence[Swatch], state: State
) -> tuple[Swatch, ...]:
    """Tell values, fabrics and families, from memory where nothing that they rest on changed."""
    key = _look_key(numbers, swatches, state)
    known = _KNOWN.get(key)
    if known is not None:
        return tuple(
            replace(one, value=value, fabric=fabric, family=family)
            for one, (value, fabric, family) in zip(swatches, known, strict=True)
        )
    told = tell_families(
        _fabrics_as_said(numbers, tell_fabrics(value_bundle(swatches)), state),
        state.rules.families,
    )
    for oldest in list(_KNOWN)[: max(0, len(_KNOWN) + 1 - MAX_REMEMBERED)]:
        _KNOWN.pop(oldest, None)  # which another thread may have let go already
    _KNOWN[key] = tuple((one.value, one.fabric, one.family) for one in told)
    return told


MAX_REMEMBERED: Final = 16
_KNOWN: Final[dict[str, tuple[tuple[Value, str, str], ...]]] = {}
"""What was told last; most events, such as a lock, change nothing of it, and at 1,000 squares it
takes most of a second."""


def _look_key(numbers: Sequence[int], swatches: Sequence[Swatch], state: State) -> str:
    """Return what values, fabrics and families depend on."""
    told = hashlib.sha256(repr((list(numbers), state.fabrics, state.rules.families)).encode())
    for one in swatches:
        plain = replace(one, value="medium", fabric="", family="", role="", flags=())
        told.update(repr(plain).encode())
        told.update(one.signature.tobytes())
    return told.hexdigest()


def _flags(square: KeptSquare, swatch: Swatch) -> tuple[str, ...]:
    """Return the doubts that remain; a person's word settles those about the outline."""
    if not (square.drawn or square.moved):
        return swatch.flags
    own = {"partly covered"}
    return tuple(flag for flag in swatch.flags if flag in own)


def _fabrics_as_said(
    numbers: Sequence[int], swatches: Sequence[Swatch], state: State
) -> tuple[Swatch, ...]:
    """Join and part fabrics as a person said."""
    fabric = {number: s.fabric for number, s in zip(numbers, swatches, strict=True)}
    for said, squares in state.fabrics:
        meant = [number for number in squares if number in fabric]
        if said == "one" and meant:
            piles = {fabric[number] for number in meant}
            fabric = {n: fabric[meant[0]] if f in piles else f for n, f in fabric.items()}
        elif meant:
            most = max((int(name[1:]) for name in fabric.values()), default=0)
            fabric.update(dict.fromkeys(meant, f"F{most + 1:02d}"))
    return tuple(
        replace(s, fabric=fabric[number]) for number, s in zip(numbers, swatches, strict=True)
    )


def _one_again(
    photo: KeptPhoto, state: State, key: str, content: bytes, light: Light | None, tell: Progress
) -> Remeasured:
    squares = state.live_in(photo.id)
    if not squares:  # one may come back, and is then measured in the light that was judged
        return Remeasured(photo.id, light, key, {}, {})
    tell(f"measuring {photo.name} again")
    from catalog import analysis

    found = found_of(photo, squares)
    looked = analysis.remeasure_photo(
        content, photo.name, found, light, _hints(photo, squares, state)
    )
    return _remeasured(photo, [square.id for square in squares], looked, key)


def _all_again(
    photos: Sequence[KeptPhoto],
    state: State,
    asked: Mapping[int, str],
    content_of: Callable[[int], bytes],
    tell: Progress,
    fresh: Mapping[int, Fresh],
) -> tuple[Remeasured, ...]:
    from catalog import analysis  # heavy, and most events measure nothing

    looked, numbers = [], []
    for photo in photos:
        if photo.id in fresh:
            one, own = fresh[photo.id]
        else:
            tell(f"judging the light of {photo.name}")
            squares = state.live_in(photo.id)
            found, hints = found_of(photo, squares), _hints(photo, squares, state)
            one = analysis.remeasure_photo(content_of(photo.id), photo.name, found, None, hints)
            own = [square.id for square in squares]
        looked.append(one)
        numbers.append(own)
    together = analysis.with_joined_lights(looked, lambda place: content_of(photos[place].id))
    return tuple(
        _remeasured(photo, own, one, asked[photo.id])
        for photo, own, one in zip(photos, numbers, together, strict=True)
    )


def _remeasured(
    photo: KeptPhoto, numbers: Sequence[int], looked: PhotoAnalysis, key: str
) -> Remeasured:
    if looked.problem is not None:
        raise looked.problem
    return Remeasured(
        photo=photo.id,
        light=looked.light,
        measured_from=key,
        swatches=dict(zip(numbers, looked.swatches, strict=True)),
        crops=dict(zip(numbers, looked.crops, strict=True)),
    )


def _hints(photo: KeptPhoto, squares: Sequence[KeptSquare], state: State) -> LightHints:
    own = {one.id: label_of(one.square, n) for n, one in enumerate(squares, start=1)}

    def told(number: int | None) -> str | None:
        return None if number is None else own.get(number)

    return LightHints(told(state.white), told(state.grey), state.grounds.get(photo.id))


def _unmeasured(squares: Sequence[KeptSquare], rows: Record) -> bool:
    """Whether one of these came back to the bundle, so that its measure is there no more."""
    return any(one.live and one.id not in rows.swatches for one in squares)


def _light_key(photos: Sequence[KeptPhoto], state: State) -> str:
    """Return what the lights of all photos depend on.

    No numbers of the catalogue are in it, so that it holds wherever a bundle is taken.
    """
    digests = {photo.id: photo.digest for photo in photos}

    def spot(number: int | None) -> object:
        square = state.squares[number] if number is not None else None
        return square and (digests.get(square.photo), square.square.corners)

    grounds = [state.grounds.get(photo.id) for photo in photos]
    return _short([list(digests.values()), spot(state.white), spot(state.grey), grounds])


def _outline_key(squares: Sequence[KeptSquare]) -> str:
    return _short([one.square.corners for one in squares])


def _short(said: object) -> str:
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:16]
