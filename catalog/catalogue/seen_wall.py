"""Photos of a wall held against the plan of a kept bundle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from catalog.catalogue.records import StoredBundle
from catalog.count_results import Bundle, PhotoResult
from catalog.models import Photo, SeenPlace, WallCheck
from catalog.planning import Planned

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.hung_plan import HungPlan
    from catalog.wall_checking.planned_wall import PlannedWall

TURNS: Final = (0, 90, 270, 180)
"""Degrees clockwise, the least first."""


def seen_wall(
    kept: StoredBundle,
    bundle_photos: Sequence[PhotoResult],
    planned: Planned,
    photos: Sequence[Photo],
    sets: Mapping[int, tuple[str, ...]],
) -> WallCheck:
    """Tell what hangs at each place of a plan.

    Parameters
    ----------
    kept : StoredBundle
    bundle_photos : sequence of PhotoResult
        Its own photos, from which its cloth is known.
    planned : Planned
    photos : sequence of Photo
        Of the wall; no two of one name.
    sets : mapping
        Labels of the bundle's sets by number, of the count that the plan was made from: those that
        are planned nowhere can hang there nevertheless.
    """
    from catalog.wall_checking import check_wall
    from catalog.wall_checking.planned_wall import planned_wall
    from catalog.wall_checking.sewn_joins import with_joins
    from catalog.wall_checking.wall_cloth import cloths_of

    quilt = planned.adapted.quilt if planned.adapted else planned.quilt
    sewn = replace(quilt, finished_block=planned.layout.block)
    wall = _with_spare(planned_wall(sewn, planned.wall), sets)
    check = check_wall(photos, wall, cloths_of(Bundle(tuple(bundle_photos), kept.swatches)))
    check = with_joins(check, photos, wall)
    fabrics = {swatch.label: swatch.fabric or swatch.label for swatch in kept.swatches}
    return replace(check, places=tuple(_least_turned(one, wall, fabrics) for one in check.places))


def numbered_sets(
    catalogue: Catalogue, kept: StoredBundle, hung: HungPlan
) -> Mapping[int, tuple[str, ...]]:
    """Return the labels of the sets that a plan was made from, by number.

    For a plan from a file those are the last count's, if its blocks have them.

    Parameters
    ----------
    catalogue : Catalogue
    kept : StoredBundle
    hung : HungPlan
    """
    from catalog.catalogue.last_count import last_count

    if hung.count is not None:
        return {one.number: one.swatches for one in hung.count.sets}
    last = last_count(catalogue, kept)
    label = {one.id: name for name, one in kept.by_label.items()}
    sets = {one.number: tuple(label[k] for k in one.squares if k in label)
            for one in (last.sets if last else ())}  # fmt: skip
    own = all(
        set(sets.get(number, ("",))) <= {name for _, name in block.squares}
        for block in hung.planned.wall.blocks
        for number in block.sets
    )
    return sets if own else {}


def _with_spare(wall: PlannedWall, sets: Mapping[int, tuple[str, ...]]) -> PlannedWall:
    """Return a plan with the sets of which nothing hangs in it."""
    from catalog.wall_checking.planned_wall import SpareSet

    hung = {label for block in wall.blocks for label in block.squares}
    spare = (SpareSet(number, one) for number, one in sets.items() if hung.isdisjoint(one))
    return replace(wall, spare=tuple(spare))


def _least_turned(one: SeenPlace, wall: PlannedWall, fabrics: Mapping[str, str]) -> SeenPlace:
    """Return a block of another place with the least turn that looks the same.

    A block of one fabric looks the same after any turn, a pinwheel of two after half a one.
    """
    from catalog.wall_checking.contents import look_of

    blocks = {block.place: block for block in wall.blocks}
    hangs = blocks.get(one.shows or "") if one.state == "other" else None
    if not one.turned_deg or hangs is None or one.place not in blocks:
        return one
    cloths = tuple(fabrics.get(label, label) for label in hangs.squares)
    here = blocks[one.place]
    told = look_of(here, cloths, one.turned_deg)
    alike = (turn for turn in TURNS if look_of(here, cloths, turn) == told)
    return replace(one, turned_deg=next(alike, one.turned_deg))
