"""A plan made to follow what hangs: other squares, sides and turns at its places."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import Patch, Quilt
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import SquareSet, Swatch
from catalog.wall.block_sides import pair_words
from catalog.wall.exchanged_blocks import colours_of, touching
from catalog.wall.piece_places import pieces_of_block
from catalog.wall.wall_pressing import pressing_of_wall


@dataclass(frozen=True)
class TakenBlock:
    """What hangs at a place, and how."""

    place: str
    squares: tuple[str, ...]
    """Label of the square that each patch of the bundle is cut from, in the plan's order of
    patches."""
    turn: int
    """Degrees clockwise of the block as it hangs: 0, 90, 180 or 270."""


def with_taken(
    quilt: Quilt,
    layout: Layout,
    plan: WallPlan,
    taken: Iterable[TakenBlock],
    bundle: Mapping[str, Swatch],
    sets: Sequence[SquareSet] = (),
) -> WallPlan:
    """Return a plan with what hangs at some of its places; all seams are pressed anew.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        That the plan was made for.
    plan : WallPlan
    taken : iterable of TakenBlock
        Places that the plan lacks, and squares that don't fill a block, are passed over.
    bundle : mapping from label to Swatch
    sets : sequence of SquareSet
        Numbered sets that may hang though they aren't planned.
    """
    at = {block.place: block for block in plan.blocks}
    known = {frozenset(label for _, label in block.squares): block for block in plan.blocks}
    for one in taken:
        block = at.get(one.place)
        patches = _patches(plan, block)
        if block is None or len(one.squares) != len(patches):
            continue
        squares = tuple(zip(patches, one.squares, strict=True))
        told = _told(known.get(frozenset(one.squares)), sets, one.squares)
        at[one.place] = _hung(quilt, block, squares, told, one.turn)
    blocks = [at[block.place] for block in plan.blocks]
    pressing = pressing_of_wall(quilt, layout, [block.turn for block in blocks])
    pressed = tuple(
        replace(
            block,
            press_inside=how.inside,
            press_to_next=how.to_next,
            press_row=how.row,
            press_before=how.before,
            press_strips=how.strips,
            press_edge=how.edge,
        )
        for block, how in zip(blocks, pressing, strict=True)
    )
    near = touching(places(layout), colours_of(quilt, pressed, bundle))
    return WallPlan(plan.arrangement, pressed, *near)


@dataclass(frozen=True)
class _ToldSquares:
    """What is told of the squares of a block."""

    sets: tuple[int, ...] = ()
    darker: str = ""
    lighter: str = ""


def _told(
    block: WallBlock | None, sets: Sequence[SquareSet], labels: Sequence[str]
) -> _ToldSquares:
    if block is not None:
        return _ToldSquares(block.sets, block.darker, block.lighter)
    here = set(labels)
    own = sorted(
        (one for one in sets if one.number and here.issuperset(one.swatches)),
        key=lambda one: min(labels.index(label) for label in one.swatches),
    )
    pair = next((one for one in own if len(one.swatches) > 1), None)
    numbers = tuple(one.number for one in own)
    return _ToldSquares(numbers, *((pair.swatches[0], pair.swatches[-1]) if pair else ()))


def _patches(plan: WallPlan, block: WallBlock | None) -> tuple[Patch, ...]:
    """Return the patches that squares of the bundle give to a block, those of its kind if empty."""
    if block is None:
        return ()
    alike = (one for one in (block, *plan.blocks) if one.kind == block.kind and one.squares)
    return tuple(patch for one in [next(alike, block)] for patch, _ in one.squares)


def _hung(
    quilt: Quilt,
    place: WallBlock,
    squares: tuple[tuple[Patch, str], ...],
    told: _ToldSquares,
    turn: int,
) -> WallBlock:
    """Return a place with these squares in it, so turned."""
    block = quilt.blocks[place.kind]
    goes = pair_words(block, squares, told.darker, told.lighter, turn)
    return replace(
        place,
        turn=turn,
        sets=told.sets,
        squares=squares,
        darker=told.darker,
        darker_goes=goes[0],
        lighter=told.lighter,
        lighter_goes=goes[1],
        note="" if squares else place.note,
        pieces=pieces_of_block(block, squares, place.scraps, turn),
    )
