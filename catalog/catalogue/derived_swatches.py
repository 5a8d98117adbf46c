"""A bundle's photos and state to its swatches; only what has changed is measured again.

A photo's light is estimated when the bundle's photos, or what is said of white, grey, ground or
lamp, change; all lights are then brought together. Where only outlines change, the photo's squares
are measured again in the light it has: a corner put right moves no other square's colour, and
undoing it gives back exactly what was there.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from types import MappingProxyType
from typing import TYPE_CHECKING

from catalog.catalogue.records import State, StoredPhoto, StoredSquare
from catalog.catalogue.store.row_reading import Record
from catalog.catalogue.told_swatches import tell_swatches, told_by
from catalog.models import Found, Light, LightHints, Swatch, label_of
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
    *,
    jobs: int | None = 1,
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
    jobs : int, optional
        Processes that measure photos again where others have a say in their light.
    """
    photos = [p for p in rows.photos if p.id not in state.dropped_photos]
    lit = _light_key(photos, state)
    squares = {p.id: state.live_in(p.id) for p in photos}
    outlines = {n: _short([one.square.corners for one in own]) for n, own in squares.items()}
    asked = {p.id: f"{lit}:{outlines[p.id]}" for p in photos}
    stale = [
        p
        for p in photos
        if rows.measured_from[p.id] != asked[p.id]
        # One that came back to the bundle, so that its measure is there no more.
        or any(one.live and one.id not in rows.swatches for one in squares[p.id])
    ]
    relit = any(rows.measured_from[p.id].split(":")[0] != lit for p in photos) or any(
        squares[p.id] and light_of(p.id) is None for p in stale
    )
    if relit:
        again = _all_again(photos, state, asked, content_of, tell, fresh, jobs)
    else:
        again = tuple(
            _one_again(p, state, asked[p.id], content_of(p.id), light_of(p.id), tell) for p in stale
        )
    measured = dict(rows.swatches)
    for one in again:
        measured.update(one.swatches)
    known = before and not again and told_by(before) == told_by(state)
    return DerivedSwatches(
        tell_swatches(measured, photos, state, rows.swatches if known else {}), again
    )


def found_of(photo: StoredPhoto, squares: Sequence[StoredSquare]) -> Found:
    """Return a photo's squares as they stand."""
    return Found(tuple(one.square for one in squares), photo.pixels_per_inch, photo.cut_off)


def _one_again(
    photo: StoredPhoto, state: State, key: str, content: bytes, light: Light | None, tell: Progress
) -> Remeasured:
    squares = state.live_in(photo.id)
    if not squares:  # one may come back, and is then measured in the light that was judged
        return Remeasured(photo.id, light, key, {}, {})
    tell(f"measuring {photo.name} again")
    looked = _analysed(photo, squares, state, content, light)
    return _remeasured(photo, [square.id for square in squares], looked, key)


def _all_again(
    photos: Sequence[StoredPhoto],
    state: State,
    asked: Mapping[int, str],
    content_of: Callable[[int], bytes],
    tell: Progress,
    fresh: Mapping[int, Fresh],
    jobs: int | None,
) -> tuple[Remeasured, ...]:
    from catalog import analysis  # heavy, and most events measure nothing

    analysed = dict(fresh)
    for photo in photos:
        if photo.id not in fresh:
            tell(f"judging the light of {photo.name}")
            squares = state.live_in(photo.id)
            looked = _analysed(photo, squares, state, content_of(photo.id), None)
            analysed[photo.id] = looked, [square.id for square in squares]
    joined = analysis.with_joined_lights(
        [analysed[photo.id][0] for photo in photos],
        lambda place: content_of(photos[place].id),
        jobs=jobs,
    )
    return tuple(
        _remeasured(photo, analysed[photo.id][1], one, asked[photo.id])
        for photo, one in zip(photos, joined, strict=True)
    )


def _analysed(
    photo: StoredPhoto,
    squares: Sequence[StoredSquare],
    state: State,
    content: bytes,
    light: Light | None,
) -> PhotoAnalysis:
    from catalog import analysis

    found, hints = found_of(photo, squares), _hints(photo, squares, state)
    return analysis.remeasure_photo(content, photo.name, found, light, hints)


def _remeasured(
    photo: StoredPhoto, numbers: Sequence[int], looked: PhotoAnalysis, key: str
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


def _hints(photo: StoredPhoto, squares: Sequence[StoredSquare], state: State) -> LightHints:
    loose = count(1)
    own = {
        one.id: label_of(one.square, 0 if one.square.row and one.square.col else next(loose))
        for one in squares
    }

    def told(number: int | None) -> str | None:
        return None if number is None else own.get(number)

    ground, lamp = state.grounds.get(photo.id), state.lamps.get(photo.id)
    return LightHints(told(state.white), told(state.grey), ground, lamp=lamp)


def _light_key(photos: Sequence[StoredPhoto], state: State) -> str:
    """Return what the lights of all photos depend on.

    No numbers of the catalogue are in it, so that it holds wherever a bundle is taken.
    """
    digests = {photo.id: photo.digest for photo in photos}

    def spot(number: int | None) -> object:
        square = state.squares[number] if number is not None else None
        return square and (digests.get(square.photo), square.square.corners)

    grounds = [state.grounds.get(photo.id) for photo in photos]
    said = [list(digests.values()), spot(state.white), spot(state.grey), grounds]
    lamps = [state.lamps.get(photo.id) for photo in photos]
    # what was measured before lamps could be told of stays as it is
    return _short([*said, lamps] if any(one is not None for one in lamps) else said)


def _short(said: object) -> str:
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:16]
