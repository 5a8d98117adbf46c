"""What each block is made of: its place, its sets, its background squares, and its colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from catalog.cutting.plans import WallBlock
from catalog.cutting.quilt import Patch, PieceKind, Quilt
from catalog.cutting.quilt_sizes.block_places import Place
from catalog.models import Lab, SquareSet, Swatch

Squares = Mapping[str, Swatch]


@dataclass(frozen=True)
class BlockContents:
    """The squares of the bundle for one block."""

    sets: tuple[SquareSet, ...]
    """Of feature squares; single ones where none must match."""
    squares: tuple[tuple[Patch, str], ...]
    """Those of the sets in their order, darkest first, then background squares."""
    colour: Lab
    """Mean of its feature squares."""


def served(quilt: Quilt, blocks: Sequence[int], sets: Sequence[SquareSet]) -> tuple[int, ...]:
    """Return the places for which the sets of feature squares are enough, the first served first.

    Parameters
    ----------
    quilt : Quilt
    blocks : sequence of int
        Which of the quilt's blocks lies at each place, in the order of sewing.
    sets : sequence of SquareSet
    """
    features = _features(quilt)
    left = [sum(one.need in kind.needs for one in sets) for kind in features]
    found = []
    for place, block in enumerate(blocks):
        wanted = [kind.in_block(block) // kind.match for kind in features]
        if any(wanted) and all(want <= own for want, own in zip(wanted, left, strict=True)):
            left = [own - want for want, own in zip(wanted, left, strict=True)]
            found.append(place)
    return tuple(found)


def contents_of_blocks(
    quilt: Quilt,
    blocks: Sequence[int],
    sets: Sequence[SquareSet],
    bundle: Squares,
    rank: Mapping[str, int],
) -> tuple[BlockContents, ...]:
    """Deal the sets out to blocks.

    Parameters
    ----------
    quilt : Quilt
    blocks : sequence of int
        Which of the quilt's blocks each is, in the order wanted; those that are `served`.
    sets : sequence of SquareSet
        Those that serve a need of the pattern, single squares too.
    bundle : mapping from label to Swatch
    rank : mapping from label to int
        Place of each square in the order wanted; where a block takes several sets, those that lie
        together in it go together.

    Returns
    -------
    tuple of BlockContents
        One for each block. Of background squares the lightest go to the lightest features, which
        leaves the least contrast of all blocks as large as it can be where grounds are lighter.
    """
    contents = [BlockContents((), (), (0.0, 0.0, 0.0)) for _ in blocks]
    for kind in _features(quilt):
        dealt = _dealt(kind, blocks, sets, rank)
        for place, many in dealt.items():
            old = contents[place]
            squares = (*old.squares, *_patches(kind, many))
            contents[place] = replace(old, sets=(*old.sets, *many), squares=squares)
    for place, one in enumerate(contents):
        lightness, a, b = np.mean([bundle[label].lab for _, label in one.squares], axis=0)
        contents[place] = replace(one, colour=(float(lightness), float(a), float(b)))
    ground = [k for k in quilt.kinds if k.role == "background" and k.source == "bundle"]
    for kind in ground:
        contents = _with_ground(contents, blocks, kind, sets, bundle)
    return tuple(contents)


def _features(quilt: Quilt) -> list[PieceKind]:
    """Return the kinds of feature square of which blocks take whole sets."""
    figure = [k for k in quilt.kinds if k.role == "feature" and k.source == "bundle"]
    return [kind for kind in figure if kind.sets_per_block]


def _dealt(
    kind: PieceKind,
    blocks: Sequence[int],
    sets: Sequence[SquareSet],
    rank: Mapping[str, int],
) -> dict[int, list[SquareSet]]:
    """Return the sets of a kind in the order wanted, so many for each block that takes it."""
    own = sorted(
        (one for one in sets if one.need in kind.needs),
        key=lambda one: (sum(rank[label] for label in one.swatches), one.number),
    )
    dealt, first = {}, 0
    for place, block in enumerate(blocks):
        last = first + kind.in_block(block) // kind.match
        if first < last <= len(own):
            dealt[place] = own[first:last]
            first = last
    return dealt


def _patches(kind: PieceKind, sets: Sequence[SquareSet]) -> list[tuple[Patch, str]]:
    labels = [label for one in sets for label in one.swatches]
    return [(Patch(kind.name, which), label) for which, label in enumerate(labels, 1)]


def _with_ground(
    contents: Sequence[BlockContents],
    blocks: Sequence[int],
    kind: PieceKind,
    sets: Sequence[SquareSet],
    bundle: Squares,
) -> list[BlockContents]:
    """Give each block its background squares: in the order of lightness, as its features are."""
    lightness = {label: swatch.lab[0] for label, swatch in bundle.items()}
    rank = {
        label: place for place, label in enumerate(sorted(lightness, key=lambda x: -lightness[x]))
    }
    order = sorted(range(len(contents)), key=lambda place: (-contents[place].colour[0], place))
    dealt = _dealt(kind, [blocks[place] for place in order], sets, rank)
    given = list(contents)
    for turn, many in dealt.items():
        place = order[turn]
        squares = (*contents[place].squares, *_patches(kind, many))
        given[place] = replace(contents[place], squares=squares)
    return given


def empty_place(quilt: Quilt, spot: Place, number: int, turn: int) -> WallBlock:
    """Return a place with the block that belongs there, and nothing of it yet.

    Parameters
    ----------
    quilt : Quilt
    spot : Place
    number : int
        In the order of sewing, from 1.
    turn : int
        Of the block, degrees clockwise.
    """
    kind = quilt.block_at(spot)
    return WallBlock(
        number=number,
        place=spot.label,
        row=spot.row + 1,
        column=spot.in_row + 1,
        x=spot.x,
        y=spot.y,
        turn=turn,
        kind=kind,
        mark=quilt.blocks[kind].mark,
        bought=not any(k.in_block(kind) for k in quilt.kinds if k.source == "bundle"),
    )
