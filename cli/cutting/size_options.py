"""The options of ``calicount size``, as they are typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Final

import typer

from catalog.errors import UsageError
from catalog.length_text import parse_length
from cli.cutting.cloth_options import refuse_measured_alone
from cli.options import PackOption, PinkedOption, length

if TYPE_CHECKING:
    from catalog.cutting.layouts.precuts import Pinked, Precut

MAX_UNITS: Final = 10_000

_BY: Final = re.compile(r"\s*(?:x|\u00d7|\bby\b)\s*", re.IGNORECASE)


@dataclass(frozen=True)
class SizeOptions:
    """What was typed; lengths as they were written.

    Raises
    ------
    UsageError
        What was typed contradicts itself.
    """

    unit: Annotated[
        str, typer.Argument(help="Such as half-square-triangle, flying-geese, four-patch.")
    ]
    square: Annotated[
        str | None,
        length('Side of the square in hand, such as 5 or "12.5 cm".'),
    ] = None
    finished: Annotated[
        str | None,
        length("Width of the unit once sewn in; of a setting or corner triangle, the block's."),
    ] = None
    at_a_time: Annotated[
        int | None,
        typer.Option(help="How many are made at once, where there are several ways.", metavar="N"),
    ] = None
    seam: Annotated[str | None, length("The seam you sew; 1/4 unless told.")] = None
    measured: Annotated[
        str | None,
        length("A unit you sewed from --square, measured before trimming: tells your seam."),
    ] = None
    trim_to: Annotated[
        str | None,
        length("Your pattern's trim size: warns if it isn't reached."),
    ] = None
    large: Annotated[
        bool, typer.Option("--large", help="Cut larger than needed, to trim more off.")
    ] = False
    width: Annotated[str, length("Usable length of a strip, for units from strips.")] = "40 in"
    ruler: Annotated[
        str | None,
        length("Marks of your ruler; 1/8 unless told, 1 mm with --cm."),
    ] = None
    cm: Annotated[bool, typer.Option("--cm", help="Centimetres, typed and shown.")] = False
    number: Annotated[
        int | None,
        typer.Option(help="How many you want: how much cloth, and how many packs.", metavar="N"),
    ] = None
    precut: Annotated[
        str | None,
        typer.Option(
            help='What they come from, such as "fat quarters" or "10 in squares": what one gives.',
            metavar="PRECUT",
        ),
    ] = None
    pinked: PinkedOption = None
    pack: PackOption = None

    def __post_init__(self) -> None:
        if self.square is None and self.finished is None and self.precut is not None:
            self._check_square_precut()
        elif (self.square is None) == (self.finished is None):
            problem = (
                "neither --square nor --finished is given"
                if self.square is None
                else "--square and --finished are both given"
            )
            raise UsageError(
                problem, "give --square for a square in hand, or --finished for the size to reach"
            )
        refuse_measured_alone(self.measured, self.seam, self.square_side)
        if self.number is not None and not 1 <= self.number <= MAX_UNITS:
            raise UsageError(
                f"{self.number} units can't be meant", f"give --number 1 to {MAX_UNITS:,}"
            )
        if self.large and self.finished is None:
            raise UsageError(
                "--large says how to cut, and a square in hand is cut already",
                "give --finished with it, or leave it out",
            )

    def _check_square_precut(self) -> None:
        """Refuse a precut that is no square, where nothing else tells a size."""
        if self.sold is not None and not self.sold.is_square:
            raise UsageError(
                f"a {self.sold.name} is no square", "give --finished for the size to reach"
            )

    @cached_property
    def sold(self) -> Precut | None:
        """The precut that was named."""
        from catalog.cutting.layouts.precuts import find_precut

        return None if self.precut is None else find_precut(self.precut)

    @property
    def pinked_at(self) -> Pinked:
        """Where pinked edges were measured."""
        return "tips" if self.pinked is not None and self.pinked.value == "tips" else "valleys"

    @cached_property
    def square_side(self) -> Fraction | None:
        """The side of the square in hand that can be counted on, inches."""
        from catalog.cutting.layouts.precuts import PINKING

        if self.square is not None:
            less = PINKING if self.pinked_at == "tips" else 0
            return self.length(self.square) - less
        if self.finished is None and self.sold is not None:
            return self.sold.sides_in_pack(self.pinked_at)
        return None

    @cached_property
    def finished_sides(self) -> tuple[Fraction, ...]:
        """The one or two lengths of the finished size, inches; none where it wasn't told."""
        if self.finished is None:
            return ()
        parts = _BY.split(self.finished.strip())
        return tuple(self.length(one) for one in (parts if len(parts) == 2 else [self.finished]))

    def length(self, text: str) -> Fraction:
        """Return a length, inches; a bare number is one of centimetres if those are shown."""
        return parse_length(text, cm=self.cm)
