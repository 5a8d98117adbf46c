"""A quilt that hangs to all of its faces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from catalog.cutting.laid_faces.laid_face import LaidFace
from catalog.cutting.laid_faces.round_faces import binding_faces, border_faces
from catalog.cutting.laid_faces.strip_faces import middle_faces
from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import Crossing, crossings_round, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.report.faces.face_values import FilledFace, Filling, HungQuilt
from catalog.report.faces.hung_faces import block_faces, hung_block
from catalog.report.faces.shown_cloths import ShownCloths, shown_cloths
from catalog.report.pictures.block_face import Tones


def hung_quilt(quilt: Quilt, layout: Layout, wall: WallPlan, plain: Tones) -> HungQuilt:
    """Return every face of a quilt, and what it is cut from.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    wall : WallPlan
        What hangs where.
    plain : Tones
        Of what is bought.
    """
    cloths = shown_cloths(quilt, plain)
    posts = _posts(layout, wall) if quilt.sashing and quilt.sashing.post_kind else {}
    under = _filled(middle_faces(quilt, layout), cloths, posts)
    hung = tuple(hung_block(quilt, layout, block) for block in wall.blocks)
    over = _filled((*border_faces(quilt, layout), *binding_faces(layout)), cloths, {})
    shown = [one.filling.cloth for one in (*under, *over)]
    shown += [filling.cloth for block in hung for filling in block.fillings]
    return HungQuilt(
        float(layout.width),
        float(layout.length),
        {name: cloths.tones[name] for name in dict.fromkeys(shown) if name},
        tuple(block_faces(block, layout) for block in quilt.blocks),
        under,
        hung,
        over,
    )


def _filled(
    faces: Iterable[LaidFace], cloths: ShownCloths, posts: Mapping[Crossing, str]
) -> tuple[FilledFace, ...]:
    """Fill faces with bought cloth, but posts that are cut from squares."""
    found = []
    for one in faces:
        filling = Filling(cloths.of(one))
        if posts and one.crossing is not None:
            filling = Filling(square=posts.get(one.crossing, ""))
        found.append(FilledFace(one.face, filling))
    return tuple(found)


def _posts(layout: Layout, wall: WallPlan) -> dict[Crossing, str]:
    """Return the square of each post that is cut from one, by its crossing."""
    found: dict[Crossing, str] = {}
    for spot, block in zip(places(layout), wall.blocks, strict=True):
        for at, label in zip(crossings_round(spot), block.posts, strict=False):
            if label is not None:
                found[at] = label
    return found
