"""A quilt that hangs to all of its faces."""

from __future__ import annotations

from catalog.cutting.plans import WallPlan
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.report.faces.face_values import HungQuilt
from catalog.report.faces.hung_faces import block_faces, hung_block
from catalog.report.faces.round_faces import round_faces
from catalog.report.faces.shown_cloths import shown_cloths
from catalog.report.faces.strip_faces import Crossing, middle_faces
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
    under = middle_faces(quilt, layout, cloths, _posts(layout, wall))
    hung = tuple(hung_block(quilt, layout, block) for block in wall.blocks)
    over = round_faces(quilt, layout, cloths)
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


def _posts(layout: Layout, wall: WallPlan) -> dict[Crossing, str]:
    """Return the square of each post that is cut from one, by its crossing."""
    found: dict[Crossing, str] = {}
    for spot, block in zip(places(layout), wall.blocks, strict=True):
        r, c = spot.row, spot.column
        corners = ((r, c), (r, c + 1), (r + 1, c + 1), (r + 1, c))
        for at, label in zip(corners, block.posts, strict=False):
            if label is not None:
                found[at] = label
    return found
