"""Options of the booklet that ``calicount report`` makes of a pattern."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Final

import typer

from catalog.errors import UsageError

if TYPE_CHECKING:
    from catalog.report.booklet.booklet_contents import BookletPrint
    from cli.options import PaperSize

BOOKLET_FILE: Final = "booklet.pdf"
MAX_STUDENTS: Final = 500
"""More than any hall seats (choice of ours)."""


@dataclass(frozen=True)
class BookletOptions:
    """How a booklet is asked for; see `cli.command_class.spread_out`."""

    booklet: Annotated[
        bool,
        typer.Option("--booklet", help="Make booklet.pdf too: the pattern, step by step, drawn."),
    ] = False
    large_print: Annotated[
        bool, typer.Option("--large-print", help="Write and draw the booklet half as large again.")
    ] = False
    students: Annotated[
        int | None,
        typer.Option(
            "--for",
            help="The booklet is for so many students: it lists what they need, and none of your "
            "squares.",
            metavar="NUMBER",
            min=1,
            max=MAX_STUDENTS,
        ),
    ] = None

    @property
    def files(self) -> tuple[str, ...]:
        """Names of the files that come of it."""
        return (BOOKLET_FILE,) if self.booklet else ()

    def check(self) -> None:
        """Refuse what is said of a booklet where none is asked for.

        Raises
        ------
        UsageError
        """
        said = {"--large-print": self.large_print, "--for": self.students is not None}
        for option, given in said.items():
            if given and not self.booklet:
                raise UsageError(f"{option} says how a booklet is made", "add --booklet")

    def printed(self, paper: PaperSize) -> BookletPrint:
        """Return how it is printed."""
        from catalog.report.booklet.booklet_contents import BookletPrint

        return BookletPrint(paper.value, self.large_print, self.students or 0)


NO_BOOKLET: Final = BookletOptions()
