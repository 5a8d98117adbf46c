"""What a pattern needs, of the sizes that are cut at the seam really sewn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.quilt import Quilt
from catalog.errors import UsageError
from catalog.models import Need


def as_cut(
    needs: Sequence[Need], quilt: Quilt | None, square: Fraction, seam: Fraction | None
) -> tuple[Need, ...]:
    """Return a pattern's needs with the sizes that `adapt_pattern` cuts, so that both count alike.

    They also say what squares are in hand.

    Parameters
    ----------
    needs : sequence of Need
        Of the pattern, sizes as written.
    quilt : Quilt, optional
        How it is built; without it sizes stay as written.
    square : Fraction
        Side of the squares in hand, inches. Needs for which they are too small stay as written:
        they can't be served.
    seam : Fraction, optional
        The seam really sewn, inches; the pattern's own if not given.
    """
    needs = tuple(replace(need, of_square=square) for need in needs)
    if quilt is None:
        return needs
    seam = quilt.seam if seam is None else seam
    try:
        block = adapt_block(quilt, square, seam)
    except UsageError:
        return needs
    layout = as_laid_out(quilt, block.finished, seam, quilt.rows, quilt.columns)
    ours = AdaptedQuilt(quilt, block, layout, seam, square)
    sizes: dict[str, Fraction] = {}
    for kind in quilt.kinds:
        side, _ = ours.cut_sides(kind)
        if kind.source == "left over" or kind.size < side <= square:
            sizes |= dict.fromkeys(kind.needs, side)
    return tuple(
        replace(need, size=sizes[need.name])
        if need.source != "yardage" and need.name in sizes
        else need
        for need in needs
    )
