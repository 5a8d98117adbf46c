"""Borders round a quilt top: butted, mitred or with posts in the corners."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.yardage.bolt import shown
from catalog.cutting.yardage.square_roots import root_up
from catalog.errors import ClothError
from catalog.lengths import EIGHTH
from catalog.models import Piece

Corners = Literal["butted", "mitred", "posts"]
"""How the borders meet: sides first and then top and bottom across them, on a slant, or with a
square in each corner."""

StripGrain = Literal["crosswise", "lengthwise"]
"""How strips are cut: across the width of the cloth and joined where they are too short, or along
its length in one."""

MITRE_SAFETY: Final = Fraction(1, 4)
"""Inches added to what the slanted seams of a mitred border need (see `mitre_seams`). Sources add
1/2, 1 or 6 in all (rows BR005 to BR007 of ``tests/trade_checks/yardage.csv``), whatever the seam:
at a 1/4 in seam this comes to the inch of one of them, for 1/2 is short and 6 only helps those who
cut before they measure."""


@dataclass(frozen=True)
class Border:
    """One border round a quilt top."""

    corners: Corners
    pieces: tuple[Piece, ...]
    """What to cut; strips longer than the cloth is wide are joined by `strip_plan`."""
    width: Fraction
    """Raw-edged width of the top with this border on, inches."""
    length: Fraction
    """Raw-edged length of the top with this border on, inches."""
    words: str


def border(
    width: Fraction,
    length: Fraction,
    finished: Fraction,
    *,
    corners: Corners = "butted",
    seam: Fraction = QUARTER_SEAM,
    mitre_safety: Fraction = MITRE_SAFETY,
    name: str = "border",
) -> Border:
    """Work out one border.

    Two cut border strips (f + 2 seams each) add 2f to a raw-edged top, as their four seams go
    under. So sides are as long as the top, and a butted top border is width + 2f. A published
    example (row BR009) adds another inch for seams, which a top measured with its raw edges does
    not need. A mitred one needs its slanted seams beyond that (see `mitre_seams`).

    Parameters
    ----------
    width, length : Fraction
        Raw-edged top, measured through the middle (its edges stretch), inches.
    finished : Fraction
        Width of the border that shows, inches.
    corners : {"butted", "mitred", "posts"}
        How the borders meet.
    seam : Fraction
        Inches.
    mitre_safety : Fraction
        Inches of a mitred strip beyond what it needs.
    name : str
        What the pieces are called.

    Returns
    -------
    Border
        With its pieces, the size of the top that it leaves, and words.
    """
    if min(width, length, finished) <= 0 or seam < 0:
        raise ClothError("a border needs sizes over 0", "write the top and the border in inches")
    cut = finished + 2 * seam
    new_width, new_length = width + 2 * finished, length + 2 * finished
    if corners == "mitred":
        beyond = mitre_seams(seam) + mitre_safety
        ends, sides = new_width + beyond, new_length + beyond
    else:
        ends, sides = (new_width if corners == "butted" else width), length
    pieces = [Piece(f"side {name}", cut, sides, 2), Piece(f"top and bottom {name}", ends, cut, 2)]
    if corners == "posts":
        pieces.append(Piece(f"{name} post", cut, cut, 4))
    words = (
        f"{name}: 2 sides {_bare(cut)} x {_bare(sides)}, top and bottom {_bare(cut)} x "
        f"{_bare(ends)}, {_HOW[corners]}"
    )
    return Border(corners, tuple(pieces), new_width, new_length, words)


def spacer(
    width: Fraction,
    length: Fraction,
    sides: Fraction,
    ends: Fraction,
    *,
    seam: Fraction = QUARTER_SEAM,
    name: str = "spacer",
) -> Border:
    """Work out the plain strips that make a top fit a border of units.

    Parameters
    ----------
    width, length : Fraction
        Raw-edged top, inches.
    sides, ends : Fraction
        Finished widths of the strips at left and right, and at top and bottom, inches; 0 where none
        is needed.
    seam : Fraction
    name : str
        What the pieces are called.

    Returns
    -------
    Border
        Butted, the sides first.
    """
    pieces = []
    if sides:
        pieces.append(Piece(f"side {name}", sides + 2 * seam, length, 2))
    wide, long = width + 2 * sides, length + 2 * ends
    if ends:
        pieces.append(Piece(f"top and bottom {name}", wide, ends + 2 * seam, 2))
    words = "; ".join(f"2 {p.name} {_bare(p.width)} x {_bare(p.length)}" for p in pieces)
    return Border("butted", tuple(pieces), wide, long, f"{name}: {words or 'none is needed'}")


def mitre_seams(seam: Fraction) -> Fraction:
    """Return what the seams of both mitres add to a strip's raw outer length, up to 1/8 in.

    The mitre's stitches run at 45 degrees to the corner; a seam beside them reaches root 2 x seam
    further along the strip, so at both ends 2 root 2 x seam.
    """
    return root_up(8 * seam**2, EIGHTH)


_HOW: Final = {
    "butted": "sides sewn on first",
    "mitred": "corners mitred",
    "posts": "a post in each corner",
}


def _bare(length: Fraction) -> str:
    return shown(length, mark=False)
