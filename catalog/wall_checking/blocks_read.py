"""One photo of the wall read: where the plan's blocks hang in it and what light is on them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from catalog.models import Photo
from catalog.wall_checking.block_views import (
    BlockViews,
    grid_of,
    patch_weights,
    view_blocks,
)
from catalog.wall_checking.cloth_features import moments_of, plain_linear
from catalog.wall_checking.placing.line_offsets import guess_by_lines
from catalog.wall_checking.placing.offset_colours import best_offset, patch_colours
from catalog.wall_checking.placing.patch_registration import register_by_patches
from catalog.wall_checking.placing.plan_arrays import middles_of, squares_of
from catalog.wall_checking.placing.plan_offsets import guess_offsets
from catalog.wall_checking.placing.registration import Registration, register
from catalog.wall_checking.placing.seen_lines import see_lines
from catalog.wall_checking.placing.seen_squares import see_squares
from catalog.wall_checking.planned_wall import BOUGHT, PlannedBlock, PlannedWall
from catalog.wall_checking.wall_cloth import WallCloth
from catalog.wall_checking.wall_light import ShownPatches, WallLight, fit_light

Floats = NDArray[np.float64]

MIN_COLOURS = 0.45
"""Share of patches, each by how well it shows its cloth, from which a wall is the plan's."""
MIN_AGREEMENT = 0.3
"""Share of squares, planned or seen, that must be both."""
LOOKED_AT_PX = 1800
"""Long side of the photo as it is looked at: 10 blocks of 8 in across still show 20 px to the inch,
and blocks are read at 6."""
CLIPPED_ERROR = 0.5
"""Logarithm by which light may be more than what is seen of a patch that is clipped."""
FIELD_NODES = 5
"""Points along a block's side at which the light is computed."""


@dataclass(frozen=True, eq=False)
class ReadBlocks:
    """Blocks of one make, k of them, that a photo shows, in the light of the bundle's photo."""

    views: BlockViews
    model: PlannedBlock
    """One of them: all have their patches where it has."""
    weights: Floats
    """(patches, high, wide) what tells of each patch."""
    moments: NDArray[np.float32]
    """(k, high, wide, 13) as of `cloth_features.moments_of`, then which channels were clipped."""


@dataclass(frozen=True, eq=False)
class ReadPhoto:
    """One photo of the wall."""

    photo: Photo
    """As it was looked at, reduced."""
    found: Registration
    light: WallLight
    groups: tuple[ReadBlocks, ...]
    bought: tuple[str, ...]
    """Names of the bought cloths of ``light``."""
    enlarged: float = 1.0
    """Pixels of the photo as taken to one of ``photo``."""


def readings_of_photo(
    photo: Photo, plan: PlannedWall, cloths: Mapping[str, WallCloth]
) -> Iterator[ReadPhoto]:
    """Find a plan in a photo and read its blocks, the likeliest way first.

    Yields none where the photo doesn't show it.

    Parameters
    ----------
    photo : Photo
    plan : PlannedWall
    cloths : mapping
        By label of the bundle's squares.
    """
    taken, photo = photo, _reduced(photo)
    enlarged = taken.pixels.shape[1] / photo.pixels.shape[1]
    for found in _placed(photo, plan, cloths):
        read = _read(photo, plan, cloths, found)
        if read is not None:
            yield replace(read, enlarged=enlarged)


def _read(
    photo: Photo, plan: PlannedWall, cloths: Mapping[str, WallCloth], found: Registration
) -> ReadPhoto | None:
    """Read the blocks of a plan that is found in a photo."""
    makes = _makes(plan)
    views = [view_blocks(photo, found, picked, plan.blocks[picked[0]]) for picked in makes]
    views = [one for one in views if len(one.block)]
    if not views:
        return None
    weights = [_weights(plan.blocks[one.block[0]]) for one in views]
    names = _bought_names(plan)
    shown = [
        _shown(plan, cloths, found, one, weight, names)
        for one, weight in zip(views, weights, strict=True)
    ]
    block_size = float(np.mean([block.width for block in plan.blocks])) / found.inches
    light = fit_light(_joined(shown), block_size)
    if not light.usual:
        return None
    groups = tuple(
        ReadBlocks(one, plan.blocks[one.block[0]], weight, _even_moments(one, light, found, plan))
        for one, weight in zip(views, weights, strict=True)
    )
    return ReadPhoto(photo, found, light, groups, tuple(names))


def _placed(
    photo: Photo, plan: PlannedWall, cloths: Mapping[str, WallCloth]
) -> Iterator[Registration]:
    """Yield where a plan may lie in a photo: by squares that are seen, then by lines."""
    squares, middles = squares_of(plan), middles_of(plan)
    colours = patch_colours(plan, cloths)
    seen = see_squares(photo) if len(squares.side) else None
    if seen is not None:
        guesses = guess_offsets(seen, squares, middles)
        chosen = best_offset(photo, seen, guesses, colours, middles)
        if chosen and chosen[1] > MIN_COLOURS and chosen[0].agreement > MIN_AGREEMENT:
            yield register(seen, chosen[0], squares, middles)
    lines = see_lines(photo) if len(squares.side) else None
    if lines is not None:
        guesses = guess_by_lines(lines, plan, middles)
        chosen = best_offset(photo, lines, guesses, colours, middles)
        if chosen and chosen[1] > MIN_COLOURS:
            yield register_by_patches(photo, lines, chosen[0], plan, middles)


def _reduced(photo: Photo) -> Photo:
    """Return a photo no larger than what is looked at."""
    import cv2

    height, width = photo.pixels.shape[:2]
    shrink = LOOKED_AT_PX / max(height, width)
    if shrink >= 1.0:
        return photo
    size = (round(width * shrink), round(height * shrink))
    small = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    return Photo(photo.name, np.asarray(small, np.uint8))


def _makes(plan: PlannedWall) -> list[NDArray[np.intp]]:
    """Return the blocks that are to hang, in groups whose patches lie alike."""
    groups: dict[object, list[int]] = {}
    for number, block in enumerate(plan.blocks):
        if block.patches:
            make = (block.kind, block.turn, len(block.squares), block.patches)
            groups.setdefault(make, []).append(number)
    return [np.array(group, np.intp) for group in groups.values()]


def _bought_names(plan: PlannedWall) -> list[str]:
    return list(
        dict.fromkeys(
            patch.bought for block in plan.blocks for patch in block.patches if patch.slot == BOUGHT
        )
    )


def _weights(block: PlannedBlock) -> Floats:
    return patch_weights(block, grid_of(block.width, block.height))


def _shown(
    plan: PlannedWall,
    cloths: Mapping[str, WallCloth],
    found: Registration,
    views: BlockViews,
    weights: Floats,
    names: Sequence[str],
) -> ShownPatches:
    """Return the patches of some blocks that have a cloth to be held against."""
    flat = weights.reshape(len(weights), -1)
    flat = flat / np.maximum(flat.sum(axis=1, keepdims=True), 1.0)
    mean = flat @ views.linear.reshape(len(views.block), -1, 3).astype(np.float64)
    clipped = (flat @ views.clipped.reshape(len(views.block), -1, 3)).max(axis=-1)
    rows = []
    for number, block in enumerate(views.block):
        planned = plan.blocks[block]
        for place, patch in enumerate(planned.patches):
            at = found.origin[block] + found.axes[block] @ np.mean(patch.polygon, axis=0)
            own = None if patch.slot == BOUGHT else cloths.get(planned.squares[patch.slot])
            if own is not None:
                off = _unevenness(own) + CLIPPED_ERROR * clipped[number, place]
                rows.append((at, mean[number, place], plain_linear(own), 0, off))
            elif patch.slot == BOUGHT:
                which = names.index(patch.bought) + 1
                off = CLIPPED_ERROR * clipped[number, place]
                rows.append((at, mean[number, place], np.ones(3), which, off))
    at, linear, cloth, bought, spread = zip(*rows, strict=True) if rows else ((),) * 5
    return ShownPatches(
        np.array(at).reshape(-1, 2),
        np.array(linear).reshape(-1, 3),
        np.array(cloth).reshape(-1, 3),
        np.array(bought, np.intp),
        np.array(spread, np.float64),
    )


def _unevenness(cloth: WallCloth) -> float:
    """Return how much a cloth's brightness is in doubt, as a logarithm: quarters of it differ."""
    if cloth.pixels is None:
        return 0.1
    half = cloth.pixels.shape[0] // 2
    parts = cloth.pixels[: 2 * half, : 2 * half].reshape(2, half, 2, half, 3).mean(axis=(1, 3, 4))
    return float(np.log(parts + 0.01).std()) + CLIPPED_ERROR * cloth.clipped


def _joined(several: Sequence[ShownPatches]) -> ShownPatches:
    return ShownPatches(
        np.concatenate([one.at for one in several]),
        np.concatenate([one.linear for one in several]),
        np.concatenate([one.cloth for one in several]),
        np.concatenate([one.bought for one in several]),
        np.concatenate([one.spread for one in several]),
    )


def _even_moments(
    views: BlockViews, light: WallLight, found: Registration, plan: PlannedWall
) -> NDArray[np.float32]:
    """Return what features of the blocks are averaged of, the wall's light taken away."""
    import cv2

    block = plan.blocks[views.block[0]]
    high, wide = views.linear.shape[1:3]
    x = (np.arange(FIELD_NODES) + 0.5) / FIELD_NODES - 0.5
    nodes = np.stack(np.meshgrid(x * block.width, x * block.height), axis=-1)
    axes = found.axes[views.block]
    at = np.einsum("kij,abj->kabi", axes, nodes) + found.origin[views.block][:, None, None]
    field = light.field_at(at).astype(np.float32)
    even = [
        light.even(linear, cv2.resize(own, (wide, high), interpolation=cv2.INTER_LINEAR))
        for linear, own in zip(views.linear, field, strict=True)
    ]
    moments = moments_of(np.array(even, np.float32))
    return np.concatenate([moments, views.clipped.astype(np.float32)], axis=-1)
