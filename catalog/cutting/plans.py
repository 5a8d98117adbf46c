"""Frozen values of plans: what hangs where on the wall, what is cut, what is bought."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

from catalog.cutting.layouts.cloth_layout import ClothLayout
from catalog.cutting.layouts.precut_offers import PrecutOffer
from catalog.cutting.quilt import Patch
from catalog.models import Lab, Piece

Arrangement = Literal[
    "rainbow-across", "rainbow-down", "rainbow-diagonal", "light-to-dark", "scattered"
]
"""How sets are hung on the wall."""
ARRANGEMENTS: tuple[str, ...] = get_args(Arrangement)


@dataclass(frozen=True)
class WallBlock:
    """One block in its place on the wall."""

    number: int
    """In the order of sewing, from 1."""
    place: str
    """Letter of its row and number in it, such as ``B3``."""
    row: int
    """Rows as they are sewn, from 1; on point they run down to the right."""
    column: int
    """From 1, in its row."""
    x: float
    """Of its middle from the left edge of the quilt's middle (inside the borders), inches."""
    y: float
    """From the top edge, inches."""
    turn: int
    """Degrees clockwise: 0, 90, 180 or 270."""
    sets: tuple[int, ...] = ()
    """Numbers of its sets; none where no two squares must match, or the place stays empty."""
    squares: tuple[tuple[Patch, str], ...] = ()
    """Which square of the bundle each patch is cut from; patches from yardage are left out."""
    darker: str = ""
    """Label of the darker square of its set; empty where no two must match."""
    darker_goes: str = ""
    """Where in the block as it hangs."""
    lighter: str = ""
    lighter_goes: str = ""
    press_inside: str = ""
    press_to_next: str = ""
    """Which way the seam to the next block (or strip) of its row is pressed."""
    press_row: str = ""
    """Which way the seam from its row to the next one is pressed."""
    note: str = ""
    scraps: tuple[tuple[Patch, tuple[str, ...]], ...] = ()
    """Patches cut from squares left over, with a label for each piece of one; empty where a square
    is wanting."""
    posts: tuple[str | None, ...] = ()
    """Squares that the posts at its corners are cut from, clockwise from the upper left along the
    rows: empty where one is wanting, None where no post is. () where none come from squares."""
    pieces: tuple[tuple[str, str], ...] = ()
    """By label where in the block each of its squares goes, as it hangs."""
    posts_go: tuple[tuple[str, str], ...] = ()
    """By corner the square of a post, each post with the first block that it touches."""
    press_before: str = ""
    """Which way the seam at its left side is pressed, to a strip or triangle."""
    press_strips: str = ""
    """How the seams between posts and the strips above and below it are pressed."""
    press_edge: str = ""
    """How the seams to triangles and outer strips at the quilt's edge are pressed."""
    kind: int = 0
    """Which of the quilt's blocks it is, from 0."""
    mark: str = ""
    """The letter of that block; empty where the quilt has but one."""
    bought: bool = False
    """Whether nothing of the bundle goes into it."""
    done: bool = False
    """Whether a person or a photo said that it is sewn."""
    one_way: tuple[str, ...] = ()
    """Its squares whose print runs one way; they hang upright."""
    on_side: tuple[str, ...] = ()
    """Those of them of which some pieces lie on their side nevertheless."""


@dataclass(frozen=True)
class ChosenCloth:
    """What somebody chose for a cloth that is bought."""

    colour: Lab
    bundle: str = ""
    """Name of the bundle of which a square shows its print; empty for a plain colour."""
    square: str = ""
    """Label of that square."""


@dataclass(frozen=True)
class WallPlan:
    """Every block's place, in the order of sewing."""

    arrangement: Arrangement
    blocks: tuple[WallBlock, ...]
    step: float
    """Mean CIEDE2000 between blocks that touch along a side; 0 where none do."""
    nearest: tuple[str, str, float] | None
    """The two touching blocks that are most alike, by place, and their CIEDE2000."""

    @property
    def empty(self) -> int:
        """Places without a set."""
        return sum(not block.squares and not block.bought for block in self.blocks)


@dataclass(frozen=True)
class ComparisonRow:
    """One length of the pattern as written and as it becomes."""

    piece: str
    written: str
    yours: str
    remark: str
    """What is to spare, or what doesn't fit."""
    written_in: Fraction | None = None
    """Exact, inches (of two sides the width)."""
    yours_in: Fraction | None = None
    fits: bool = True


@dataclass(frozen=True)
class CutRow:
    """One line of what to cut."""

    cloth: str
    """What it is cut from."""
    piece: str
    count: int
    width: Fraction
    """Inches."""
    length: Fraction
    """Inches."""
    how: str
    """From squares in hand or from which strips; how many from each."""
    trim: str = ""
    """To what the unit is trimmed once sewn."""
    note: str = ""
    """How a print with an up and a down is laid."""


@dataclass(frozen=True)
class BuyRow:
    """One line of what to buy."""

    cloth: str
    bought: Fraction
    """Inches along the cloth, rounded up to what shops cut; 0 for batting."""
    used: Fraction
    """Inches that are cut up."""
    width: Fraction
    """Usable width, inches."""
    words: str
    plan: tuple[str, ...] = ()
    """How it is cut, a line for each kind of strip."""
    spare: Fraction = Fraction(0)
    """Inches of what is bought that are to spare."""
    layout: ClothLayout | None = None
    """Where the pieces lie on it; None for what is used in whole lengths."""
    stacked: str = ""
    """What of it may be cut in layers; empty where nothing should."""
    offers: tuple[PrecutOffer, ...] = ()
    """Precuts that it could be cut from instead; or the one that it is bought as."""
    pieces: tuple[Piece, ...] = ()
    """What is cut from it."""


@dataclass(frozen=True)
class PackRow:
    """Squares that the pattern takes from the bundle, as they are sold."""

    precut: str
    """Such as ``5 in squares``."""
    wanted: int
    """Squares."""
    packs: int
    pack: int
    """Squares in a pack."""
    left_over: int
    """Squares of those packs."""
    waste: Fraction
    """Part of the squares cut up that no piece takes, from 0 to 1."""
    gives: str
    """What one of them gives."""
    words: str
