"""What finishes the quilt of a pattern file: binding, backing, hanging sleeve and label."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, cast, get_args

from catalog.cutting.quilt import PieceKind
from catalog.cutting.quilt_finishing import (
    Finishing,
    LastPanel,
    QuiltBacking,
    QuiltBinding,
    QuiltLabel,
    Sleeve,
)
from catalog.cutting.yardage.binding import Grain
from catalog.cutting.yardage.finishing_pieces import Fold, binding_strip
from catalog.pattern.cloth_names import shared_cloth
from catalog.pattern.toml_table import TomlTable

FINISHING_FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "binding": ("strip", "cut", "cloth", "finished", "fold", "edge"),
    "backing": ("width", "overhang", "directional", "last_panel"),
    "sleeve": ("depth", "cloth"),
    "label": ("width", "length", "cloth"),
}
MIN_STRIP: Final = Fraction(1)
MAX_STRIP: Final = Fraction(6)
MIN_SHOWN: Final = Fraction(1, 8)
"""Inches of binding that show; less than an eighth no seam allowance goes under."""
MAX_SHOWN: Final = Fraction(5, 4)
MIN_CLOTH: Final = Fraction(10)
"""Inches across a cloth; fat quarters are wider."""
MAX_CLOTH: Final = Fraction(150)
MAX_OVERHANG: Final = Fraction(12)
EDGES: Final = ("straight", "rounded", "scalloped")


def binding_of(top: TomlTable, kinds: Sequence[PieceKind], seam: Fraction) -> QuiltBinding | None:
    """Read the binding.

    Raises
    ------
    PatternError
        With the line and the field that is wrong; a scalloped edge, whose length nothing tells.
    """
    if "binding" not in top:
        return None
    table = top.table("binding")
    table.only(FINISHING_FIELDS["binding"])
    grain = cast("Grain", table.choice("cut", get_args(Grain), "straight"))
    edge = table.choice("edge", EDGES, EDGES[0])
    if edge == "scalloped":
        table.refuse(
            "edge",
            "how long a scalloped edge is depends on how its curves are drawn",
            "lay a tape along them and buy bias binding for that length, or leave edge out",
            table.put("edge", None),
        )
    if edge == "rounded" and grain != "bias":
        problem, edit = "only a bias strip goes round a curve", table.put("cut", "bias")
        table.refuse("cut", problem, 'write cut = "bias"', edit)
    return QuiltBinding(_strip(table, seam), grain, shared_cloth(table, "cloth", kinds))


def _strip(table: TomlTable, seam: Fraction) -> Fraction:
    """Return how wide binding is cut, as told or from the width that shows."""
    if table.one_of(("strip", "finished")) == "strip":
        if "fold" in table:
            gone = table.put("fold", None)
            table.refuse("fold", "the strip's width says it already", "leave it out", gone)
        return table.length("strip", MIN_STRIP, MAX_STRIP)
    fold = cast("Fold", table.choice("fold", get_args(Fold), "double"))
    return binding_strip(table.length("finished", MIN_SHOWN, MAX_SHOWN), fold, seam)


def finishing_of(top: TomlTable, kinds: Sequence[PieceKind]) -> Finishing:
    """Read backing, hanging sleeve and label.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    return Finishing(_backing(top), _sleeve(top, kinds), _label(top, kinds))


def _backing(top: TomlTable) -> QuiltBacking:
    if "backing" not in top:
        return QuiltBacking()
    table = top.table("backing")
    table.only(FINISHING_FIELDS["backing"])
    return QuiltBacking(
        table.length("width", MIN_CLOTH, MAX_CLOTH) if "width" in table else None,
        table.length("overhang", MIN_SHOWN, MAX_OVERHANG) if "overhang" in table else None,
        table.flag("directional", False),
        cast("LastPanel", table.choice("last_panel", get_args(LastPanel), "whole")),
    )


def _sleeve(top: TomlTable, kinds: Sequence[PieceKind]) -> Sleeve | None:
    if "sleeve" not in top:
        return None
    table = top.table("sleeve")
    table.only(FINISHING_FIELDS["sleeve"])
    depth = table.length("depth", Fraction(1), Fraction(12)) if "depth" in table else Fraction(4)
    return Sleeve(depth, shared_cloth(table, "cloth", kinds))


def _label(top: TomlTable, kinds: Sequence[PieceKind]) -> QuiltLabel | None:
    if "label" not in top:
        return None
    table = top.table("label")
    table.only(FINISHING_FIELDS["label"])
    wide, long = (table.length(key, Fraction(1), Fraction(20)) for key in ("width", "length"))
    return QuiltLabel(wide, long, shared_cloth(table, "cloth", kinds))
