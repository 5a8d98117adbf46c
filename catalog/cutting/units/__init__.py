"""Units of patchwork: what to cut for them, what a square in hand gives, at any seam, exactly."""

from catalog.cutting.units.corner_squares import flipped_corners
from catalog.cutting.units.cutting_method import (
    FINISHED,
    SEAM,
    UNFINISHED,
    Method,
    Size,
    UnitPiece,
    segments,
)
from catalog.cutting.units.near_sizes import easy_size, even_sizes
from catalog.cutting.units.patchwork import (
    patch,
    quartered_finished,
    rectangle,
    row_unfinished,
    squares_from_square,
)
from catalog.cutting.units.setting_triangles import diagonal
from catalog.cutting.units.sewn_seam import METRIC_STEP, SEAM_STEP, Reach, reach, seam_of_unit
from catalog.cutting.units.sizing import (
    QUARTER_SEAM,
    USABLE_WIDTH,
    SizedPiece,
    SizedUnit,
    size_from_finished,
    size_from_square,
)
from catalog.cutting.units.surd import ROOT2, Surd
from catalog.cutting.units.triangles import bonus_triangle, common_factor_cut
from catalog.cutting.units.units_by_name import OTHER_NAMES, UNITS, find_method, unit_name

__all__ = [
    "FINISHED",
    "METRIC_STEP",
    "OTHER_NAMES",
    "QUARTER_SEAM",
    "ROOT2",
    "SEAM",
    "SEAM_STEP",
    "UNFINISHED",
    "UNITS",
    "USABLE_WIDTH",
    "Method",
    "Reach",
    "Size",
    "SizedPiece",
    "SizedUnit",
    "Surd",
    "UnitPiece",
    "bonus_triangle",
    "common_factor_cut",
    "diagonal",
    "easy_size",
    "even_sizes",
    "find_method",
    "flipped_corners",
    "patch",
    "quartered_finished",
    "reach",
    "rectangle",
    "row_unfinished",
    "seam_of_unit",
    "segments",
    "size_from_finished",
    "size_from_square",
    "squares_from_square",
    "unit_name",
]
