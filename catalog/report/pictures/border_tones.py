"""Plain tones for the fabrics of borders, so that one fabric has one tone wherever it lies."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from catalog.cutting.adapted.adapted_lengths import border_name
from catalog.cutting.quilt import Quilt, QuiltBorder
from catalog.cutting.unit_faces import FACES
from catalog.models import Lab
from catalog.report.pictures.block_face import Tones, cloth_tones

STEP: Final = 16.0
"""L* between two fabrics of borders, so that both show (choice of ours)."""


def with_shared_cloths(quilt: Quilt, tones: Tones) -> Tones:
    """Return the tones with sashing in that of the blocks' cloth that it is cut from too."""
    known = cloth_tones(quilt, tones)
    cloth = (quilt.sashing.cloth if quilt.sashing else "") or "sashing"
    sashing = known.get(cloth, tones.chosen.get(cloth, tones.sashing))
    return replace(tones, sashing=sashing)


def border_tones(quilt: Quilt, tones: Tones) -> tuple[tuple[Lab, ...], ...]:
    """Return the tones of each border from the inside, one for each part of its unit.

    What is bought for the blocks has the tone that it has there; a fabric that only borders
    have one of its own. Where the pattern names none, borders take turns.
    """
    known = known_tones(quilt, tones)
    return tuple(
        tuple(known[name] for name in border.fabrics)
        or tuple(
            tones.chosen.get(name, tone)
            for name, tone in zip(
                border_cloths(quilt, border, number),
                _unnamed(border, number, tones),
                strict=True,
            )
        )
        for number, border in enumerate(quilt.borders, 1)
    )


def known_tones(quilt: Quilt, tones: Tones) -> dict[str, Lab]:
    """Return the tone of each cloth by its name: those of the blocks and those of borders alone."""
    bought = cloth_tones(quilt, tones)
    named = dict.fromkeys(
        name
        for border in quilt.borders
        for name in (*border.fabrics, border.spacer, border.post_cloth)
    )
    if quilt.sashing:
        named |= dict.fromkeys(quilt.sashing.fabrics)
    own = [name for name in named if name and name not in bought]
    stepped = {name: _stepped(tones.border, number) for number, name in enumerate(own)}
    return bought | {name: tones.chosen.get(name, tone) for name, tone in stepped.items()}


def border_cloths(quilt: Quilt, border: QuiltBorder, number: int) -> tuple[str, ...]:
    """Return what each part of a border, from 1 inside, is cut from, as it is bought."""
    name = border_name(quilt, number)
    parts = len(FACES[border.pieced]) if border.pieced else 1
    if border.fabrics or parts == 1:
        return border.fabrics or (name,)
    return tuple(f"{name}, fabric {n}" for n in range(1, parts + 1))


def _unnamed(border: QuiltBorder, number: int, tones: Tones) -> tuple[Lab, ...]:
    first = tones.border if number % 2 else tones.sashing
    if border.pieced is None:
        return (first,)
    return tuple((first, tones.ground)[part % 2] for part in range(len(FACES[border.pieced])))


def _stepped(tone: Lab, number: int) -> Lab:
    """Return a tone as many steps lighter and darker, by turns, within what can be seen."""
    lightness, a, b = tone
    steps = (number + 1) // 2 * (1 if number % 2 else -1)
    return (min(max(lightness + steps * STEP, 15.0), 95.0), a, b)
