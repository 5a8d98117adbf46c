"""The seam that is really sewn, from a test strip, and what it makes of a quilt."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.units.sewn_seam import MAX_SEWN_SEAM
from catalog.errors import UsageError
from catalog.lengths import show_length
from catalog.phrases import count_of

MAX_STRIP_PIECES: Final = 50
"""Side by side in a test strip; more is a slip."""
THREAD: Final = Fraction(1, 64)
"""Inches: a thread's width and what of the cloth it takes in the fold, for telling what becomes of
many of them (choice of ours: a scant quarter is told as a thread or two less than a quarter)."""


@dataclass(frozen=True)
class SewnStrip:
    """Equal pieces sewn side by side to find a seam, lengths in inches."""

    cut: Fraction
    """Width of each piece before it is sewn."""
    pieces: int
    sewn: Fraction
    """Width of them all once sewn and pressed, raw edge to raw edge."""

    def __post_init__(self) -> None:
        """Refuse what can't be sewn.

        Raises
        ------
        UsageError
            Fewer than two pieces, or a width that so many pieces can't have.
        """
        if not 2 <= self.pieces <= MAX_STRIP_PIECES:
            raise UsageError(
                f"{count_of(self.pieces, 'piece')} can't be a test strip",
                f"sew 2 to {MAX_STRIP_PIECES} side by side; 3 are usual",
            )
        raw, measured = self.pieces * self.cut, show_length(self.sewn, step=None)
        whole = show_length(raw, step=None)
        usual = show_length(raw - 2 * (self.pieces - 1) * QUARTER_SEAM, step=None)
        cure = f"measure both again; sewn at {show_length(QUARTER_SEAM)} they measure {usual}"
        if raw <= 2 * (self.pieces - 1) * QUARTER_SEAM:
            cure = "measure both again, and take wider pieces, such as 1 1/2 in or 4 cm"
        if self.sewn >= raw:
            raise UsageError(
                f"{self.pieces} pieces measure {whole} before they are sewn, and with seams in "
                f"them they can't measure {measured}",
                cure,
            )
        if self.middle <= 0 or self.seam > MAX_SEWN_SEAM:
            raise UsageError(
                f"{self.pieces} pieces of {show_length(self.cut, step=None)} that measure "
                f"{measured} once sewn would have seams of {show_length(self.seam, step=None)}",
                cure,
            )

    @property
    def seam(self) -> Fraction:
        """What each seam takes of each piece beside it, exactly: raw edge to fold."""
        return (self.pieces * self.cut - self.sewn) / (2 * (self.pieces - 1))

    @property
    def middle(self) -> Fraction:
        """What shows of a piece with a seam at either side; of two pieces, of one with one."""
        return self.cut - min(2, self.pieces - 1) * self.seam

    def seam_step(self, mark: Fraction) -> Fraction:
        """Return by how much the seam would differ if the strip measured a mark more or less."""
        return mark / (2 * (self.pieces - 1))


def width_lost(seam: Fraction, wanted: Fraction, seams: int) -> Fraction:
    """Return by how much a quilt comes out narrower than planned, inches; less than 0 if wider.

    Parameters
    ----------
    seam, wanted : Fraction
        What is sewn, and what the pattern reckons with, inches. A seam takes its width of the cloth
        at either side.
    seams : int
        Seams that a line across the quilt crosses.
    """
    return 2 * seams * (seam - wanted)
