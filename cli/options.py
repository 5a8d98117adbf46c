"""Options and arguments that several commands share, so that they read alike."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import completion


class Sameness(StrEnum):
    """Whether two squares of one fabric may be a set."""

    allow = "allow"
    prefer = "prefer"
    avoid = "avoid"


class NameWords(StrEnum):
    """What colours are called by (see `catalog.models.ColourTerms`)."""

    standard = "standard"
    everyday = "everyday"


class Tone(StrEnum):
    """What squares of like tone share (see `catalog.models.MatchBy`)."""

    colour = "colour"
    value = "value"
    hue = "hue"


class SeenAt(StrEnum):
    """From how far squares are looked at (see `catalog.models.SeenFrom`)."""

    wall = "wall"
    hand = "hand"


class WallOrder(StrEnum):
    """How sets hang on the wall (see `catalog.cutting.plans.Arrangement`)."""

    rainbow_across = "rainbow-across"
    rainbow_down = "rainbow-down"
    rainbow_diagonal = "rainbow-diagonal"
    light_to_dark = "light-to-dark"
    scattered = "scattered"


class SurfaceKind(StrEnum):
    """What the squares lie on."""

    white = "white"
    grey = "grey"
    wood = "wood"
    mat = "mat"
    other = "other"


class PinkedEdge(StrEnum):
    """Where a pinked edge was measured."""

    valleys = "valleys"
    tips = "tips"


class PaperSize(StrEnum):
    """What pages are printed on."""

    a4 = "A4"
    letter = "Letter"


def number(words: str, *names: str) -> Any:  # noqa: ANN401 - as Typer has it
    """An option that takes a number; without names, it is called as its field is."""
    return typer.Option(*names, help=words, metavar="NUMBER")


def length(words: str, *names: str) -> Any:  # noqa: ANN401 - as Typer has it
    """An option that takes a length."""
    return typer.Option(*names, help=words, metavar="LENGTH")


def label(words: str, *names: str) -> Any:  # noqa: ANN401 - as Typer has it
    """An option that takes a square's label."""
    return typer.Option(*names, help=words, metavar="LABEL")


JsonFlag = Annotated[
    bool, typer.Option("--json", help="Print everything as one JSON object instead.", metavar="")
]
ReplaceFlag = Annotated[
    bool, typer.Option("--replace", help="Write over the files of an earlier run.", metavar="")
]
QuietFlag = Annotated[
    bool, typer.Option("--quiet", help="Say nothing unless something is wrong.", metavar="")
]
SpareOption = Annotated[
    str | None,
    length(
        "How much of each cloth to buy beyond what is used, to straighten it; "
        "else 1/8 yd (10 cm with centimetres)."
    ),
]
HaveOption = Annotated[
    list[str] | None,
    typer.Option(
        help='Precuts that you have for cloth you would buy, such as "6 fat quarters for '
        'background"; may be repeated.',
        metavar="PRECUTS",
    ),
]
PrecutOption = Annotated[
    list[str] | None,
    typer.Option(
        help='Buy cloth ready cut: "fat quarters", or "fat quarters for background"; may be '
        "repeated.",
        metavar="PRECUTS",
    ),
]
PinkedOption = Annotated[
    PinkedEdge | None,
    typer.Option(help="Where you measured pinked edges: in their valleys, or at their tips."),
]
PackOption = Annotated[int | None, number("Precuts in a pack; else the usual number.")]
NamesOption = Annotated[
    NameWords | None,
    typer.Option(
        help="Call colours by their standard names, or in everyday words such as aqua; else "
        "standard."
    ),
]
PatternOption = Annotated[
    str | None,
    typer.Option(
        help="A pattern by its name, or a pattern file.",
        metavar="NAME|FILE",
        autocompletion=completion.patterns,
    ),
]
SetsWanted = Annotated[
    int | None,
    number("How many sets you want; else as many as there can be."),
]
LeastStep = Annotated[
    float | None,
    number("How much lighter than its darkest a set's lightest must be, of 100."),
]
MostStep = Annotated[
    float | None,
    number("How much lighter than its darkest a set's lightest may be."),
]
LightnessWeight = Annotated[
    float | None,
    number("2 makes a step of lightness count half in a difference, as is usual for cloth."),
]
MatchByOption = Annotated[
    Tone | None,
    typer.Option(
        help="What squares of a set share: colour, as a person sees it; value, how light they "
        "look, whatever the colour; hue, whether light or dark."
    ),
]
SeenFromOption = Annotated[
    SeenAt | None,
    typer.Option(
        help="From how far squares are looked at: wall, 2 m, where small prints run together; "
        "hand, 40 cm."
    ),
]
SurfaceOption = Annotated[
    SurfaceKind | None, typer.Option(help="What the squares lie on; else judged by its looks.")
]
ReferenceBarOption = Annotated[
    str | None,
    length(
        "What the bar on your reference page measures; else 6 in (Letter) or 15 cm (A4), as drawn."
    ),
]
LampOption = Annotated[
    bool | None,
    typer.Option(
        "--lamp/--no-lamp",
        help="Whether a lamp was on; else judged by the prints.",
        metavar="",
        show_default=False,
    ),
]
SeamOption = Annotated[str | None, length("The seam you sew; else the pattern's.")]
ArrangementOption = Annotated[
    WallOrder | None, typer.Option(help="How the sets hang on the wall; else rainbow-diagonal.")
]
WidthOption = Annotated[str, length("Usable width of the fabric you buy.")]
CatalogueOption = Annotated[
    Path | None,
    typer.Option(
        help="The file that keeps your bundles; else the one in your data folder.",
        metavar="FILE",
        envvar=completion.VARIABLE,
    ),
]
PhotoNumber = Annotated[
    int | None,
    number("Number of the photo, as in calicount show.", "--photo"),
]
InsistFlag = Annotated[
    bool,
    typer.Option("--yes", help="Do it even where the photo speaks against it.", metavar=""),
]
LookFlag = Annotated[
    bool,
    typer.Option("--look", help="Only say which sets it would change; do nothing.", metavar=""),
]

BundleName = Annotated[
    str,
    typer.Argument(
        help="Name of the bundle.",
        metavar="BUNDLE",
        autocompletion=completion.bundles,
        show_default=False,
    ),
]
SquareLabel = Annotated[
    str,
    typer.Argument(
        help="The square, such as R3C4.", metavar="SQUARE", autocompletion=completion.squares
    ),
]
OtherSquare = Annotated[
    str,
    typer.Argument(help="The other one.", metavar="SQUARE", autocompletion=completion.squares),
]
SquareLabels = Annotated[
    list[str],
    typer.Argument(
        help="Squares, such as R3C4 R3C5.", metavar="SQUARE...", autocompletion=completion.squares
    ),
]
ProjectName = Annotated[
    str,
    typer.Argument(
        help="Name of the project.", metavar="PROJECT", autocompletion=completion.projects
    ),
]


@dataclass(frozen=True)
class Manner:
    """Which catalogue is meant and how the command answers.

    A command's parameter of this class stands for its three options; see
    `cli.command_class.spread_out`.
    """

    catalogue: CatalogueOption = None
    quiet: QuietFlag = False
    json: JsonFlag = False


MannerJsonFirst = Annotated[Manner, reversed]
"""The same three options, listed the other way round."""
