"""The options of ``calicount size``, as they are typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Annotated, Final

import typer

from catalog.errors import UsageError
from catalog.length_text import parse_length
from cli.cutting.cloth_options import refuse_measured_alone
from cli.options import length

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

    def __post_init__(self) -> None:
        if (self.square is None) == (self.finished is None):
            problem = (
                "neither --square nor --finished is given"
                if self.square is None
                else "--square and --finished are both given"
            )
            raise UsageError(
                problem, "give --square for a square in hand, or --finished for the size to reach"
            )
        refuse_measured_alone(self.measured, self.seam, self.square)
        if self.large and self.finished is None:
            raise UsageError(
                "--large says how to cut, and a square in hand is cut already",
                "give --finished with it, or leave it out",
            )

    @cached_property
    def square_side(self) -> Fraction | None:
        """The side of the square in hand, inches."""
        return None if self.square is None else self.length(self.square)

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
