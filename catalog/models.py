"""Frozen values that pass between the stages."""

from __future__ import annotations

from collections.abc import Collection, Set
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
"""x, y in pixels; (0, 0) is the outer corner of the top-left pixel."""

Corners = tuple[Point, Point, Point, Point]
"""Clockwise in the picture, from the corner that is top-left when the square is read in its row."""

Lab = tuple[float, float, float]
"""CIELAB L* 0-100, a*, b*; D65, 2 degree observer."""

Value = Literal["light", "medium", "dark"]
"""Lightness relative to the bundle."""

Role = Literal["feature", "background", "small"]
"""What a need's pieces are for."""

Source = Literal["bundle", "yardage", "left over"]
"""Where a need's pieces come from."""

SameFabric = Literal["allow", "prefer", "avoid"]
"""Whether two squares of one fabric may be a set."""


@dataclass(frozen=True, eq=False)
class Photo:
    """A decoded photograph."""

    name: str
    """The file's name without its folder."""
    pixels: NDArray[np.uint8]
    """(height, width, 3), RGB, upright, sRGB."""

    def __post_init__(self) -> None:
        shape = self.pixels.shape
        if len(shape) != 3 or shape[2] != 3 or self.pixels.dtype != np.uint8:
            msg = f"expected uint8 (height, width, 3), got {self.pixels.dtype} {shape}"
            raise ValueError(msg)


@dataclass(frozen=True)
class Square:
    """One square of cloth as the photo shows it."""

    corners: Corners
    row: int | None
    """From 1, downwards; None where the squares lie in no rows."""
    col: int | None
    """From 1, to the right."""
    width_in: float
    """Mean of the top and bottom side, inches, on the scale of ``--square``."""
    height_in: float
    """Mean of the left and right side, inches."""
    confidence: float
    """0 to 1: how sure it is that this is a whole square of cloth with these corners."""
    flags: tuple[str, ...] = ()
    """Doubts, each a short word or two, such as ``odd size``."""

    def __post_init__(self) -> None:
        if len(self.corners) != 4:
            msg = f"expected 4 corners, got {len(self.corners)}"
            raise ValueError(msg)
        if not 0.0 <= self.confidence <= 1.0:
            msg = f"expected a confidence from 0 to 1, got {self.confidence}"
            raise ValueError(msg)


def label_of(square: Square, number: int) -> str:
    """Return a square's label: ``R3C4`` in rows, else ``S017`` by its number, from 1."""
    if square.row is None or square.col is None:
        return f"S{number:03d}"
    return f"R{square.row}C{square.col}"


@dataclass(frozen=True)
class Found:
    """The squares of one photo, in reading order."""

    squares: tuple[Square, ...]
    pixels_per_inch: float
    """Mean over the squares; 0 where there are none."""
    cut_off: int = 0
    """Squares that the frame cuts; they are not among ``squares``."""
    chart_patches: int = 0
    """Patches of a colour chart that looked like squares; they are not among ``squares``."""


@dataclass(frozen=True, eq=False)
class Light:
    """The light that a photo was taken in.

    A linear pixel divided by ``tint`` times ``field`` at its place is the colour in even,
    neutral light.
    """

    tint: NDArray[np.float64]
    """(3,) what a white surface shows, linear RGB."""
    field: NDArray[np.float32]
    """(rows, columns, 3) the light over the photo, linear, mean 1 over the squares; a coarse
    grid whose cells tile the whole photo, to be read bilinearly between the cells' centres."""
    evidence: str
    """What the estimate rests on, in words for the user."""
    unevenness: float
    """Brightest over dimmest place among the squares, 1 or more."""
    expected_error: float
    """CIEDE2000 by which colours may be off, as measured for this kind of evidence."""
    contrast: float = 0.0
    """Strength of the camera's tone curve that ``field`` takes for removed (see `camera`)."""
    saturation: float = 1.0
    """Factor of the camera's saturation that ``field`` takes for removed (see `camera`)."""
    power: float = 1.0
    """Exponent of linear light that ``field`` takes for removed (see `camera`)."""
    mixing: NDArray[np.float64] | None = None
    """(3, 8) by which a chart corrects linear RGB in even, neutral light (see `camera`); white
    stays white. None without a chart."""
    tint_doubt: float = 0.1
    """Natural logarithm by which the ratios of the tint's channels may be off (one standard
    deviation)."""
    level_doubt: float = 0.14
    """The same of the tint's brightness."""


Ground = Literal["white", "grey", "wood", "mat"]
"""What the squares lie on, in the user's word."""

BundleRole = Literal["", "feature", "background"]
"""What a person says a square is for; empty where it may serve as either."""


@dataclass(frozen=True)
class LightHints:
    """What the user says of the light's witnesses in one photo."""

    white: str | None = None
    """Label, in this photo's own rows, of a square that is white."""
    grey: str | None = None
    """Label, in this photo's own rows, of a square that is a neutral grey of whatever value."""
    ground: Ground | None = None


@dataclass(frozen=True)
class Swatch:
    """One photographed square as catalogued."""

    label: str
    """Unique in its bundle: ``R3C4`` in rows, else ``S017``."""
    photo: str
    """Name of the photo."""
    square: Square
    lab: Lab
    """Mean colour in linear light, with the photo's light removed."""
    print_kind: str
    """``plain``, ``tonal`` or ``busy``."""
    busyness: float
    """Spread of the print's colours round their mean, CIEDE2000."""
    colour_name: str = ""
    value: Value = "medium"
    fabric: str = ""
    """The same for squares that are taken to be cut from one fabric."""
    family: str = ""
    """Name of the colour family."""
    flags: tuple[str, ...] = ()
    signature: NDArray[np.float32] = field(
        default_factory=lambda: np.zeros(0, np.float32), repr=False, compare=False
    )
    """The print's colours and structure as numbers, for telling fabrics apart."""
    uncertainty: float = 0.0
    """CIEDE2000 within which the true colour lies nine times in ten; 0 where it wasn't judged."""
    own_uncertainty: float = 0.0
    """The part of it that the photo's other squares don't share."""
    role: BundleRole = ""
    """What it is for, where a person said so."""


@dataclass(frozen=True)
class MatchRules:
    """What a set may be."""

    size: int = 2
    """Squares in a set: 2, 3 or 4."""
    sets: int | None = None
    """How many are wanted; None for as many as there can be."""
    same_fabric: SameFabric = "allow"
    least_value_step: float = 0.0
    """Least L* between a set's darkest and lightest."""
    greatest_value_step: float | None = None
    tolerance: float = 5.0
    """CIEDE2000 above which a set is flagged."""
    within: float | None = None
    """CIEDE2000 above which a set doesn't count as a match; None where every set does."""
    locked: tuple[tuple[str, ...], ...] = ()
    """Labels that must be a set together."""
    forbidden: tuple[tuple[str, str], ...] = ()
    """Labels that must not be in one set."""
    held_back: frozenset[str] = frozenset()
    """Labels that no set may use."""
    k_lightness: float = 1.0
    """Weight kL of lightness in CIEDE2000: 1, or 2 as is usual for textiles."""

    def among(self, labels: Set[str]) -> MatchRules:
        """Return what these rules say of some of the squares, such as those left over.

        Parameters
        ----------
        labels : set of str
            What speaks of any other square is left out.
        """
        return replace(
            self,
            locked=tuple(lock for lock in self.locked if labels >= set(lock)),
            forbidden=tuple(pair for pair in self.forbidden if labels >= set(pair)),
            held_back=self.held_back & labels,
        )


@dataclass(frozen=True)
class SetRequest:
    """Sets that one need of a pattern asks for."""

    need: str
    sets: int | None
    """None for as many as there can be."""
    size: int
    """Squares in a set; 1 for squares that need no partner."""
    eligible: frozenset[str]
    """Labels that may serve."""

    def suits(self, labels: Collection[str]) -> bool:
        """Tell whether these squares together are a set that is asked for."""
        return self.size == len(labels) and self.eligible.issuperset(labels)


NOT_COUNTED = "not counted"
"""Flag of a set that serves no need, mostly because its squares are too far apart."""


@dataclass(frozen=True)
class SquareSet:
    """Squares that go together in one unit."""

    number: int
    """From 1."""
    swatches: tuple[str, ...]
    """Labels, darkest first."""
    difference: float
    """Largest CIEDE2000 between two of them."""
    value_step: float
    """L* from the darkest to the lightest."""
    family: str
    """The family they share, or two joined by a slash."""
    same_fabric: bool
    flags: tuple[str, ...] = ()
    need: str = ""
    """The need that it was made for."""
    k_lightness: float = 1.0
    """Weight kL of lightness in ``difference``."""


@dataclass(frozen=True)
class Matching:
    """The sets chosen and how good the choice is."""

    sets: tuple[SquareSet, ...]
    unused: tuple[str, ...]
    """Labels in no set, held back or left over."""
    total: float
    """Sum of CIEDE2000 over all pairs inside the sets."""
    bound: float
    """No choice can have a smaller total than this; equal to ``total`` where proven best."""
    wanted: int
    """Sets asked for."""
    left_aside: tuple[tuple[str, ...], ...] = ()
    """Locked sets that have no place among those asked for; their squares serve like any."""


@dataclass(frozen=True)
class Need:
    """One line of what a pattern asks for."""

    name: str
    role: Role
    piece: str
    """What is cut, in the trade's words."""
    size: Fraction
    """Side of the square that the piece is cut from, inches."""
    count: int
    """Squares (or small pieces) wanted in all."""
    match: int = 1
    """Squares that must match in each set; 1 where none must."""
    family: str | None = None
    value: Value | None = None
    source: Source = "bundle"
    of_square: Fraction = Fraction(0)
    """Side that the squares in hand are said to have, inches; 0 if that isn't known."""


@dataclass(frozen=True)
class TallyLine:
    """One need against the bundle."""

    need: Need
    on_hand: int
    """Squares (or pieces) of the bundle that serve it, each counted once."""
    short: int
    left_over: int
    """Squares that could have served it and serve nothing. Small pieces draw on one pool of them:
    a square is counted with the first that it could have served."""
    swatches: tuple[str, ...]
    """Labels of the squares that serve it, each once."""
    note: str = ""
    """What to know or do about it, in plain words."""
    pieces: tuple[int, ...] = ()
    """How many pieces of each of ``swatches`` serve it; they add up to ``on_hand``."""
    sets: tuple[int, ...] = ()
    """Numbers, as matched, of the sets that serve it."""


@dataclass(frozen=True)
class Rest:
    """What is left of a square that was cut into equal pieces."""

    label: str
    pieces: int
    """1 or more, none of which serves anything."""
    size: Fraction
    """Side to which they are cut, inches."""


@dataclass(frozen=True)
class Tally:
    """A pattern counted against a bundle."""

    title: str
    lines: tuple[TallyLine, ...]
    unused: tuple[str, ...]
    """Labels that serve no need."""
    rests: tuple[Rest, ...] = ()
    """What is left of squares that serve one."""

    @property
    def enough(self) -> bool:
        """Whether the bundle covers all that must come from it."""
        return not any(line.short for line in self.lines)


@dataclass(frozen=True)
class Piece:
    """Pieces of one kind to cut from cloth."""

    name: str
    """What it is in the quilt, such as ``post``; no two kinds of one plan share a name."""
    width: Fraction
    """Cut size across the quilt, inches; on a print with a direction, across the print."""
    length: Fraction
    """Cut size up and down the quilt, inches; on a print with a direction, up the print."""
    count: int
    """How many, 1 or more."""

    def __post_init__(self) -> None:
        if self.width <= 0 or self.length <= 0 or self.count < 1:
            msg = f"expected sizes over 0 and a count from 1, got {self}"
            raise ValueError(msg)
