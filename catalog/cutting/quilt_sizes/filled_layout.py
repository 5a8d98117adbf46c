"""One layout against the sets that there are and the sizes that quilts usually have."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.quilt_sizes.quilt_layout import Layout, layout_words, row_words, shown
from catalog.cutting.quilt_sizes.set_supply import QuiltSupply
from catalog.cutting.quilt_sizes.standard_sizes import USUAL_SIZES, UsualSize
from catalog.lengths import unit_shown
from catalog.phrases import count_of


@dataclass(frozen=True)
class Filled:
    """A layout against the sets in hand and the usual sizes."""

    layout: Layout
    usual: UsualSize
    """The published size that it is nearest to."""
    off: tuple[Fraction, Fraction]
    """Inches wider and longer than that size; below 0 where it is smaller."""
    missing: tuple[tuple[str, int], ...]
    """Sets wanting by family ("" for any family); empty where there are enough."""
    left_over: int
    """Sets that it doesn't use; 0 where some are wanting."""
    wanting: tuple[tuple[str, int], ...] = ()
    """Pieces wanting beside the sets, by what they are; empty where there are enough."""
    squares_over: int | None = None
    """Squares that it doesn't use, where its blocks take more than pairs; None to tell sets."""

    @property
    def enough(self) -> bool:
        """Whether there is all that it takes."""
        return not (self.missing or self.wanting)

    @property
    def words(self) -> str:
        """All of it in words."""
        return _words(self)

    @property
    def distance(self) -> Fraction:
        """Inches off in width and length together."""
        return abs(self.off[0]) + abs(self.off[1])


def judge(
    supply: QuiltSupply, layout: Layout, sizes: tuple[UsualSize, ...] = USUAL_SIZES
) -> Filled:
    """Hold one layout against what there is and the published sizes."""
    usual, off = nearest_usual(layout, sizes)
    short = supply.shortage(layout)
    lacks = short.sets, short.left_over, short.pieces, short.squares_over
    return Filled(layout, usual, off, *lacks)


def nearest_usual(
    layout: Layout, sizes: tuple[UsualSize, ...] = USUAL_SIZES
) -> tuple[UsualSize, tuple[Fraction, Fraction]]:
    """Return the published size nearest to a layout, and how much wider and longer that is."""
    wide, long = layout.width, layout.length
    usual = min(sizes, key=lambda size: abs(wide - size.width) + abs(long - size.length))
    return usual, (wide - usual.width, long - usual.length)


def near_words(usual: UsualSize, off: tuple[Fraction, Fraction]) -> str:
    """Say how far off a size a quilt is: ``2 in wider and no longer than queen 90 x 90``."""
    size = f"{usual.name} {shown(usual.width)} x {shown(usual.length)}"
    if not any(off):
        return f"just {size}"
    return f"{_off(off[0], 'wid', 'narrow')} and {_off(off[1], 'long', 'short')} than {size}"


def near_layout_words(layout: Layout) -> str:
    """Say what a layout is, and how far off the published size that it is nearest to."""
    return f"{layout_words(layout)}, {near_words(*nearest_usual(layout))}"


def _words(filled: Filled) -> str:
    near = near_words(filled.usual, filled.off)
    if not filled.enough:
        lack = [missing_words(filled.missing)] if filled.missing else []
        lack += [f"{number} more of {name}" for name, number in filled.wanting]
        have = f"{' and '.join(lack)} for {row_words(filled.layout)}"
    else:
        over, what = filled.left_over, "set"
        if filled.squares_over is not None:
            over, what = filled.squares_over, "square"
        have = f"{count_of(over, what)} left over"
    return f"{layout_words(filled.layout)}, {near}; {have}"


def missing_words(missing: tuple[tuple[str, int], ...]) -> str:
    """Say what is wanting: ``2 more sets in blue and 1 of any family``."""
    said: list[str] = []
    for family, number in sorted(missing, key=lambda one: (not one[0], one[0])):
        more = "" if said else f" more {'set' if number == 1 else 'sets'}"
        kind = f" in {family}" if family else (" of any family" if said else "")
        said.append(f"{number}{more}{kind}")
    return " and ".join(said)


def _off(by: Fraction, over: str, under: str) -> str:
    return (
        f"{shown(abs(by))} {unit_shown()} {over if by > 0 else under}er" if by else f"no {over}er"
    )
