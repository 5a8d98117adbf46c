"""Rows and columns, sashing and borders: how large a quilt becomes, and what it is near to."""

from catalog.cutting.quilt_sizes.block_places import Place, places, row_letters
from catalog.cutting.quilt_sizes.filling import (
    Filled,
    Shape,
    judge,
    layouts_filled,
    missing_words,
    nearest_usual,
    next_steps,
    steps_to_usual,
    suggested,
)
from catalog.cutting.quilt_sizes.quilt_layout import (
    Layout,
    grid_fit,
    layout_words,
    post_count,
    sashing_cut,
    sashing_pieces,
    span,
    strip_count,
    times_root_2,
    widest_sashing,
)
from catalog.cutting.quilt_sizes.set_supply import QuiltSupply, Shortage, Supply
from catalog.cutting.quilt_sizes.standard_sizes import (
    MATTRESSES,
    NAMES,
    USUAL_SIZES,
    UsualSize,
    bed_quilt,
    usual_sizes,
)

__all__ = [
    "MATTRESSES",
    "NAMES",
    "USUAL_SIZES",
    "Filled",
    "Layout",
    "Place",
    "QuiltSupply",
    "Shape",
    "Shortage",
    "Supply",
    "UsualSize",
    "bed_quilt",
    "grid_fit",
    "judge",
    "layout_words",
    "layouts_filled",
    "missing_words",
    "nearest_usual",
    "next_steps",
    "places",
    "post_count",
    "row_letters",
    "sashing_cut",
    "sashing_pieces",
    "span",
    "steps_to_usual",
    "strip_count",
    "suggested",
    "times_root_2",
    "usual_sizes",
    "widest_sashing",
]
