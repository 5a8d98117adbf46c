"""Photos of a wall held against the plan of a kept bundle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from catalog.catalogue.records import StoredBundle
from catalog.count_results import Bundle, PhotoResult
from catalog.models import Photo, WallCheck
from catalog.planning import Planned


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
    from catalog.wall_checking.wall_cloth import cloths_of

    quilt = planned.adapted.quilt if planned.adapted else planned.quilt
    sewn = replace(quilt, finished_block=planned.layout.block)
    cloths = cloths_of(Bundle(tuple(bundle_photos), kept.swatches))
    return check_wall(photos, planned_wall(sewn, planned.wall), cloths)
