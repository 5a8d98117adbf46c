"""Blocks that a person hangs elsewhere on the wall."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np

from catalog.colour.ciede2000 import ciede2000
from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import Place, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Lab, Swatch
from catalog.wall.adjacency import neighbours
from catalog.wall.block_sides import pair_words
from catalog.wall.piece_places import pieces_of_block

Nearest = tuple[str, str, float]


def move_blocks(
    quilt: Quilt,
    layout: Layout,
    plan: WallPlan,
    moves: Sequence[tuple[str, str]],
    bundle: Mapping[str, Swatch],
) -> WallPlan:
    """Let what hangs at two places change places, move after move.

    Places, turns, pressing and the order of sewing belong to the place and stay; which way the
    darker square goes is told anew.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        That the plan was made for.
    plan : WallPlan
    moves : sequence of (str, str)
        Two places each, such as ``("A1", "B3")``; places that the wall lacks are passed over, and
        those of different blocks.
    bundle : mapping from label to Swatch
    """
    at = {block.place: block for block in plan.blocks}
    for one, other in moves:
        if one in at and other in at and at[one].kind == at[other].kind:
            at[one], at[other] = (
                _holding(quilt, at[one], at[other]),
                _holding(quilt, at[other], at[one]),
            )
    blocks = tuple(at[block.place] for block in plan.blocks)
    colours = colours_of(quilt, blocks, bundle)
    return WallPlan(plan.arrangement, blocks, *touching(places(layout), colours))


def colours_of(
    quilt: Quilt,
    blocks: Sequence[WallBlock],
    bundle: Mapping[str, Swatch],
    only: Collection[int] | None = None,
) -> dict[int, Lab]:
    """Return by their numbers, from 0, the mean colour of the blocks that squares hang in.

    Of all of them, or only of some.
    """
    return {
        number: _colour(quilt, block, bundle)
        for number, block in enumerate(blocks)
        if block.squares and (only is None or number in only)
    }


def touching(spots: Sequence[Place], colours: Mapping[int, Lab]) -> tuple[float, Nearest | None]:
    """Return how far apart blocks that touch along a side are.

    Parameters
    ----------
    spots : sequence of Place
    colours : mapping from a place's number to Lab
        Of the blocks that hang.

    Returns
    -------
    float
        Mean CIEDE2000; 0 where none touch.
    tuple, optional
        The two places that are most alike, and their CIEDE2000.
    """
    pairs = [(p, q) for p, q, _ in neighbours(spots) if p in colours and q in colours]
    if not pairs:
        return 0.0, None
    away = ciede2000(
        np.array([colours[p] for p, _ in pairs]), np.array([colours[q] for _, q in pairs])
    )
    p, q = pairs[int(np.argmin(away))]
    return float(np.mean(away)), (spots[p].label, spots[q].label, float(np.min(away)))


def _holding(quilt: Quilt, place: WallBlock, other: WallBlock) -> WallBlock:
    """Return a place with what hangs at another."""
    kind = quilt.blocks[place.kind]
    goes = pair_words(kind, other.squares, other.darker, other.lighter, place.turn)
    return replace(
        place,
        sets=other.sets,
        squares=other.squares,
        darker=other.darker,
        darker_goes=goes[0],
        lighter=other.lighter,
        lighter_goes=goes[1],
        note=other.note,
        one_way=other.one_way,
        on_side=other.on_side,
        pieces=pieces_of_block(kind, other.squares, place.scraps, place.turn),
    )


def _colour(quilt: Quilt, block: WallBlock, bundle: Mapping[str, Swatch]) -> Lab:
    """Return the mean colour of a block's feature squares."""
    labs = [
        bundle[label].lab
        for patch, label in block.squares
        if quilt.kind(patch.kind).role == "feature"
    ]
    lightness, a, b = np.mean(labs, axis=0)
    return float(lightness), float(a), float(b)
