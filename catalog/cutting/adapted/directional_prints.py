"""How a print with an up and a down is laid to hang upright in units of several pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from catalog.cutting.adapted.upright_pieces import HungPart, hung_parts
from catalog.cutting.quilt import BlockUnit, PieceKind, Quilt
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_units import kind_of, method_of, pieces_of
from catalog.cutting.units.face_shapes import lies_straight
from catalog.phrases import decimal

Way = tuple[str, int]
"""Unit, and how many are made at a time."""


def hanging_words(quilt: Quilt, layout: Layout, kind: PieceKind) -> str:
    """Say how to lay a print so that it hangs upright; nothing where no piece can lie wrong."""
    return laying_words(quilt, hung_parts(quilt, layout, kind))


def laying_words(quilt: Quilt, parts: Mapping[HungPart, int]) -> str:
    """Say the same of some parts, each as often as it is cut."""
    halves: Counter[int] = Counter()
    equal: dict[Way, Counter[int]] = {}
    other: dict[str, set[str]] = {}
    for one, number in parts.items():
        unit = quilt.blocks[one.block].units[one.unit]
        method = method_of(unit)
        lay = method.lays[one.part] if one.part < len(method.lays) else None
        places = {(at + one.turn // 90) % 4: number for at in lay.places} if lay else {}
        if lay and lay.kind == "halves":
            halves.update(places)
        elif lay and lay.kind == "equal":
            equal.setdefault((unit.unit, method.at_a_time), Counter()).update(places)
        elif words := _LEANS if lay else _words_of(unit, one.part, one.turn):
            other.setdefault(words, set()).add(unit.unit)
    said = ["on point the print leans an eighth of a turn"] if quilt.on_point else []
    said += _halves_words(halves)
    said += [words for way, places in equal.items() for words in _equal_words(way, places)]
    said += [f"{_listed(units)}: {words}" for words, units in other.items()]
    return "; ".join(said)


def _words_of(unit: BlockUnit, part: int, turn: int) -> str:
    """Say how a part is laid that hangs upright or not whatever the other units do."""
    pieces, faces = pieces_of(unit, method_of(unit)), kind_of(unit).parts
    if pieces[part].flipped:
        return _FLIPPED
    if len(faces) == 1:  # sewn in as it is to hang
        return ""
    if any(piece.flipped for piece in pieces) or all(map(lies_straight, faces[part].polygons)):
        return "lay it as the unit is to hang, for some hang turned" if turn else ""
    return "triangles show the print turned: sew one and look"


_LEANS: Final = "the print leans an eighth of a turn"
_FLIPPED: Final = (
    "hold the unit as it is to hang and lay each small square face down, its print's top to the "
    "right on an upper left or lower right corner, to the left on the others"
)
"""Folded over the rising diagonal of its corner, what points right points up; over the falling one
what points left."""


def _halves_words(corners: Mapping[int, int]) -> list[str]:
    """Say on which diagonal squares are cut or sewn.

    An upright square cut on the diagonal that rises to the right gives the upper left and the lower
    right corner, on the falling one the others.
    """
    pairs = {"rises": (corners[0], corners[2]), "falls": (corners[1], corners[3])}
    squares = {way: Fraction(sum(pair), 2) for way, pair in pairs.items() if any(pair)}
    words = []
    if len(squares) == 2:
        rising, falling = (decimal(squares[way]) for way in ("rises", "falls"))
        words.append(
            f"print upright and facing you, {rising} are cut on the diagonal that rises to the "
            f"right and {falling} on the one that falls"
        )
    elif squares:
        (way,) = squares
        words.append(
            f"print upright and facing you, they are cut on the diagonal that {way} to the right"
        )
    if over := sum(abs(one - other) for one, other in pairs.values()) // 2:
        all_up = sum(max(pair) for pair in pairs.values())
        words.append(
            f"{over} of the triangles hang upside down; for none, cut {all_up} squares in half and "
            "sew triangle to triangle"
        )
    return words


def _equal_words(way: Way, places: Mapping[int, int]) -> list[str]:
    """Say how many of the triangles hang upright where a square gives as many for each place."""
    unit, at_a_time = way
    total = sum(places.values())
    upright = sum(min(Fraction(number), Fraction(total, 4)) for number in places.values())
    name = f"{_listed({unit})}, {at_a_time} at a time"
    if upright == total:
        return [f"{name}: lay each square upright, and put each unit where its print stands"]
    each = 2 if at_a_time == 8 else 1
    squares = -(-max(places.values()) // each)
    return [
        f"{name}: {decimal(upright)} of {total} triangles hang upright; for all, cut {squares} "
        "squares apart and sew triangle to triangle"
    ]


def _listed(units: set[str]) -> str:
    return " and ".join(name.replace("-", " ") for name in sorted(units))
