"""Backing, with its seams where they take the least cloth, and batting."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.yardage.bolt import Bolt, Purchase, buy, shown
from catalog.cutting.yardage.finishing_pieces import panel_of_squares
from catalog.cutting.yardage.strip_counts import joined_length, strips_to_join
from catalog.errors import ClothError
from catalog.lengths import CENTIMETRES_PER_INCH

Seams = Literal["none", "up and down", "across"]
"""Which way the seams of a backing run on the quilt."""

METRIC_OVERHANG: Final = 10 / CENTIMETRES_PER_INCH
"""Inches; what is asked for where cloth is measured in centimetres (`common practice`)."""
OVERHANG: Final = Fraction(4)
"""Inches beyond the quilt on EACH side, 8 in all. Sources ask for 2-3, 4, 4-5, 4-6 or 6 a side
(rows BK013 to BK018 of ``tests/trade_checks/yardage.csv``); 4 is followed, what those who quilt for
others ask for. One page asks for 4 all round and then adds 4 in total (BK012): here it is per
side."""

PACKAGES: Final = (
    *((34, 45), (36, 45), (45, 60), (60, 60), (72, 90), (81, 96), (84, 96), (90, 108)),
    *((120, 120), (124, 120)),
)
"""Inches, the sizes that batting is sold in; rows BK019 to BK025 and BK029 to BK031 of
``tests/trade_checks/yardage.csv``. In countries that measure in centimetres the same packages are
sold (`common practice`)."""
MAX_FILLER_PIECES: Final = 3
"""Pieces that a narrow panel may be sewn from; `common practice`, for seams cost work."""


@dataclass(frozen=True)
class Backing:
    """A backing and the lengths of cloth it is sewn from."""

    width: Fraction
    """Inches, of the whole backing."""
    length: Fraction
    """Inches, of the whole backing."""
    overhang: Fraction
    """Beyond the quilt on each side, inches."""
    seams: Seams
    panels: int
    """Widths of cloth side by side; the last may be narrower (see `filler`)."""
    panel_length: Fraction
    """Length of each, inches along the cloth."""
    filler: int
    """Pieces sewn end to end that make the last panel; 1 where it is one length of cloth."""
    joined: Fraction
    """Span of the panels sewn together, before trimming, inches."""
    squares: int
    """Squares left over that a panel set into it is sewn of; 0 where it has none."""
    purchase: Purchase
    words: str


@dataclass(frozen=True)
class Batting:
    """Batting for a quilt."""

    width: Fraction
    """Inches, no less than the quilt."""
    length: Fraction
    package: tuple[int, int] | None
    """Smallest usual package that holds it, inches; None where it is larger than any."""
    words: str


def backing(
    width: Fraction,
    length: Fraction,
    cloth: Bolt | None = None,
    *,
    overhang: Fraction = OVERHANG,
    pieced: bool = False,
    square: Fraction | None = None,
) -> Backing:
    """Work out the backing that takes the least cloth.

    The panels run up and down the quilt or across it; n panels reach n x width of the cloth less
    two seams at each join. On directional cloth they only run up and down.

    Parameters
    ----------
    width, length : Fraction
        The quilt, inches.
    cloth : Bolt, optional
        Plain cotton, 40 in wide, if left out; wide backing cloth is one with a `usable_width` of
        its own, such as 108.
    overhang : Fraction
        Inches beyond the quilt on each side.
    pieced : bool
        Whether a narrow last panel may be sewn from shorter pieces cut side by side.
    square : Fraction, optional
        Side of squares left over, inches: where a width of cloth is not enough, what is wanting is
        a panel sewn of them.

    Returns
    -------
    Backing
        Of ways that take the same cloth, the one with fewer seams, then seams up and down.
    """
    cloth = cloth or Bolt()
    if min(width, length) <= 0 or overhang < 0:
        raise ClothError("a backing needs a quilt with sizes over 0", "write its sizes in inches")
    wide, long = width + 2 * overhang, length + 2 * overhang
    ways = list(_placements(wide, long, "up and down", cloth, pieced))
    if not cloth.directional:
        ways += _placements(long, wide, "across", cloth, pieced)
    used, _, _, seams, panels, filler = min(ways)
    if square is not None and panels > 1:
        return _with_panel_of_squares(ways, (wide, long), cloth, overhang, square)
    panel = long if seams == "up and down" else wide
    joined = joined_length(panels, cloth.width, 2 * cloth.seam)
    purchase = buy(used, cloth)
    seams = "none" if panels == 1 else seams
    words = (
        f"{_panel_words(panels, filler, panel, seams, joined)} for {shown(wide)} x {shown(long)} "
        f"({shown(overhang)} over on each side): {purchase.words}"
    )
    return Backing(wide, long, overhang, seams, panels, panel, filler, joined, 0, purchase, words)


_Way = tuple[Fraction, int, bool, Seams, int, int]


def _with_panel_of_squares(
    ways: Sequence[_Way],
    size: tuple[Fraction, Fraction],
    cloth: Bolt,
    overhang: Fraction,
    square: Fraction,
) -> Backing:
    """Return a backing with one width of cloth less, and a panel of squares in its place."""
    wide, long = size
    choices = []
    for _, _, across, seams, panels, filler in ways:
        if filler == 1:
            span, panel = (long, wide) if across else (wide, long)
            kept = joined_length(panels - 1, cloth.width, 2 * cloth.seam)
            of_squares = panel_of_squares(span - kept, panel, square, cloth.seam)
            choices.append(((panels - 1) * panel, of_squares.squares, seams, panels, of_squares))
    used, _, seams, panels, insert = min(choices, key=lambda one: one[:3])
    panel = wide if seams == "across" else long
    reach = joined_length(panels - 1, cloth.width, 2 * cloth.seam) + insert.width - 4 * cloth.seam
    purchase = buy(used, cloth)
    lengths = "1 length" if panels == 2 else f"{panels - 1} lengths"
    words = (
        f"{lengths} of {shown(panel)} with {insert.words}, set in {seams}, for "
        f"{shown(wide)} x {shown(long)} ({shown(overhang)} over on each side): {purchase.words}"
    )
    return Backing(
        *(wide, long, overhang, seams, panels, panel, 1, reach, insert.squares, purchase, words)
    )


def backing_size(
    width: Fraction, length: Fraction, overhang: Fraction = OVERHANG
) -> tuple[Fraction, Fraction]:
    """Return width and length with the overhang on EACH side, inches."""
    return width + 2 * overhang, length + 2 * overhang


def batting(width: Fraction, length: Fraction, overhang: Fraction = OVERHANG) -> Batting:
    """Return the batting of a quilt and the smallest usual package that holds it, either way."""
    wide, long = backing_size(width, length, overhang)
    if min(width, length) <= 0 or overhang < 0:
        raise ClothError("batting needs a quilt with sizes over 0", "write its sizes in inches")
    short_side, long_side = sorted((wide, long))
    fit = [p for p in PACKAGES if min(p) >= short_side and max(p) >= long_side]
    package = min(fit, key=lambda p: (p[0] * p[1], p), default=None)
    sold = "no package is that large"
    if package:
        short_of, long_of = map(Fraction, package)
        sold = f"a package of {shown(short_of, mark=False)} x {shown(long_of)}"
    words = f"batting {shown(wide)} x {shown(long)}, {shown(overhang)} over on each side: {sold}"
    return Batting(wide, long, package, words)


def _placements(
    span: Fraction, panel: Fraction, seams: Seams, cloth: Bolt, pieced: bool
) -> Iterator[tuple[Fraction, int, bool, Seams, int, int]]:
    """Give length of cloth, seams, whether they run across, their way, panels, filler."""
    loss = 2 * cloth.seam
    panels = strips_to_join(span, cloth.width, loss)
    yield panels * panel, panels - 1, seams == "across", seams, panels, 1
    last = span - (panels - 1) * (cloth.width - loss)
    beside = min(MAX_FILLER_PIECES, math.floor(cloth.width / last)) if pieced and panels > 1 else 1
    for pieces in range(2, beside + 1):
        used = (panels - 1) * panel + (panel + (pieces - 1) * loss) / pieces
        yield used, panels + pieces - 2, seams == "across", seams, panels, pieces


def _panel_words(panels: int, filler: int, panel: Fraction, seams: Seams, joined: Fraction) -> str:
    if panels == 1:
        return f"1 length of {shown(panel)}, no seam"
    number = panels if filler == 1 else panels - 1
    lengths = "1 length" if number == 1 else f"{number} lengths"
    rest = f" and a narrow one sewn from {filler} pieces" if filler > 1 else ""
    run = "seams" if panels > 2 or filler > 1 else "seam"
    return f"{lengths} of {shown(panel)}{rest}, {run} {seams}, {shown(joined)} when joined,"
