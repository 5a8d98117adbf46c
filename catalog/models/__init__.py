"""Frozen values that pass between the stages.

Each stage takes some of them in, gives others out and changes none; units and ranges stand under
each field.
"""

from catalog.models.light import Ground, Light, LightHints, LightQuestion
from catalog.models.likeness import USUAL_LIKENESS, Likeness, MatchBy
from catalog.models.measured_units import MeasuredUnit, UnitFit
from catalog.models.needs import Need, Piece, Rest, Role, Source, Tally, TallyLine
from catalog.models.palettes import (
    ColourTerms,
    Lab,
    Motif,
    Palette,
    PaletteColour,
    PrintLook,
    PrintScale,
    SeenFrom,
)
from catalog.models.reference_pages import Paper, SeenPage
from catalog.models.square_sets import (
    NOT_COUNTED,
    Matching,
    MatchRules,
    SameFabric,
    SetRequest,
    SquareSet,
)
from catalog.models.squares import (
    RIGHT_AS_FOUND,
    Corners,
    Found,
    Photo,
    Point,
    Square,
    label_of,
    mean_side,
    within,
)
from catalog.models.swatches import BundleRole, Swatch, Value
from catalog.models.wall_checks import PlaceState, SeenPlace, WallCheck
from catalog.models.wall_moves import MoveKind, WallMove

__all__ = [
    "NOT_COUNTED",
    "RIGHT_AS_FOUND",
    "USUAL_LIKENESS",
    "BundleRole",
    "ColourTerms",
    "Corners",
    "Found",
    "Ground",
    "Lab",
    "Light",
    "LightHints",
    "LightQuestion",
    "Likeness",
    "MatchBy",
    "MatchRules",
    "Matching",
    "MeasuredUnit",
    "Motif",
    "MoveKind",
    "Need",
    "Palette",
    "PaletteColour",
    "Paper",
    "Photo",
    "Piece",
    "PlaceState",
    "Point",
    "PrintLook",
    "PrintScale",
    "Rest",
    "Role",
    "SameFabric",
    "SeenFrom",
    "SeenPage",
    "SeenPlace",
    "SetRequest",
    "Source",
    "Square",
    "SquareSet",
    "Swatch",
    "Tally",
    "TallyLine",
    "UnitFit",
    "Value",
    "WallCheck",
    "WallMove",
    "label_of",
    "mean_side",
    "within",
]
