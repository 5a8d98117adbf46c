"""A pattern on the page: messages, numbers, pictures and blocks as plain JSON values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final, get_args

from catalog.cutting.layouts.precuts import PRECUTS
from catalog.cutting.quilt_finishing import LastPanel
from catalog.cutting.quilt_sizes.quilt_layout import layout_words
from catalog.cutting.units.units_by_name import usual_units
from catalog.cutting.yardage.binding import Grain
from catalog.cutting.yardage.borders import Corners, StripGrain
from catalog.cutting.yardage.finishing_pieces import Fold
from catalog.lengths import show_length
from catalog.models import MatchBy, Value
from catalog.pattern.data.made_numbers import shown_cut
from catalog.pattern.data.mirrored_units import mirrored
from catalog.pattern.pattern_map import SETS, WAYS
from catalog.pattern.pattern_quilt import EDGE_POSTS

if TYPE_CHECKING:
    from catalog.cutting.quilt_faces import ClothFace, QuiltFaces
    from catalog.cutting.units.unit_kind import UnitKind
    from catalog.pattern.data.cloth_groups import ClothGroup
    from catalog.pattern.data.drawn_tiles import DrawnBlock, Tile
    from catalog.pattern.data.made_numbers import PieceNumbers, QuiltNumbers, UnitNumbers
    from catalog.pattern.data.pattern_messages import FieldMessage

View = dict[str, Any]
COMMON_FIRST: Final = (
    *("square", "half-square-triangle", "quarter-square-triangle", "flying-geese", "rectangle"),
    *("square-in-a-square", "flipped-corners", "one-flipped-corner", "half-rectangle-triangle"),
    *("four-patch", "nine-patch", "rails", "sawtooth-star", "log-cabin"),
)
"""Units that most blocks are made of (common practice)."""


def message_view(one: FieldMessage) -> View:
    """Return a message with the edits of its button."""
    edits = [{"place": list(e.place), "value": e.value} for e in one.mend.edits] if one.mend else []
    return {
        "place": list(one.place),
        "says": one.says,
        "weight": one.weight,
        "piece": one.piece,
        "mend": {"says": one.mend.says, "edits": edits} if one.mend else None,
    }


def numbers_view(numbers: QuiltNumbers) -> View:
    """Return what is cut and trimmed, and what the quilt comes to."""
    layout = numbers.quilt.layout
    return {
        "size": f"{show_length(layout.width, mark=False)} x {show_length(layout.length)}",
        "words": layout_words(layout),
        "block": shown_cut((layout.block, layout.tall)),
        "blocks": layout.blocks,
        "pieces": [_piece(one) for one in numbers.pieces],
        "units": [_unit(one) for one in numbers.units],
        "lengths": [
            {"name": name, "size": shown_cut((wide, long))} for name, wide, long in numbers.lengths
        ],
    }


def _piece(one: PieceNumbers) -> View:
    return {
        "name": one.name,
        "role": one.role,
        "from": one.source,
        "cloth": one.cloth,
        "cut": shown_cut(one.cut),
        "per_block": list(one.per_block),
        "count": one.count,
        "each": one.each,
        "squares": one.squares,
    }


def _unit(one: UnitNumbers) -> View:
    return {
        "block": one.block,
        "mark": one.mark,
        "unit": one.unit.replace("-", " "),
        "at_a_time": one.at_a_time,
        "trim": shown_cut(one.trim),
        "trimmed": one.trimmed,
        "finished": shown_cut(one.finished),
        "per_block": one.per_block,
    }


def faces_view(faces: QuiltFaces) -> View:
    """Return a quilt as polygons; those of blocks in shares of their sides, others in inches."""
    return {
        "width": faces.width,
        "length": faces.length,
        "block": list(faces.block),
        "on_point": faces.on_point,
        "blocks": [[_face(one) for one in block] for block in faces.blocks],
        "spots": [[s.block, round(s.x, 3), round(s.y, 3), s.turn] for s in faces.spots],
        "below": [_face(one) for one in faces.below],
        "above": [_face(one) for one in faces.above],
    }


def _face(one: ClothFace) -> View:
    points = " ".join(f"{x:.4g},{y:.4g}" for x, y in one.corners)
    return {"points": points, "role": one.role, "cloth": one.cloth, "which": one.which}


def drawn_view(blocks: Sequence[DrawnBlock]) -> list[View]:
    """Return blocks as they are drawn."""
    return [
        {
            "across": block.across,
            "down": block.down,
            "mark": block.mark,
            "tiles": [_tile(one) for one in block.tiles],
        }
        for block in blocks
    ]


def cloths_view(groups: Sequence[ClothGroup]) -> list[View]:
    """Return what blocks are painted with."""
    return [
        {
            **{key: value for key, value in one.table.items() if key != "quota"},
            "name": one.name,
            "role": one.role,
            "pieces": list(one.pieces),
        }
        for one in groups
    ]


def _tile(one: Tile) -> View:
    return {
        "unit": one.unit,
        "row": one.row,
        "column": one.column,
        "wide": one.wide,
        "high": one.high,
        "turn": one.turn,
        "paints": [{"piece": paint.piece, "tone": paint.tone} for paint in one.paints],
        "at_a_time": one.at_a_time,
        "trimmed": one.trimmed,
    }


def parts_view() -> View:
    """Return what patterns are made of: units with their faces, and what fields may be."""
    return {
        "units": [_kind(unit) for unit in sorted(usual_units(), key=_place) if unit.parts],
        "choices": {
            "set": SETS,
            "alternate": WAYS,
            "match_by": get_args(MatchBy),
            "value": get_args(Value),
            "corners": get_args(Corners),
            "border_cut": get_args(StripGrain),
            "binding_cut": get_args(Grain),
            "fold": get_args(Fold),
            "edge": ("straight", "rounded"),
            "edge_posts": EDGE_POSTS,
            "last_panel": get_args(LastPanel),
            "sold_as": ("yardage", *(one.plural for one in PRECUTS)),
        },
    }


def _place(unit: UnitKind) -> int:
    """Return where a unit stands among those to choose from: the commonest first."""
    return COMMON_FIRST.index(unit.name) if unit.name in COMMON_FIRST else len(COMMON_FIRST)


def _kind(unit: UnitKind) -> View:
    from catalog.cutting.unit_faces import part_names

    aspect, seen = unit.ways[0].aspect, mirrored(unit.name)
    parts = zip(unit.parts, part_names(unit), strict=True)
    return {
        "name": unit.name,
        "says": unit.name.replace("-", " "),
        "wide": aspect.denominator,
        "high": aspect.numerator,
        "free": unit.reshaped is not None,
        "ways": [way.at_a_time for way in unit.ways],
        "parts": [{"name": name, "polygons": _points(part.polygons)} for part, name in parts],
        "groups": [list(group) for group in unit.groups],
        "group_names": list(unit.group_names),
        "mirrored": {"unit": seen.unit, "turn": seen.turn, "parts": seen.parts} if seen else None,
    }


def _points(polygons: Sequence[Sequence[tuple[Any, Any]]]) -> list[list[list[float]]]:
    return [[[round(float(x), 5), round(float(y), 5)] for x, y in one] for one in polygons]
