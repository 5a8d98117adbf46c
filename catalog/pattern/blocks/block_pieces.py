"""What is cut for a block in colours, at a size and a seam: from colours to pieces.

A part that takes one whole square for a set of units may come from a square of the bundle, each
set's square by its own number; whatever takes several, or strips, is cut from cloth by the yard.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from string import ascii_lowercase, ascii_uppercase
from typing import Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.cutting.quilt_units import kind_of, squares_per_block
from catalog.cutting.units.cutting_method import Method, UnitPiece
from catalog.errors import PatternError
from catalog.lengths import EIGHTH, SIXTEENTH, SIXTY_FOURTH
from catalog.models import Role, Source
from catalog.pattern.blocks.coloured_block import ColouredBlock

MARKS: Final = ascii_uppercase + ascii_lowercase
"""That units may have."""
MATCHED: Final = (4, 3, 2)
"""Squares in a set, tried in this order."""


@dataclass(frozen=True)
class BlockPiece:
    """One kind of piece of a block."""

    name: str
    role: Role
    colour: str
    what: str
    """In the trade's words."""
    size: Fraction
    """Side of the square to cut, inches; of a rectangle the longer."""
    per_block: int
    source: Source
    match: int = 1
    """Squares of like tone that go together; 1 where each stands alone."""

    @property
    def cloth(self) -> str:
        """Name of the cloth by the yard that it is cut from; empty for squares."""
        return f"{self.colour} cloth" if self.source == "yardage" else ""


@dataclass(frozen=True)
class PiecedBlock:
    """A block whose units name pieces."""

    block: Block
    pieces: tuple[BlockPiece, ...]
    finished: Fraction
    """Width, inches."""
    seam: Fraction


@dataclass(frozen=True)
class _Cut:
    """One part's piece at its size: what tells pieces of a colour apart."""

    colour: str
    unit: str
    what: str
    size: Fraction
    height: Fraction | None
    owned: bool
    """Whether it comes from a square of the bundle."""


@dataclass(frozen=True)
class _UnitSet:
    """Units that are made at once, or all of one kind where none of their squares is owned."""

    unit: BlockUnit
    cells: tuple[Cell, ...]
    cuts: tuple[_Cut, ...]


def pieces_of_block(
    drawn: ColouredBlock, finished: Fraction, seam: Fraction = QUARTER_SEAM
) -> PiecedBlock:
    """Return a block with the pieces that it is cut from.

    Parameters
    ----------
    drawn : ColouredBlock
    finished : Fraction
        Width of the block, inches.
    seam : Fraction
        Inches.

    Raises
    ------
    PatternError
        No piece of it can come from a square of the bundle, or there are more different units than
        letters.
    """
    cell = finished / drawn.block.across
    sets = _sets(drawn, cell, seam, rectangles=False)
    if not any(cut.owned for one in sets for cut in one.cuts):
        sets = _sets(drawn, cell, seam, rectangles=True)
    if not any(cut.owned for one in sets for cut in one.cuts):
        raise PatternError(
            "no piece of this block is one square of the bundle", "draw a feature square in it"
        )
    if len(sets) > len(MARKS):
        raise PatternError(
            f"this block has {len(sets)} different units", "draw it of fewer, larger ones"
        )
    names = _names(sets)
    block = _numbered(drawn.block, sets, names)
    return PiecedBlock(block, _pieces(drawn, block, names), finished, seam)


def _sets(
    drawn: ColouredBlock, cell: Fraction, seam: Fraction, *, rectangles: bool
) -> tuple[_UnitSet, ...]:
    alike: dict[tuple[object, ...], list[Cell]] = {}
    for one in drawn.block.cells:
        unit = drawn.block.units[one.unit]
        alike.setdefault((unit.unit, unit.patches, unit.wide, unit.high), []).append(one)
    found: list[_UnitSet] = []
    for cells in alike.values():
        unit = drawn.block.units[cells[0].unit]
        method = _way(unit, len(cells))
        made = replace(unit, at_a_time=None if method == kind_of(unit).ways[0] else
                       method.at_a_time, trim=None)  # fmt: skip
        whole = len(cells) - len(cells) % method.units
        cuts = _together(_cuts(drawn, made, method, cell, seam, rectangles=rectangles))
        plain = _together(replace(cut, owned=False) for cut in cuts)
        if any(cut.owned for cut in cuts):
            found += (_UnitSet(made, tuple(cells[at : at + method.units]), cuts)
                      for at in range(0, whole, method.units))  # fmt: skip
            rest = cells[whole:]
        else:
            rest = cells
        if rest:
            found.append(_UnitSet(made, tuple(rest), plain))
    return tuple(found)


def _way(unit: BlockUnit, number: int) -> Method:
    """Return the first of a unit's ways that so many of it are made in without one left over."""
    ways = kind_of(unit).ways
    even = [way for way in ways if number % way.units == 0]
    return (even or ways)[0]


def _cuts(
    drawn: ColouredBlock,
    unit: BlockUnit,
    method: Method,
    cell: Fraction,
    seam: Fraction,
    *,
    rectangles: bool,
) -> Iterator[_Cut]:
    kind, finished = kind_of(unit), cell * max(unit.wide, unit.high)
    counts = kind.piece_counts(method)
    for patch, part, count in zip(unit.patches, kind.parts, counts, strict=True):
        piece = method.pieces[part.piece]
        square = piece.shape == "square" or rectangles
        owned = drawn.colour(patch.kind).role == "feature" and count * method.units == 1 and square
        height = piece.height.at(finished, seam).rational if piece.height else None
        size = cut_size(method, piece, finished, seam)
        yield _Cut(patch.kind, unit.unit, piece.what, size, height, owned)


def _together(cuts: Iterable[_Cut]) -> tuple[_Cut, ...]:
    """Return the cuts with those of one cloth in a unit, such as a log cabin's logs, as one kind.

    Its size is that of the largest; what each part measures follows from the unit.
    """
    found = list(cuts)
    for colour in {cut.colour for cut in found}:
        own = [cut for cut in found if cut.colour == colour and not cut.owned]
        if len(own) > 1:
            largest = replace(
                max(own, key=lambda cut: cut.size), what=f"{_short(own[0].unit)} piece"
            )
            found = [largest if cut in own else cut for cut in found]
    return tuple(found)


def cut_size(method: Method, piece: UnitPiece, finished: Fraction, seam: Fraction) -> Fraction:
    """Return the side to cut for a unit of a finished width, inches.

    On the coarsest mark of 1/8, 1/16 and 1/64 in that does; exact where none does.
    """
    exact = piece.width.at(finished, seam)
    for mark in (EIGHTH, SIXTEENTH, SIXTY_FOURTH):
        size = piece.on_mark(exact, mark)
        if piece.fits(size, exact, trimmed=method.trimmed or piece.height is not None):
            return size
    return exact.up_to(SIXTY_FOURTH) if exact.root else exact.rational


def _names(sets: Sequence[_UnitSet]) -> dict[_Cut, str]:
    """Return what each piece is called: its colour, and of several of one colour the unit too."""
    cuts = list(dict.fromkeys(cut for one in sets for cut in one.cuts))
    many = Counter(cut.colour for cut in cuts)
    names: dict[_Cut, str] = {}
    for cut in cuts:
        name = cut.colour if many[cut.colour] == 1 else f"{cut.colour}, {_short(cut.unit)}"
        tried, number = name, ord("b")
        while tried in names.values():
            tried, number = f"{name} {chr(number)}", number + 1
        names[cut] = tried
    return names


def _short(unit: str) -> str:
    return unit.replace("-", " ")


def _numbered(block: Block, sets: Sequence[_UnitSet], names: dict[_Cut, str]) -> Block:
    """Return the block with a letter for each set, and each square of the bundle by its number."""
    taken: Counter[_Cut] = Counter()
    units: list[BlockUnit] = []
    places: dict[tuple[int, int], int] = {}
    for letter, (number, one) in zip(MARKS, enumerate(sets), strict=False):
        patches = []
        for cut in one.cuts:
            taken[cut] += cut.owned
            patches.append(Patch(names[cut], taken[cut] if cut.owned else 1))
        units.append(replace(one.unit, mark=letter, patches=tuple(patches)))
        places |= {(cell.row, cell.column): number for cell in one.cells}
    cells = tuple(replace(cell, unit=places[cell.row, cell.column]) for cell in block.cells)
    return replace(block, units=tuple(units), cells=cells)


def _pieces(drawn: ColouredBlock, block: Block, names: dict[_Cut, str]) -> tuple[BlockPiece, ...]:
    taken = dict.fromkeys(names.values(), Fraction(0))
    for patch, number in squares_per_block(block).items():
        taken[patch.kind] += number
    squares = {name: ceil(number) for name, number in taken.items()}
    return tuple(
        BlockPiece(
            name,
            "background" if drawn.colour(cut.colour).role == "background" else "feature",
            cut.colour,
            cut.what,
            cut.size,
            squares[name],
            "bundle" if cut.owned else "yardage",
            _match(squares[name]) if cut.owned else 1,
        )
        for cut, name in names.items()
    )


def _match(squares: int) -> int:
    return next((number for number in MATCHED if squares % number == 0), 1)
