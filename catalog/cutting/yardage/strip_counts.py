"""Counting strips cut across the width of the cloth and pieces cut from them."""

from __future__ import annotations

import math
from fractions import Fraction


def strips_to_join(
    length: Fraction, usable_width: Fraction, join_loss: Fraction = Fraction(0)
) -> int:
    """Return how many strips, sewn end to end, reach a length.

    m strips have m - 1 joins: m x width - (m - 1) x loss >= length.

    Parameters
    ----------
    length : Fraction
        Inches wanted once all is joined, more than 0.
    usable_width : Fraction
        Length of each strip, inches.
    join_loss : Fraction
        Inches that each join takes (see `join_loss`); 0 gives the plain quotient of the published
        rule, whose `length` has an allowance for joins in it.

    Returns
    -------
    int
        Strips, 1 or more.
    """
    if length <= usable_width:
        return 1
    return 1 + math.ceil((length - usable_width) / (usable_width - join_loss))


def joined_length(
    strips: int, usable_width: Fraction, join_loss: Fraction = Fraction(0)
) -> Fraction:
    """Return the length of strips sewn end to end, inches."""
    return strips * usable_width - (strips - 1) * join_loss


def join_loss(seam: Fraction, strip: Fraction, *, slanted: bool) -> Fraction:
    """Return the length that one join takes, inches.

    A straight join takes the seam on both ends. For a slanted one two strips are laid over each
    other at a right angle, which covers a square of their width; the seam from corner to corner
    of that square leaves both edges shorter by its side.
    """
    return strip if slanted else 2 * seam
