"""The bought cloths of a quilt as its drawing calls them, as the list of what to buy does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalog.cutting.laid_faces.laid_face import LaidFace
from catalog.cutting.quilt import Quilt
from catalog.cutting.units.units_by_name import find_unit
from catalog.models import Lab
from catalog.report.pictures.block_face import Tones
from catalog.report.pictures.border_tones import (
    border_cloths,
    border_tones,
    known_tones,
    with_shared_cloths,
)

BINDING_STEP = 20.0
"""L* by which binding is darker than the border (choice of ours)."""


@dataclass(frozen=True)
class ShownCloths:
    """Names of what each part of a quilt is cut from, and how it looks."""

    tones: Mapping[str, Lab]
    """By name."""
    strip: str
    post: str
    edge: str
    binding: str
    strip_parts: tuple[str, ...]
    """Of each part of the unit that strips are pieced of; none where they are plain."""
    borders: tuple[tuple[str, ...], ...]
    """From the inside, of each part of its unit."""
    spacers: tuple[str, ...]
    """Of each border, empty where it has none."""
    corners: tuple[str, ...]
    """Of each border, what posts in its corners are cut from."""

    def of(self, one: LaidFace) -> str:
        """Return the name of what a face outside of blocks is cut from."""
        match one.role:
            case "edge":
                return self.edge
            case "binding":
                return self.binding
            case "spacer":
                return self.spacers[one.border]
            case "border":
                return self.borders[one.border][one.part or 0]
            case "post":
                return self.corners[one.border] if one.crossing is None else self.post
            case _:
                return self.strip if one.part is None else self.strip_parts[one.part]


def shown_cloths(quilt: Quilt, plain: Tones) -> ShownCloths:
    """Name the cloths of a quilt and give each a tone.

    Parameters
    ----------
    quilt : Quilt
    plain : Tones
        Of what is bought.
    """
    tones = with_shared_cloths(quilt, plain)
    sashing, binding = quilt.sashing, quilt.binding
    strip = (sashing and sashing.cloth) or "sashing"
    post = (sashing and sashing.post_cloth) or "posts"
    edge = quilt.edge_cloth or ("edge triangles" if quilt.on_point else "half blocks")
    bound = (binding and binding.cloth) or "binding"
    parts = _strip_parts(quilt)
    borders = tuple(border_cloths(quilt, one, n) for n, one in enumerate(quilt.borders, 1))
    lightness, a, b = tones.border
    own = {strip: tones.sashing, post: tones.border, edge: tones.ground}
    own |= {name: (tones.sashing, tones.ground)[n % 2] for n, name in enumerate(parts)}
    for names, looks in zip(borders, border_tones(quilt, tones), strict=True):
        own |= dict(zip(names, looks, strict=True))
    own[bound] = own.get(bound, (max(lightness - BINDING_STEP, 10.0), a, b))
    shown = own | known_tones(quilt, tones)
    shown = {name: plain.chosen.get(name, tone) for name, tone in shown.items()}
    spacers = tuple(one.spacer for one in quilt.borders)
    corners = tuple(
        one.post_cloth or own[0] for one, own in zip(quilt.borders, borders, strict=True)
    )
    return ShownCloths(shown, strip, post, edge, bound, parts, borders, spacers, corners)


def _strip_parts(quilt: Quilt) -> tuple[str, ...]:
    sashing = quilt.sashing
    if sashing is None or not sashing.pieced:
        return ()
    parts = len(find_unit(sashing.pieced).parts)
    return sashing.fabrics or tuple(f"sashing, fabric {n}" for n in range(1, parts + 1))
