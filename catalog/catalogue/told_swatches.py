"""Measured squares to a bundle's swatches: labels, and what tells them apart.

Fabrics, families and values are told over the whole bundle, as far as a person hasn't said them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from catalog.bundle.fabrics import MAY_BE, SEVERAL, of_fabric, tell_fabrics
from catalog.bundle.families import tell_families
from catalog.bundle.naming.square_names import tell_names
from catalog.bundle.photo_doubts import with_own_flags
from catalog.catalogue.records import State, StoredPhoto, StoredSquare, reading_order
from catalog.measuring import value_bundle
from catalog.models import RIGHT_AS_FOUND, Swatch, Value

MAX_REMEMBERED: Final = 16
_KNOWN: Final[dict[str, tuple[tuple[Value, str, str, str, tuple[str, ...]], ...]]] = {}
"""What was told last; most events, such as a lock, change nothing of it, and at 1,000 squares it
takes most of a second."""


def tell_swatches(
    measured: Mapping[int, Swatch],
    photos: Sequence[StoredPhoto],
    state: State,
    known: Mapping[int, Swatch],
) -> dict[int, Swatch]:
    """Give the live squares their labels, and tell fabrics, names, families and values.

    Where the known squares are the same in the same order, what was told of them still holds.
    """
    names = {photo.id: photo.name for photo in photos}
    live = sorted((s for s in state.squares.values() if s.live), key=reading_order)
    if not live:
        return {}
    swatches = with_own_flags([
        replace(
            measured[s.id], label=s.label, square=s.square, role=s.role, photo=names[s.photo],
            flags=_flags(s, measured[s.id]),
        )
        for s in live
    ])  # fmt: skip
    same = [(s.id, s.label, one.square) for s, one in zip(live, swatches, strict=True)] == [
        (number, one.label, one.square) for number, one in known.items()
    ]
    told = swatches if same else _sorted_out([s.id for s in live], swatches, state)
    return {one.id: swatch for one, swatch in zip(live, told, strict=True)}


def _sorted_out(
    numbers: Sequence[int], swatches: Sequence[Swatch], state: State
) -> tuple[Swatch, ...]:
    """Tell what is told over a bundle, from memory where nothing that it rests on changed."""
    key = _look_key(numbers, swatches, state)
    known = _KNOWN.get(key)
    if known is not None:
        return tuple(
            replace(
                one,
                value=value,
                fabric=fabric,
                colour_name=name,
                family=family,
                flags=(*_own(one.flags), *doubts),
            )
            for one, (value, fabric, name, family, doubts) in zip(swatches, known, strict=True)
        )
    fabrics = _fabrics_as_said(numbers, tell_fabrics(value_bundle(swatches)), state)
    told = tell_families(tell_names(fabrics, state.rules.names), state.rules.families)
    for oldest in list(_KNOWN)[: max(0, len(_KNOWN) + 1 - MAX_REMEMBERED)]:
        _KNOWN.pop(oldest, None)  # which another thread may have let go already
    _KNOWN[key] = tuple(
        (one.value, one.fabric, one.colour_name, one.family, tuple(filter(of_fabric, one.flags)))
        for one in told
    )
    return told


def told_by(state: State) -> tuple[object, ...]:
    """Return what a person said that fabrics, names and families rest on."""
    return state.fabrics, state.rules.families, state.rules.names


def _look_key(numbers: Sequence[int], swatches: Sequence[Swatch], state: State) -> str:
    """Return what values, fabrics, names and families depend on."""
    told = hashlib.sha256(repr((list(numbers), *told_by(state))).encode())
    for one in swatches:
        plain = replace(
            one, value="medium", fabric="", colour_name="", family="", role="", flags=()
        )
        told.update(repr(plain).encode())
        told.update(one.signature.tobytes())
    return told.hexdigest()


def _flags(square: StoredSquare, swatch: Swatch) -> tuple[str, ...]:
    """Return the doubts that remain; a person's word settles those about the outline.

    Whether a square is right as found is its outline's to tell, so that it can be taken back.
    """
    own = {"partly covered"}
    settled = square.drawn or square.moved
    return tuple(
        flag
        for flag in swatch.flags
        if flag != RIGHT_AS_FOUND and (not settled or flag in own or of_fabric(flag))
    )


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
    settled = {number for _, squares in state.fabrics for number in squares}
    known = set(fabric.values())
    return tuple(
        replace(s, fabric=fabric[n], flags=_open(s, fabric[n], known, said=n in settled))
        for n, s in zip(numbers, swatches, strict=True)
    )


def _open(swatch: Swatch, fabric: str, known: set[str], *, said: bool) -> tuple[str, ...]:
    """Return the flags of a square whose fabric a person may have told: what was said is sure."""
    others = {MAY_BE + name for name in known - {fabric}} | {SEVERAL}
    left = () if said else tuple(flag for flag in swatch.flags if flag in others)
    return (*_own(swatch.flags), *left)


def _own(flags: tuple[str, ...]) -> tuple[str, ...]:
    """Return the flags that aren't about a fabric."""
    return tuple(flag for flag in flags if not of_fabric(flag))
