"""What a pattern comes to with the squares in hand: cut, trim, how many from each square."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out, lengths_of
from catalog.cutting.adapted.adapted_quilt import AdaptedQuilt
from catalog.cutting.quilt import PieceKind, Quilt
from catalog.lengths import show_length
from catalog.models import Role, Source


@dataclass(frozen=True)
class PieceNumbers:
    """One kind of piece; lengths in inches."""

    name: str
    role: Role
    source: Source
    cloth: str
    cut: tuple[Fraction, Fraction]
    """Width and height."""
    per_block: tuple[int, ...]
    """In each of the quilt's blocks in turn; none where it is counted in all."""
    count: int
    """In the whole quilt."""
    each: int
    """How many come from one square in hand; 0 of what is bought."""

    @property
    def squares(self) -> int:
        """Squares of the bundle that it takes; 0 of what is bought."""
        return -(-self.count // self.each) if self.each else 0


@dataclass(frozen=True)
class UnitNumbers:
    """One different unit of the blocks."""

    block: int
    mark: str
    """Of the block; empty where the quilt has but one."""
    unit: str
    at_a_time: int
    trim: tuple[Fraction, Fraction]
    """Width and height unfinished, inches."""
    trimmed: bool
    """Whether it is trimmed to that; else it comes out so."""
    finished: tuple[Fraction, Fraction]
    per_block: int


@dataclass(frozen=True)
class QuiltNumbers:
    """A quilt in numbers."""

    quilt: AdaptedQuilt
    pieces: tuple[PieceNumbers, ...]
    units: tuple[UnitNumbers, ...]
    lengths: tuple[tuple[str, Fraction, Fraction], ...]
    """Strips, borders, blocks and the quilt: name, width and length, inches."""


def quilt_numbers(
    quilt: Quilt, side: Fraction | None = None, seam: Fraction | None = None
) -> QuiltNumbers:
    """Return what a pattern comes to.

    Parameters
    ----------
    quilt : Quilt
    side : Fraction, optional
        Of the squares in hand, inches; as the pattern asks for if not given.
    seam : Fraction, optional
        Really sewn, inches; the pattern's if not given.

    Raises
    ------
    UsageError
        The squares give no such block.
    """
    seam = quilt.seam if seam is None else seam
    block = adapt_block(quilt, side, seam)
    layout = as_laid_out(quilt, block.finished, seam, quilt.rows, quilt.columns)
    ours = AdaptedQuilt(quilt, block, layout, seam, side)
    pieces = tuple(_piece(ours, kind) for kind in quilt.kinds)
    lengths = lengths_of(quilt, layout, seam)
    return QuiltNumbers(
        ours, pieces, _units(ours), tuple((name, *sides) for name, sides in lengths.items())
    )


def _piece(ours: AdaptedQuilt, kind: PieceKind) -> PieceNumbers:
    blocks = range(len(ours.quilt.blocks))
    return PieceNumbers(
        kind.name,
        kind.role,
        kind.source,
        kind.cut_from if kind.source == "yardage" else "",
        ours.cut_sides(kind),
        tuple(kind.in_block(n) for n in blocks) if kind.per_block is not None else (),
        ours.count_of(kind),
        0 if kind.source == "yardage" else ours.pieces_each(kind),
    )


def _units(ours: AdaptedQuilt) -> tuple[UnitNumbers, ...]:
    """Return each different unit of each block, those alike but for their cloth once."""
    found: dict[tuple[object, ...], UnitNumbers] = {}
    for number, units in enumerate(ours.block.by_block):
        block = ours.quilt.blocks[number]
        for place, one in enumerate(units):
            many = sum(cell.unit == place for cell in block.cells)
            trim = one.trim, one.trim_height
            key = (number, one.unit.unit, one.method.at_a_time, trim)
            before = found.get(key)
            finished = one.trim - 2 * ours.seam, one.trim_height - 2 * ours.seam
            found[key] = UnitNumbers(
                *(number, block.mark, one.unit.unit, one.method.at_a_time, trim),
                *(one.method.trimmed, finished),
                many + (before.per_block if before else 0),
            )
    return tuple(found.values())


def shown_cut(cut: tuple[Fraction, Fraction]) -> str:
    """Write what is cut: one side of a square, or width x height."""
    sides = [show_length(one, step=None, mark=False) for one in cut]
    return sides[0] if cut[0] == cut[1] else " x ".join(sides)
