"""What each block is made of: its sets, its background squares from the bundle, and its colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from catalog.cutting.quilt import Patch, PieceKind, Quilt
from catalog.models import Lab, SquareSet, Swatch


@dataclass(frozen=True)
class BlockContents:
    """The squares of the bundle for one block."""

    sets: tuple[SquareSet, ...]
    """Of feature squares; single ones where none must match."""
    squares: tuple[tuple[Patch, str], ...]
    """Those of the sets in their order, darkest first, then background squares."""
    colour: Lab
    """Mean of its feature squares."""


def contents_of_blocks(
    quilt: Quilt, sets: Sequence[SquareSet], bundle: Mapping[str, Swatch], rank: Mapping[str, int]
) -> tuple[BlockContents, ...]:
    """Deal the sets out to blocks.

    Parameters
    ----------
    quilt : Quilt
    sets : sequence of SquareSet
        Those that serve a need of the pattern, single squares too.
    bundle : mapping from label to Swatch
    rank : mapping from label to int
        Place of each square in the order wanted; where a block takes several sets, those that lie
        together in it go together.

    Returns
    -------
    tuple of Hand
        In the order wanted, as many as there are sets for whole blocks, at most the quilt's. Of
        background squares the lightest go to the lightest features, which leaves the least contrast
        of all blocks as large as it can be where grounds are lighter.
    """
    feature = [kind for kind in quilt.kinds if kind.role == "feature" and kind.sets_per_block]
    dealt = [_dealt(kind, sets, rank) for kind in feature]
    number = min([*map(len, dealt), quilt.rows * quilt.columns * 2])
    contents = []
    for place in range(number):
        taken = [one for kind in dealt for one in kind[place]]
        squares = [
            pair
            for kind, many in zip(feature, dealt, strict=True)
            for pair in _patches(kind, many[place])
        ]
        labs = [bundle[label].lab for _, label in squares]
        lightness, a, b = np.mean(labs, axis=0)
        contents.append(
            BlockContents(tuple(taken), tuple(squares), (float(lightness), float(a), float(b)))
        )
    ground = [k for k in quilt.kinds if k.role == "background" and k.source == "bundle"]
    for kind in ground:
        contents = _with_ground(contents, kind, sets, bundle)
    return tuple(contents)


def _dealt(
    kind: PieceKind, sets: Sequence[SquareSet], rank: Mapping[str, int]
) -> list[list[SquareSet]]:
    """Return the sets of a kind in the order wanted, so many for each block."""
    own = sorted(
        (one for one in sets if one.need in kind.needs),
        key=lambda one: (sum(rank[label] for label in one.swatches), one.number),
    )
    each = kind.sets_per_block
    return [own[first : first + each] for first in range(0, len(own) - each + 1, each)]


def _patches(kind: PieceKind, sets: Sequence[SquareSet]) -> list[tuple[Patch, str]]:
    labels = [label for one in sets for label in one.swatches]
    return [(Patch(kind.name, which), label) for which, label in enumerate(labels, 1)]


def _with_ground(
    contents: Sequence[BlockContents],
    kind: PieceKind,
    sets: Sequence[SquareSet],
    bundle: Mapping[str, Swatch],
) -> list[BlockContents]:
    """Give each block its background squares: in the order of lightness, as its features are."""
    lightness = {label: swatch.lab[0] for label, swatch in bundle.items()}
    rank = {
        label: place for place, label in enumerate(sorted(lightness, key=lambda x: -lightness[x]))
    }
    dealt = _dealt(kind, sets, rank)
    order = sorted(range(len(contents)), key=lambda place: (-contents[place].colour[0], place))
    given = list(contents)
    for place, many in zip(order, dealt, strict=False):
        content = contents[place]
        given[place] = BlockContents(
            content.sets, (*content.squares, *_patches(kind, many)), content.colour
        )
    return given
