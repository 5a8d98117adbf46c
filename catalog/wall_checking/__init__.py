"""A photo of the design wall held against the plan.

In come photos of the wall (`catalog.photo` decodes them), the plan with every patch in its place
(`planned_wall.planned_wall` makes it of a quilt and a `WallPlan`) and the cloth of the bundle's
squares (`wall_cloth.cloths_of` cuts it out of the bundle's photos). Out goes a `WallCheck`: what
hangs at each place and how sure that is. It stands above the stages because it finds squares in
the photos as `catalog.finding` does and cuts cloth as `catalog.measuring` does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from catalog.models import Photo, SeenPlace, WallCheck
from catalog.system.one_thread import on_one_thread
from catalog.wall_checking.blocks_read import readings_of_photo
from catalog.wall_checking.cloth_features import ClothsInHand
from catalog.wall_checking.near_cloths import like_cloths
from catalog.wall_checking.place_chances import plan_shown
from catalog.wall_checking.place_evidence import PlaceEvidence, evidence_of_places
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall
from catalog.wall_checking.verdicts import judge_places
from catalog.wall_checking.wall_cloth import WallCloth

__all__ = ["check_wall"]

MIN_SHOWN_BLOCKS = 0.5
"""Share of the places in a photo that have to show a block of the plan, whichever: else it was
laid over something else."""

NOTHING_PLANNED = "nothing is planned there"


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
    in_hand = ClothsInHand(cloths)
    by_label = {cloth.label: cloth for cloth in cloths}
    best: dict[int, tuple[PlaceEvidence, str]] = {}
    for photo in photos:
        for one in _best_reading(photo, plan, by_label, in_hand):
            if one.block not in best or one.seen > best[one.block][0].seen:
                best[one.block] = (one, photo.name)
    evidence = [one for one, _ in best.values()]
    names = [name for _, name in best.values()]
    told = judge_places(evidence, plan, like_cloths(in_hand), names)
    return WallCheck(
        tuple(told.get(number) or _unseen(block) for number, block in enumerate(plan.blocks)),
        wall_found=bool(best),
    )


def _unseen(block: PlannedBlock) -> SeenPlace:
    return SeenPlace(block.place, "not in the photo", near="" if block.patches else NOTHING_PLANNED)


def _best_reading(
    photo: Photo, plan: PlannedWall, cloths: Mapping[str, WallCloth], in_hand: ClothsInHand
) -> list[PlaceEvidence]:
    """Return what a photo tells of each place: none where it doesn't show the plan's blocks."""
    for read in readings_of_photo(photo, plan, cloths):
        evidence = list(evidence_of_places(read, plan, in_hand))
        if plan_shown(evidence) > MIN_SHOWN_BLOCKS:
            return evidence
    return []
