"""A photo of the design wall held against the plan.

In come photos of the wall (`catalog.photo` decodes them), the plan with every patch in its place
(`planned_wall.planned_wall` makes it of a quilt and a `WallPlan`) and the cloth of the bundle's
squares (`wall_cloth.cloths_of` cuts it out of the bundle's photos). Out goes a `WallCheck`: what
hangs at each place and how sure that is. It stands above the stages because it finds squares in
the photos as `catalog.finding` does and cuts cloth as `catalog.measuring` does.
"""

from __future__ import annotations

from collections.abc import Sequence

from catalog.models import Photo, SeenPlace, WallCheck
from catalog.system.one_thread import on_one_thread
from catalog.wall_checking.planned_wall import PlannedWall
from catalog.wall_checking.wall_cloth import WallCloth

__all__ = ["check_wall"]


@on_one_thread
def check_wall(
    photos: Sequence[Photo], plan: PlannedWall, cloths: Sequence[WallCloth]
) -> WallCheck:
    """Tell what hangs at each place of a plan.

    Parameters
    ----------
    photos : sequence of Photo
        Of one wall, each of any part of it.
    plan : PlannedWall
    cloths : sequence of WallCloth
        Of every square of the bundle, those in no set too: they can hang in a wrong place.

    Returns
    -------
    WallCheck
        ``wall_found`` is False where no photo shows blocks of the plan; every place is then
        ``not in the photo``.
    """
    del photos, cloths  # as long as nothing is looked for
    unseen = tuple(SeenPlace(block.place, "not in the photo") for block in plan.blocks)
    return WallCheck(unseen, wall_found=False)
