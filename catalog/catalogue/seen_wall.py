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
    from catalog.wall_checking.planned_wall import PlannedWall

TURNS: Final = (0, 90, 270, 180)
"""Degrees clockwise, the least first."""


def seen_wall(
    kept: StoredBundle,
    bundle_photos: Sequence[PhotoResult],
    planned: Planned,
    photos: Sequence[Photo],
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
    """
    from catalog.wall_checking import check_wall
    from catalog.wall_checking.planned_wall import planned_wall
    from catalog.wall_checking.sewn_joins import with_joins
    from catalog.wall_checking.wall_cloth import cloths_of

    quilt = planned.adapted.quilt if planned.adapted else planned.quilt
    sewn = replace(quilt, finished_block=planned.layout.block)
    wall = planned_wall(sewn, planned.wall)
    check = check_wall(photos, wall, cloths_of(Bundle(tuple(bundle_photos), kept.swatches)))
    check = with_joins(check, photos, wall)
    fabrics = {swatch.label: swatch.fabric or swatch.label for swatch in kept.swatches}
    return replace(check, places=tuple(_least_turned(one, wall, fabrics) for one in check.places))


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
