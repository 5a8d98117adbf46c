"""A quilt that hangs to what the page draws it from; results in, plain JSON values out."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Any, Final

from catalog.catalogue.store.photo_rows import picture_mark
from catalog.report.faces.hung_faces import hung_block
from catalog.report.faces.hung_quilt import hung_quilt
from catalog.report.pictures.cloth_texture import EDGE_IN
from catalog.report.pictures.crop_sheet import sheet_grid
from catalog.wall.drawn.pressing_arrows import pressing_arrows
from catalog.wall.rehanging.square_groups import groups_of
from cli.counting.count_plan import tones_bought
from cli.page.bundle_view import colours_of
from cli.page.wall.cloth_trial import picture_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from catalog.catalogue.records import StoredBundle
    from catalog.cutting.laid_faces.laid_face import Face
    from catalog.cutting.plans import WallBlock
    from catalog.models import Lab, Swatch
    from catalog.planning import Planned
    from catalog.report.faces.face_values import FilledFace, Filling, HungBlock, HungQuilt
    from cli.page.routes.plan_routes import Plan
    from cli.page.server_state import ServerState

View = dict[str, Any]

DECIMALS: Final = 3
"""Of inches: a thousandth is a tenth of a pixel where an inch is a hundred."""


def quilt_view(state: ServerState, kept: StoredBundle, plan: Plan, planned: Planned) -> View:
    """Return all faces of the quilt in inches and what fills each.

    What fills a face is a number: of a square of the bundle, or -1 for the first of ``cloths``, -2
    for the second and so on, or 0 where a square is wanting.
    """
    tones = tones_bought(planned, kept.swatches)
    faces = hung_quilt(planned.quilt, planned.layout, planned.wall, tones)
    numbers = fill_numbers(kept, faces.cloths)
    return {
        "key": plan.wall,
        "wide": round(faces.wide, DECIMALS),
        "long": round(faces.long, DECIMALS),
        "cloths": _cloths(state, planned, kept, faces.cloths),
        "sheet": sheet_view(kept),
        **_squares(kept),
        "kinds": [[_face(face) for face in kind] for kind in faces.kinds],
        "under": [_filled(one, numbers) for one in faces.under],
        "blocks": blocks_view(kept, plan, planned, faces),
        "over": [_filled(one, numbers) for one in faces.over],
        "press": [
            _rounded((one.x, one.y, one.turn, one.long))
            for one in pressing_arrows(planned.quilt, planned.layout, planned.wall)
        ],
    }


def fill_numbers(kept: StoredBundle, names: Iterable[str]) -> Mapping[Filling, int]:
    """Return the number that stands for each filling."""
    from catalog.report.faces.face_values import WANTS, Filling

    cloths = {Filling(cloth=name): -n for n, name in enumerate(names, 1)}
    squares = {Filling(square=label): one.id for label, one in kept.by_label.items()}
    return {WANTS: 0, **cloths, **squares}


def crop_inches(swatch: Swatch) -> float:
    """Return how many inches of its cloth a square's picture shows across and down."""
    side = min(swatch.square.width_in, swatch.square.height_in)
    return round(max(side - 2 * EDGE_IN, 0.5), DECIMALS)


def sheet_view(kept: StoredBundle) -> View:
    """Return where the sheet of all squares' pictures is, and where each lies on it."""
    squares = sheet_squares(kept)
    grid = sheet_grid(len(squares))
    address = f"/api/bundle/{kept.id}/squares.jpg?v={sheet_mark(kept)}"
    return {"href": address, "side": grid.side, "columns": grid.columns, "squares": squares}


def sheet_squares(kept: StoredBundle) -> list[int]:
    """Return the squares on a bundle's sheet of pictures, in their order."""
    return sorted(one.id for one in kept.by_label.values())


def sheet_mark(kept: StoredBundle) -> str:
    """Return what changes whenever the sheet of pictures may."""
    made = [
        *(f"{photo.digest} {kept.measured_from.get(photo.id, '')}" for photo in kept.photos),
        *map(str, sheet_squares(kept)),
    ]
    return hashlib.sha256(" ".join(made).encode()).hexdigest()[:16]


def cloth_names(kept: StoredBundle, planned: Planned) -> tuple[str, ...]:
    """Return the names of the bought cloths that show, in the order of `quilt_view`."""
    tones = tones_bought(planned, kept.swatches)
    return tuple(hung_quilt(planned.quilt, planned.layout, planned.wall, tones).cloths)


def cloths_view(state: ServerState, planned: Planned, kept: StoredBundle) -> list[View]:
    """Return the bought cloths that show, as they look."""
    tones = tones_bought(planned, kept.swatches)
    faces = hung_quilt(planned.quilt, planned.layout, planned.wall, tones)
    return _cloths(state, planned, kept, faces.cloths)


def _cloths(
    state: ServerState, planned: Planned, kept: StoredBundle, shown: Mapping[str, Lab]
) -> list[View]:
    looks = colours_of(list(shown.values()))
    return [
        {
            "name": name,
            **look,
            "L": round(lab[0], 2),
            "chosen": name in planned.cloths,
            "picture": picture_of(state, kept, planned.cloths.get(name)),
        }
        for (name, lab), look in zip(shown.items(), looks, strict=True)
    ]


def _face(face: Face) -> View:
    told: View = {
        "p": [round(one, DECIMALS) for point in face.points for one in point],
        "m": _rounded(face.middle),
        "s": _rounded(face.size),
    }
    return {**told, "t": face.turn} if face.turn else told


def _filled(one: FilledFace, numbers: Mapping[Filling, int]) -> View:
    return {**_face(one.face), "f": numbers.get(one.filling, 0)}


def blocks_view(kept: StoredBundle, plan: Plan, planned: Planned, faces: HungQuilt) -> list[View]:
    """Return what fills the faces of each block, and what of it moves together."""
    numbers = fill_numbers(kept, faces.cloths)
    return [
        _block(kept, plan, block, one, numbers)
        for one, block in zip(faces.hung, planned.wall.blocks, strict=True)
    ]


def changed_blocks_view(
    kept: StoredBundle,
    plan: Plan,
    planned: Planned,
    names: Iterable[str],
    places: Collection[str],
) -> list[View]:
    """Return some blocks of a quilt as `quilt_view` tells them; the names of its cloths tell."""
    numbers = fill_numbers(kept, names)
    return [
        _block(kept, plan, block, hung_block(planned.quilt, planned.layout, block), numbers)
        for block in planned.wall.blocks
        if block.place in places
    ]


def _block(
    kept: StoredBundle,
    plan: Plan,
    block: WallBlock,
    one: HungBlock,
    numbers: Mapping[Filling, int],
) -> View:
    groups = groups_of(block, plan.count.sets)
    number = {label: one.id for label, one in kept.by_label.items()}
    return {
        **_hung(one, numbers),
        "groups": [
            {"number": group.number, "squares": [number[label] for label in group.labels]}
            for group in groups
        ],
        "ways": [number[label] for label in block.one_way],
        "done": block.done,
    }


def _squares(kept: StoredBundle) -> View:
    """Return of each square the inches that its picture shows, its colour, and its picture's mark.

    The marks, one for each photo, stand in the addresses of the pictures.
    """
    marks = {photo.id: picture_mark(photo.digest, kept.measured_from.get(photo.id, ""))
             for photo in kept.photos}  # fmt: skip
    order = {photo: n for n, photo in enumerate(marks)}
    looks = colours_of([one.lab for one in kept.swatches])
    squares = {}
    for one, look in zip(kept.swatches, looks, strict=True):
        square = kept.by_label[one.label]
        squares[str(square.id)] = [crop_inches(one), look["hex"], order.get(square.photo, -1)]
    return {"squares": squares, "marks": list(marks.values())}


def _hung(one: HungBlock, numbers: Mapping[Filling, int]) -> View:
    told: View = {
        "place": one.place,
        "kind": one.kind,
        "at": _rounded(one.middle),
        "t": one.turn,
        "f": [numbers.get(filling, 0) for filling in one.fillings],
    }
    return {**told, "turns": dict(one.turns)} if one.turns else told


def _rounded(values: Sequence[float]) -> list[float]:
    return [round(one, DECIMALS) for one in values]
