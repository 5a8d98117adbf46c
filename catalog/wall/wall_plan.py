"""Sets to places on the design wall, with sides, turns, pressing and the order of sewing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from catalog.cutting.plans import Arrangement, WallBlock, WallPlan
from catalog.cutting.quilt import Patch, Quilt
from catalog.cutting.quilt_sizes.block_places import Place, crossings_round, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.models import Lab, SquareSet, Swatch
from catalog.wall.adjacency import along, neighbours
from catalog.wall.arrangement import CORNER_WEIGHT, arrange
from catalog.wall.block_contents import BlockContents, contents_of_blocks, empty_place, served
from catalog.wall.block_sides import side_words
from catalog.wall.exchanged_blocks import touching
from catalog.wall.leftover_pieces import CORNER_NAMES, dealt_posts, dealt_scraps
from catalog.wall.piece_places import pieces_of_block
from catalog.wall.pressing_words import Pressing
from catalog.wall.wall_pressing import pressing_of_wall


def plan_wall(
    quilt: Quilt,
    layout: Layout,
    sets: Sequence[SquareSet],
    ordered: Sequence[Swatch],
    arrangement: Arrangement,
    small: Mapping[str, Sequence[str]] | None = None,
) -> WallPlan:
    """Give each block's sets a place.

    Parameters
    ----------
    quilt : Quilt
        How the block is built and turned.
    layout : Layout
        Rows, columns and finished sizes, as sewn.
    sets : sequence of SquareSet
        Those that serve a need of the pattern; single squares too.
    ordered : sequence of Swatch
        The bundle in the order that the wall follows, such as the rainbow's.
    arrangement : Arrangement
        See `arrangement` for what is optimised and how good it is.
    small : mapping, optional
        By the name of a kind of piece that is cut from squares left over (or of posts) the label of
        the square that each piece comes from.

    Returns
    -------
    WallPlan
        Every place; where sets are short, the last ones stay empty.
    """
    bundle = {swatch.label: swatch for swatch in ordered}
    rank = {swatch.label: place for place, swatch in enumerate(ordered)}
    spots = places(layout)
    hung = _hang(quilt, sets, spots, arrangement, _Ordered(bundle, rank))
    pressing = pressing_of_wall(quilt, layout, [quilt.turn_at(spot) for spot in spots])
    blocks = tuple(
        _block(quilt, spot, number, hung.get(number), pressing[number])
        for number, spot in enumerate(spots)
    )
    blocks = _with_small(quilt, layout, spots, blocks, small or {})
    colours = {number: content.colour for number, content in hung.items()}
    return WallPlan(arrangement, blocks, *touching(spots, colours))


@dataclass(frozen=True)
class _Ordered:
    """The bundle in the order that the wall follows."""

    bundle: Mapping[str, Swatch]
    rank: Mapping[str, int]


def _hang(
    quilt: Quilt,
    sets: Sequence[SquareSet],
    spots: Sequence[Place],
    arrangement: Arrangement,
    ordered: _Ordered,
) -> dict[int, BlockContents]:
    """Return which content hangs at which place; blocks of one kind change places with such."""
    blocks = [quilt.block_at(spot) for spot in spots]
    meant = list(served(quilt, blocks, sets))
    # The k-th colour is meant for the k-th place along the order.
    if arrangement != "scattered":
        meant.sort(key=lambda n: (along(spots[n], arrangement), spots[n].row + spots[n].column))
    alike = [blocks[place] for place in meant]
    contents = contents_of_blocks(quilt, alike, sets, ordered.bundle, ordered.rank)
    hung = {}
    for kind in dict.fromkeys(alike):
        own = [k for k, block in enumerate(alike) if block == kind]
        colours = [contents[k].colour for k in own]
        at = [meant[k] for k in own]
        chosen = _arranged(colours, at, spots, arrangement, apart=len(quilt.blocks) > 1)
        hung.update({place: contents[own[k]] for place, k in zip(at, chosen, strict=True)})
    return hung


def _arranged(
    colours: Sequence[Lab],
    at: Sequence[int],
    spots: Sequence[Place],
    arrangement: Arrangement,
    *,
    apart: bool,
) -> list[int]:
    """Return for each place which colour hangs there; those apart may touch at corners alone."""
    back = {place: k for k, place in enumerate(at)}
    scattered = arrangement == "scattered"
    pairs = [
        (back[p], back[q], weight)
        for p, q, weight in neighbours(spots, CORNER_WEIGHT if scattered or apart else 0.0)
        if p in back and q in back
    ]
    steps = None if scattered else [along(spots[place], arrangement) for place in at]
    return [int(k) for k in arrange(colours, pairs, steps)]


def _block(
    quilt: Quilt,
    spot: Place,
    number: int,
    content: BlockContents | None,
    pressing: Pressing,
) -> WallBlock:
    turn = quilt.turn_at(spot)
    place = empty_place(quilt, spot, number + 1, turn)
    block = quilt.blocks[place.kind]
    dark, light = _pair(content)
    return replace(
        place,
        sets=tuple(one.number for one in content.sets if one.number) if content else (),
        squares=content.squares if content else (),
        darker=dark[1] if dark else "",
        darker_goes=side_words(block, dark[0], (light[0],), turn) if dark and light else "",
        lighter=light[1] if light else "",
        lighter_goes=side_words(block, light[0], (dark[0],), turn) if dark and light else "",
        press_inside=pressing.inside,
        press_to_next=pressing.to_next,
        press_row=pressing.row,
        note="" if content or place.bought else "no set for this place",
        press_before=pressing.before,
        press_strips=pressing.strips,
        press_edge=pressing.edge,
    )


def _with_small(
    quilt: Quilt,
    layout: Layout,
    spots: Sequence[Place],
    blocks: Sequence[WallBlock],
    small: Mapping[str, Sequence[str]],
) -> tuple[WallBlock, ...]:
    """Give blocks and posts their small pieces, and say where every piece goes."""
    scraps = dealt_scraps(quilt, [block.kind for block in blocks], small)
    posts = dealt_posts(quilt, layout, spots, small)
    told = set[tuple[int, int]]()
    done = []
    for spot, block, own in zip(spots, blocks, scraps, strict=True):
        corners = crossings_round(spot) if posts else ()
        new = [(name, at) for name, at in zip(CORNER_NAMES, corners, strict=False)
               if at not in told and posts.get(at)]  # fmt: skip
        told.update(corners)
        done.append(
            replace(
                block,
                scraps=own,
                posts=tuple(posts.get(at) for at in corners),
                pieces=pieces_of_block(quilt.blocks[block.kind], block.squares, own, block.turn),
                posts_go=tuple((name, posts[at]) for name, at in new),
            )
        )
    return tuple(done)


def _pair(
    content: BlockContents | None,
) -> tuple[tuple[Patch, str] | None, tuple[Patch, str] | None]:
    """Return the darkest and the lightest square of the first set of two and more."""
    place = 0
    for one in content.sets if content else ():
        if content and len(one.swatches) > 1:
            own = content.squares[place : place + len(one.swatches)]
            return own[0], own[-1]
        place += len(one.swatches)
    return None, None
